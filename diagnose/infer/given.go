package infer

import (
	"math"

	"fishplate/diagnose/meter"
)

// given holds the density of all readings and what each adds to it.
type given struct {
	g    gauss
	all  float64
	pos  []int // observation -> index in g, -1 when discrete
	disc []float64
	over []overLog
}

// overLog is the log likelihood of one reading being over the limit.
type overLog struct {
	obs int
	fn  meter.Function
	log float64
}

// overAll is the log likelihood of all readings over the limit but a and b. A
// function's limit is one and the same for all its readings, if not known well:
// where the least of the values is over it, the others are.
func (g *given) overAll(a, b int) float64 {
	sum := 0.0
	for i, o := range g.over {
		if o.obs == a || o.obs == b {
			continue
		}
		least := true
		for k, p := range g.over {
			if k == i || p.fn != o.fn || p.obs == a || p.obs == b {
				continue
			}
			if p.log < o.log || p.log == o.log && k < i {
				least = false
			}
		}
		if least {
			sum += o.log
		}
	}
	return sum
}

// isOver says whether a reading is over the limit of a value that is finite.
func (g *given) isOver(a int) bool {
	for i := range g.over {
		if g.over[i].obs == a {
			return true
		}
	}
	return false
}

func (s *stage) given(j *joint, c *levelCell, value []float64) (given, bool) {
	w := &s.work
	w.cov, w.resid = grow(w.cov, j.n*j.n), grow(w.resid, j.n)
	cov, resid := w.cov, w.resid
	w.felt.in(j, c, s.e.Model.Level.RailSD).matrix(cov, resid, value)
	w.signings.before(cov, j.n)
	g := w.g
	if !g.fit(cov, resid, j.n) {
		return given{}, false
	}
	g.invert()
	w.g = g
	w.over = w.over[:0]
	for k := range j.over {
		o := &j.over[k]
		w.over = append(w.over, overLog{o.obs, s.obs[o.obs].Func, o.log(c)})
	}
	out := given{g: g, all: g.logDensity(), pos: s.positions(len(s.obs)), disc: j.logDiscrete, over: w.over}
	out.all += out.overAll(-1, -1)
	for i := range out.pos {
		out.pos[i] = -1
		out.all += out.disc[i]
	}
	for a, i := range j.obs {
		out.pos[i] = a
	}
	return out, true
}

func (s *stage) positions(n int) []int {
	if cap(s.pos) < n {
		s.pos = make([]int, n)
	}
	return s.pos[:n]
}

// move puts other residuals in.
func (g *given) move(resid []float64) {
	g.all -= g.g.logDensity()
	g.g.set(resid)
	g.all += g.g.logDensity()
}

// fitsWell is how badly all readings together may fit, as a sum of squares: three
// standard deviations.
const fitsWell = 9

// poor says whether the readings fit so badly that two of them may say
// nothing. Where they fit within three standard deviations altogether, two
// misreads cost more (their odds squared, and a wider density) than they gain.
func (g *given) poor() bool {
	q := g.g.quad - 2*g.overAll(-1, -1)
	for i, p := range g.pos {
		if p < 0 {
			q -= 2 * g.disc[i]
		}
	}
	return q > fitsWell
}

// one is the log density of reading a given the others; +Inf may stand for what is at
// least most.
func (g *given) one(a int, most float64) float64 {
	if g.pos[a] < 0 {
		if len(g.over) > 0 && g.isOver(a) {
			return g.overAll(-1, -1) - g.overAll(a, -1)
		}
		return g.disc[a]
	}
	return g.disc[a] + g.g.logGiven(g.pos[a], most-g.disc[a])
}

// two is the log density of readings a and b given the others; +Inf may stand for what
// is at least most.
func (g *given) two(a, b int, most float64) float64 {
	pa, pb, all := g.pos[a], g.pos[b], math.Inf(1)
	switch {
	case pa >= 0 && pb >= 0:
		disc := g.disc[a] + g.disc[b]
		return disc + g.g.logGivenPair(pa, pb, most-disc)
	case pa < 0 && pb < 0 && len(g.over) > 1:
		return g.disc[a] + g.disc[b] + g.overAll(-1, -1) - g.overAll(a, b)
	}
	return g.one(a, all) + g.one(b, all)
}
