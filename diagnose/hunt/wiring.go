package hunt

import (
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
)

// variants are the states that a short is looked for in: as the layout
// stands, with the accessories unplugged (a cold lamp or coil reads as a
// short), with power-routing turnouts thrown otherwise, and with a block's
// toggle the other way.
func (g *asker) variants() []conductor.Setup {
	sit := g.sit
	out := []conductor.Setup{g.now}
	if n := len(sit.layout.Accessories); n > 0 && len(g.now.Unplugged) < n {
		s := g.now.Clone()
		s.UnplugAll(sit.layout)
		out = append(out, s)
	}
	for i := range g.now.Unplugged { // one back at a time
		if i == maxToggles {
			break
		}
		s := g.now.Clone()
		s.Unplugged = slices.Delete(s.Unplugged, i, i+1)
		out = append(out, s)
	}
	out = append(out, g.throws()...)
	for i := range sit.layout.Toggles {
		if i == maxToggles {
			break
		}
		s := g.now.Clone()
		s.Flip(i)
		out = append(out, s)
	}
	return out
}

// maxToggles is how many toggles, and accessories, are weighed one by one.
const maxToggles = 4

// accessory asks about an accessory that an insulated rail works: volts with
// its supply on, with and without a clip lead in place of wheels; and, all
// off, whether anything joins the insulated rail to the other one.
func (g *asker) accessory(a int) {
	sit := g.sit
	at := sit.net.AccessoryPoints[a]
	on := g.now.Clone()
	on.Source = sit.engine.AccessorySetup(a).Source
	states := []conductor.Setup{on}
	if w, ok := sit.engine.WheelsOn(a); ok {
		s := on.Clone()
		s.Loads = []conductor.Load{w}
		states = append(states, s)
	}
	for _, w := range sit.engine.WheelsBeside(a) {
		s := on.Clone()
		s.Loads = []conductor.Load{w}
		states = append(states, s)
	}
	from := sit.net.Outlet(sit.layout.Accessories[a].On)
	rail := sit.insulatedSpots(a)
	if sit.kit.Volts {
		for _, s := range states {
			g.ask(s, meter.Volts, at[0], at[1])
			g.ask(s, meter.Volts, from[0], from[1])
			g.ask(s, meter.Volts, from[0], at[0])
			g.ask(s, meter.Volts, s.Source.From, s.Source.To)
			for _, r := range rail {
				g.ask(s, meter.Volts, at[1], r.rail)
				g.ask(s, meter.Volts, r.rail, r.other)
				g.ask(s, meter.Volts, from[0], r.other)
			}
		}
	}
	g.acrossRail(a, rail)
	g.wayBack(a, states)
}

// wayBack asks along the running rail that the current of an accessory comes
// back by: with volts while it should work, with a beeper when all is off.
func (g *asker) wayBack(a int, states []conductor.Setup) {
	sit := g.sit
	from := sit.net.Outlet(sit.layout.Accessories[a].On)
	f, beeps := sit.continuity()
	for _, t := range sit.quantileSpots(g.p, backSpots) {
		for _, back := range [2]int{t.common, t.other} {
			if sit.kit.Volts {
				g.ask(states[min(1, len(states)-1)], meter.Volts, from[0], back)
			}
			if beeps {
				g.ask(g.now, f, from[1], back)
			}
		}
	}
}

// backSpots is how many places along that rail are weighed.
const backSpots = 6

// acrossRail asks, with the supply off and the accessory unplugged, what
// joins the insulated rail to the other one: as it lies, and with the joint at
// either end or both lifted.
func (g *asker) acrossRail(a int, rail []railSpot) {
	sit := g.sit
	f, ok := sit.continuity()
	if !ok {
		return
	}
	at, from := sit.net.AccessoryPoints[a], sit.net.Outlet(sit.layout.Accessories[a].On)
	s := g.now.Clone()
	g.ask(s, f, at[0], at[1])
	if sit.kit.Ohms {
		g.ask(s, meter.Ohms, at[0], at[1])
	}
	g.ask(s, f, at[0], from[0])
	if len(rail) == 0 {
		g.ask(s, f, at[1], from[1])
		return
	}
	g.ask(s, f, at[1], rail[0].rail)
	g.ask(s, f, rail[0].other, from[1])
	s.Unplugged = []int{a}
	g.ask(s, f, at[1], rail[0].rail)
	g.ask(s, f, at[0], from[0])
	r := sit.layout.RailOf(a)
	setups := []conductor.Setup{s}
	if r >= 0 {
		ends := sit.layout.InsulatedRails[r]
		both := s.Clone()
		for _, j := range [2]int{ends.From, ends.To} {
			if j < 0 {
				continue
			}
			one := s.Clone()
			one.Lift(j)
			setups = append(setups, one)
			both.Lift(j)
		}
		setups = append(setups, both)
		for i := 1; i < len(ends.Pieces); i++ { // cut inside the rail
			if j := sit.jointOf(ends.Pieces[i-1], ends.Pieces[i]); j >= 0 {
				cut := both.Clone()
				cut.Lift(j)
				setups = append(setups, cut)
			}
		}
	}
	for _, x := range setups {
		for _, p := range rail {
			g.ask(x, f, p.rail, p.other)
		}
	}
}

// jointOf is the joint of two pieces, -1 when they have none.
func (g *ground) jointOf(a, b int) int {
	for _, e := range g.layout.Pieces[a].Ends {
		if e.Joint < 0 {
			continue
		}
		j := &g.layout.Joints[e.Joint]
		if j.A.Piece == b || j.B.Piece == b {
			return e.Joint
		}
	}
	return -1
}

// railSpot is a place on an insulated rail, with the other outer rail there.
type railSpot struct{ rail, other int }

// insulatedSpots are where probes go on the insulated rail of an accessory:
// its tap, and its two ends.
func (g *ground) insulatedSpots(a int) []railSpot {
	r := g.layout.RailOf(a)
	if r < 0 {
		return nil
	}
	ir := &g.layout.InsulatedRails[r]
	add := func(out []railSpot, piece int) []railSpot {
		x, y := g.net.Middle(piece, track.Left), g.net.Middle(piece, track.Right)
		if x < 0 || y < 0 {
			return out
		}
		if ir.TapRail == track.Right {
			x, y = y, x
		}
		return append(out, railSpot{x, y})
	}
	out := add(nil, ir.Tap.Piece)
	if n := len(ir.Pieces); n > 1 {
		out = add(add(out, ir.Pieces[0]), ir.Pieces[n-1])
	}
	return out
}

// wayTo are the terminals and lugs between a supply's posts and a feeder, the
// nearest to the feeder first: where a probe tells its wires, its toggle and its
// bus apart.
func (g *ground) wayTo(feeder int) [][2]int {
	var out [][2]int
	for o := g.layout.Feeders[feeder].On; o.Kind != track.OnSupply; {
		out = append(out, g.net.Outlet(o))
		if o.Kind == track.OnBus {
			o = g.layout.Buses[o.Index].On
		} else {
			o = g.layout.Toggles[o.Index].On
		}
	}
	return out
}

// phase asks for the volts of each supply alone, and between their hot posts
// with the commons joined.
func (g *asker) phase(supply int) {
	sit := g.sit
	both, ok := sit.engine.PhaseSetup(supply)
	if !ok || !sit.kit.Volts {
		return
	}
	first := sit.engine.FirstAC()
	for _, i := range [2]int{first, supply} {
		alone := both.Clone()
		alone.Also, alone.Loads = nil, nil
		alone.Source = conductor.Source{Kind: conductor.SourceVolts, From: sit.net.Posts[i][0], To: sit.net.Posts[i][1],
			Volts: sit.layout.Supplies[i].Volts}
		g.ask(alone, meter.Volts, sit.net.Posts[i][0], sit.net.Posts[i][1])
	}
	g.ask(both, meter.Volts, sit.net.Posts[first][0], sit.net.Posts[supply][0])
}

// soundWarning says where the file as it stands already shows the symptom.
func (te teller) soundWarning() string {
	if !te.engine.SoundShows() {
		return ""
	}
	if te.shortHunt() {
		return "the layout as the file has it is shorted with nothing broken: `fishplate check` says where; put the " +
			"file or the wiring right first"
	}
	return "the layout as the file has it shows this with nothing broken: `fishplate check` may say why"
}
