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
	return m.AC && (o.Func == meter.Volts || o.Func == meter.Millivolts)
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
	gain   float64 // log density above that of none
}

// turns says whether an observation is of the other sign.
func (s signs) turns(obs int) bool { return obs < 64 && s.turned>>obs&1 == 1 }

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
}

// before keeps the variances of a covariance that is about to be overwritten.
func (w *signings) before(cov []float64, n int) {
	w.vary = grow(w.vary, n)
	for a := range w.vary {
		w.vary[a] = cov[a*n+a]
	}
}

// of lists the ways in which the readings of a joint may be signed that are worth
// a look, given their Gaussian: the first is as the hypothesis has them.
func (w *signings) of(s *stage, j *joint, g *gauss, value []float64) []signs {
	w.doubt, w.out = w.doubt[:0], append(w.out[:0], signs{})
	for a, o := range j.obs {
		v := value[o]
		if o >= 64 || !(v > 0) || !s.e.Model.unsigned(&s.obs[o]) {
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
	best := 0.0
	for mask := 1; mask < 1<<len(w.doubt); mask++ {
		x := signs{}
		quad := 0.0
		for k, d := range w.doubt {
			if mask>>k&1 == 0 {
				continue
			}
			x.turned |= 1 << j.obs[d.at]
			quad += 2*d.by*g.white[d.at] + d.by*d.by*g.inv[d.at*g.n+d.at]
			for i, other := range w.doubt[:k] {
				if mask>>i&1 == 1 {
					quad += 2 * d.by * other.by * g.inv[d.at*g.n+other.at]
				}
			}
		}
		if x.gain = -quad / 2; x.gain > best-worthTurning {
			best = math.Max(best, x.gain)
			w.out = append(w.out, x)
		}
	}
	return w.out
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
