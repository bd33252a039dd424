package infer

import (
	"math"
	"math/bits"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/unit"
)

// joint is the Gaussian of several readings under one hypothesis at one
// severity, before a level cell is chosen.
type joint struct {
	n         int
	mean      []float64
	rail, jnt []float64 // derivatives by the log of the levels
	k         [conductor.NumClasses][]float64
	rest      []float64 // covariance that no level changes
	// swing is what grows with both readings' values, along with the rails'
	// level squared; nil for none.
	swing, along []float64
	// lit is, by reading, the part of all ohms in the circuit that is not the
	// lamp's, 0 to 1; below 0 where no lamp feeds it. byLamp is what the covariance
	// has that grows with the lamp's current.
	lit, byLamp []float64
	noise       []float64
	against     []float64  // the part of each that pulls against its sign; see pulls
	turned      []bool     // as in forecast
	flat        []flat     // the part of noise that is uniform; nil for not looked at
	obs         []int      // which observations these are
	logDiscrete []float64  // of readings that are no numbers, and what numbers have on top
	over        []overTerm // readings over the limit: how likely depends on the level
	// place is how each reading moves with the bridge's place along its piece
	// (or row of pieces), toward either end, for placesAlong; nil where it does
	// not.
	place [][2]float64
	lik   *likelihood // made when first wanted
	from  []forecast  // what it was made of, where that is kept
}

// overTerm is a reading over the limit under one hypothesis.
type overTerm struct {
	obs                  int
	mean, rail, jnt, lit float64
	limit                meter.Range
}

// overSpread is how well a value over the limit is known, as a part of it (assumed);
// the likelihood is the mean of it there and that far to either side.
const overSpread = 0.15

// log is the log likelihood in a level cell.
func (o *overTerm) log(c *levelCell) float64 {
	m := brighter(o.lit, c) * (o.mean + (c.rail-1)*o.rail + (c.jnt-1)*o.jnt)
	p := (o.limit.OverOdds((1-overSpread)*m) + o.limit.OverOdds(m) + o.limit.OverOdds((1+overSpread)*m)) / 3
	return math.Max(math.Log(p), impossible)
}

// placesAlong are the places along a piece (-0.5 to 0.5) at which a bridge is
// taken to be, each standing for a third of the piece: one Gaussian for the
// whole piece would reach over both ends, where neighbours are told apart.
var placesAlong = [3]float64{-1.0 / 3, 0, 1.0 / 3}

// placeTells is the part of a reading's noise from which a bridge's place along its
// piece is worth three Gaussians (assumed; less adds under a hundredth to its variance).
const placeTells = 0.1

// offset is what a reading moves by in a level cell when the bridge is at one
// of placesAlong.
func (j *joint) offset(a, place int, c *levelCell) float64 {
	if j.place == nil {
		return 0
	}
	x, side := placesAlong[place], 0
	if x > 0 {
		side = 1
	}
	return j.byLampAt(a, c) * c.rail * math.Abs(x) * j.place[a][side]
}

// Values too small to divide by: noVolts of a reading behind a lamp, below which none
// of the ohms counts; noValue in any unit, below which a reading does not scale.
const noVolts, noValue = 1e-9, 1e-12

// litPart is the part of all ohms in the circuit of a reading that is not the
// lamp's: with ohms r of the lamp and R of the rest a reading is V h/(r + R), so
// its derivative by log r over its value is -r/(r + R). Below 0 for no lamp.
func litPart(o *Observation, f *forecast) float64 {
	if !behindLamp(&o.Setup) {
		return -1
	}
	if math.Abs(f.m.Mean) < noVolts {
		return 0
	}
	return math.Min(math.Max(1+f.m.Source/f.m.Mean, 0), 1)
}

// brighter is how many times as large a reading behind a lamp is in a cell of
// its current: exact for any network of resistors (see litPart).
func brighter(lit float64, c *levelCell) float64 {
	if c.lamp == 0 || lit < 0 {
		return 1
	}
	return (1 + c.lamp) / (1 + lit*c.lamp)
}

// byLampAt is brighter for a reading of the joint.
func (j *joint) byLampAt(a int, c *levelCell) float64 {
	if c.lamp == 0 || j.lit == nil {
		return 1
	}
	return brighter(j.lit[a], c)
}

// jointOf collects forecasts into a joint. Observations that are not numbers,
// or that this hypothesis rules out, go into logDiscrete. span is how many
// pieces a bridge may lie in, within how many of them the Gaussian covers.
func (s *stage) jointOf(fs []forecast, sev severity, span, within float64) *joint {
	j := &joint{logDiscrete: make([]float64, len(fs))}
	for i := range fs {
		l, is := s.e.discrete(&s.obs[i], &fs[i])
		if f := &fs[i].m; !yesNo(s.obs[i].Func) && s.obs[i].Shown.Kind == unit.OverLimit && !math.IsInf(f.Mean, 0) {
			l = 0
			j.over = append(j.over, overTerm{i, f.Mean, f.Level[conductor.ClassRail], f.Level[conductor.ClassJoint],
				litPart(&s.obs[i], &fs[i]), s.e.Model.Meter.Of(s.obs[i].Func)})
		}
		if !is {
			l += fs[i].extra
			j.obs = append(j.obs, i)
		}
		j.logDiscrete[i] = l
	}
	n := len(j.obs)
	j.n = n
	for c := range j.k {
		j.k[c] = make([]float64, n*n)
	}
	j.rest, j.swing, j.along = make([]float64, n*n), make([]float64, n*n), make([]float64, n*n)
	j.byLamp, j.lit = make([]float64, n*n), make([]float64, n)
	parts := make([][]shared, n)
	place, moves := make([][2]float64, n), false
	for a, i := range j.obs {
		f := &fs[i]
		j.mean = append(j.mean, f.m.Mean)
		j.rail = append(j.rail, f.m.Level[conductor.ClassRail])
		j.jnt = append(j.jnt, f.m.Level[conductor.ClassJoint])
		j.lit[a] = litPart(&s.obs[i], f)
		j.noise = append(j.noise, f.noise)
		j.against = append(j.against, s.pulls(f))
		j.turned = append(j.turned, f.turned)
		j.flat = append(j.flat, f.flat)
		parts[a] = s.e.sharedParts(&s.obs[i], f, sev, within, nil)
		for side, d := range f.m.Place {
			place[a][side] = d * span
			moves = moves || math.Abs(place[a][side]) > placeTells*f.noise
		}
	}
	if moves {
		j.place = place
	}
	for a := 0; a < n; a++ {
		for b := 0; b <= a; b++ {
			var c [conductor.NumClasses]float64
			s.f.basis.Cov(&c, fs[j.obs[a]].m.S, fs[j.obs[b]].m.S)
			for k := range c {
				j.k[k][a*n+b], j.k[k][b*n+a] = c[k], c[k]
			}
			r := dotShared(parts[a], parts[b])
			j.rest[a*n+b], j.rest[b*n+a] = r[still], r[still]
			j.swing[a*n+b], j.swing[b*n+a] = r[withValue], r[withValue]
			j.along[a*n+b], j.along[b*n+a] = r[withRails], r[withRails]
			j.byLamp[a*n+b], j.byLamp[b*n+a] = r[withLamp], r[withLamp]
		}
		j.rest[a*n+a] += j.noise[a] * j.noise[a]
	}
	return j
}

// dotShared is the covariance by what two readings share, by what it grows with.
func dotShared(a, b []shared) (sum [numGrows]float64) {
	for _, x := range a {
		for _, y := range b {
			if x.what == y.what {
				sum[x.as] += x.by * y.by
			}
		}
	}
	return sum
}

func (j *joint) meanAt(a int, c *levelCell) float64 {
	return j.byLampAt(a, c) * (j.mean[a] + (c.rail-1)*j.rail[a] + (c.jnt-1)*j.jnt[a])
}

// likelihood is what one hypothesis at one severity makes of the readings.
type likelihood struct {
	log     float64
	level   []float64 // posterior weight of each level cell
	misread []float64 // probability that each reading says nothing
	signs   signs     // of the likeliest way in which the readings came about
}

// Away is how often a fault that comes and goes is away while a reading is
// taken by someone who waits for it to show (assumed).
const Away = 0.15

// awayWatched is the same where the lamp was seen to burn just before: it goes away
// again while hands put the probes (assumed).
const awayWatched = 0.07

// slips sets how likely each reading says nothing: a slip of hands, or a fault that comes
// and goes was away, where nobody saw that it was there.
func (s *stage) slips() {
	w := &s.work
	w.base, w.swap, w.sometimes = 0, grow(w.swap, len(s.obs)), s.e.sometimes
	for i := range s.obs {
		eps, o := s.e.Model.Misread, &s.obs[i]
		switch {
		case !s.e.sometimes || o.Func == meter.Lamp && !o.Setup.LightsLoad():
		case o.Watched:
			eps = math.Max(eps, awayWatched)
		default:
			eps = math.Max(eps, Away)
		}
		w.base += math.Log1p(-eps)
		w.swap[i] = math.Log(eps) - math.Log1p(-eps)
	}
}

// likelihood sums over level cells and over which readings say nothing.
func (s *stage) likelihood(j *joint, cells []levelCell, value, logNothing []float64) likelihood {
	s.gather(j, cells, value, logNothing)
	return s.work.sum(len(cells), len(s.obs))
}

// gather lists the terms of that sum in the stage's workspace.
func (s *stage) gather(j *joint, cells []levelCell, value, logNothing []float64) {
	s.work.start(s.rough)
	s.slips()
	for ci := range cells {
		if c := &cells[ci]; !math.IsInf(c.logPrior, -1) && !s.hopeless(j, c, value, logNothing) {
			s.weigh(j, ci, c, value, logNothing)
		}
	}
}

// weigh adds the terms of a level cell.
func (s *stage) weigh(j *joint, ci int, c *levelCell, value, logNothing []float64) {
	w := &s.work
	given, ok := s.given(j, c, value)
	if !ok {
		s.failed.cells.Add(1)
		return
	}
	if j.place != nil {
		w.aside[0].toward(j, 0, c, &w.g)
		w.aside[1].toward(j, len(placesAlong)-1, c, &w.g)
	}
	w.signings.doubtful(s, j, &w.g, value)
	for _, signs := range w.signings.ways(j, &w.g, value) {
		w.signs = signs
		w.signed.turned(j, signs, &w.g, value)
		w.places(j.place != nil, ci, c.logPrior+signs.fold, &given, logNothing)
	}
}

// places adds the terms of a level cell with the readings signed as they are, at
// each place of a bridge along its piece where that tells.
func (w *workspace) places(tells bool, ci int, log float64, given *given, logNothing []float64) {
	if !tells {
		given.put(&w.signed)
		w.put(ci, log, given, logNothing)
		return
	}
	for i, off := range [len(placesAlong)]*moved{&w.aside[0], nil, &w.aside[1]} {
		w.place = int8(i)
		w.there.less(&w.signed, off)
		given.put(&w.there)
		w.put(ci, log-log3, given, logNothing)
	}
}

// workspace is memory for likelihoods, used again and again.
type workspace struct {
	cov, resid []float64
	g          gauss
	over       []overLog
	terms      []term
	max        float64
	base       float64   // log of no reading being a misread
	swap       []float64 // by reading: log of the odds of its being one
	rough      bool      // one misread at most
	sometimes  bool      // what comes and goes may be away at many of them
	more       awaySearch
	place      int8  // of placesAlong, for the terms that are added
	signs      signs // of the readings, for the terms that are added
	signings   signings
	// aside is what a bridge's place toward either end moves readings by, signed the
	// readings as they are signed, there with the bridge at its place.
	aside         [2]moved
	signed, there moved
	felt          felt
	bent          laplace
}

// term is one way in which readings came about: in a level cell, with up to
// two of them (a, b; -1 for none) saying nothing.
type term struct {
	log        float64
	cell, a, b int32
	more       uint64 // of three and more, a bit each; a and b are none then
	place      int8   // of placesAlong
	signs      signs
}

// faint is how far below the largest a term is left out, in natural logarithms: a
// millionth of it (assumed).
const faint = 14

var log3 = math.Log(float64(len(placesAlong)))

func (w *workspace) start(rough bool) {
	w.terms, w.max, w.rough, w.place = w.terms[:0], math.Inf(-1), rough, 0
}

func grow(s []float64, n int) []float64 {
	if cap(s) < n {
		return make([]float64, n)
	}
	return s[:n]
}

func (w *workspace) add(x float64, cell, a, b int) {
	if !(x > w.max-faint) {
		return
	}
	w.max = math.Max(w.max, x)
	w.terms = append(w.terms, term{x, int32(cell), int32(a), int32(b), 0, w.place, w.signs})
}

// put adds the terms of a level cell and a place.
func (w *workspace) put(cell int, logPrior float64, given *given, logNothing []float64) {
	base := logPrior + given.all + w.base
	w.add(base, cell, -1, -1)
	if len(w.swap) > 0 && math.IsInf(w.swap[0], -1) {
		return
	}
	two := !w.rough && w.signs.turned == 0 && given.poor() // two that say nothing explain what other signs do
	for a := range logNothing {
		if w.signs.turns(a) { // what says nothing has no sign
			continue
		}
		with := base + w.swap[a] + logNothing[a]
		out := with - given.one(a)
		w.add(out, cell, a, -1)
		for b := 0; two && b < a; b++ {
			if given.pos[a] < 0 || given.pos[b] < 0 {
				w.add(with+w.swap[b]+logNothing[b]-given.two(a, b), cell, a, b)
			}
		}
		if two && given.pos[a] >= 0 {
			w.putPairs(out, cell, a, given, logNothing)
		}
	}
	switch {
	case !w.sometimes:
	case two:
		w.putMore(mostMisreads, base, cell, given, logNothing)
	default:
		w.putMore(1, base, cell, given, logNothing)
	}
}

// putPairs adds the terms in which number a says nothing and one before it too, with
// being the logarithm of a alone.
func (w *workspace) putPairs(with float64, cell, a int, given *given, logNothing []float64) {
	g := &given.g
	pa, n := given.pos[a], g.n
	row := g.inv[pa*n : pa*n+n]
	scale := 1 / row[pa]
	for b, pb := range given.pos[:a] {
		if pb < 0 {
			continue
		}
		by := scale * row[pb] // of b given all others but a: one over its variance, and its white
		d, e := g.inv[pb*n+pb]-by*row[pb], g.white[pb]-by*g.white[pa]
		log := with + w.swap[b] + logNothing[b] - given.disc[b] + 0.5*log2Pi
		if !(d > 0) || e*e < d*(2*(w.max-faint-log)+atLeastLog(d)) {
			continue
		}
		w.add(log+0.5*(e*e/d-math.Log(d)), cell, a, b)
	}
}

func (w *workspace) sum(cells, r int) likelihood {
	out := likelihood{log: math.Inf(-1), level: make([]float64, cells), misread: make([]float64, r)}
	total, most := 0.0, math.Inf(-1)
	for i := range w.terms {
		t := &w.terms[i]
		if t.log < w.max-faint {
			continue
		}
		if t.log > most {
			most, out.signs = t.log, t.signs
		}
		p := math.Exp(t.log - w.max)
		total += p
		out.level[t.cell] += p
		if t.a >= 0 {
			out.misread[t.a] += p
		}
		if t.b >= 0 {
			out.misread[t.b] += p
		}
		for rest := t.more; rest != 0; rest &= rest - 1 {
			out.misread[bits.TrailingZeros64(rest)] += p
		}
	}
	if total == 0 {
		return out
	}
	out.log = w.max + math.Log(total)
	for i := range out.level {
		out.level[i] /= total
	}
	for i := range out.misread {
		out.misread[i] /= total
	}
	return out
}

// forecasts predicts all observations for a hypothesis at a severity.
func (s *stage) forecasts(h *Hypo, sev severity, span float64, own map[string]*predict.Circuit, keys []string,
	steps []float64) []forecast {
	c := s.cases(h, sev, own)
	out := make([]forecast, len(s.obs))
	for i := range s.obs {
		out[i] = c.forecast(&s.obs[i], keys[i], h.Slides, steps[i])
	}
	return out
}
