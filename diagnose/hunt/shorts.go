package hunt

import (
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
)

// short asks for millivolts with a lamp in series where the user has one,
// else for beeps, with joints lifted to cut the track in two.
func (g *asker) short() {
	sit := g.sit
	spots := sit.quantileSpots(g.p, coarseSpots)
	for i := range sit.net.Posts {
		hot, common := sit.net.Posts[i][0], sit.net.Posts[i][1]
		if f, ok := sit.continuity(); ok {
			g.ask(g.base, f, hot, common)
			if f == meter.Beeper && sit.kit.Ohms && len(g.base.Unplugged) < len(sit.layout.Accessories) {
				g.ask(g.base, meter.Ohms, hot, common) // a cold lamp beeps as a short does
			}
		}
		if sit.kit.Lamp && sit.millivolts() {
			for k, s := range g.lampSetups(i) {
				if k == 0 && sit.kit.Amps {
					g.ask(s, meter.Amps, hot, common)
				}
				g.along(s, i, meter.Millivolts, spots)
				if sit.kit.Volts && len(sit.layout.Pieces) > longTrack {
					g.along(s, i, meter.Volts, spots)
				}
			}
		}
	}
	g.between()
	if f, ok := sit.continuity(); ok && sit.symptom.Kind == SymptomShortTrain {
		g.whereItTrips(f)
	}
	if sit.kit.Lamp && sit.millivolts() {
		return
	}
	if f, ok := sit.continuity(); ok {
		g.cuts(f)
	} else if sit.kit.Lamp && sit.kit.Volts {
		g.cutsByLamp(spots)
	} else if sit.kit.Lamp {
		g.cutsByLight()
	}
}

// between asks whether a gap that keeps two supplies apart is bridged.
func (g *asker) between() {
	for _, b := range g.sit.engine.Betweens() {
		if q, ok := overGap(g.sit, &b, &g.base); ok {
			g.ask(q.Setup, q.Func, q.Red, q.Black)
		}
	}
}

// overGap reads from one supply to another that a gap keeps apart from it: the path
// from post to post; with a lamp alone its light, with a clip lead in place of the
// other's winding. False where the kit can neither.
func overGap(sit *Situation, b *infer.Between, base *conductor.Setup) (infer.Question, bool) {
	q := infer.Question{Setup: base.Clone(), Red: b.Red, Black: b.Black}
	if f, ok := sit.continuity(); ok {
		q.Func = f
		return q, true
	}
	q.Setup.Source, q.Setup.Loads = sit.lampOn(b.A), []conductor.Load{b.Clip}
	q.Func, q.Red, q.Black = meter.Lamp, q.Setup.Source.From, q.Setup.Source.To
	return q, sit.kit.Lamp
}

// nearGaps is how many joints with a gap are read at, those nearest to where the
// train trips it.
const nearGaps = 4

// whereItTrips asks what wheels would join there, with nothing lifted: each rail to
// each at the told place, and rail to rail over the gaps near by. A rail that has a
// path to one of the other side is bridged inside its gaps, or fed crossed.
func (g *asker) whereItTrips(f meter.Function) {
	sit := g.sit
	told, ok := sit.toldSpot()
	if !ok {
		return
	}
	spots := append([]spot{told}, g.gapsBy(told.end.Piece)...)
	for _, t := range spots {
		g.ask(g.base, f, t.hot, t.common)
		g.ask(g.base, f, t.hot, t.other)
		g.ask(g.base, f, t.common, t.other)
		o, ok := sit.across(t)
		if !ok {
			continue
		}
		g.ask(g.base, f, t.hot, o.hot)
		g.ask(g.base, f, t.common, o.common)
		g.ask(g.base, f, t.other, o.other)
		g.ask(g.base, f, t.hot, o.common)
		g.ask(g.base, f, t.common, o.hot)
	}
}

// gapsBy are spots at the joints with a gap that are nearest to a piece.
func (g *asker) gapsBy(piece int) []spot {
	l := g.sit.layout
	var out []spot
	for i := range l.Joints {
		if len(l.Joints[i].Insulated) == 0 {
			continue
		}
		if s, ok := g.sit.spotOf(l.Joints[i].A); ok {
			out = append(out, s)
		}
	}
	far := func(s spot) int { return max(s.end.Piece-piece, piece-s.end.Piece) }
	slices.SortStableFunc(out, func(a, b spot) int { return far(a) - far(b) })
	return out[:min(nearGaps, len(out))]
}

// cutsByLamp asks for the volts behind a lamp with one more joint lifted: for a
// kit without beeper, ohms and millivolts. Behind the lamp a shorted part of
// the track has next to none.
func (g *asker) cutsByLamp(spots []spot) {
	sit := g.sit
	for i, post := range sit.net.Posts {
		on := g.base.Clone()
		on.Source = sit.lampOn(i)
		g.ask(on, meter.Volts, post[0], post[1])
		for _, t := range spots {
			s := on.Clone()
			s.Lift(sit.layout.Pieces[t.end.Piece].Ends[t.end.End].Joint)
			g.ask(s, meter.Volts, post[0], post[1])
			g.ask(s, meter.Volts, t.hot, t.common)
			if o, ok := sit.across(t); ok {
				g.ask(s, meter.Volts, o.hot, o.common)
			}
		}
	}
}

// cutsByLight asks for the lamp's light with one more part of the track off: a
// joint open, or two that cut a stretch out of a loop (of every other spot: each pair is
// a circuit to be solved, four times as many else); feeders off, all but one or
// one alone. It is the trade's own tool, for who has no meter: dark, and the short
// lies in what was just taken off. A stretch that was cut out is fed again over one of
// its joints, to be halved in its turn.
func (g *asker) cutsByLight() {
	sit := g.sit
	spots := sit.quantileSpots(g.p, 2*cutSpots)
	for i := range sit.net.Posts {
		on := g.base.Clone()
		on.Source = sit.lampOn(i)
		look := func(s conductor.Setup) { g.ask(s, meter.Lamp, on.Source.From, on.Source.To) }
		look(on)
		bases := append([]conductor.Setup{on}, g.fedAgain(on)...)
		deep := len(bases) // of those two joints are opened at once; with feeders off that is far too many
		bases = append(bases, g.feedersOff(on, i)...)
		for _, s := range bases[1:] {
			look(s)
		}
		for b, base := range bases {
			for k, t := range spots {
				j := sit.layout.Pieces[t.end.Piece].Ends[t.end.End].Joint
				if conductor.Has(base.Lifted, j) {
					continue
				}
				s := base.Clone()
				s.Lift(j)
				look(s)
				if b >= deep || len(base.Lifted) > mostLifted || k%2 == 1 {
					continue
				}
				for m := k + 2; m < len(spots); m += 2 {
					pair := s.Clone()
					pair.Lift(sit.layout.Pieces[spots[m].end.Piece].Ends[spots[m].end.End].Joint)
					look(pair)
				}
			}
		}
	}
}

// fedAgain are set-ups with one of the joints that are open joined again.
func (g *asker) fedAgain(on conductor.Setup) []conductor.Setup {
	var out []conductor.Setup
	for _, j := range on.Lifted {
		s := on.Clone()
		s.Lifted = slices.DeleteFunc(s.Lifted, func(x int) bool { return x == j })
		out = append(out, s)
	}
	return out
}

// feedersOff are set-ups with one feeder of a supply off, and with one alone on.
func (g *asker) feedersOff(on conductor.Setup, supply int) []conductor.Setup {
	sit := g.sit
	var mine []int
	for i := range sit.layout.Feeders {
		if sit.layout.Feeders[i].Supply == supply && !conductor.Has(g.base.Pulled, i) {
			mine = append(mine, i)
		}
	}
	var out []conductor.Setup
	if len(mine) < 2 {
		return nil
	}
	for k, f := range mine {
		if k == maxFeeders {
			break
		}
		off, alone := on.Clone(), on.Clone()
		off.Pull(f)
		for _, o := range mine {
			if o != f {
				alone.Pull(o)
			}
		}
		out = append(out, off, alone)
	}
	return out
}

// maxFeeders is how many feeders are weighed one by one.
const maxFeeders = 6

// lampSetups feeds the track through a lamp: by every feeder of the supply,
// and by one feeder alone.
func (g *asker) lampSetups(supply int) []conductor.Setup {
	sit := g.sit
	s := g.base.Clone()
	s.Source = sit.lampOn(supply)
	out := []conductor.Setup{s}
	var mine []int
	for i := range sit.layout.Feeders {
		if sit.layout.Feeders[i].Supply == supply && !conductor.Has(g.base.Pulled, i) {
			mine = append(mine, i)
		}
	}
	if len(mine) < 2 {
		return out
	}
	for k, keep := range mine {
		if k == 2 {
			break
		}
		t := s.Clone()
		for _, f := range mine {
			if f != keep {
				t.Pull(f)
			}
		}
		out = append(out, t)
	}
	return out
}

// along asks along the rails: from each feeder to spots, and between spots.
func (g *asker) along(s conductor.Setup, supply int, f meter.Function, spots []spot) {
	sit := g.sit
	g.atBlock(s, supply, f)
	for i := range sit.layout.Feeders {
		if sit.layout.Feeders[i].Supply != supply || conductor.Has(s.Pulled, i) {
			continue
		}
		g.ask(s, f, sit.net.Posts[supply][0], sit.net.FeederPoints[i][0])
		g.ask(s, f, sit.net.FeederPoints[i][1], sit.net.Posts[supply][1])
		g.alongWires(s, supply, f, i)
		for _, t := range spots {
			g.ask(s, f, sit.net.FeederPoints[i][0], t.hot)
			g.ask(s, f, t.common, sit.net.FeederPoints[i][1])
			g.ask(s, f, t.other, sit.net.FeederPoints[i][1])
		}
	}
	for i := 1; i < len(spots); i++ {
		a, b := spots[i-1], spots[i]
		g.ask(s, f, a.hot, b.hot)
		g.ask(s, f, b.common, a.common)
		g.ask(s, f, b.other, a.other)
		for _, wide := range [3]int{2, 4, 8} {
			if i >= wide {
				g.ask(s, f, spots[i-wide].hot, b.hot)
			}
		}
	}
	for _, t := range spots {
		if o, ok := sit.across(t); ok {
			g.ask(s, f, t.hot, o.hot)
		}
	}
}

// alongWires asks at the terminals and lugs on the way to a feeder.
func (g *asker) alongWires(s conductor.Setup, supply int, f meter.Function, feeder int) {
	post, end := g.sit.net.Posts[supply], g.sit.net.FeederPoints[feeder]
	for _, o := range g.sit.wayTo(feeder) {
		g.ask(s, f, post[0], o[0])
		g.ask(s, f, o[1], post[1])
		g.ask(s, f, o[0], end[0])
		g.ask(s, f, end[1], o[1])
		end = o
	}
}

// cuts asks for beeps with one more joint lifted, or two where a loop needs
// two.
func (g *asker) cuts(f meter.Function) {
	sit := g.sit
	spots := sit.quantileSpots(g.p, 2*cutSpots)
	joint := func(s spot) int { return sit.layout.Pieces[s.end.Piece].Ends[s.end.End].Joint }
	both := func(s conductor.Setup, t spot) {
		g.ask(s, f, t.hot, t.common)
		g.ask(s, f, t.hot, t.other)
		if o, ok := sit.across(t); ok {
			g.ask(s, f, o.hot, o.common)
			g.ask(s, f, o.hot, o.other)
		}
	}
	bases := []conductor.Setup{g.base}
	if len(sit.layout.Feeders) > 1 { // several feeders bridge every cut
		all := g.base.Clone()
		for i := range sit.layout.Feeders {
			all.Pull(i)
		}
		if len(all.Pulled) > len(g.base.Pulled) {
			bases = append(bases, all)
		}
	}
	for _, base := range bases {
		for i, t := range spots {
			j := joint(t)
			if conductor.Has(base.Lifted, j) {
				both(base, t)
				continue
			}
			s := base.Clone()
			s.Lift(j)
			both(s, t)
			if len(base.Lifted) > mostLifted || i%2 == 1 {
				continue
			}
			for k := i + 2; k < len(spots); k += 2 {
				pair := s.Clone()
				pair.Lift(joint(spots[k]))
				both(pair, t)
			}
		}
	}
}

// mostLifted is how many joints may be open before no two more are opened at
// once.
const mostLifted = 6

// likelyShort is the belief in a short from which a place that is dead, or
// where trains slow, is read as a short is too.
const likelyShort = 0.3

// shortAfterAll asks as for a short that no breaker sees, far away on bad
// track: behind the lamp, along the rails. Volts between the rails tell such a
// place only to within the volts of many pieces.
func (g *asker) shortAfterAll() {
	sit := g.sit
	if len(sit.obs) == 0 && len(g.out) > 0 {
		return // what was seen is no short: its own readings come first
	}
	if !sit.kit.Lamp || !sit.millivolts() || sit.engine.Bridged(g.p) < likelyShort {
		return
	}
	spots := sit.quantileSpots(g.p, coarseSpots)
	for i := range sit.net.Posts {
		for _, s := range g.lampSetups(i) {
			g.along(s, i, meter.Millivolts, spots)
		}
	}
}
