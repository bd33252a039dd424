package hunt

import (
	"math"
	"slices"
	"sort"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
)

// questions lists the readings worth weighing now.
func (ch chooser) questions(p *infer.Posterior, now conductor.Setup) []infer.Question {
	g := &asker{sit: ch.Situation, p: p, now: ch.hungAgain(now), stands: now}
	g.now.Source = conductor.Source{Kind: conductor.SourceNone}
	g.now.Loads, g.now.Also = nil, nil
	switch {
	case ch.shortHunt():
		if told := ch.stood(); told != nil {
			g.now.Thrown = told
		}
		for _, v := range g.variants() {
			g.base = v
			g.short()
		}
	case ch.symptom.Kind.OfAccessory():
		g.accessory(ch.seen().Accessory)
	case ch.symptom.Kind == SymptomPhase:
		g.phase(ch.seen().Supply)
	case ch.symptom.Kind == SymptomLive:
		g.live(ch.symptomPiece())
	default:
		g.now.Thrown = ch.engine.RouteTo(ch.symptomPiece())
		g.base = g.now
		if ch.symptom.Kind == SymptomDead {
			g.dead()
		} else {
			g.weak()
		}
		g.shortAfterAll()
	}
	return g.keep()
}

type asker struct {
	sit    *Situation
	p      *infer.Posterior
	stands conductor.Setup // what stands
	now    conductor.Setup // the same with the supply off
	base   conductor.Setup // what the questions being made start from
	out    []infer.Question
}

func (g *asker) ask(s conductor.Setup, f meter.Function, red, black int) {
	if red < 0 || black < 0 || g.sit.net.NodeOf(red) == g.sit.net.NodeOf(black) {
		return
	}
	q := infer.Question{Setup: s, Func: f, Red: red, Black: black}
	q.Minutes = g.sit.pricing().weighing(&q, &g.stands)
	g.out = append(g.out, q)
}

// keep drops what the user said cannot be done, and what was read already: a
// reading taken twice tells next to nothing new, since nearly all of its error
// is the track's and comes again.
func (g *asker) keep() []infer.Question {
	taken := map[string]bool{}
	for i := range g.sit.obs {
		taken[obsKey(&g.sit.obs[i])] = true
	}
	out := g.out[:0]
	for _, q := range g.out {
		if !(grasp{g.sit}).refused(&q) && !taken[questionKey(&q)] && !g.sit.skipped[pairKey(q.Red, q.Black)] {
			out = append(out, q)
		}
	}
	return out
}

// continuity is the dial setting that tells a path from none.
func (m *matter) continuity() (meter.Function, bool) {
	switch {
	case m.kit.Beeper:
		return meter.Beeper, true
	case m.kit.Ohms:
		return meter.Ohms, true
	}
	return "", false
}

// lampFeed are the volts behind which a lamp sits, and the current at which what
// gives them trips.
func (m *matter) lampFeed(supply int) (volts, trip float64) {
	if m.standIn() {
		return m.kit.DCVolts, math.Inf(1)
	}
	s := &m.layout.Supplies[supply]
	return s.Volts, s.Trip()
}

// lampOn is a supply, or the DC one that stands in for it, behind the lamp.
func (m *matter) lampOn(supply int) conductor.Source {
	volts, trip := m.lampFeed(supply)
	amps, _ := m.kit.LampCurrent(volts, trip)
	return conductor.Source{Kind: conductor.SourceLamp, From: m.net.Posts[supply][0], To: m.net.Posts[supply][1],
		Volts: volts, Amps: amps}
}

// bareOn is a supply with no lamp behind it, or the DC one that stands in for it: a hunt
// reads one kind of current.
func bareOn(m *matter, supply int) conductor.Source {
	volts := m.layout.Supplies[supply].Volts
	if m.standsBare() {
		volts = m.kit.DCVolts
	}
	return conductor.Source{Kind: conductor.SourceVolts, From: m.net.Posts[supply][0], To: m.net.Posts[supply][1],
		Volts: volts}
}

// dead looks for where the volts end, and for the rail that is broken.
func (g *asker) dead() {
	sit := g.sit
	spots := sit.quantileSpots(g.p, 2*coarseSpots)
	if told, ok := sit.toldSpot(); ok {
		spots = dedupe(append(spots, told))
	}
	f, beeps := sit.continuity()
	for i := range sit.net.Posts {
		on := g.base.Clone()
		on.Source = bareOn(&sit.matter, i)
		g.deadAtBlock(on, i, f, beeps)
		for _, t := range spots {
			if sit.kit.Volts {
				g.deadVolts(on, i, t)
				if o, ok := sit.across(t); ok {
					g.deadVolts(on, i, o)
				}
			}
			if lampAlone(&sit.matter) && sit.symptom.Kind == SymptomDead { // what slows a train hardly dims it
				g.byTestLamp(i, t)
			}
			if !beeps {
				continue
			}
			for k := range sit.layout.Feeders {
				if sit.layout.Feeders[k].Supply == i {
					g.ask(g.base, f, sit.net.FeederPoints[k][0], t.hot)
					g.ask(g.base, f, t.common, sit.net.FeederPoints[k][1])
				}
			}
			g.ask(g.base, f, sit.net.Posts[i][0], t.hot)
			g.ask(g.base, f, sit.net.Posts[i][1], t.common)
		}
		for k := range sit.layout.Feeders {
			if beeps && sit.layout.Feeders[k].Supply == i {
				g.ask(g.base, f, sit.net.Posts[i][0], sit.net.FeederPoints[k][0])
				g.ask(g.base, f, sit.net.Posts[i][1], sit.net.FeederPoints[k][1])
			}
			if sit.layout.Feeders[k].Supply == i {
				g.deadWires(on, i, f, beeps, k)
			}
		}
	}
	for i := 1; beeps && i < len(spots); i++ {
		g.ask(g.base, f, spots[i-1].hot, spots[i].hot)
		g.ask(g.base, f, spots[i-1].common, spots[i].common)
	}
}

// deadVolts asks for the volts at a spot, under load once phantoms were seen.
func (g *asker) deadVolts(on conductor.Setup, supply int, t spot) {
	if phantoms(g.sit.obs) {
		on = g.sit.underLoad(&g.base, supply, t)
	}
	g.ask(on, meter.Volts, t.hot, t.common)
}

// lampAlone says whether a lamp is all that there is to read with.
func lampAlone(m *matter) bool {
	_, beeps := m.continuity()
	return m.kit.Lamp && !beeps && len(m.voltDials()) == 0
}

// byTestLamp asks for the light of the kit's lamp, laid across the rails at a spot
// with a supply on: it burns where current comes to, and is dark past the break.
func (g *asker) byTestLamp(supply int, t spot) {
	look := func(t spot) { g.ask(g.sit.underLoad(&g.base, supply, t), meter.Lamp, t.hot, t.common) }
	look(t)
	if o, ok := g.sit.across(t); ok {
		look(o)
	}
}

// deadWires asks how far the volts come on the way to a feeder: at each terminal and
// lug with the supply on, and by a beeper from one to the next with all off.
func (g *asker) deadWires(on conductor.Setup, supply int, beeper meter.Function, beeps bool, feeder int) {
	end := g.sit.net.FeederPoints[feeder]
	for _, o := range g.sit.wayTo(feeder) {
		if g.sit.kit.Volts {
			g.ask(on, meter.Volts, o[0], o[1])
		}
		for side := range o {
			if beeps {
				g.ask(g.base, beeper, o[side], end[side])
				g.ask(g.base, beeper, g.sit.net.Posts[supply][side], o[side])
			}
		}
		end = o
	}
}

// weak reads under load: a lamp laid across the rails, the supply on.
func (g *asker) weak() {
	sit := g.sit
	spots := sit.quantileSpots(g.p, loadedSpots)
	dials := sit.voltDials() // millivolts go over their limit across the bad place
	if len(dials) == 0 {
		g.dead()
		return
	}
	for i := range sit.net.Posts {
		for _, at := range g.loadSpots(spots) {
			on := sit.underLoad(&g.base, i, at)
			for _, f := range dials {
				g.ask(on, f, sit.net.Posts[i][0], at.hot)
				g.ask(on, f, at.common, sit.net.Posts[i][1])
				g.along(on, i, f, spots)
			}
		}
	}
}

// voltDials are the settings of the kit that read volts, the wide one first.
func (m *matter) voltDials() []meter.Function {
	var out []meter.Function
	if m.kit.Volts {
		out = append(out, meter.Volts)
	}
	if m.millivolts() {
		out = append(out, meter.Millivolts)
	}
	return out
}

// underLoad is a set-up with a supply on, or the battery in its place, and the kit's
// lamp laid across the rails at a spot.
func (m *matter) underLoad(s *conductor.Setup, supply int, at spot) conductor.Setup {
	on := s.Clone()
	on.Source = bareOn(m, supply)
	on.Loads = []conductor.Load{{From: at.hot, To: at.common, Ohms: m.loadOhms(supply)}}
	return on
}

// toldFirst is how many readings of a weak place are taken with the load at the
// place that was told: there the loss is seen, and its side.
const toldFirst = 2

// loadSpots are where a lamp may be laid: the place of the symptom, and the
// middle of what is believed.
func (g *asker) loadSpots(spots []spot) []spot {
	var out []spot
	if s, ok := g.sit.toldSpot(); ok {
		if out = append(out, s); len(g.sit.obs) < toldFirst {
			return out
		}
	}
	near := slices.DeleteFunc(slices.Clone(spots), func(s spot) bool { return !grasp{g.sit}.getsTo(s) })
	if n := len(near); n > 0 {
		out = append(out, near[n/2])
	}
	return dedupe(out)
}

// toldSpot is the spot at the place of the symptom, false where none was told.
func (sit *Situation) toldSpot() (spot, bool) {
	p := sit.symptomPiece()
	if p < 0 {
		return spot{}, false
	}
	return grasp{sit}.handSpot(p)
}

func byBelief(p []float64) []int {
	out := make([]int, len(p))
	for i := range out {
		out[i] = i
	}
	sort.SliceStable(out, func(a, b int) bool { return p[out[a]] > p[out[b]] })
	return out
}
