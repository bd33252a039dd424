package infer

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/track"
)

// wired is what follows from a layout alone, whatever is wrong with it: set-ups that
// its supplies and accessories can be put in, and what lies in a piece.
type wired struct {
	turnings
	rails [][]int // piece -> its rail links, once they were wanted
}

// wheelJumper is the resistance of a clip lead that stands for a train's
// wheels.
const wheelJumper = 0.05

// FirstAC is the first AC supply, -1 when there is none.
func (e *wired) FirstAC() int {
	for i := range e.Net.Layout.Supplies {
		if e.Net.Layout.Supplies[i].AC {
			return i
		}
	}
	return -1
}

// PhaseSetup has two AC supplies on, the first of the layout and another one,
// with their feeders off and their common posts joined.
func (e *wired) PhaseSetup(supply int) (conductor.Setup, bool) {
	first := e.FirstAC()
	if first < 0 || supply <= first || supply >= len(e.Net.Windings) || !e.Net.Layout.Supplies[supply].AC {
		return conductor.Setup{}, false
	}
	on := func(i int) conductor.Source {
		w := e.Net.Windings[i]
		return conductor.Source{Kind: conductor.SourceVolts, From: w[0], To: w[1],
			Volts: e.Net.Layout.Supplies[i].Volts}
	}
	s := conductor.Usual(e.Net.Layout)
	s.Source, s.Also = on(first), []conductor.Source{on(supply)}
	for i := range e.Net.Layout.Feeders {
		s.Pull(i)
	}
	s.Loads = []conductor.Load{{From: e.Net.Posts[first][1], To: e.Net.Posts[supply][1], Ohms: wheelJumper}}
	return s, true
}

// AccessorySetup has the supply of an accessory on.
func (e *wired) AccessorySetup(accessory int) conductor.Setup {
	l := e.Net.Layout
	i := max(l.Accessories[accessory].Supply, 0)
	s := conductor.Usual(l)
	if i < len(e.Net.Posts) {
		s.Source = conductor.Source{Kind: conductor.SourceVolts, From: e.Net.Posts[i][0], To: e.Net.Posts[i][1],
			Volts: l.Supplies[i].Volts}
	}
	return s
}

// WheelsOn is a clip lead in place of a train's wheels, from the insulated
// rail that works an accessory to the other outer rail; false where no rail
// works it.
func (e *wired) WheelsOn(accessory int) (conductor.Load, bool) {
	r := e.Net.Layout.RailOf(accessory)
	if r < 0 {
		return conductor.Load{}, false
	}
	rail := &e.Net.Layout.InsulatedRails[r]
	if len(rail.Pieces) == 0 {
		return conductor.Load{}, false
	}
	return e.wheels(rail.Pieces[len(rail.Pieces)/2])
}

// WheelsBeside are the same on the pieces just outside the insulated rail.
func (e *wired) WheelsBeside(accessory int) []conductor.Load {
	l := e.Net.Layout
	r := l.RailOf(accessory)
	if r < 0 {
		return nil
	}
	in := map[int]bool{}
	for _, p := range l.InsulatedRails[r].Pieces {
		in[p] = true
	}
	var out []conductor.Load
	for _, j := range [2]int{l.InsulatedRails[r].From, l.InsulatedRails[r].To} {
		if j < 0 {
			continue
		}
		p := l.Joints[j].A.Piece
		if in[p] {
			p = l.Joints[j].B.Piece
		}
		if w, ok := e.wheels(p); ok {
			out = append(out, w)
		}
	}
	return out
}

// wheels joins the two outer rails of a piece, where they are not one.
func (e *wired) wheels(piece int) (conductor.Load, bool) {
	a, b := e.Net.Middle(piece, track.Left), e.Net.Middle(piece, track.Right)
	if a < 0 || b < 0 || e.Net.NodeOf(a) == e.Net.NodeOf(b) {
		return conductor.Load{}, false
	}
	return conductor.Load{From: a, To: b, Ohms: wheelJumper}, true
}

// within is what a set-up must leave for a bridge in a link to be there, as
// predict.Effect has it: only accessories, joints and feeders are taken away.
func (e *wired) within(link int) int {
	if k := &e.Net.Links[link]; k.Accessory >= 0 || k.Joint >= 0 || k.Feeder >= 0 {
		return link + 1
	}
	return 0
}

// slides says how the ends of a bridge inside a plain piece move along its two
// rails: the network has them in the middle.
func (e *wired) slides(k *conductor.Link) []predict.Slide {
	if k.Piece < 0 {
		return nil
	}
	kind := e.Net.Layout.Pieces[k.Piece].Kind
	if kind != track.Straight && kind != track.Curve {
		return nil
	}
	var out []predict.Slide
	for _, i := range e.railsOf(k.Piece) {
		r := &e.Net.Links[i]
		for _, end := range [2]int{k.A, k.B} {
			if e.Net.Points[r.A].Rail == e.Net.Points[end].Rail && e.Net.Points[r.A].End >= 0 {
				out = append(out, predict.Slide{Link: i, Side: e.Net.Points[r.A].End, Point: end, Ohms: 2 * r.Ohms,
					Into: end == k.B})
			}
		}
	}
	return out
}

// railsOf lists the rail links of a piece.
func (e *wired) railsOf(piece int) []int {
	if e.rails == nil {
		e.rails = make([][]int, len(e.Net.Layout.Pieces))
		for i := range e.Net.Links {
			if k := &e.Net.Links[i]; k.Kind == conductor.KindRail && k.Piece >= 0 {
				e.rails[k.Piece] = append(e.rails[k.Piece], i)
			}
		}
	}
	return e.rails[piece]
}
