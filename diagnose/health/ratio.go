package health

import (
	"math"
	"slices"
)

// tries are the ohms that a joint is tried with, of either sign.
var tries = func() []float64 {
	var out []float64
	for d := 0.001; d < 200; d *= 1.35 {
		out = append(out, d)
	}
	return out
}()

// best is the ohms that explain volts best for a part, and by how much better than
// all as it was: half of what is left less.
func (j *judge) best(s *summary, part int, worse bool) (ohms, gain float64) {
	rep := j.c.Parts[part].rep
	gainAt := func(d float64) float64 {
		rest, _ := s.fit(j.c.change(rep, d))
		return (s.flat - rest) / 2
	}
	step := 1.0
	if !worse {
		step = -1
	}
	if z, size := s.straight(j.marks[part]); z*step < plainly {
		if z*step <= 0 {
			return 0, 0
		}
		return j.c.unbend(rep, z/size), z * z / 2
	}
	at := -1
	for i, d := range tries {
		if !worse && d > mostBetter {
			break
		}
		if g := gainAt(step * d); g > gain {
			at, gain = i, g
		}
	}
	if at < 0 {
		return 0, 0
	}
	// golden section between the neighbours, in the logarithm
	lo, hi := math.Log(tries[max(at-1, 0)]), math.Log(tries[min(at+1, len(tries)-1)])
	const golden = 0.6180339887498949
	for range 20 {
		a, b := hi-golden*(hi-lo), lo+golden*(hi-lo)
		if gainAt(step*math.Exp(a)) > gainAt(step*math.Exp(b)) {
			hi = b
		} else {
			lo = a
		}
	}
	d := step * math.Exp((lo+hi)/2)
	if g := gainAt(d); g > gain {
		return d, g
	}
	return step * tries[at], gain
}

// plainly is up to how many standard deviations a joint is taken to change the volts
// in proportion.
const plainly = 2

// straight is how many standard deviations the volts lie along a mark, and how many
// one ohm would be.
func (s *summary) straight(mark []float64) (z, size float64) {
	w := s.along(mark)
	if size = math.Sqrt(dot(w, w)); size == 0 {
		return 0, 0
	}
	return dot(w, s.y) / size, size
}

// along is a mark in standard deviations, less what a scale would do too.
func (s *summary) along(mark []float64) []float64 {
	columns := s.z.scales(s.volts)
	for i := range columns {
		columns[i] = s.cov.whiten(columns[i])
	}
	w := s.cov.whiten(mark)
	apart(columns, w)
	return w
}

// mostBetter is by how much one joint may have become better, ohm (assumed).
const mostBetter = 0.02

// found is a part and a sign with how well it explains the last evenings.
type found struct {
	part  int
	worse bool
	// chance is how likely so much is with all as it was; logs the logarithms, one a
	// drift, of the likelihood with what fits best times how many joints it stands for.
	chance float64
	logs   []float64
}

// test holds the last evenings up to e against all as it was.
func (j *judge) test(e int, v *Verdict) {
	windows := []struct {
		from  int
		share float64
	}{{e, alone}}
	if from := j.since(e); from < e {
		windows = append(windows, struct {
			from  int
			share float64
		}{from, 1 - alone})
	} else {
		windows[0].share = 1
	}
	v.Chance = 1
	var seen []found
	for _, w := range windows {
		list := j.weigh(w.from, e)
		for i := range list {
			if p := list[i].chance / (w.share * j.share(&list[i])); p < v.Chance {
				v.Chance, seen = p, list
			}
		}
	}
	if v.Chance < FalseAlarms {
		j.alarm(seen, e, v)
	}
}

// share is what of the false alarms a part may give, either way: as many contacts as it
// stands for.
func (j *judge) share(x *found) float64 {
	all := 0
	for p := range j.c.Parts {
		all += len(j.c.Parts[p].Links)
	}
	of := getsWorse
	if !x.worse {
		of = 1 - getsWorse
	}
	return of * float64(len(j.c.Parts[x.part].Links)) / float64(all)
}

// since is the first of the last evenings that are looked at together: none that is part
// of what they are held against.
func (j *judge) since(e int) int {
	from := max(e-span+1, 1)
	return min(max(from, j.ref[len(j.ref)-1]+1), e)
}

// weigh tries every part on evenings from..e together.
func (j *judge) weigh(from, e int) []found {
	n := float64(e - from + 1)
	m := float64(len(j.ref))
	f := 1/n + 1/m
	var list []found
	for p := range j.c.Parts {
		list = append(list, found{part: p, worse: true}, found{part: p})
	}
	volts := j.scaled(from, e+1, j.volts)
	for i, w := range j.belief {
		if w < 1e-4 {
			continue
		}
		s, ok := j.summary(volts, driftGrid[i], f)
		if !ok {
			continue
		}
		bent := j.bends(s, driftGrid[i], 1/(n*n)-1/(m*m))
		for k := range list {
			x := &list[k]
			ohms, gain := j.best(s, x.part, x.worse)
			z := math.Sqrt(2 * gain)
			if b := bent[x.part]; x.worse && b > 0 {
				z = math.Log1p(b*z) / b
			}
			x.chance += w * j.scatter[x.part].beyond(z)
			log := math.Log(w) + j.evidence(s, x.part, ohms, driftGrid[i], f)
			x.logs = append(x.logs, log+math.Log(j.share(x)))
		}
	}
	return list
}

// bends is how far sound contacts alone lean to the side of worse along each part's mark:
// a contact drifts by a factor, so that it rises further than it falls, the more the
// larger the drift is. It is the log-sd of the log-normal that leans as much, a third of
// the skewness; a distance of z is then as rare as one of ln(1 + b z) / b of a Gaussian
// (to first order E. A. Cornish, R. A. Fisher, "Moments and cumulants in the specification
// of distributions", Rev. Inst. Int. Stat. 5, 1938, from memory). third is how much of a
// contact's third cumulant the difference of two means of evenings has.
func (j *judge) bends(s *summary, d, third float64) []float64 {
	out := make([]float64, len(j.marks))
	var each [][]float64
	for _, x := range s.z.each {
		each = append(each, s.cov.whiten(x))
	}
	for p := range out {
		w := s.along(j.marks[p])
		size := math.Sqrt(dot(w, w))
		if size == 0 {
			continue
		}
		for k, x := range each {
			a := d * dot(w, x) / size
			out[p] += d * a * a * a * s.z.cubes[k] * third
		}
	}
	return out
}

// getsWorse is how likely a contact that changed by itself is worse; marksOff how far off, as a part of it, a
// mark may be that is reckoned with the file's ohms instead of the layout's own. Both are assumed.
const (
	getsWorse = 0.9
	marksOff  = 0.12
)

// evidence is the logarithm of how likely what was read is, with a part so much worse and
// its mark not known better than it is.
func (j *judge) evidence(s *summary, part int, ohms, d, f float64) float64 {
	change := j.c.change(j.c.Parts[part].rep, ohms)
	z := *s.z
	z.meter = slices.Clone(z.meter)
	for k := range z.meter {
		off := marksOff * change[k]
		z.meter[k] += off * off / f
	}
	cov, ok := z.at(d, f, f)
	if !ok {
		return math.Inf(-1)
	}
	loose := &summary{z: &z, volts: s.volts, cov: cov, y: cov.whiten(s.read), read: s.read}
	rest, log := loose.fit(change)
	return -rest/2 - log - cov.logDet()/2
}

// alarm says what was found, by evenings up to e.
func (j *judge) alarm(list []found, e int, v *Verdict) {
	weights := weightsOf(list)
	shares := make([]float64, len(j.c.Parts))
	i := 0
	for k, w := range weights {
		shares[list[k].part] += w
		if w > weights[i] {
			i = k
		}
	}
	v.Quiet, v.Better, v.Parts, v.Shares = false, !list[i].worse, nil, nil
	for sum := 0.0; sum < named && len(v.Parts) < len(shares); {
		best := -1
		for p := range shares {
			if !slices.Contains(v.Parts, p) && (best < 0 || shares[p] > shares[best]) {
				best = p
			}
		}
		v.Parts, v.Shares = append(v.Parts, best), append(v.Shares, shares[best])
		sum += shares[best]
	}
	v.Since = j.begin(list[i], e)
	n := float64(e - v.Since + 1)
	f := 1/n + 1/float64(len(j.ref))
	s, ok := j.summary(j.scaled(v.Since, e+1, j.volts), j.mean(), f)
	if !ok {
		return
	}
	ohms, gain := j.best(s, list[i].part, list[i].worse)
	low, high := j.bounds(s, list[i].part, ohms, gain)
	off := 1.645 * marksOff * ohms
	v.Ohms = ohms
	v.Low, v.High = ohms-math.Copysign(math.Hypot(ohms-low, off), ohms),
		ohms+math.Copysign(math.Hypot(high-ohms, off), ohms)
}

// named is how sure it must be that it is in one of the parts that are named
// (assumed).
const named = 0.9

// weightsOf shares one out over hypotheses by their likelihoods.
func weightsOf(list []found) []float64 {
	top := math.Inf(-1)
	for k := range list {
		top = max(top, slices.Max(list[k].logs))
	}
	out, sum := make([]float64, len(list)), 0.0
	for k := range list {
		for _, x := range list[k].logs {
			out[k] += math.Exp(x - top)
		}
		sum += out[k]
	}
	for k := range out {
		out[k] /= sum
	}
	return out
}

// mean is the drift as believed.
func (j *judge) mean() float64 {
	out := 0.0
	for i, w := range j.belief {
		out += w * driftGrid[i]
	}
	return out
}

// begin is the evening from which on a change explains the evenings up to e best: the
// likelihood ratio of a change at that evening is largest.
func (j *judge) begin(x found, e int) int {
	best, since := 0.0, e
	for from := e; from > j.ref[len(j.ref)-1]; from-- {
		f := 1/float64(e-from+1) + 1/float64(len(j.ref))
		s, ok := j.summary(j.scaled(from, e+1, j.volts), j.mean(), f)
		if !ok {
			break
		}
		if _, gain := j.best(s, x.part, x.worse); gain > best {
			best, since = gain, from
		}
	}
	return since
}

// bounds are the ohms between which it is nine times of ten: where twice the gain falls
// by the square of 1.645.
func (j *judge) bounds(s *summary, part int, ohms, gain float64) (low, high float64) {
	falls := func(d float64) bool {
		rest, _ := s.fit(j.c.change(j.c.Parts[part].rep, d))
		return (s.flat-rest)/2 < gain-1.645*1.645/2
	}
	low, high = ohms, ohms
	step := 1.02
	for range 400 {
		if low /= step; falls(low) {
			break
		}
	}
	for range 400 {
		if high *= step; falls(high) {
			break
		}
	}
	if math.Abs(low) > math.Abs(high) {
		low, high = high, low
	}
	return low, high
}

// standsOff is by how much a part stands off the good evenings on one, ohm of one joint.
func (j *judge) standsOff(part, e int) float64 {
	s, ok := j.summary(j.scaled(e, e+1, j.volts), j.mean(), 1)
	if !ok {
		return 0
	}
	up, more := j.best(s, part, true)
	down, less := j.best(s, part, false)
	if less > more {
		return down
	}
	return up
}
