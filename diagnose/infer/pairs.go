package infer

import (
	"math"
	"slices"
	"sort"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
)

// Pair is two faults at once.
type Pair struct {
	A, B int      // indices into Engine.Hypos
	P    float64  // probability; a logarithm while pairs are weighed
	hypo Hypo     // what the network feels: A, with B added
	sev  severity // the likeliest resistances, with their spreads
	log  float64  // of the prior
}

const (
	// twoFaults is the prior that two things are wrong at once (assumed).
	twoFaults = 0.02
	// pairRows is how many rows of neighbours each of the two faults is first
	// looked for in; of the likeliest pairs of rows about midPairs pairs of
	// single faults are weighed roughly, and finePairs of these in full.
	pairRows, midPairs, finePairs = 20, 160, 32
	// doubt is the belief in "not on the map", or in a misread, from which
	// pairs are tried: building them costs more than all single faults do.
	doubt = 0.2
)

// Doubting is a posterior with pairs of faults weighed too, however well a
// single one fits: for when a look found nothing.
func (e *Engine) Doubting(obs []Observation, p *Posterior) *Posterior {
	if len(p.Pairs) > 0 || p.Entry != nil {
		return p
	}
	c := *p
	c.Hypo, c.Misread = slices.Clone(p.Hypo), slices.Clone(p.Misread)
	e.tryPairs(obs, &c)
	c.Sum(e)
	return &c
}

// pairing weighs two faults at once.
type pairing struct{ *Engine }

// doubtful says whether single faults explain the readings badly.
func (e pairing) doubtful(p *Posterior) bool {
	for c, name := range e.Classes {
		if name == ClassNotOnMap && p.Class[c] > doubt {
			return true
		}
	}
	if e.sometimes { // it was away
		return false
	}
	for _, m := range p.Misread {
		if m > 0.5 {
			return true
		}
	}
	return false
}

// Pairs are made of hypotheses of pairedFrom and more before the first reading; those
// below worthKeeping are dropped in the end. A first look goes over level cells that
// hold roughCell and over roughOhms resistances of each fault, the last one over
// fullCell and fullOhms (assumed).
const (
	pairedFrom, worthKeeping = 1e-6, 1e-4
	roughCell, fullCell      = 0.02, 0.001
	roughOhms, fullOhms      = 2, 3
)

// tryPairs weighs pairs of faults of the symptom's own kind beside the single
// ones, and rescales the belief.
func (e *Engine) tryPairs(obs []Observation, p *Posterior) {
	kind := pairing{e}.pairKind()
	if len(obs) < 2 || kind == predict.EffectNone {
		return
	}
	prior := e.prior()
	var alive []int
	sum := 0.0
	for i := range e.Hypos {
		h := &e.Hypos[i]
		if h.Effect.Kind == kind && !h.compound() && !h.twin && prior.Hypo[i] > pairedFrom {
			alive = append(alive, i)
			sum += prior.Hypo[i]
		}
	}
	if len(alive) < 2 {
		return
	}
	setups, _ := distinctSetups(obs)
	rows := pairing{e}.pairGroups(alive, prior.Hypo, framer{e}.lifted(setups))
	coarse := pairing{e}.pairsOf(rows, rows, prior, sum)
	pairing{e}.evaluatePairs(obs, coarse, p, roughly)
	sortPairs(coarse)
	var fine []Pair
	for i := 0; i < len(coarse) && len(fine) < midPairs; i++ {
		a, b := apart(rows, coarse[i].A), apart(rows, coarse[i].B)
		fine = append(fine, pairing{e}.pairsOf(a, b, prior, sum)...)
	}
	fine = distinctPairs(fine)
	pairing{e}.evaluatePairs(obs, fine, p, roughly)
	sortPairs(fine)
	fine = fine[:min(len(fine), finePairs)]
	best := p.logTotal
	if len(fine) > 0 {
		best = math.Max(best, fine[0].P)
	}
	pairing{e}.evaluatePairs(obs, fine, p, best-telling)
	p.take(e, fine)
}

// pairKind is the kind of fault that the symptom speaks of.
func (e pairing) pairKind() predict.EffectKind {
	switch e.symptomKind {
	case Short, ShortTrain:
		return predict.EffectBridge
	case WeakTrack:
		return predict.EffectWeak
	}
	return predict.EffectNone
}

// pairGroups cuts the hypotheses into rows of about equal prior.
func (e pairing) pairGroups(alive []int, weight []float64, lifted map[[2]int]bool) []group {
	if e.Hypos[alive[0]].Effect.Kind == predict.EffectBridge {
		return framer{e.Engine}.tiles(alive, weight, pairRows, nil, lifted)
	}
	n := max(1, (len(alive)+pairRows-1)/pairRows)
	var out []group
	for i := 0; i < len(alive); i += n {
		g := group{hypos: alive[i:min(i+n, len(alive))], span: 1}
		g.lead = g.hypos[len(g.hypos)/2]
		out = append(out, g)
	}
	return out
}

// apart gives the hypotheses of the row that a pair's half stood for, one by
// one.
func apart(rows []group, lead int) []group {
	for _, g := range rows {
		if g.lead != lead {
			continue
		}
		out := make([]group, len(g.hypos))
		for i, h := range g.hypos {
			out[i] = group{hypos: []int{h}, lead: h, span: 1}
		}
		return out
	}
	return nil
}

// pairsOf makes the pairs of two lists of rows.
func (e pairing) pairsOf(as, bs []group, prior *Posterior, sum float64) []Pair {
	var out []Pair
	for i := range as {
		for k := range bs {
			a, b := as[i].lead, bs[k].lead
			if a >= b || e.Hypos[a].Class == e.Hypos[b].Class {
				continue
			}
			w := as[i].weightOf(prior.Hypo) / sum * bs[k].weightOf(prior.Hypo) / sum
			out = append(out, Pair{A: a, B: b, log: math.Log(2 * twoFaults * w)})
		}
	}
	return out
}

func distinctPairs(in []Pair) []Pair {
	seen := map[[2]int]bool{}
	out := in[:0]
	for _, p := range in {
		if k := [2]int{p.A, p.B}; !seen[k] {
			seen[k] = true
			out = append(out, p)
		}
	}
	return out
}

func sortPairs(p []Pair) {
	sort.SliceStable(p, func(i, j int) bool { return p[i].P > p[j].P })
}

// wide cuts a range of resistances into n cells.
func wide(s []severity, n int) []severity {
	if len(s) < n {
		return s
	}
	lo, hi := math.Log(s[0].ohms)-s[0].sd/(2*cellSD), math.Log(s[len(s)-1].ohms)+s[0].sd/0.84
	out := make([]severity, n)
	for i := range out {
		out[i] = severity{ohms: math.Exp(lo + (hi-lo)*(float64(i)+0.5)/float64(n)), logPrior: -math.Log(float64(n)),
			sd: cellSD * (hi - lo) / float64(n)}
	}
	return out
}

// roughly is the floor of a first look at pairs.
const roughly = math.MaxFloat64

// evaluatePairs sets P to the log of prior and likelihood, and keeps the
// likeliest resistances of each; roughly, or in full with what lies above a
// floor looked at closer.
func (e pairing) evaluatePairs(obs []Observation, pairs []Pair, p *Posterior, floor float64) {
	full := floor != roughly
	setups, keys := distinctSetups(obs)
	var points, series []int
	for i := range obs {
		points = append(points, obs[i].Red, obs[i].Black)
	}
	for i := range pairs {
		for _, h := range [2]int{pairs[i].A, pairs[i].B} {
			points = append(points, framer{e.Engine}.pointsOf(&e.Hypos[h])...)
			if e.Hypos[h].Effect.Kind != predict.EffectBridge {
				series = append(series, e.Hypos[h].Effect.Link)
			}
		}
	}
	f := e.frameOver(setups, points, series, p.scale)
	s := e.newStage(f, obs)
	s.rough = !full
	cells := e.cellsFor(p, full, anyBehindLamp(obs))
	value, step := make([]float64, len(obs)), make([]float64, len(obs))
	for i := range obs {
		value[i], step[i] = e.value(&obs[i])
	}
	spread(len(pairs), s.again, func(s *stage, i int) {
		e.weighPair(s, &pairs[i], cells, keys, value, step, p.nothing, floor)
	})
	p.Failed = p.Failed.plus(s.failed.sum())
}

// cellsFor are the level cells worth a look for pairs: those likely beforehand,
// and those that single faults found likely.
func (e pairing) cellsFor(p *Posterior, full, lamp bool) []levelCell {
	floor := roughCell
	if full {
		floor = fullCell
	}
	all := relative(e.Model.cells(lamp), p.scale)
	sum := 0.0
	for _, w := range p.cell {
		sum += w
	}
	var out []levelCell
	for i := range all {
		if math.Exp(all[i].logPrior) >= floor || i < len(p.cell) && p.cell[i] >= floor*sum {
			out = append(out, all[i])
		}
	}
	return out
}

// weighPair adds the log likelihood over the grid of both resistances.
func (e pairing) weighPair(s *stage, pair *Pair, cells []levelCell, keys []string, value, step, nothing []float64,
	floor float64) {
	a, b := &e.Hypos[pair.A], &e.Hypos[pair.B]
	pair.hypo = Hypo{Suspect: a.Suspect, Class: a.Class, Slides: a.Slides}
	var total logSum
	best := math.Inf(-1)
	n := fullOhms
	if s.rough {
		n = roughOhms
	}
	for _, sb := range wide(b.sevs, n) {
		also := b.at(sb)
		for _, sa := range wide(a.sevs, n) {
			h := Hypo{Effect: a.at(sa), Slides: a.Slides}
			h.Effect.Also = &also
			sev := sa
			sev.alsoSD = sb.sd
			fs := s.forecasts(&h, sev, 1, nil, keys, step)
			x := sa.logPrior + sb.logPrior
			if s.rough {
				j := s.jointOf(fs, sev, 1, 1)
				j.place = nil
				x += s.likelihood(j, cells, value, nothing).log
			} else {
				x += s.likelihoodSkewed(s.skew(s.fineJoint(fs, sev, 1)), cells, value, nothing, floor-pair.log-x).log
			}
			total.add(x)
			if x > best {
				best = x
				pair.hypo.Effect, pair.sev = h.Effect, sev
			}
		}
	}
	pair.P = pair.log + total.value()
}

// take puts the pairs beside the single faults: P of each pair becomes a
// probability and the others shrink.
func (p *Posterior) take(e *Engine, pairs []Pair) {
	var all logSum
	all.add(p.logTotal)
	for i := range pairs {
		all.add(pairs[i].P)
	}
	sortPairs(pairs)
	single := math.Exp(p.logTotal - all.value())
	for i := range p.Hypo {
		p.Hypo[i] *= single
	}
	for i := range p.Misread {
		p.Misread[i] *= single
	}
	for i := range pairs {
		pairs[i].P = math.Exp(pairs[i].P - all.value())
		if pairs[i].P > worthKeeping {
			p.Pairs = append(p.Pairs, pairs[i])
		}
	}
}

// frameOver is a basis that keeps given points and series links, with no
// groups.
func (e *Engine) frameOver(setups []conductor.Setup, points, series []int, scale [conductor.NumClasses]float64) *frame {
	o := predict.Options{Points: points, Links: e.cutLinks(), Series: series, Scale: scale}
	for i := range setups {
		o.Links = append(o.Links, framer{e}.switched(&setups[i])...)
		o.Points = append(o.Points, setups[i].Points(e.Net)...)
	}
	return &frame{basis: predict.NewBasis(e.Net, o)}
}
