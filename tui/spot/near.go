package spot

import (
	"fmt"
	"math"

	"fishplate/diagnose/track"
)

// turning adds up by how many degrees the line through the pieces turns.
func turning(l *track.Layout, pieces []int) float64 {
	n := len(pieces)
	mid := func(k int) (x, y float64) { return middle(l, pieces[(k+n)%n]) }
	sum := 0.0
	for k := range pieces {
		x0, y0 := mid(k - 1)
		x1, y1 := mid(k)
		x2, y2 := mid(k + 1)
		d := math.Atan2(y2-y1, x2-x1) - math.Atan2(y1-y0, x1-x0)
		sum += math.Mod(d+3*math.Pi, 2*math.Pi) - math.Pi
	}
	return sum * 180 / math.Pi
}

// mark is something that a person sees on the table.
type mark struct {
	name string
	at   track.Place
	less int // a handicap in joints: things that are harder to spot
}

// marks lists what can be counted from, in the order of the layout.
func marks(l *track.Layout) []mark {
	var out []mark
	for _, m := range l.Landmarks {
		out = append(out, mark{"the " + m.Name, m.At, 0})
	}
	for _, f := range l.Feeders {
		out = append(out, mark{"feeder " + f.Name, f.At, 2})
	}
	for i := range l.Pieces {
		p := &l.Pieces[i]
		switch {
		case p.Kind == track.Turnout || p.Kind == track.Crossing:
			out = append(out, mark{string(p.Kind) + " " + title(l, i), track.Place{Piece: i, End: -1}, 1})
		case p.Kind == track.Bumper:
			out = append(out, mark{"the bumper of " + p.Run, track.Place{Piece: i, End: -1}, 1})
		}
	}
	return out
}

// node is a piece (End -1 in the search's own numbering) or a joint.
type node struct{ piece, joint int }

func nodeOf(l *track.Layout, at track.Place) node {
	if at.End >= 0 {
		if j := l.Pieces[at.Piece].Ends[at.End].Joint; j >= 0 {
			return node{-1, j}
		}
	}
	return node{at.Piece, -1}
}

// neighbours lists what lies next to a node: a piece's joints in the order of
// its ends, a joint's two pieces.
func neighbours(l *track.Layout, n node) []node {
	var out []node
	if n.joint >= 0 {
		j := &l.Joints[n.joint]
		return []node{{j.A.Piece, -1}, {j.B.Piece, -1}}
	}
	for _, e := range l.Pieces[n.piece].Ends {
		if e.Joint >= 0 {
			out = append(out, node{-1, e.Joint})
		}
	}
	return out
}

// Near says how to find a place by counting joints from the handiest thing
// that can be seen. It is empty on a layout with nothing to count from.
func Near(l *track.Layout, at track.Place) string {
	if at.Piece < 0 || at.Piece >= len(l.Pieces) {
		return ""
	}
	if p := &l.Pieces[at.Piece]; at.End >= 0 && len(p.Ends) > 2 {
		return "the " + p.Ends[at.End].Label + " end of " + string(p.Kind) + " " + title(l, at.Piece)
	}
	goal := nodeOf(l, at)
	// One search from the place outwards: from[n] is the next node on the way
	// back to it, steps[n] the number of joints on that way.
	from, steps := map[node]node{goal: goal}, map[node]int{goal: 0}
	for queue := []node{goal}; len(queue) > 0; queue = queue[1:] {
		n := queue[0]
		for _, m := range neighbours(l, n) {
			if _, seen := from[m]; seen {
				continue
			}
			from[m], steps[m] = n, steps[n]
			if n.joint >= 0 {
				steps[m]++
			}
			queue = append(queue, m)
		}
	}
	best, cost, where := -1, math.MaxInt, node{}
	all := marks(l)
	for i, m := range all {
		n := nodeOf(l, m.at)
		s, ok := steps[n]
		if ok && s+m.less < cost {
			best, cost, where = i, s+m.less, n
		}
	}
	if best < 0 {
		return ""
	}
	return count(l, all[best], where, goal, from, steps[where])
}

func count(l *track.Layout, m mark, n, goal node, from map[node]node, joints int) string {
	if n == goal {
		return "right at " + m.name
	}
	for n = from[n]; n.joint < 0 && n != goal; n = from[n] {
	}
	if n.joint < 0 {
		return "next to " + m.name
	}
	first := l.Joints[n.joint].Name
	on := ""
	if goal.joint < 0 {
		on = ", then the middle of the piece"
	}
	way := direction(l, m.at, n)
	if joints == 1 {
		return fmt.Sprintf("first joint %s %s%s", way, m.name, on)
	}
	return fmt.Sprintf("%d joints %s %s (first: %s)%s", joints, way, m.name, first, on)
}

// direction says which way, as the map lies, one sets out from a place towards
// a joint.
func direction(l *track.Layout, from track.Place, to node) string {
	x0, y0 := middle(l, from.Piece)
	if from.End >= 0 {
		at := l.Pieces[from.Piece].Ends[from.End].Pose
		x0, y0 = at.X, at.Y
	}
	a := l.Joints[to.joint].A
	at := l.Pieces[a.Piece].Ends[a.End].Pose
	dx, dy := at.X-x0, at.Y-y0
	switch {
	case math.Hypot(dx, dy) < 1: // mm: no direction at all
		return "past"
	case math.Abs(dx) >= math.Abs(dy) && dx < 0:
		return "left of"
	case math.Abs(dx) >= math.Abs(dy):
		return "right of"
	case dy > 0:
		return "up the map from"
	}
	return "down the map from"
}

// middle is the mean of a piece's ends, mm.
func middle(l *track.Layout, piece int) (x, y float64) {
	p := &l.Pieces[piece]
	for _, e := range p.Ends {
		x += e.Pose.X / float64(len(p.Ends))
		y += e.Pose.Y / float64(len(p.Ends))
	}
	return x, y
}
