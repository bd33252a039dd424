package check

import (
	"fmt"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// frogCheck looks at frogs that need a gap, and at dead stretches inside a piece.
type frogCheck struct{ *checker }

// frogs looks for feeders that hang on a rail behind the frog of a power-routing
// turnout: the points are to feed that rail. Where the frog is metal, so that
// both rails behind it are one piece, the feeder shorts the supply as soon as
// the points lie the other way. A rail that current reaches round a loop is not
// told: that is how a loop with such a turnout looks from both sides.
func (c frogCheck) frogs() {
	for p := range c.l.Pieces {
		if c.l.Pieces[p].Kind == track.Turnout && !c.wired.frogs[p] {
			c.frog(p)
		}
	}
}

// frog looks at the rails behind the frog of one turnout.
func (c frogCheck) frog(p int) {
	points := c.pointsSide(p)
	var names []string
	var pieces, ends []int
	for i := range c.n.Links {
		k := &c.n.Links[i]
		if k.Kind != conductor.KindSwitch || k.Turnout != p {
			continue
		}
		for _, node := range [2]int{c.n.NodeOf(k.A), c.n.NodeOf(k.B)} {
			if points[node] || slices.Contains(ends, node) {
				continue
			}
			ends = append(ends, node)
			behind := c.beyond(node, p)
			if overlap(points, behind) {
				continue // round a loop
			}
			for f := range c.l.Feeders {
				if q := c.n.FeederPoints[f]; behind[c.n.NodeOf(q[0])] || behind[c.n.NodeOf(q[1])] {
					names, pieces = append(names, c.l.Feeders[f].Name), append(pieces, c.l.Feeders[f].At.Piece)
				}
			}
		}
	}
	if names = unique(names); len(names) == 0 {
		return
	}
	verb := map[bool]string{true: "feeds", false: "feed"}[len(names) == 1]
	c.add(Finding{Severity: Badly, Kind: "feeder-beyond-frog", Place: c.title(p), Basis: NoSource,
		What: fmt.Sprintf("%s %s a rail behind the frog of this power-routing turnout, with no gap between",
			unit.And(names), verb),
		Why: "the points are to feed that rail and to leave it dead when they lie the other way. If the frog is " +
			"metal, the feeder shorts the supply as soon as they do",
		Do: "insulate both rails behind the frog between the turnout and the feeder, or feed that track through the " +
			"points alone"},
		append([]int{p}, pieces...))
}

// pointsSide are the nodes of a turnout that its points end reaches while its
// switched contacts are open.
func (c frogCheck) pointsSide(p int) map[int]bool {
	out := map[int]bool{}
	end := c.l.Pieces[p].EndIndex(track.EndPoints)
	for _, r := range c.l.Pieces[p].Construction.Rails {
		if q := c.n.At(track.EndRef{Piece: p, End: end}, r); q >= 0 {
			out[c.n.NodeOf(q)] = true
		}
	}
	for grew := true; grew; {
		grew = false
		for i := range c.n.Links {
			k := &c.n.Links[i]
			if k.Piece != p || k.Kind == conductor.KindSwitch || k.NormallyOpen {
				continue
			}
			a, b := c.n.NodeOf(k.A), c.n.NodeOf(k.B)
			if out[a] != out[b] {
				out[a], out[b], grew = true, true, true
			}
		}
	}
	return out
}

// beyond are the nodes that a rail behind a turnout reaches along the track and
// its feeders' clips, but not through the turnout's switched contacts.
func (c frogCheck) beyond(node, turnout int) map[int]bool {
	out, todo := map[int]bool{node: true}, []int{node}
	for len(todo) > 0 {
		at := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		for _, a := range c.wired.adj[at] {
			k := &c.n.Links[a.link]
			if out[a.to] || k.Kind == conductor.KindSwitch && k.Turnout == turnout || !isTrack(k) &&
				k.Kind != conductor.KindClip {
				continue
			}
			out[a.to] = true
			todo = append(todo, a.to)
		}
	}
	return out
}

// title names a piece by the name that was given to it, else by its place.
func (c frogCheck) title(p int) string {
	if name := c.l.Pieces[p].Name; name != "" {
		return name
	}
	return c.l.Pieces[p].ID()
}

// overlap says whether two sets have something in common.
func overlap(a, b map[int]bool) bool {
	for k := range a {
		if b[k] {
			return true
		}
	}
	return false
}
