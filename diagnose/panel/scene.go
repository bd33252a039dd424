package panel

import (
	"math"
	"math/rand/v2"
	"slices"
	"sort"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// What an evening takes for granted (assumed, no source).
const (
	// draws is how many layouts are drawn, fits of them for the Gaussians, the others
	// to count on.
	draws, fits = 66, 54
	// rare is the share of all evenings, or of a fault's, that is not looked at.
	rare = 0.01
	// lampVolts and lampAmps are the car battery's bulb that hunts recommend.
	lampVolts, lampAmps = 12, 1.75
	// inside is a supply's own resistance, ohm; openOhms a broken way.
	inside, openOhms = 0.05, 1e6
	// trainPlaces is how many places trains are seen to stand or slow at.
	trainPlaces = 3
	// tries is how many ohms are drawn for a fault that must be seen.
	tries = 6
	// smallShort and smallTrain are the volts below which a difference is the meter's.
	smallShort, smallTrain = 0.001, 0.02
)

// hypo is a fault that can be behind an evening.
type hypo struct {
	suspect int
	class   int // what is lifted
	piece   int // of the layout, -1 for none
	weight  float64
	line    string      // what its neighbours are told by: mode and rail
	y       [][]float32 // by draw and column
	mean    []float64   // by column, of the draws that are fitted to
}

// scene is one kind of evening at one place.
type scene struct {
	kind    Kind
	weight  float64
	hypos   []hypo
	classes int
	subset  [2]*subset // by effort
}

// setting is what stands on the table: the source, its volts, the load of a train.
type setting struct {
	kind    Kind
	setup   conductor.Setup
	supply  int
	volts   float64
	at      [2]int // the points of the place, for a train
	sound   float64
	small   float64
	breaker float64
}

// evenings draws all that can be seen, but what is seen next to never.
func (m *maker) evenings(seed uint64) error {
	list := fault.List(m.n)
	var settings []setting
	for i := range m.n.Posts {
		settings = append(settings, m.shortSetting(i))
	}
	for k := range trainPlaces {
		p := (2*k + 1) * len(m.l.Pieces) / (2 * trainPlaces)
		settings = append(settings, m.trainSettings(p)...)
	}
	scouts, all := make([]*scene, len(settings)), 0.0
	for i := range settings {
		var err error
		if scouts[i], err = m.scout(&settings[i], list); err != nil {
			return err
		}
		all += scouts[i].weight
	}
	for i, s := range scouts {
		if s.weight <= rare*all {
			continue
		}
		if err := m.draw(s, &settings[i], list, rand.New(rand.NewPCG(seed, uint64(i)))); err != nil {
			return err
		}
		if s.weight > 0 {
			m.scenes = append(m.scenes, s)
		}
	}
	return nil
}

// shortSetting is a supply behind the lamp, everything else off its wires.
func (m *maker) shortSetting(supply int) setting {
	p := &m.l.Supplies[supply]
	return setting{kind: Short, setup: conductor.Bare(m.l), supply: supply, volts: lampVolts, small: smallShort,
		breaker: p.Volts / p.Breaker}
}

// trainSettings are a train on a piece that stands, or slows, there: on the supply
// that its track hangs on.
func (m *maker) trainSettings(piece int) []setting {
	c := m.l.Pieces[piece].Construction
	at := [2]int{m.n.Middle(piece, c.Hot), m.n.Middle(piece, c.Common)}
	if at[0] < 0 || at[1] < 0 {
		return nil
	}
	for i := range m.n.Posts {
		volts := m.l.Supplies[i].Volts
		s := setting{setup: conductor.Bare(m.l), supply: i, volts: volts, at: at, small: smallTrain}
		s.setup.Loads = []conductor.Load{{From: at[0], To: at[1], Ohms: volts}} // an ampere
		k, err := m.solve(&s, nil, 1)
		if err != nil {
			continue
		}
		if s.sound = k.across(at); s.sound < volts/2 {
			continue
		}
		dead, weak := s, s
		dead.kind, weak.kind = Dead, Weak
		return []setting{dead, weak}
	}
	return nil
}

// scout lists the faults that can be behind an evening, by the medians.
func (m *maker) scout(g *setting, list []fault.Suspect) (*scene, error) {
	s := &scene{kind: g.kind}
	k, err := m.solve(g, nil, 1)
	if err != nil {
		return nil, err
	}
	class := map[string]int{}
	all := make([]hypo, len(list))
	each(len(list), func(i int) {
		if !suits(g.kind, list[i].Mode) {
			return
		}
		e := m.effect(g, k, &list[i], rand.New(rand.NewPCG(0, 0)), &scratch{})
		if e == nil {
			return
		}
		for x := range tries {
			all[i].weight += list[i].Odds / tries * e.seen(g, within(&list[i], (float64(x)+0.5)/tries))
		}
	})
	for i, h := range all {
		if h.weight <= rare*list[i].Odds {
			continue
		}
		if _, ok := class[list[i].Piece]; !ok {
			class[list[i].Piece] = len(class)
		}
		s.hypos = append(s.hypos, hypo{suspect: i, class: class[list[i].Piece], piece: list[i].PieceIndex,
			line: string(list[i].Mode) + " " + list[i].Rail})
		s.weight += h.weight
	}
	s.classes = len(class)
	if g.kind != Short {
		s.weight /= trainPlaces
	}
	return s, nil
}

// draw makes an evening: for every fault that can be behind it, what a meter shows.
func (m *maker) draw(s *scene, g *setting, list []fault.Suspect, rng *rand.Rand) error {
	seen := make([][draws]float64, len(s.hypos))
	for i := range s.hypos {
		s.hypos[i].y = make([][]float32, draws)
	}
	seeds := make([]uint64, draws)
	for d := range seeds {
		seeds[d] = rng.Uint64()
	}
	fails := make([]error, draws)
	each(draws, func(d int) {
		own := rand.New(rand.NewPCG(seeds[d], 1))
		ohms := simulate.DrawOhms(m.n, own, simulate.DrawLevel(own, m.n.RailLevel),
			simulate.DrawLevel(own, m.n.JointLevel))
		k, err := m.solve(g, ohms, math.Exp(infer.RatedLamp*own.NormFloat64()))
		if err != nil {
			fails[d] = err
			return
		}
		w := &scratch{}
		for i := range s.hypos {
			h := &s.hypos[i]
			h.y[d], seen[i][d] = m.shown(g, k, &list[h.suspect], own, w)
		}
	})
	for _, err := range fails {
		if err != nil {
			return err
		}
	}
	kept := s.hypos[:0]
	s.weight = 0
	for i := range s.hypos {
		h := s.hypos[i]
		mean := 0.0
		for _, x := range seen[i] {
			mean += x / draws
		}
		if h.weight = list[h.suspect].Odds * mean; h.weight <= 0 || !h.fill() {
			continue
		}
		kept = append(kept, h)
		s.weight += h.weight
	}
	if s.hypos = kept; len(kept) == 0 {
		return nil
	}
	if g.kind != Short {
		s.weight /= trainPlaces
	}
	sort.SliceStable(s.hypos, func(a, b int) bool { return s.hypos[a].line < s.hypos[b].line })
	s.subset = [2]*subset{s.choose(search), s.choose(final)}
	return nil
}

// within is the ohms of a fault at a part of the way from its least to its most, by
// logarithms.
func within(s *fault.Suspect, part float64) float64 {
	if s.Mode == track.Open {
		return openOhms
	}
	return s.MinOhms * math.Pow(s.MaxOhms/s.MinOhms, part)
}

// suits says whether a fault of a mode is what stands behind a kind of evening.
func suits(k Kind, mode track.FaultMode) bool {
	switch k {
	case Short:
		return mode == track.Bridged
	case Dead:
		return mode == track.Open
	}
	return mode == track.Weak
}

// fill puts another draw in place of one in which the fault was not seen, and takes
// the means; false where it was seen in hardly any.
func (h *hypo) fill() bool {
	var good []int
	for d := range h.y {
		if h.y[d] != nil {
			good = append(good, d)
		}
	}
	if len(good) < draws/4 {
		return false
	}
	for d := range h.y {
		if h.y[d] == nil {
			h.y[d] = h.y[good[d%len(good)]]
		}
	}
	h.mean = make([]float64, len(h.y[0]))
	for d := range fits {
		for c, v := range h.y[d] {
			h.mean[c] += float64(v) / fits
		}
	}
	return true
}

// shown is what a meter shows at every column under a fault, and how surely it is
// seen; nil where it is not.
func (m *maker) shown(g *setting, k *solved, s *fault.Suspect, rng *rand.Rand, w *scratch) ([]float32, float64) {
	e := m.effect(g, k, s, rng, w)
	if e == nil {
		return nil, 0
	}
	sum, ohms, found := 0.0, 0.0, false
	for range tries {
		x := within(s, rng.Float64())
		p := e.seen(g, x)
		sum += p / tries
		if !found && rng.Float64() < p {
			ohms, found = x, true
		}
		if s.Mode == track.Open {
			sum *= tries
			break
		}
	}
	if !found {
		return nil, sum
	}
	added := e.branch(ohms)
	out := make([]float32, len(m.points))
	for c, p := range m.points {
		out[c] = float32(m.reads(g, e, added, p, m.side[c], rng))
	}
	return out, sum
}

// dial is the ordinary meter of a hunt.
var dial = meter.Cheap(false)

// reads is what a meter shows from the post of a side to a point, through asinh.
func (m *maker) reads(g *setting, e *effect, added float64, point, side int, rng *rand.Rand) float64 {
	post := m.n.NodeOf(m.n.Posts[g.supply][side])
	node := m.n.NodeOf(point)
	volts := g.volts // what hangs on nothing shows the other side's, or anything
	if e.k.f.Island(node) == e.k.f.Island(post) {
		volts = math.Abs(e.volt(post, added) - e.volt(node, added))
	}
	r := dial.Volts
	if volts < dial.Millivolts.Over[0] {
		r = dial.Millivolts
	}
	return math.Asinh((volts + r.SD(volts, 0)*rng.NormFloat64()) / g.small)
}

// choose picks hypotheses, evenly along the track, for an effort.
func (s *scene) choose(e effort) *subset {
	stride := 1 + (len(s.hypos)-1)/max(caps[e], 1)
	var in []int
	for i := range s.hypos {
		if p := s.hypos[i].piece; p < 0 || p%stride == 0 {
			in = append(in, i)
		}
	}
	if len(in) == 0 {
		in = []int{0}
	}
	return &subset{in: slices.Clip(in), stride: stride, cov: s.spreads(in)}
}
