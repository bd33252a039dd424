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
			out = append(out, mark{kindWord(p) + " " + title(l, i), track.Place{Piece: i, End: -1}, 1})
		case p.Kind == track.Bumper:
			out = append(out, mark{"the bumper of " + p.Run, track.Place{Piece: i, End: -1}, 1})
		}
	}
	return out
}

// kindWord is what people call a turnout, a crossing or a slip.
func kindWord(p *track.Piece) string {
	if p.Slips() {
		return "slip"
	}
	return string(p.Kind)
}

// node is a piece or a joint.
type node struct{ piece, joint int }

func nodeOf(l *track.Layout, at track.Place) node {
	if at.End >= 0 {
		if j := l.Pieces[at.Piece].Ends[at.End].Joint; j >= 0 {
			return node{-1, j}
		}
	}
	return node{at.Piece, -1}
}

// walk is a search outwards from a place, over pieces and joints in turn.
// Nodes are numbered: pieces first, then joints.
type walk struct {
	l     *track.Layout
	from  []int32 // the next node on the way back to the place, -1 not reached
	steps []int32 // joints on that way
}

func (w *walk) number(n node) int {
	if n.joint >= 0 {
		return len(w.l.Pieces) + n.joint
	}
	return n.piece
}

func (w *walk) node(i int) node {
	if k := i - len(w.l.Pieces); k >= 0 {
		return node{-1, k}
	}
	return node{i, -1}
}

// outwards reaches every node that is less than `most` joints away, the
// nearer ones first; most is asked for again at each node.
func outwards(l *track.Layout, goal node, most func(n node, steps int) int) *walk {
	w := &walk{l: l, from: make([]int32, len(l.Pieces)+len(l.Joints)),
		steps: make([]int32, len(l.Pieces)+len(l.Joints))}
	for i := range w.from {
		w.from[i] = -1
	}
	start := w.number(goal)
	w.from[start] = int32(start)
	visit := func(queue []int, from, to int, steps int32) []int {
		if w.from[to] >= 0 {
			return queue
		}
		w.from[to], w.steps[to] = int32(from), steps
		return append(queue, to)
	}
	for queue := []int{start}; len(queue) > 0; queue = queue[1:] {
		i := queue[0]
		n := w.node(i)
		if int(w.steps[i]) > most(n, int(w.steps[i])) {
			break
		}
		if n.joint >= 0 {
			j := &l.Joints[n.joint]
			queue = visit(queue, i, j.A.Piece, w.steps[i]+1)
			queue = visit(queue, i, j.B.Piece, w.steps[i]+1)
			continue
		}
		for _, e := range l.Pieces[n.piece].Ends {
			if e.Joint >= 0 {
				queue = visit(queue, i, len(l.Pieces)+e.Joint, w.steps[i])
			}
		}
	}
	return w
}

// ToLook says how to find what is looked at: a joint of a piece where one is named, else
// the piece. Empty where it is no piece, or there is nothing to count from.
func ToLook(l *track.Layout, piece, joint string) string {
	at, ok := FindPlace(l, joint)
	if !ok || joint == "" {
		return Near(l, track.Place{Piece: l.FindPiece(piece), End: -1})
	}
	if near := Near(l, at); near != "" {
		return "the joint " + joint + ", " + near
	}
	return "the joint " + joint
}

// Near says how to find a place by counting joints from the handiest thing
// that can be seen. It is empty on a layout with nothing to count from.
func Near(l *track.Layout, at track.Place) string {
	if at.Piece < 0 || at.Piece >= len(l.Pieces) {
		return ""
	}
	if p := &l.Pieces[at.Piece]; at.End >= 0 && len(p.Ends) > 2 {
		return "the " + p.Ends[at.End].Label + " end of " + kindWord(p) + " " + title(l, at.Piece)
	}
	goal := nodeOf(l, at)
	all := marks(l)
	less := map[node]int{} // of the handiest thing at a node
	for _, m := range all {
		n := nodeOf(l, m.at)
		if was, ok := less[n]; !ok || m.less < was {
			less[n] = m.less
		}
	}
	cost := math.MaxInt
	w := outwards(l, goal, func(n node, steps int) int {
		if k, ok := less[n]; ok {
			cost = min(cost, steps+k)
		}
		return cost
	})
	for _, m := range all {
		n := nodeOf(l, m.at)
		if i := w.number(n); w.from[i] >= 0 && int(w.steps[i])+m.less == cost {
			return count(w, m, n, goal, int(w.steps[i]))
		}
	}
	return ""
}

func count(w *walk, m mark, n, goal node, joints int) string {
	if n == goal {
		return "at " + m.name
	}
	back := func(n node) node { return w.node(int(w.from[w.number(n)])) }
	for n = back(n); n.joint < 0 && n != goal; n = back(n) {
	}
	if n.joint < 0 {
		x, y := middle(w.l, goal.piece)
		way := heading(w.l, m.at, x, y)
		if way == "past" {
			return "next to " + m.name
		}
		return "the piece " + way + " " + m.name
	}
	first := w.l.Joints[n.joint].Name
	on := ""
	if goal.joint < 0 {
		on = ", then the middle of the piece"
	}
	way := direction(w.l, m.at, n)
	for next := n; way == "past" && next != goal; { // the first joint lies right at it
		if next = back(next); next.joint >= 0 {
			way = direction(w.l, m.at, next)
		}
	}
	if joints == 1 && way == "past" { // beside a piece of no length
		return "the joint at " + m.name + on
	}
	if joints == 1 {
		return fmt.Sprintf("first joint %s %s%s", way, m.name, on)
	}
	return fmt.Sprintf("%d joints %s %s (first: %s)%s", joints, way, m.name, first, on)
}

// direction says which way, as the map lies, one sets out from a place towards
// a joint.
func direction(l *track.Layout, from track.Place, to node) string {
	a := l.Joints[to.joint].A
	at := l.Pieces[a.Piece].Ends[a.End].Pose
	return heading(l, from, at.X, at.Y)
}

// heading says which way, as the map lies, a point is from a place.
func heading(l *track.Layout, from track.Place, x, y float64) string {
	x0, y0 := middle(l, from.Piece)
	if from.End >= 0 {
		at := l.Pieces[from.Piece].Ends[from.End].Pose
		x0, y0 = at.X, at.Y
	}
	dx, dy := x-x0, y-y0
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
