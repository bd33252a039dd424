package drill

import (
	"fmt"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
)

// full puts the run's name before a bare number where there is one run only:
// "7/8" for "main 7/8".
func (f Finder) full(text string) string {
	text = strings.TrimSpace(text)
	if text != "" && text[0] >= '0' && text[0] <= '9' && len(f.n.Layout.Runs) == 1 {
		return f.n.Layout.Runs[0].Name + " " + text
	}
	return text
}

// fold makes names alike that mean the same: case and double spaces.
func fold(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

// Finder looks up names as they are typed.
type Finder struct{ n *conductor.Network }

// NewFinder makes one for a network.
func NewFinder(n *conductor.Network) Finder { return Finder{n} }

// Point finds a point by its name; a turnout's own name may stand for its
// number ("W1 center" for "main 4 center"). The error says what to write.
func (f Finder) Point(text string) (int, error) {
	text = f.full(text)
	want := fold(text)
	for i := range f.n.Points {
		if f.n.Points[i].Kind != conductor.PointInternal && fold(f.n.Points[i].Name) == want {
			return i, nil
		}
	}
	head, last := cutLast(text)
	if piece := f.piece(head); piece >= 0 {
		if p := f.n.Middle(piece, track.Rail(fold(last))); p >= 0 {
			return p, nil
		}
		return -1, fmt.Errorf("%s has no rail %q; it has %s", head, last, railsOf(f.n, piece))
	}
	l := f.n.Layout
	for i := range l.Feeders {
		if fold(l.Feeders[i].Name) == want {
			return -1, fmt.Errorf("%[1]s has two wires: write %[1]s hot or %[1]s common", l.Feeders[i].Name)
		}
	}
	for i := range l.Accessories {
		if fold(l.Accessories[i].Name) == want {
			return -1, fmt.Errorf("%[1]s has two wires: write %[1]s hot or %[1]s common", l.Accessories[i].Name)
		}
	}
	if piece := f.piece(text); piece >= 0 {
		return -1, fmt.Errorf("write a rail behind %s: %s", text, railsOf(f.n, piece))
	}
	example := l.Pieces[0].ID() + " " + string(l.Pieces[0].Construction.Hot)
	return -1, fmt.Errorf("there is no point %q; write a piece or a joint and a rail, as in: %s", text, example)
}

// Hot is the hot point at a place that names no rail: a piece, a side of a
// joint, a feeder or a supply; -1 when it is none.
func (f Finder) Hot(text string) int {
	if hot, _, err := f.Pair(text); err == nil {
		return hot
	}
	return -1
}

func cutLast(text string) (head, last string) {
	text = strings.TrimSpace(text)
	if i := strings.LastIndexByte(text, ' '); i > 0 {
		return strings.TrimSpace(text[:i]), text[i+1:]
	}
	return text, ""
}

func railsOf(n *conductor.Network, piece int) string {
	var out []string
	for _, r := range n.Layout.Pieces[piece].Construction.Rails {
		out = append(out, string(r))
	}
	return strings.Join(out, ", ")
}

// piece finds a piece by number or name, -1 when there is none.
func (f Finder) piece(text string) int {
	want := fold(f.full(text))
	for i := range f.n.Layout.Pieces {
		p := &f.n.Layout.Pieces[i]
		if fold(p.ID()) == want || p.Name != "" && fold(p.Name) == want {
			return i
		}
	}
	return -1
}

// Piece finds a piece; the error says what to write.
func (f Finder) Piece(text string) (int, error) {
	if i := f.piece(text); i >= 0 {
		return i, nil
	}
	return -1, fmt.Errorf("there is no piece %q; there is %s", text, f.runs())
}

// runs says which pieces there are.
func (f Finder) runs() string {
	var out []string
	l := f.n.Layout
	for _, r := range l.Runs {
		if len(r.Pieces) > 0 {
			out = append(out, l.RowName(r.Pieces[0], r.Pieces[len(r.Pieces)-1]))
		}
	}
	return strings.Join(out, ", ")
}

// Joint finds a joint by either of its names.
func (f Finder) Joint(text string) (int, error) {
	want := fold(f.full(text))
	l := f.n.Layout
	for i := range l.Joints {
		j := &l.Joints[i]
		if fold(j.Name) == want || fold(l.SideName(j.A)) == want || fold(l.SideName(j.B)) == want {
			return i, nil
		}
	}
	if len(l.Joints) == 0 {
		return -1, fmt.Errorf("this layout has no joints")
	}
	if i := f.piece(text); i >= 0 {
		return -1, fmt.Errorf("there is no joint %q: that is a piece, and a joint has two, as %s; to look under it: "+
			"look %s", text, l.Joints[0].Name, l.Pieces[i].ID())
	}
	return -1, fmt.Errorf("there is no joint %q; joints are named by their two pieces, as %s; there is %s", text,
		l.Joints[0].Name, f.runs())
}

// accessory finds an accessory, -1 when there is none of that name.
func (f Finder) accessory(text string) int {
	for i := range f.n.Layout.Accessories {
		if fold(f.n.Layout.Accessories[i].Name) == fold(text) {
			return i
		}
	}
	return -1
}

// supply finds a supply; no name means the first.
func (f Finder) supply(text string) (int, error) {
	var names []string
	for i := range f.n.Layout.Supplies {
		if text == "" || fold(f.n.Layout.Supplies[i].Name) == fold(text) {
			return i, nil
		}
		names = append(names, f.n.Layout.Supplies[i].Name)
	}
	return 0, fmt.Errorf("there is no supply %q; there is %s", text, strings.Join(names, ", "))
}

// toggle finds a toggle, -1 when there is none of that name.
func (f Finder) toggle(text string) int {
	for i := range f.n.Layout.Toggles {
		if fold(f.n.Layout.Toggles[i].Name) == fold(text) {
			return i
		}
	}
	return -1
}

// Feeder finds a feeder by name.
func (f Finder) Feeder(text string) (int, error) {
	for i := range f.n.Layout.Feeders {
		if fold(f.n.Layout.Feeders[i].Name) == fold(text) {
			return i, nil
		}
	}
	var names []string
	for i := range f.n.Layout.Feeders {
		names = append(names, f.n.Layout.Feeders[i].Name)
	}
	what := "feeder"
	for i := range f.n.Layout.Accessories {
		names, what = append(names, f.n.Layout.Accessories[i].Name), "feeder or accessory"
	}
	return -1, fmt.Errorf("there is no %s %q; there is %s", what, text, strings.Join(names, ", "))
}

// Pair gives the hot and the common point at a place: a piece, a side of a
// joint, a feeder or a supply.
func (f Finder) Pair(text string) (hot, common int, err error) {
	l := f.n.Layout
	text = f.full(text)
	for i := range l.Feeders {
		if fold(l.Feeders[i].Name) == fold(text) {
			return f.n.FeederPoints[i][0], f.n.FeederPoints[i][1], nil
		}
	}
	for i := range l.Supplies {
		if fold(l.Supplies[i].Name) == fold(text) {
			return f.n.Posts[i][0], f.n.Posts[i][1], nil
		}
	}
	if i := f.piece(text); i >= 0 {
		if hot, common = f.across(i); hot >= 0 {
			return hot, common, nil
		}
		return -1, -1, fmt.Errorf("%s has no place with both rails; name two points", text)
	}
	for i := range l.Pieces {
		for e := range l.Pieces[i].Ends {
			ref := track.EndRef{Piece: i, End: e}
			if fold(l.SideName(ref)) != fold(text) {
				continue
			}
			c := l.Pieces[i].Construction
			if hot, common = f.n.At(ref, c.Hot), f.n.At(ref, c.Common); hot >= 0 && common >= 0 {
				return hot, common, nil
			}
		}
	}
	if p := f.n.Find(text); p >= 0 {
		return -1, -1, fmt.Errorf("%s is one point: write a second one behind it, or a place for its two rails", text)
	}
	return -1, -1, fmt.Errorf("there is no place %q; write a piece (%s), a joint (%s), a feeder (%s) or a supply (%s)",
		text, f.runs(), jointName(l), l.Feeders[0].Name, l.Supplies[0].Name)
}

func jointName(l *track.Layout) string {
	if len(l.Joints) == 0 {
		return "none here"
	}
	return l.Joints[0].Name
}

// across is the hot and the common point of a piece: in its middle, else at
// one of its ends; -1 where it has none.
func (f Finder) across(piece int) (hot, common int) {
	return Across(f.n, piece)
}

// Across is the hot and the common point of a piece: in its middle, else at
// one of its ends; -1 where it has none.
func Across(n *conductor.Network, piece int) (hot, common int) {
	c := n.Layout.Pieces[piece].Construction
	if hot, common = n.Middle(piece, c.Hot), n.Middle(piece, c.Common); hot >= 0 && common >= 0 {
		return hot, common
	}
	for e := range n.Layout.Pieces[piece].Ends {
		ref := track.EndRef{Piece: piece, End: e}
		if hot, common = n.At(ref, c.Hot), n.At(ref, c.Common); hot >= 0 && common >= 0 {
			return hot, common
		}
	}
	return -1, -1
}
