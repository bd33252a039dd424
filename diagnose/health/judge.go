package health

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Evening is what was read, in the order of the plan's readings.
type Evening []Shown

// Verdict is what the evenings say of the last of them.
type Verdict struct {
	// Quiet: all as it was. Else one part is worse, or (Better) reads better than when the
	// baseline was taken.
	Quiet  bool `json:"all_as_it_was"`
	Better bool `json:"better,omitempty"`
	// Parts are where it is, nine times of ten: indices into Check.Parts, the likeliest
	// first; Shares how likely each is, 0 to 1.
	Parts  []int     `json:"-"`
	Shares []float64 `json:"-"`
	// Ohms is how much one joint there has more than on the good evenings; nine times of
	// ten it is from Low to High.
	Ohms float64 `json:"ohm,omitempty"`
	Low  float64 `json:"low_ohm,omitempty"`
	High float64 `json:"high_ohm,omitempty"`
	// Since is the evening from which on it is so, counted from 0, the baseline.
	Since int `json:"-"`
	// Drift is the log-sd of sound joints from evening to evening as believed, and
	// Learned how many evenings said anything of it beyond what is assumed.
	Drift   float64 `json:"drift"`
	Learned int     `json:"evenings_learned_from"`
	// Chance is how likely so much is with all as it was, before it is shared out.
	Chance float64 `json:"-"`
}

// History is what every evening came to, and by how much each part stood off the
// good evenings: Ohms[part][evening].
type History struct {
	Verdicts []Verdict
	Ohms     [][]float64
}

// Last is the verdict of the newest evening.
func (h *History) Last() *Verdict { return &h.Verdicts[len(h.Verdicts)-1] }

const mostVolts = 400

// Fits says what is wrong with an evening for this check.
func (c *Check) Fits(e Evening) error {
	if len(e) != len(c.rows) {
		return fmt.Errorf("it has %d readings, and the check has %d", len(e), len(c.rows))
	}
	for _, s := range e {
		if !(math.Abs(s.Volts) <= mostVolts) || !(s.Step >= 0 && s.Step <= 10) {
			return fmt.Errorf("%g V in steps of %g V is no reading of a health check", s.Volts, s.Step)
		}
	}
	return nil
}

// Judge goes through the evenings, the baseline first.
func (c *Check) Judge(evenings []Evening) (*History, error) {
	if len(evenings) == 0 {
		return nil, errors.New("there is no evening")
	}
	j := &judge{c: c, all: evenings}
	for p := range c.Parts {
		j.marks = append(j.marks, c.mark(c.Parts[p].rep))
	}
	h := &History{}
	for i, e := range evenings {
		if err := c.Fits(e); err != nil {
			return nil, fmt.Errorf("evening %d: %w", i+1, err)
		}
		v := j.evening(i)
		h.Verdicts = append(h.Verdicts, v)
	}
	for p := range c.Parts {
		row := make([]float64, len(evenings))
		for e := range evenings {
			row[e] = j.standsOff(p, e)
		}
		h.Ohms = append(h.Ohms, row)
	}
	return h, nil
}

// judge keeps what was learned up to an evening.
type judge struct {
	c       *Check
	all     []Evening
	ref     []int     // the good evenings, that all are held against
	quiet   []int     // all that were judged quiet, the baseline in it
	odd     []int     // all others
	volts   []float64 // their mean
	noise   *noise
	belief  []float64   // over drifts
	marks   [][]float64 // by part
	scatter []scatter   // by part
}

// driftGrid is the grid on which the drift is learned.
var driftGrid = func() []float64 {
	var out []float64
	for d := 0.02; d < 1; d *= 1.4 {
		out = append(out, d)
	}
	return out
}()

// evening judges one evening by those before it.
func (j *judge) evening(e int) Verdict {
	v := Verdict{Quiet: true}
	if e > 0 {
		j.test(e, &v)
	}
	if v.Quiet {
		j.quiet = append(j.quiet, e)
		if len(j.ref) < good {
			j.ref = append(j.ref, e)
		}
		j.learn()
	} else if j.odd = append(j.odd, e); len(j.ref) < good && len(j.odd) > 1 {
		j.learn()
	}
	for i, w := range j.belief {
		v.Drift += w * driftGrid[i]
	}
	v.Learned = len(j.quiet) - 1
	return v
}

// learn takes the mean of the good evenings, and weighs the drifts by how the quiet
// evenings scatter about it.
func (j *judge) learn() {
	j.volts = j.scaled(j.ref[0], j.ref[0]+1, nil)
	for range 3 { // each evening's scale is that to the mean
		mean := make([]float64, len(j.volts))
		for _, e := range j.ref {
			add(mean, 1/float64(len(j.ref)), j.scaled(e, e+1, j.volts))
		}
		j.volts = mean
	}
	j.noise = j.c.noise(j.volts)
	j.belief = make([]float64, len(driftGrid))
	best := math.Inf(-1)
	for i, d := range driftGrid {
		off := math.Log(d/usualDrift) / driftSpread
		j.belief[i] = -off * off / 2
		j.belief[i] += j.likelihood(d)
		best = max(best, j.belief[i])
	}
	sum := 0.0
	for i := range j.belief {
		j.belief[i] = math.Exp(j.belief[i] - best)
		sum += j.belief[i]
	}
	for i := range j.belief {
		j.belief[i] /= sum
	}
	j.learnScatter()
}

// scatter is how a part alone scatters, in units of what the drift of all would make of
// it: some contacts have many times the ohms of others. Its square is what evenings, as
// many as parted, take for granted and those that were quiet say.
type scatter struct{ square, evenings float64 }

// parted is how well the square of the scatter of one part is known before any evening
// says, in evenings (assumed).
const parted = 10

// beyond is how likely so many standard deviations, or more, are: of Student's
// distribution, by the normal one that stands for it (D. L. Wallace, "Bounds on normal
// approximations to Student's and the chi-square distributions", Ann. Math. Stat. 30,
// 1959, from memory; good to a few percent of the distance).
func (s scatter) beyond(z float64) float64 {
	n := s.evenings
	t := z * z / s.square
	return math.Erfc((8*n+1)/(8*n+3)*math.Sqrt(n*math.Log1p(t/n))/math.Sqrt2) / 2
}

// learnScatter takes each part's from the quiet evenings.
func (j *judge) learnScatter() {
	j.scatter = make([]scatter, len(j.c.Parts))
	for p := range j.scatter {
		j.scatter[p] = scatter{parted, parted}
	}
	n := float64(len(j.ref))
	mean := j.mean()
	for _, i := range j.learnedFrom() {
		f, free := 1+1/n, 1.0
		if i < len(j.ref) {
			f, free = 1-1/n, 1-1/n
		}
		if f == 0 {
			continue
		}
		e := j.quiet[i]
		s, ok := j.summary(j.scaled(e, e+1, j.volts), mean, f)
		if !ok {
			continue
		}
		for p := range j.scatter {
			z, _ := s.straight(j.marks[p])
			j.scatter[p].square += free * z * z
			j.scatter[p].evenings += free
		}
	}
	for p := range j.scatter {
		j.scatter[p].square /= j.scatter[p].evenings
	}
}

// learnedFrom are the quiet evenings that are learned from, as indices into quiet: those
// that all are held against, and the newest before those that are looked at together. What
// is small and stays would else be learned as drift.
func (j *judge) learnedFrom() []int {
	var out []int
	last := j.quiet[len(j.quiet)-1]
	for i, e := range j.quiet {
		if i < len(j.ref) || i >= len(j.quiet)-mostLearned && e <= last-span+1 {
			out = append(out, i)
		}
	}
	return out
}

// likelihood is the logarithm of how likely the scatter of the quiet evenings is with a
// drift: of the good ones about their own mean, of later ones about that mean.
func (j *judge) likelihood(d float64) float64 {
	out := 0.0
	n := float64(len(j.ref))
	for _, i := range j.learnedFrom() {
		e := j.quiet[i]
		f := 1.0
		if i >= len(j.ref) {
			f += 1 / n
		}
		s, ok := j.summary(j.scaled(e, e+1, nil), d, f)
		if !ok {
			return math.Inf(-1)
		}
		free := 1.0
		if i < len(j.ref) {
			free = 1 - 1/n // the mean is theirs
		}
		out -= s.flat/2 + free*s.log
	}
	return out + j.amongOdd(d)
}

// amongOdd is the same of the evenings that were not quiet, about their own mean: what
// changed and stays is in that mean. It is asked as long as few evenings were good, for else
// an unlucky baseline would give alarms for ever, with nothing learned from any of them.
func (j *judge) amongOdd(d float64) float64 {
	n := float64(len(j.odd))
	if len(j.ref) >= good || n < 2 {
		return 0
	}
	own := make([]float64, len(j.volts))
	for _, e := range j.odd {
		add(own, 1/n, j.scaled(e, e+1, j.volts))
	}
	out := 0.0
	for _, e := range j.odd {
		s, ok := j.summary(j.scaled(e, e+1, nil), d, 1)
		if !ok {
			return math.Inf(-1)
		}
		s.volts = own
		flat, log := s.fit(nil)
		out -= flat/2 + (1-1/n)*(s.cov.logDet()/2+log)
	}
	return out
}

// mostLearned is from how many of the newest quiet evenings the drift is learned.
const mostLearned = 40

// scaled is the mean of evenings from..to-1, each brought to the scale of some volts (nil:
// as it is), for each place of the lamp by itself.
func (j *judge) scaled(from, to int, like []float64) []float64 {
	out := make([]float64, len(j.c.rows))
	for e := from; e < to; e++ {
		xy, xx := make([]float64, len(j.c.Plan.Places)), make([]float64, len(j.c.Plan.Places))
		for k, s := range j.all[e] {
			if p := j.c.rows[k].place; like != nil {
				xy[p] += s.Volts * like[k]
				xx[p] += s.Volts * s.Volts
			}
		}
		for k, s := range j.all[e] {
			g := 1.0
			if p := j.c.rows[k].place; xy[p] > 0 && xx[p] > 0 {
				g = xy[p] / xx[p]
			}
			out[k] += g * s.Volts / float64(to-from)
		}
	}
	return out
}

// summary is what was read, in units of how it scatters.
type summary struct {
	z     *noise
	volts []float64 // of the good evenings
	cov   *matrix
	read  []float64
	y     []float64
	flat  float64 // what is left with all as it was, squared
	log   float64 // half the logarithm of the determinant of what is left free
}

// summary makes one; f is how many evenings' worth of scatter is in it.
func (j *judge) summary(volts []float64, d, f float64) (*summary, bool) {
	cov, ok := j.noise.at(d, f, f)
	if !ok {
		return nil, false
	}
	s := &summary{z: j.noise, volts: j.volts, cov: cov, read: volts, y: cov.whiten(volts)}
	flat, log := s.fit(nil)
	s.flat, s.log = flat, cov.logDet()/2+log
	return s, true
}

// fit is what is left of the volts, squared, when they have changed so (nil: not at all).
func (s *summary) fit(change []float64) (rest, log float64) {
	x := slices.Clone(s.volts)
	if change != nil {
		add(x, 1, change)
	}
	columns := s.z.scales(x)
	for i := range columns {
		columns[i] = s.cov.whiten(columns[i])
	}
	y := slices.Clone(s.y)
	log = apart(columns, y)
	return dot(y, y), log
}
