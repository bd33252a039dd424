package conductor

import (
	"fmt"
	"math"
	"strconv"

	"fishplate/diagnose/track"
)

// What a wire, a screw and a contact have where the layout does not say
// (assumed, no source).
const (
	shortWireOhms = 0.001
	screwOhms     = 0.002
	contactOhms   = 0.01
	leadOhms      = 0.02
)

var sides = [2]string{"hot", "common"}

// wires adds everything under the table, in the order in which current comes
// to it: what hangs on something is made after it.
func (b *builder) wires() error {
	b.n.Terminals = make([][][2]int, len(b.l.Buses))
	b.n.Lugs = make([][2]int, len(b.l.Toggles))
	buses, toggles := make([]bool, len(b.l.Buses)), make([]bool, len(b.l.Toggles))
	for round := 0; round < len(buses)+len(toggles); round++ {
		for i := range b.l.Toggles {
			if !toggles[i] && b.made(b.l.Toggles[i].On, buses, toggles) {
				toggles[i] = true
				b.toggle(i)
			}
		}
		for i := range b.l.Buses {
			if !buses[i] && b.made(b.l.Buses[i].On, buses, toggles) {
				buses[i] = true
				b.bus(i)
			}
		}
	}
	for i := range buses {
		if !buses[i] {
			return fmt.Errorf("bus %q: nothing feeds it", b.l.Buses[i].Name)
		}
	}
	for i := range toggles {
		if !toggles[i] {
			return fmt.Errorf("toggle %q: nothing feeds it", b.l.Toggles[i].Name)
		}
	}
	for i := range b.l.Feeders {
		if err := b.feeder(i); err != nil {
			return err
		}
	}
	for i := range b.l.Accessories {
		if err := b.accessory(i); err != nil {
			return err
		}
	}
	for i := range b.l.InsulatedRails {
		b.beside(i)
	}
	for i := range b.l.Terminals {
		if err := b.terminal(i); err != nil {
			return err
		}
	}
	b.windings()
	return nil
}

// made says whether the points of an outlet are there already.
func (b *builder) made(o track.Outlet, buses, toggles []bool) bool {
	switch o.Kind {
	case track.OnBus:
		return buses[o.Index]
	case track.OnToggle:
		return toggles[o.Index]
	}
	return true
}

func (b *builder) outlet(o track.Outlet) [2]int { return b.n.Outlet(o) }

// Outlet gives the two points that wires hang on: the hot one and the common one.
func (n *Network) Outlet(o track.Outlet) [2]int {
	switch o.Kind {
	case track.OnBus:
		return n.Terminals[o.Index][o.Terminal-1]
	case track.OnToggle:
		return n.Lugs[o.Index]
	}
	return n.Posts[o.Index]
}

func (b *builder) supplies() {
	for i := range b.l.Supplies {
		s := &b.l.Supplies[i]
		b.n.Posts = append(b.n.Posts, [2]int{
			b.point(Point{Name: s.Name + " hot", Kind: PointPost, Piece: -1, End: -1}),
			b.point(Point{Name: s.Name + " common", Kind: PointPost, Piece: -1, End: -1})})
	}
	for _, pair := range b.l.Commons {
		wire := bare(KindCommon, b.l.Supplies[pair[0]].Name, "common", b.n.Posts[pair[0]][1], b.n.Posts[pair[1]][1])
		wire.Ohms, wire.Spread, wire.Supply = leadOhms, 0.3, pair[0]
		b.link(wire)
	}
}

// windings puts the leads of every AC supply but the first behind its posts:
// its plug may be the wrong way round, and the leads then change places. One
// that the layout knows to be reversed has them crossed from the start.
func (b *builder) windings() {
	first := true
	for i := range b.l.Supplies {
		s := &b.l.Supplies[i]
		b.n.Windings = append(b.n.Windings, b.n.Posts[i])
		if !s.AC {
			continue
		}
		if first {
			first = false
			continue
		}
		for k, side := range sides {
			p := b.point(Point{Name: s.Name + " winding " + side, Kind: PointInternal, Piece: -1, End: -1})
			b.n.Windings[i][k] = p
			to := k
			if s.Phase == track.PhaseReversed {
				to = 1 - k
			}
			lead := bare(KindLead, s.Name, side, p, b.n.Posts[i][to])
			lead.Ohms, lead.Spread, lead.Supply = shortWireOhms, 0.1, i
			b.link(lead)
		}
	}
}

// bus runs a pair of wires from its outlet past its terminals, each piece of
// wire with its screw; at every terminal the two wires are near each other.
func (b *builder) bus(i int) {
	u := &b.l.Buses[i]
	from := b.outlet(u.On)
	for t := 1; t <= u.Terminals; t++ {
		place := u.Name + " " + strconv.Itoa(t)
		ohms := math.Max(u.OhmsPerWire, shortWireOhms)
		switch {
		case !u.Strip:
			ohms = math.Max(u.OhmsPerWire/float64(u.Terminals), shortWireOhms)
		case t > 1:
			ohms = shortWireOhms
		}
		var at [2]int
		for k, side := range sides {
			at[k] = b.point(Point{Name: place + " " + side, Kind: PointTerminal, Piece: -1, End: -1})
			wire := bare(KindBus, place, side, from[k], at[k])
			wire.Ohms, wire.Spread, wire.Bus = ohms+screwOhms, 0.1, i
			b.link(wire)
		}
		near := apart(KindInsulation, place, "hot-common", at[0], at[1])
		near.Bus = i
		b.link(near)
		b.n.Terminals[i] = append(b.n.Terminals[i], at)
		from = at
	}
	if u.RingMM > 0 {
		b.ring(i, from)
	}
}

// RingName names the pair that closes a bus to a ring.
func RingName(u *track.Bus) string { return u.Name + " ring" }

// ring closes a bus: a pair of wires from its last terminal back to where it
// begins.
func (b *builder) ring(i int, last [2]int) {
	u := &b.l.Buses[i]
	to := b.outlet(u.On)
	for k, side := range sides {
		wire := bare(KindBus, RingName(u), side, last[k], to[k])
		wire.Ohms, wire.Spread, wire.Bus = math.Max(u.RingOhms, shortWireOhms)+screwOhms, 0.1, i
		b.link(wire)
	}
}

// toggle adds the contacts of a toggle and, beside each that only opens, the gap
// that a welded contact closes for good.
func (b *builder) toggle(i int) {
	t := &b.l.Toggles[i]
	in := b.outlet(t.On)
	out := in
	for k, switched := range [2]bool{t.Hot || t.Reverses, t.Common || t.Reverses} {
		if switched {
			kind := PointToggle
			if t.Side {
				kind = PointInternal // between the two sides and the middle
			}
			out[k] = b.point(Point{Name: t.Name + " " + sides[k], Kind: kind, Piece: -1, End: -1})
		}
	}
	b.n.Lugs[i] = out
	contact := func(k int, from, to int, when string) {
		c := bare(KindToggle, t.Name, sides[k], from, to)
		c.Ohms, c.Spread, c.Toggle, c.When = contactOhms, 0.5, i, when
		if t.Middle {
			c.Ohms, c.Spread = shortWireOhms, 0.1
		}
		b.link(c)
	}
	first := in // of a contact that never opens
	if t.Middle {
		first = b.outlet(b.l.Toggles[t.On.Index].On)
	}
	for k := range sides {
		if out[k] == in[k] {
			continue
		}
		contact(k, in[k], out[k], WhenOn)
		switch {
		case t.Reverses:
			contact(k, in[1-k], out[k], WhenOff)
			continue
		case t.Chooses:
			contact(k, b.outlet(t.Other)[k], out[k], WhenOff)
			continue
		}
		stuck := apart(KindInsulation, t.Name, sides[k]+"-"+sides[k], first[k], out[k])
		stuck.Toggle = i
		b.link(stuck)
	}
}

// onto is the point of the track that a wire at a place goes to.
func (b *builder) onto(at track.Place, rail track.Rail) int {
	if at.End >= 0 {
		return b.n.At(track.EndRef{Piece: at.Piece, End: at.End}, rail)
	}
	if !b.l.Pieces[at.Piece].Construction.HasRail(rail) {
		return -1
	}
	if m, ok := b.n.middles[at.Piece]["middle "+string(rail)]; ok {
		return m
	}
	return b.n.At(track.EndRef{Piece: at.Piece, End: 0}, rail) // a crossing that keeps its ways apart: the first one
}

func clipOf(c *track.Construction) track.Quantity {
	if c.ClipOhms.Ohms > 0 {
		return c.ClipOhms
	}
	return track.Quantity{Ohms: 0.003, Spread: 0.7}
}

// feeder adds, for each wire, the copper from the post (or terminal, or
// toggle) to the wire's end at the track and the clip from there onto the
// rail.
func (b *builder) feeder(i int) error {
	f := &b.l.Feeders[i]
	p := &b.l.Pieces[f.At.Piece]
	on := f.On
	if on.Kind == track.OnSupply {
		on.Index = f.Supply
	}
	from := b.outlet(on)
	var ends [2]int
	for k, side := range sides {
		rail := f.Hot
		if k == 1 {
			rail = f.Common
		}
		onto := b.onto(f.At, rail)
		if onto < 0 {
			return fmt.Errorf("feeder %q: %s has no rail %q", f.Name, p.ID(), rail)
		}
		ends[k] = b.point(Point{Name: f.Name + " " + side, Kind: PointFeeder, Piece: -1, End: -1, Rail: rail})
		wire := bare(KindFeeder, f.Name, side, from[k], ends[k])
		wire.Ohms, wire.Spread, wire.Feeder = f.OhmsPerWire, 0.1, i
		if wire.Ohms <= 0 {
			wire.Ohms = shortWireOhms // a wire that the file gives no length for
		}
		b.link(wire)
		q := clipOf(p.Construction)
		clip := bare(KindClip, b.l.PlaceName(f.At), side, ends[k], onto)
		clip.Ohms, clip.Spread, clip.Feeder = q.Ohms, q.Spread, i
		clip.Class = ClassJoint // a contact: it ages as the joints do
		b.link(clip)
	}
	b.n.FeederPoints = append(b.n.FeederPoints, ends)
	near := apart(KindInsulation, f.Name, "hot-common", ends[0], ends[1])
	near.Feeder = i
	b.link(near)
	return nil
}

// terminal brings thin wires from the track to a labelled block.
func (b *builder) terminal(i int) error {
	t := &b.l.Terminals[i]
	ends := [2]int{-1, -1}
	for k, rail := range t.Rails() {
		if rail == "" {
			continue
		}
		from := b.onto(t.At, rail)
		if from < 0 {
			return fmt.Errorf("terminal %q: %s has no rail %q", t.Name, b.l.PlaceName(t.At), rail)
		}
		ends[k] = b.point(Point{Name: t.Name + " " + sides[k], Kind: PointPanel, Piece: -1, End: -1, Rail: rail})
		wire := bare(KindSense, t.Name, sides[k], from, ends[k])
		wire.Ohms, wire.Spread = math.Max(t.OhmsPerWire, shortWireOhms), 0.1
		b.link(wire)
	}
	b.n.PanelPoints = append(b.n.PanelPoints, ends)
	return nil
}
