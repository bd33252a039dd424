package rival

import (
	"slices"

	"fishplate/diagnose/track"
)

// conducts says that both sides of the supply pass a joint.
func conducts(l *track.Layout, j *track.Joint) bool {
	c := l.Pieces[j.A.Piece].Construction
	return !j.IsInsulated(c.Hot) && !j.IsInsulated(c.Common)
}

// components lists the parts into which a region falls when some joints are
// open, each in the order of the layout, by their first pieces.
func components(l *track.Layout, region, open []int) [][]int {
	in := make([]bool, len(l.Pieces))
	for _, p := range region {
		in[p] = true
	}
	next := make([][]int, len(l.Pieces))
	for i := range l.Joints {
		j := &l.Joints[i]
		if in[j.A.Piece] && in[j.B.Piece] && conducts(l, j) && !slices.Contains(open, i) {
			next[j.A.Piece] = append(next[j.A.Piece], j.B.Piece)
			next[j.B.Piece] = append(next[j.B.Piece], j.A.Piece)
		}
	}
	var parts [][]int
	for _, p := range region {
		if !in[p] {
			continue
		}
		part, todo := []int{}, []int{p}
		in[p] = false
		for len(todo) > 0 {
			q := todo[len(todo)-1]
			todo = todo[:len(todo)-1]
			part = append(part, q)
			for _, r := range next[q] {
				if in[r] {
					in[r] = false
					todo = append(todo, r)
				}
			}
		}
		slices.Sort(part)
		parts = append(parts, part)
	}
	return parts
}

// inside lists the joints between pieces of a region, at most limit of them,
// evenly taken.
func inside(l *track.Layout, region []int, limit int) []int {
	in := make([]bool, len(l.Pieces))
	for _, p := range region {
		in[p] = true
	}
	var all []int
	for i := range l.Joints {
		j := &l.Joints[i]
		if in[j.A.Piece] && in[j.B.Piece] && conducts(l, j) {
			all = append(all, i)
		}
	}
	if len(all) <= limit {
		return all
	}
	out := make([]int, limit)
	for k := range out {
		out[k] = all[k*len(all)/limit]
	}
	return out
}

const (
	mostSingles = 400
	mostPairs   = 40
	// fair is the share of the larger part up to which one cut is good enough
	// to save the second (assumed).
	fair = 0.75
)

// halve chooses the joint, or the two, that part a region most evenly. It gives
// the part with the region's first piece, nil when nothing can be cut.
func halve(l *track.Layout, region []int) (part, cut []int) {
	best := len(region)
	weigh := func(open ...int) {
		parts := components(l, region, open)
		if len(parts) != 2 {
			return
		}
		if m := max(len(parts[0]), len(parts[1])); m < best {
			best, part, cut = m, parts[0], slices.Clone(open)
		}
	}
	for _, j := range inside(l, region, mostSingles) {
		weigh(j)
	}
	if part != nil && float64(best) <= fair*float64(len(region)) || part != nil && len(region) <= 4 {
		return part, cut
	}
	list := inside(l, region, mostPairs)
	for a := range list {
		for b := a + 1; b < len(list); b++ {
			weigh(list[a], list[b])
		}
	}
	return part, cut
}

func minus(region, part []int) []int {
	var out []int
	for _, p := range region {
		if !slices.Contains(part, p) {
			out = append(out, p)
		}
	}
	return out
}
