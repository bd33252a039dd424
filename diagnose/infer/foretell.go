package infer

import (
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
)

// condition is a level cell with the readings taken, ready to predict more.
type condition struct {
	cell   *levelCell
	weight float64
	g      gauss
	felt   felt
}

// unlikelyCell is how likely, beside the likeliest, a level cell must be to be
// reckoned with when questions are weighed.
const unlikelyCell = 0.05

// A reading is put aside where questions are weighed if it lies further off than
// farOff, in its variance: four standard deviations. It gets its own distance times
// asideBy, squared, as variance on top (a tenth of a standard deviation off, then).
const farOff, asideBy = 16, 100

// conditions picks the likely level cells and conditions each on the readings
// that fit.
func (sc *scorer) conditions(j *joint) []condition {
	out := sc.conds[:0]
	best := math.Inf(-1)
	logs := make([]float64, 0, len(sc.cells))
	w := &sc.s.work
	w.cov, w.resid = grow(w.cov, j.n*j.n), grow(w.resid, j.n)
	cov, resid := w.cov, w.resid
	for ci := range sc.cells {
		w.felt.in(j, &sc.cells[ci], sc.s.e.Model.Level.RailSD).matrix(cov, resid, sc.value)
		for a := 0; a < j.n; a++ { // a reading far off counts as a misread here
			if z := resid[a] * resid[a] / cov[a*j.n+a]; z > farOff {
				cov[a*j.n+a] += resid[a] * resid[a] * asideBy
			}
		}
		w.signings.before(cov, j.n)
		if !w.g.fit(cov, resid, j.n) {
			sc.s.failed.cells.Add(1)
			continue
		}
		if !w.signings.doubtful(sc.s, j, &w.g, sc.value) && sc.cells[ci].logPrior+w.g.logDensity() < best+
			math.Log(unlikelyCell) {
			continue
		}
		w.g.invert()
		for _, signs := range w.signings.ways(j, &w.g, sc.value) {
			l := sc.cells[ci].logPrior + w.g.logDensity() + signs.gain
			if l < best+math.Log(unlikelyCell) {
				continue
			}
			best = math.Max(best, l)
			logs = append(logs, l)
			g := gauss{n: j.n, inv: slices.Clone(w.g.inv), white: slices.Clone(w.g.white)}
			for a, o := range j.obs {
				if signs.turns(o) {
					for b := range g.white {
						g.white[b] -= 2 * sc.value[o] * g.inv[b*j.n+a]
					}
				}
			}
			out = append(out, condition{cell: &sc.cells[ci], g: g, felt: w.felt.clone()})
		}
	}
	sc.conds = out
	kept, sum := out[:0], 0.0
	for i, c := range out {
		c.weight = math.Exp(logs[i] - best)
		if c.weight < unlikelyCell {
			continue
		}
		sum += c.weight
		kept = append(kept, c)
	}
	for i := range kept {
		kept[i].weight /= sum
	}
	return kept
}

// spreads is the covariance of a question with itself and with the readings taken,
// class by class, by what the resistances of the track spread.
type spreads struct {
	own   [conductor.NumClasses]float64
	cross [][conductor.NumClasses]float64
}

// covary works it out, in memory of the scorer's own.
func (sc *scorer) covary(j *joint, fs []forecast, m *predict.Moments) *spreads {
	c, b := &sc.cov, sc.s.f.basis
	c.own = [conductor.NumClasses]float64{}
	b.Cov(&c.own, m.S, m.S)
	c.cross = c.cross[:0]
	for _, i := range j.obs {
		var x [conductor.NumClasses]float64
		b.Cov(&x, m.S, fs[i].m.S)
		c.cross = append(c.cross, x)
	}
	return c
}

// predict gives mean and variance of a question given the readings, over the
// level cells.
func (sc *scorer) predict(j *joint, cov *spreads, conds []condition, parts [][]shared, f *forecast, o *Observation,
	mine []shared) (mean, variance float64) {
	lit, unsigned := litPart(o, f), sc.s.e.Model.unsigned(o)
	railSD := sc.s.e.Model.Level.RailSD
	own, cross := &cov.own, cov.cross
	rest := dotShared(mine, mine)
	rest[still] += f.noise * f.noise
	sc.crossRest, sc.k = sc.crossRest[:0], grow(sc.k, j.n)
	k := sc.k
	for a := range j.obs {
		sc.crossRest = append(sc.crossRest, dotShared(mine, parts[a]))
	}
	fr, fj := f.m.Level[conductor.ClassRail], f.m.Level[conductor.ClassJoint]
	second := 0.0
	for _, c := range conds {
		l := c.cell
		lamp := brighter(lit, l)
		r, t := lamp*l.rail*fr, lamp*l.jnt*fj
		m := lamp * (f.m.Mean + (l.rail-1)*fr + (l.jnt-1)*fj)
		times := times(m, f.m.Mean)
		v := grown(&rest, l.rail*l.rail, times*times, lamp*lamp) + lamp*lamp*(l.rail*l.rail*own[0]+l.jnt*l.jnt*own[1]+
			own[2]) +
			l.commonSD*l.commonSD*(r+t)*(r+t) + l.jointSD*l.jointSD*t*t + railSD*railSD*r*r
		for a := range k {
			lamps, ra, ja := lamp*c.felt.lamp[a], c.felt.rail[a], c.felt.jnt[a]
			k[a] = grown(&sc.crossRest[a], l.rail*l.rail, times*c.felt.times[a], lamps) +
				lamps*(l.rail*l.rail*cross[a][0]+l.jnt*l.jnt*cross[a][1]+cross[a][2]) +
				l.commonSD*l.commonSD*(r+t)*(ra+ja) + l.jointSD*l.jointSD*t*ja + railSD*railSD*r*ra
		}
		gain := 0.0
		for a := range k {
			m += k[a] * c.g.white[a]
			for d := range k {
				gain += k[a] * c.g.inv[a*j.n+d] * k[d]
			}
		}
		v = math.Max(v-gain, f.noise*f.noise)
		second += c.weight * (v + m*m)
		if unsigned {
			m = folded(m, v)
		}
		mean += c.weight * m
	}
	if len(conds) == 0 {
		return f.m.Mean, grown(&rest, 1, 1, 1)
	}
	return mean, math.Max(second-mean*mean, f.noise*f.noise*0.5)
}

// grown adds up a covariance in a level cell: rails is what its rails have
// grown it by, values what the readings' own values have, lamps what the lamp's
// current has.
func grown(by *[numGrows]float64, rails, values, lamps float64) float64 {
	return by[still] + lamps*(rails*by[withRails]+by[withLamp]) + values*by[withValue]
}
