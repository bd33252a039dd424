package hunt

import (
	"sort"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
)

// spot is a place where probes go: one end of a piece, with the rails of the
// hot and the common side there.
type spot struct {
	end         track.EndRef
	hot, common int // points
	// other is the other running rail where the construction does not tie it
	// to the common one, -1 where it does or there is none.
	other int
}

// spotOf is the spot at an end of a piece, false when it has no rails of both
// sides.
func (g *ground) spotOf(end track.EndRef) (spot, bool) {
	c := g.layout.Pieces[end.Piece].Construction
	s := spot{end, g.net.At(end, c.Hot), g.net.At(end, c.Common), -1}
	if s.hot < 0 || s.common < 0 {
		return spot{}, false
	}
	for _, r := range [2]track.Rail{track.Left, track.Right} {
		if p := g.net.At(end, r); r != c.Hot && p >= 0 && g.net.NodeOf(p) != g.net.NodeOf(s.common) {
			s.other = p
		}
	}
	return s, true
}

const (
	coarseSpots = 14
	cutSpots    = 9
	loadedSpots = 10 // fewer under load: each comes with every place of the lamp
	// longTrack is the number of pieces past which a lamp's current can drop
	// more along the rails than a millivolt range shows.
	longTrack = 120
)

// spotAt is the spot at the far end of a piece, false when it has no rails of
// both sides. The diverging end of a turnout comes last: it may be dead.
func (g *ground) spotAt(piece int) (spot, bool) {
	p := &g.layout.Pieces[piece]
	order := []int{1, 0}
	for e := 2; e < len(p.Ends); e++ {
		order = append(order, e)
	}
	for _, e := range order {
		if e >= len(p.Ends) || p.Ends[e].Joint < 0 {
			continue
		}
		if s, ok := g.spotOf(track.EndRef{Piece: piece, End: e}); ok {
			return s, true
		}
	}
	return spot{}, false
}

// across is the spot on the other side of the joint.
func (g *ground) across(s spot) (spot, bool) {
	j := g.layout.Pieces[s.end.Piece].Ends[s.end.End].Joint
	if j < 0 {
		return spot{}, false
	}
	return g.spotOf(g.layout.Joints[j].Other(s.end))
}

// quantileSpots puts n spots along the track so that about equal belief lies
// between neighbours.
func (m *matter) quantileSpots(p *infer.Posterior, n int) []spot {
	w := m.pieceWeights(p)
	sum := 0.0
	for _, x := range w {
		sum += x
	}
	var out []spot
	if sum <= 0 {
		return nil
	}
	acc, next := 0.0, sum/float64(2*n)
	for i, x := range w {
		acc += x
		if acc < next {
			continue
		}
		for acc >= next {
			next += sum / float64(n)
		}
		if s, ok := m.spotAt(i); ok {
			out = append(out, s)
		}
		if x > 0.5*sum/float64(n) && i > 0 { // a likely piece: its other side too
			if s, ok := m.spotAt(i - 1); ok && (len(out) < 2 || out[len(out)-2].end != s.end) {
				out = append(out, s)
			}
		}
	}
	return dedupe(out)
}

func dedupe(in []spot) []spot {
	seen := map[track.EndRef]bool{}
	out := in[:0]
	for _, s := range in {
		if !seen[s.end] {
			seen[s.end] = true
			out = append(out, s)
		}
	}
	return out
}

func (m *matter) pieceWeights(p *infer.Posterior) []float64 {
	w := make([]float64, len(m.layout.Pieces))
	for c, x := range p.Class {
		if i := m.engine.ClassPiece[c]; i >= 0 {
			w[i] += x
		}
	}
	return w
}

// questions lists the readings worth weighing now.
func (ch chooser) questions(p *infer.Posterior, now conductor.Setup) []infer.Question {
	g := &asker{sit: ch.Situation, p: p, now: now}
	g.stands = now
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
		no := g.sit.skipped
		if k := questionKey(&q); !no[k] && !taken[k] && !no[pairKey(q.Red, q.Black)] && !no[pointKey(q.Red)] && !no[pointKey(q.Black)] {
			out = append(out, q)
		}
	}
	return out
}

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
// joint open, or two that cut a stretch out of a loop; feeders off, all but one or
// one alone. It is the trade's own tool, for who has no meter: dark, and the short
// lies in what was just taken off.
func (g *asker) cutsByLight() {
	sit := g.sit
	spots := sit.quantileSpots(g.p, 2*cutSpots)
	for i := range sit.net.Posts {
		on := g.base.Clone()
		on.Source = sit.lampOn(i)
		look := func(s conductor.Setup) { g.ask(s, meter.Lamp, on.Source.From, on.Source.To) }
		look(on)
		bases := append([]conductor.Setup{on}, g.feedersOff(on, i)...)
		for _, s := range bases[1:] {
			look(s)
		}
		for _, base := range bases {
			for k, t := range spots {
				j := sit.layout.Pieces[t.end.Piece].Ends[t.end.End].Joint
				if conductor.Has(base.Lifted, j) {
					continue
				}
				s := base.Clone()
				s.Lift(j)
				look(s)
				for m := k + 1; m < len(spots) && len(base.Lifted) <= mostLifted; m++ {
					pair := s.Clone()
					pair.Lift(sit.layout.Pieces[spots[m].end.Piece].Ends[spots[m].end.End].Joint)
					look(pair)
				}
			}
		}
	}
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

// lampVolts are the volts behind which a lamp sits.
func (m *matter) lampVolts(supply int) float64 {
	if m.standIn() {
		return m.kit.DCVolts
	}
	return m.layout.Supplies[supply].Volts
}

// lampOn is a supply, or the DC one that stands in for it, behind the lamp.
func (m *matter) lampOn(supply int) conductor.Source {
	volts := m.lampVolts(supply)
	amps, _ := m.kit.LampCurrent(volts)
	return conductor.Source{Kind: conductor.SourceLamp, From: m.net.Posts[supply][0], To: m.net.Posts[supply][1], Volts: volts, Amps: amps}
}

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
		on.Source = conductor.Source{Kind: conductor.SourceVolts, From: sit.net.Posts[i][0], To: sit.net.Posts[i][1], Volts: sit.layout.Supplies[i].Volts}
		g.deadAtBlock(on, i, f, beeps)
		for _, t := range spots {
			if sit.kit.Volts {
				g.ask(on, meter.Volts, t.hot, t.common)
				if o, ok := sit.across(t); ok {
					g.ask(on, meter.Volts, o.hot, o.common)
				}
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
		}
	}
	for i := 1; beeps && i < len(spots); i++ {
		g.ask(g.base, f, spots[i-1].hot, spots[i].hot)
		g.ask(g.base, f, spots[i-1].common, spots[i].common)
	}
}

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

// underLoad is a set-up with a supply on and a lamp of one ampere laid across
// the rails at a spot.
func (g *ground) underLoad(s *conductor.Setup, supply int, at spot) conductor.Setup {
	post, volts := g.net.Posts[supply], g.layout.Supplies[supply].Volts
	on := s.Clone()
	on.Source = conductor.Source{Kind: conductor.SourceVolts, From: post[0], To: post[1], Volts: volts}
	on.Loads = []conductor.Load{{From: at.hot, To: at.common, Ohms: volts}}
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
	if n := len(spots); n > 0 {
		out = append(out, spots[n/2])
	}
	return dedupe(out)
}

// toldSpot is the spot at the place of the symptom, false where none was told.
func (m *matter) toldSpot() (spot, bool) {
	p := m.symptomPiece()
	if p < 0 {
		return spot{}, false
	}
	return m.spotAt(p)
}

func byBelief(p []float64) []int {
	out := make([]int, len(p))
	for i := range out {
		out[i] = i
	}
	sort.SliceStable(out, func(a, b int) bool { return p[out[a]] > p[out[b]] })
	return out
}
