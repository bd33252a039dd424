package infer

import (
	"cmp"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
)

// lump is joints, clips or wires that all readings feel alike, each in
// proportion: what is in series between two probes. Its resistance is taken to
// be log-normal with the mean and the variance of the sum (L. F. Fenton, "The
// sum of log-normal probability distributions in scatter transmission
// systems", IRE Trans. Communications Systems 8, 1960, from memory).
type lump struct {
	by   []float64 // by reading of the joint: volt (or ohm), for the mean
	sd   float64   // of the logarithm
	wire bool      // no level changes it
}

// skewed is a joint with its lumps kept apart from what is Gaussian.
type skewed struct {
	j     *joint
	lumps []lump
	kept  [conductor.NumClasses][]float64 // covariance by what is in no lump
	jnt   []float64                       // what joints in no lump move a reading by, per log of the level
}

// noticeable is the part of a reading's noise from which a resistance's spread
// is worth a lump.
const noticeable = 0.02

// skew takes the lumps out of the forecasts that a joint was made of, which
// must have been kept.
func (s *stage) skew(j *joint) *skewed {
	out := &skewed{j: j, jnt: append([]float64(nil), j.jnt...)}
	for c := range out.kept {
		out.kept[c] = append([]float64(nil), j.k[c]...)
	}
	supers := s.f.basis.Supers
	by := make([]float64, j.n)
	var variance []float64 // of each lump, in its mean squared
	for k := range supers {
		for _, class := range [...]conductor.Class{conductor.ClassJoint, conductor.ClassWire} {
			mean, v := supers[k].Level[class], supers[k].Var[class]
			if !(v > 0 && mean > 0) || !j.feels(k, math.Sqrt(v), by) {
				continue
			}
			for a := range by {
				for b := range by {
					out.kept[class][a*j.n+b] -= by[a] * by[b] * v
				}
			}
			for a := range by {
				by[a] *= mean
				if class == conductor.ClassJoint {
					out.jnt[a] -= by[a]
				}
			}
			variance = out.put(by, v/(mean*mean), class == conductor.ClassWire, variance)
		}
	}
	for i := range out.lumps {
		out.lumps[i].sd = math.Sqrt(math.Log1p(variance[i]))
	}
	return out
}

// feels sets how the readings move with a super, in volt an ohm, and says
// whether one of them notices its spread.
func (j *joint) feels(super int, sd float64, by []float64) bool {
	big := false
	for a, i := range j.obs {
		by[a] = 0
		if super < len(j.from[i].m.S) {
			by[a] = j.from[i].m.S[super]
		}
		big = big || math.Abs(by[a])*sd > noticeable*j.noise[a]
	}
	return big
}

// put adds a resistance (by: in volt for its mean; variance in its mean
// squared) to the lump that moves all readings as it does, or makes one.
func (sk *skewed) put(by []float64, variance float64, wire bool, all []float64) []float64 {
	for i := range sk.lumps {
		l := &sk.lumps[i]
		if l.wire != wire {
			continue
		}
		if f, ok := along(l.by, by); ok {
			for a := range by {
				l.by[a] += by[a]
			}
			all[i] = (all[i] + f*f*variance) / ((1 + f) * (1 + f))
			return all
		}
	}
	sk.lumps = append(sk.lumps, lump{by: append([]float64(nil), by...), wire: wire})
	return append(all, variance)
}

// sameDirection is the part by which two resistances may move readings in other
// proportions and still be one lump (assumed).
const sameDirection = 0.01

// along says whether b moves all readings as a does, within a hundredth, and
// by how many times as much.
func along(a, b []float64) (f float64, ok bool) {
	top := 0
	for i := range a {
		if math.Abs(a[i]) > math.Abs(a[top]) {
			top = i
		}
	}
	f = b[top] / a[top]
	if !(f > 0) {
		return 0, false
	}
	for i := range a {
		if math.Abs(b[i]-f*a[i]) > sameDirection*f*math.Abs(a[top]) {
			return 0, false
		}
	}
	return f, true
}

// telling is how far below the likeliest way in which the readings came about,
// as a logarithm, one is worth a closer look; closer is how many joints are
// looked at, the likeliest first. More are in the running only while the belief
// is wide, where it does not matter. With manyReadings, what is no more than faintly in
// the running is not looked at for each place of a bridge by itself (assumed).
const (
	telling = 9
	faintly = 4
	closer  = 64
)

// candidate is a joint that may be worth a closer look.
type candidate struct {
	g, k int // group, severity
	j    *joint
	log  float64 // of the prior of the likeliest that share it
}

func (c *candidate) total() float64 { return c.log + c.j.lik.log }

// candidates lists the joints that matter, the likeliest first.
func (ev *evaluation) candidates(prior *Posterior) []candidate {
	at := map[*joint]int{}
	var all []candidate
	for gi := range ev.s.f.groups {
		for k, j := range ev.joints[gi] {
			var sum logSum
			for _, h := range ev.s.f.groups[gi].hypos {
				sum.add(math.Log(prior.Hypo[h]) + math.Log(prior.Severity[h][k]))
			}
			x := sum.value()
			if i, ok := at[j]; ok {
				all[i].log = math.Max(all[i].log, x)
				continue
			}
			at[j] = len(all)
			all = append(all, candidate{gi, k, j, x})
		}
	}
	slices.SortStableFunc(all, func(a, b candidate) int { return cmp.Compare(b.total(), a.total()) })
	var kept []candidate
	for _, c := range all {
		if c.j.n > 0 && c.total() > all[0].total()-telling && len(kept) < closer {
			kept = append(kept, c)
		}
	}
	return kept
}

// sharpen replaces the likelihoods that matter by ones that know resistances
// to be log-normal.
func (ev *evaluation) sharpen(prior *Posterior) {
	kept := ev.candidates(prior)
	if len(kept) == 0 {
		return
	}
	best := kept[0].total()
	spread(len(kept), ev.s.again, func(s *stage, i int) {
		it := &kept[i]
		j := it.j
		if j.from == nil {
			g := &s.f.groups[it.g]
			h := &s.e.Hypos[g.lead]
			j = s.fineJoint(s.forecasts(h, h.sevs[it.k], g.span, map[string]*predict.Circuit{}, ev.keys, ev.step),
				h.sevs[it.k], g.span)
		}
		l := s.likelihoodSkewed(s.skew(j), ev.cells, ev.value, ev.logNothing, best-it.log-telling)
		it.j.lik = &l
	})
}

// fineJoint is a joint with a bridge's place in thirds of its piece, which keeps
// what it was made of.
func (s *stage) fineJoint(fs []forecast, sev severity, span float64) *joint {
	j := s.jointOf(fs, sev, span, span/float64(len(placesAlong)))
	j.from = fs
	return j
}

// likelihoodSkewed is likelihood with the terms above floor looked at closer.
func (s *stage) likelihoodSkewed(sk *skewed, cells []levelCell, value, logNothing []float64, floor float64) likelihood {
	j := sk.j
	s.gather(j, cells, value, logNothing)
	w := &s.work
	w.max, w.bent.last = math.Inf(-1), w.bent.last[:0]
	of, own := w.likeliestPlaces(floor), floor
	if j.n >= manyReadings {
		own += faintly
	}
	shift := make([]float64, len(w.terms))
	for i := range w.terms {
		if t := &w.terms[i]; t.log > own || t.log > floor && of[t.way()] == i {
			shift[i] = s.bends(sk, t, &cells[t.cell], value)
		}
	}
	for i := range w.terms {
		t := &w.terms[i]
		switch {
		case t.log > own:
			t.log += shift[i]
		case t.log > floor:
			t.log += shift[of[t.way()]]
		}
		w.max = math.Max(w.max, t.log)
	}
	return w.sum(len(cells), len(s.obs))
}

// way is how readings came about but for a bridge's place along its piece.
type way struct {
	cell, a, b   int32
	more, turned uint64
}

func (t *term) way() way { return way{t.cell, t.a, t.b, t.more, t.signs.turned} }

// likeliestPlaces is, of each way of the terms above floor, the likeliest term: what its
// resistances being log-normal makes of it holds for the bridge's other places too, about.
func (w *workspace) likeliestPlaces(floor float64) map[way]int {
	of := map[way]int{}
	for i := range w.terms {
		t := &w.terms[i]
		if k, ok := of[t.way()]; t.log > floor && (!ok || t.log > w.terms[k].log) {
			of[t.way()] = i
		}
	}
	return of
}

// bends is what resistances that are log-normal add to a term, as a logarithm.
func (s *stage) bends(sk *skewed, t *term, c *levelCell, value []float64) float64 {
	j := sk.j
	resid, idx := make([]float64, 0, j.n), make([]int, 0, j.n)
	for a, o := range j.obs {
		if t.more&(1<<o) == 0 && int32(o) != t.a && int32(o) != t.b {
			idx = append(idx, a)
			resid = append(resid, t.signs.shown(value, o)-j.meanAt(a, c)-j.offset(a, int(t.place), c))
		}
	}
	if len(idx) == 0 {
		return 0
	}
	bent, flat, ok := s.work.bent.logDensity(sk, c, s.e.Model.Level.RailSD, idx, resid)
	if !ok || math.IsNaN(bent-flat) {
		s.failed.bends.Add(1)
		return 0
	}
	return bent - flat
}
