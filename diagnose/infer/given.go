package infer

import "fishplate/diagnose/meter"

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
	if s.e.sometimes {
		w.more.cov = append(w.more.cov[:0], cov[:j.n*j.n]...)
	}
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

// moved are residuals, and what the inverse covariance makes of them.
type moved struct{ resid, white []float64 }

func (m *moved) grow(n int) { m.resid, m.white = grow(m.resid, n), grow(m.white, n) }

// toward sets what a bridge at one of its places along a piece moves the readings by.
func (m *moved) toward(j *joint, place int, c *levelCell, g *gauss) {
	m.grow(j.n)
	for a := range m.resid {
		m.resid[a] = j.offset(a, place, c)
	}
	for a := range m.white {
		m.white[a] = dot(g.inv[a*j.n:(a+1)*j.n], m.resid)
	}
}

// turned sets the readings with some of them signed the other way.
func (m *moved) turned(j *joint, signs signs, g *gauss, value []float64) {
	m.grow(j.n)
	copy(m.resid, g.resid)
	copy(m.white, g.white)
	if signs.turned == 0 {
		return
	}
	for a, o := range j.obs {
		if by := signs.shown(value, o) - value[o]; by != 0 {
			m.resid[a] += by
			for b, inv := range g.inv[a*j.n : (a+1)*j.n] {
				m.white[b] += by * inv
			}
		}
	}
}

// less sets what is left of readings with a move taken off, none for nil.
func (m *moved) less(of, off *moved) {
	m.grow(len(of.resid))
	copy(m.resid, of.resid)
	copy(m.white, of.white)
	if off == nil {
		return
	}
	for a, x := range off.resid {
		m.resid[a] -= x
		m.white[a] -= off.white[a]
	}
}

// put puts other residuals in.
func (g *given) put(m *moved) {
	before := g.g.quad
	g.g.resid, g.g.white, g.g.quad = m.resid, m.white, dot(m.resid, m.white)
	g.all += (before - g.g.quad) / 2
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

// one is the log density of reading a given the others.
func (g *given) one(a int) float64 {
	switch p := g.pos[a]; {
	case p >= 0:
		return g.disc[a] + g.g.logGiven(p)
	case len(g.over) > 0 && g.isOver(a):
		return g.overAll(-1, -1) - g.overAll(a, -1)
	}
	return g.disc[a]
}

// two is the log density of readings a and b given the others, one of them at least no
// number.
func (g *given) two(a, b int) float64 {
	if g.pos[a] < 0 && g.pos[b] < 0 && len(g.over) > 1 {
		return g.disc[a] + g.disc[b] + g.overAll(-1, -1) - g.overAll(a, b)
	}
	return g.one(a) + g.one(b)
}
