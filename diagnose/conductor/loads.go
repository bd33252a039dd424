package conductor

import (
	"fmt"
	"math"

	"fishplate/diagnose/track"
)

// accessory adds an accessory between its two leads: two links that take turns,
// one for a meter's small volts and one for the volts in use.
func (b *builder) accessory(i int) error {
	a := &b.l.Accessories[i]
	var at [2]int
	for k, side := range sides {
		at[k] = b.point(Point{Name: a.Name + " " + side, Kind: PointAccessory, Piece: -1, End: -1})
	}
	b.n.AccessoryPoints = append(b.n.AccessoryPoints, at)
	for k := range sides {
		if err := b.lead(i, k, at[k]); err != nil {
			return err
		}
	}
	for _, state := range []struct {
		when string
		ohms float64
	}{{WhenCold, a.ColdOhms}, {WhenHot, a.HotOhms()}} {
		if !(state.ohms > 0) || math.IsInf(state.ohms, 1) {
			continue // passes nothing in this state
		}
		k := bare(KindLoad, a.Name, "hot-common", at[0], at[1])
		k.Ohms, k.Spread, k.Accessory, k.When = state.ohms, 0.3, i, state.when
		b.link(k)
	}
	inside := apart(KindInsulation, a.Name, "hot-common", at[0], at[1])
	inside.Accessory = i
	b.link(inside)
	return nil
}

// lead is the wire at one side of an accessory: to the rail, to the outlet, or
// to the insulated rail that works it.
func (b *builder) lead(i, side, at int) error {
	a := &b.l.Accessories[i]
	kind, ohms, spread, rail := KindLead, leadOhms, 0.3, a.Hot
	if side == 1 {
		rail = a.Common
	}
	to, works := -1, b.l.RailOf(i)
	place, where := a.Name, a.At
	switch {
	case works >= 0 && !b.l.InsulatedRails[works].Own && side == 1:
		r := &b.l.InsulatedRails[works]
		q := clipOf(b.l.Pieces[r.Tap.Piece].Construction)
		kind, ohms, spread, place = KindTap, math.Max(r.Ohms, shortWireOhms)+q.Ohms, 0.4, r.Name
		to, rail, where = b.onto(r.Tap, r.TapRail), r.TapRail, r.Tap
	case a.OnTrack:
		to = b.onto(a.At, rail)
	default:
		to = b.outlet(a.On)[side]
	}
	if to < 0 {
		return fmt.Errorf("accessory %q: %s has no rail %q", a.Name, b.l.Pieces[where.Piece].ID(), rail)
	}
	k := bare(kind, place, sides[side], at, to)
	k.Ohms, k.Spread, k.Accessory = ohms, spread, i
	if side == 0 {
		k.A, k.B = to, at
	}
	if kind == KindTap {
		k.Rail, k.InsulatedRail = string(rail), works
	}
	b.link(k)
	return nil
}

// beside adds the insulation between an insulated rail and the other outer
// rail, piece by piece, where no tie joins them.
func (b *builder) beside(i int) {
	r := &b.l.InsulatedRails[i]
	for _, p := range r.Pieces {
		piece := &b.l.Pieces[p]
		if piece.Kind == track.Turnout || piece.Kind == track.Crossing || !piece.Construction.HasRail(track.Center) {
			continue
		}
		k := apart(KindInsulation, piece.ID(), "left-right", b.middle(p, "middle", track.Left),
			b.middle(p, "middle", track.Right))
		if len(piece.Construction.TiedWith(track.Left)) > 1 && !piece.Untied {
			continue // tied: nothing to bridge
		}
		k.Piece, k.InsulatedRail = p, i
		b.link(k)
	}
}

// TrainLoads are the resistors of the trains of a set-up: wheels from rail to
// rail, wheels and pickups over the joints between the pieces, and motors.
func (n *Network) TrainLoads(s *Setup) []Load {
	var out []Load
	for i := range s.Trains {
		out = append(out, n.trainLoads(&s.Trains[i])...)
	}
	return out
}

func (n *Network) trainLoads(t *TrainAt) []Load {
	wheels := t.Wheels
	if wheels <= 0 {
		wheels = DefaultWheels
	}
	var out []Load
	join := func(a, b int, ohms float64) {
		if a >= 0 && b >= 0 && n.NodeOf(a) != n.NodeOf(b) {
			out = append(out, Load{From: a, To: b, Ohms: ohms})
		}
	}
	for i, p := range t.Pieces {
		three := n.Layout.Pieces[p].Construction.HasRail(track.Center)
		if three {
			join(n.stand(p, track.Left), n.stand(p, track.Right), wheels)
		}
		if i > 0 {
			n.over(t.Pieces[i-1], p, func(a, b int, r track.Rail) {
				if three && r != track.Center || t.Motor > 0 {
					join(a, b, wheels)
				}
			})
		}
	}
	if t.Motor > 0 && len(t.Pieces) > 0 {
		p := t.Pieces[0]
		c := n.Layout.Pieces[p].Construction
		join(n.stand(p, c.Hot), n.stand(p, c.Common), t.Motor)
	}
	return out
}

// stand is the point under a wheel on a piece: its middle, or an end of a piece
// that has no middle on that rail.
func (n *Network) stand(piece int, r track.Rail) int {
	if m := n.Middle(piece, r); m >= 0 {
		return m
	}
	for e := range n.Layout.Pieces[piece].Ends {
		if p := n.At(track.EndRef{Piece: piece, End: e}, r); p >= 0 {
			return p
		}
	}
	return -1
}

// over gives the two points of every rail at the joint of two pieces.
func (n *Network) over(a, b int, do func(x, y int, r track.Rail)) {
	l := n.Layout
	for e, end := range l.Pieces[a].Ends {
		if end.Joint < 0 {
			continue
		}
		j := &l.Joints[end.Joint]
		here := track.EndRef{Piece: a, End: e}
		if j.A == here && j.B.Piece == b {
			for _, r := range l.Pieces[a].Construction.Rails {
				do(n.At(here, r), n.At(j.B, l.AcrossJoint(end.Joint, r)), r)
			}
			return
		}
		if j.B == here && j.A.Piece == b {
			for _, r := range l.Pieces[b].Construction.Rails {
				do(n.At(here, l.AcrossJoint(end.Joint, r)), n.At(j.A, r), r)
			}
			return
		}
	}
}

// Points lists the points that a set-up drives or loads, its trains included.
func (s *Setup) Points(n *Network) []int {
	var out []int
	for _, x := range s.Sources() {
		out = append(out, x.From, x.To)
	}
	for _, l := range append(append([]Load(nil), s.Loads...), n.TrainLoads(s)...) {
		out = append(out, l.From, l.To)
	}
	return out
}

// Throw sets the route of a turnout, named by its given name or by its piece.
// The error says what is not known.
func (n *Network) Throw(s *Setup, turnout, route string) error {
	p := n.Layout.FindPiece(turnout)
	if p < 0 {
		return fmt.Errorf("there is no piece %q", turnout)
	}
	piece := &n.Layout.Pieces[p]
	if piece.Kind != track.Turnout && !piece.Slips() {
		return fmt.Errorf("%s is a %s and cannot be thrown", turnout, piece.Kind)
	}
	if route != track.EndThrough && route != track.EndDiverging {
		return fmt.Errorf("%s cannot be thrown to %q: write through or diverging", turnout, route)
	}
	if s.Thrown == nil {
		s.Thrown = map[int]string{}
	}
	s.Thrown[p] = route
	return nil
}
