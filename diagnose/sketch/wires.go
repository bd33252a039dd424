package sketch

import (
	"fmt"
	"math"

	"fishplate/diagnose/track"
)

// Colours of what hangs on wires and of insulated joints (Okabe and Ito's bluish
// green and vermilion, darkened for paper).
const (
	wireInk = "#00664b"
	gapInk  = "#a34700"
)

// Wires draws what current hangs on as a row of boxes below the track, since a file
// does not say where they stand, a line from each to where its feeder or accessory
// meets the track, and insulated joints.
func (s *Sketch) Wires(l *track.Layout) {
	row := s.outlets(l)
	for i := range l.Feeders {
		f := &l.Feeders[i]
		s.wire(row[l.OutletName(f.On)], s.At(l, f.At), f.Name)
	}
	for i := range l.InsulatedRails {
		r := &l.InsulatedRails[i]
		s.Text(s.At(l, r.Tap), -2, r.Name, wireInk, false)
	}
	for i := range l.Joints {
		j := &l.Joints[i]
		if len(j.Insulated) == 0 {
			continue
		}
		at := s.At(l, track.Place{Piece: j.A.Piece, End: j.A.End})
		fmt.Fprintf(&s.b, `<path d="%s" stroke="%s" stroke-width="%s"/>`+"\n", s.across(at, 0.8), gapInk, num(s.em/4))
		s.Text(at, 1.4, "gap", gapInk, false)
	}
}

// outlets draws the boxes, as many in a row as have room, and says where each is.
func (s *Sketch) outlets(l *track.Layout) map[string]track.Pose {
	var names []string
	seen := map[string]bool{}
	add := func(o track.Outlet) {
		if name := l.OutletName(o); !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	for i := range l.Supplies {
		add(track.Outlet{Index: i})
	}
	for i := range l.Feeders {
		add(l.Feeders[i].On)
	}
	const wide, high = 6.0, 1.8 // em
	inRow := max(1, int((s.maxX-s.minX)/(1.2*wide*s.em)))
	out := map[string]track.Pose{}
	left, top := s.minX, s.minY-6*s.em
	for i, name := range names {
		at := track.Pose{X: left + (float64(i%inRow)+0.5)*1.2*wide*s.em, Y: top - float64(i/inRow)*1.6*high*s.em}
		out[name] = at
		fmt.Fprintf(&s.b, `<rect x="%s" y="%s" width="%s" height="%s" fill="#fff" stroke="%s" stroke-width="%s"/>`+"\n",
			num(at.X-wide/2*s.em), num(-at.Y-high/2*s.em), num(wide*s.em), num(high*s.em), wireInk, num(s.em/8))
		s.Text(at, 0, name, wireInk, true)
		s.reach(track.Pose{X: at.X, Y: at.Y - high*s.em})
		s.reach(track.Pose{X: at.X + wide/2*s.em, Y: at.Y})
	}
	return out
}

// wire is a line between a box and a place, with its name beside the place.
func (s *Sketch) wire(from, to track.Pose, name string) {
	fmt.Fprintf(&s.b, `<path d="M%s %sL%s %s" stroke="%s" stroke-width="%s" stroke-opacity="0.6"/>`+"\n",
		num(from.X), num(-from.Y-0.9*s.em), num(to.X), num(-to.Y), wireInk, num(s.em/8))
	way := math.Hypot(to.X-from.X, to.Y-from.Y)
	share := 1.0
	if way > 0 {
		share = math.Max(0.5, 1-3*s.em/way)
	}
	s.Text(track.Pose{X: from.X + (to.X-from.X)*share, Y: from.Y + (to.Y-from.Y)*share}, 0, name, wireInk, true)
}
