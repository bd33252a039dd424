package infer

import (
	"cmp"
	"math"
	"slices"

	"fishplate/diagnose/meter"
)

// A display of AC volts has lost the sign: it shows v where v or -v stands between
// the probes. A hypothesis that is sure of the sign has the reading turned its way
// (dress); where it is not, both come about: the density is that of v and that of
// -v together. What was read before may have been of the other sign too, and says
// then something else of what comes after it, so the signs of all readings are
// summed over together, as many as are in doubt.

// unsigned says whether what is shown has lost its sign.
func (m *Model) unsigned(o *Observation) bool {
	return m.alternates(o) && (o.Func == meter.Volts || o.Func == meter.Millivolts)
}

// mostInDoubt is how many readings of a hypothesis may be of either sign, those
// most in doubt first; surelySigned is the log of the odds from which one, taken
// alone, is not in doubt, worthTurning that from which other signs are left out.
const (
	mostInDoubt  = 3
	surelySigned = 9
	worthTurning = 5
)

// doubted is a reading that may be of the other sign.
type doubted struct {
	at   int     // in the joint
	by   float64 // what its residual changes by then
	odds float64 // log, for the sign that the hypothesis has, taken alone
}

// signs is one way in which the readings may have been signed.
type signs struct {
	turned uint64  // observations of the other sign, as bits
	fold   float64 // log of the chance that they are of these signs, given what is shown
	gain   float64 // log density above that of no sign in doubt
}

// turns says whether an observation is of the other sign.
func (s signs) turns(obs int) bool { return obs < maskBits && s.turned>>obs&1 == 1 }

// shown is a reading with its sign.
func (s signs) shown(value []float64, obs int) float64 {
	if s.turns(obs) {
		return -value[obs]
	}
	return value[obs]
}

// signings sums over signs, in memory of its own.
type signings struct {
	doubt []doubted
	out   []signs
	vary  []float64 // variance of each reading of the joint beforehand
	white []float64 // as in gauss, with some readings turned
}

// before keeps the variances of a covariance that is about to be overwritten.
func (w *signings) before(cov []float64, n int) {
	w.vary = grow(w.vary, n)
	for a := range w.vary {
		w.vary[a] = cov[a*n+a]
	}
}

// doubtful looks up which signs are in doubt, given the Gaussian of the readings;
// false for none.
func (w *signings) doubtful(s *stage, j *joint, g *gauss, value []float64) bool {
	w.inDoubt(s, j, g, value)
	return len(w.doubt) > 0
}

// ways lists the ways in which the readings of a joint may be signed that are worth
// a look, once it is known which are in doubt, given their Gaussian, inverted: the
// first is as the hypothesis has them.
func (w *signings) ways(j *joint, g *gauss, value []float64) []signs {
	w.out = append(w.out[:0], signs{})
	if len(w.doubt) == 0 {
		return w.out
	}
	best := math.Inf(-1)
	for mask := range 1 << len(w.doubt) {
		x := signs{}
		w.white = append(w.white[:0], g.white[:g.n]...)
		quad := 0.0
		for k, d := range w.doubt {
			if mask>>k&1 == 0 {
				continue
			}
			x.turned |= 1 << j.obs[d.at]
			quad += d.by * (g.white[d.at] + w.white[d.at]) // that of those turned before it, too
			for b := range w.white {
				w.white[b] += d.by * g.inv[b*g.n+d.at]
			}
			quad += d.by * d.by * g.inv[d.at*g.n+d.at]
		}
		if mask > 0 && !(-quad/2 > best-worthTurning) { // fold takes off more
			continue
		}
		for k, d := range w.doubt {
			x.fold += j.keepsSign(d.at, value[j.obs[d.at]], mask>>k&1 == 1, g.inv[d.at*g.n+d.at], w.white[d.at])
		}
		x.gain = x.fold - quad/2
		best = math.Max(best, x.gain)
		if mask == 0 {
			w.out[0] = x
		} else if x.gain > best-worthTurning {
			w.out = append(w.out, x)
		}
	}
	return w.out
}

// maskBits are the readings whose signs a mask holds; later ones are taken to have the
// sign of their mean. noSpread, in volt, is the spread below which a sign is certain
// or open; rareSign is the least chance of a sign that is reckoned with.
const maskBits, noSpread, rareSign = 64, 1e-12, 1e-12

// inDoubt lists the readings whose signs are, those most in doubt first.
func (w *signings) inDoubt(s *stage, j *joint, g *gauss, value []float64) {
	w.doubt = w.doubt[:0]
	for a, o := range j.obs {
		v := value[o]
		if o >= maskBits || !(v > 0) || !s.e.Model.unsigned(&s.obs[o]) || j.oneWay(a, v-g.resid[a]) {
			continue
		}
		if odds := 2 * v * (v - g.resid[a]) / w.vary[a]; odds < surelySigned {
			w.doubt = append(w.doubt, doubted{a, -2 * v, odds})
		}
	}
	if len(w.doubt) > mostInDoubt {
		slices.SortStableFunc(w.doubt, func(a, b doubted) int { return cmp.Compare(a.odds, b.odds) })
		w.doubt = w.doubt[:mostInDoubt]
	}
}

// keepsSign is the log of the chance that what stands between the probes has the
// sign that it is taken to have, given what is shown and the other readings. The
// sign is lost before the display's own error comes on top: where that error is
// most of what is shown, both signs show the same, and are not two ways to it.
// inv and white are as in gauss, with the readings signed as they are taken.
func (j *joint) keepsSign(a int, shown float64, turned bool, inv, white float64) float64 {
	all := 1 / inv // variance given the other readings
	own := 0.0
	if j.flat != nil {
		own = math.Min(j.flat[a].variance(), all)
	}
	if turned {
		shown = -shown
	}
	mean := shown - own*white // white/inv off the mean, of which own/all is the display's
	if turned {
		mean = -mean
	}
	sd := math.Sqrt(own * (all - own) / all)
	if !(sd > noSpread) {
		if own >= all {
			return -math.Ln2
		}
		return 0
	}
	if mean > surelyAbove*sd {
		return 0
	}
	return math.Log(math.Max(math.Erfc(-mean/sd/math.Sqrt2)/2, rareSign))
}

// surelyAbove is how many standard deviations above zero a Gaussian is all above it,
// to the last bit of a float64.
const surelyAbove = 8.5

// oneWay says whether all that a reading of the joint is made of pulls one way: a
// sum of resistances, each times a current that no resistance turns round, never
// changes sign, however wide the Gaussian in its place; only what hands and
// contacts add can carry it past zero. mean is what it is expected to be, in volt.
func (j *joint) oneWay(a int, mean float64) bool {
	noise := j.noise[a] * j.noise[a]
	if j.flat != nil {
		noise = math.Max(noise-j.flat[a].variance(), 0)
	}
	return j.against[a] < pullsBack && mean > pastZero*math.Sqrt(noise)
}

// pullsBack is the part of a reading that must pull the other way for its sign to
// be in doubt; pastZero is how many times the noise before the display a reading
// must be expected to be above zero for that noise not to turn it.
const (
	pullsBack = 0.02
	pastZero  = 3
)

// pulls is the part of a reading of volts that pulls against its sign, 0 to 0.5: a
// reading behind a lamp is the sum over all resistances of the derivative by each
// times that resistance (Euler's theorem on homogeneous functions).
func (s *stage) pulls(f *forecast) float64 {
	var with, against float64
	supers := s.f.basis.Supers
	for k, d := range f.m.S[:min(len(f.m.S), len(supers))] { // what a compound adds has no levels
		part := 0.0
		for _, r := range supers[k].Level {
			part += d * r
		}
		if part > 0 {
			with += part
		} else {
			against -= part
		}
	}
	if with+against == 0 {
		return 0
	}
	return math.Min(with, against) / (with + against)
}

// folded is the mean of what a display without a sign shows of a Gaussian (F. C.
// Leone, L. S. Nelson, R. B. Nottingham, "The folded normal distribution",
// Technometrics 3, 1961, from memory; the second moment stays).
func folded(mean, variance float64) float64 {
	sd := math.Sqrt(variance)
	if !(sd > 0) {
		return math.Abs(mean)
	}
	z := mean / sd
	return sd*math.Sqrt(2/math.Pi)*math.Exp(-z*z/2) + mean*math.Erf(z/math.Sqrt2)
}
