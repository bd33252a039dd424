package infer

import (
	"math"
	"slices"
)

// Of a fault that comes and goes more than two readings can say nothing: of twenty three
// are away as a rule (Away). Sets of three and more are too many to be gone through. What
// is added is a path to a likely one of them, by one reading more at a time for as long as
// that is likelier, with every set beside it that has another one there: from none that
// says nothing up, and where what is left fits badly still, since each of them can be
// explained by another that is wrong too, from all down. What the sum lacks is what lies
// beside both.
const (
	mostAway     = 12 // readings that say nothing at once, on the way up (assumed)
	mostInBitset = 64
)

// awaySearch is memory for those paths.
type awaySearch struct {
	cov                      []float64 // of all readings in the level cell
	inv, white, given, resid []float64
	from                     int // the first of the terms that were added on the way up
}

// putMore adds the terms in which more readings than had say nothing, with log that of
// all readings as they are.
func (w *workspace) putMore(had int, log float64, cell int, given *given, logNothing []float64) {
	if len(logNothing) > mostInBitset || given.g.n == 0 {
		return
	}
	w.more.from = len(w.terms)
	if w.putOut(had, log, cell, given, logNothing) > fitsWell {
		w.putIn(had, log, cell, given, logNothing)
	}
}

// putOut goes the way up, and gives how badly what is left at its end fits, as a sum of
// squares.
func (w *workspace) putOut(had int, log float64, cell int, given *given, logNothing []float64) float64 {
	m, n := &w.more, given.g.n
	m.inv, m.white = grow(m.inv, n*n), grow(m.white, n)
	copy(m.inv, given.g.inv[:n*n])
	copy(m.white, given.g.white[:n])
	out := uint64(0)
	for size := 1; size <= mostAway; size++ {
		next, gain := -1, 0.0
		for o := range logNothing {
			if out&(1<<o) != 0 || w.signs.turns(o) {
				continue
			}
			by := w.swap[o] + logNothing[o] - m.alone(o, given, n)
			if size > had {
				w.addOut(log+by, cell, out|1<<o)
			}
			if by > gain {
				next, gain = o, by
			}
		}
		if next < 0 {
			break
		}
		out, log = out|1<<next, log+gain
		if p := given.pos[next]; p >= 0 {
			m.drop(p, n)
		}
	}
	return dot(m.white[:n], given.g.resid[:n])
}

// drop takes a reading out: what the others' inverse covariance is without it.
func (m *awaySearch) drop(p, n int) {
	row := m.inv[p*n : p*n+n]
	scale := 1 / row[p]
	for a := range n {
		if by := m.inv[a*n+p] * scale; a != p && by != 0 {
			for b := range n {
				m.inv[a*n+b] -= by * row[b]
			}
			m.white[a] -= by * m.white[p]
		}
	}
	for a := range n {
		m.inv[a*n+p], m.inv[p*n+a] = 0, 0
	}
	m.white[p] = 0
}

// alone is the log density of a reading given the others that are left.
func (m *awaySearch) alone(o int, given *given, n int) float64 {
	p := given.pos[o]
	if p < 0 {
		return given.one(o)
	}
	d := m.inv[p*n+p]
	if !(d > 0) {
		return math.Inf(1)
	}
	return given.disc[o] - 0.5*(log2Pi-math.Log(d)+m.white[p]*m.white[p]/d)
}

// putIn goes the way down, from all readings that may say nothing.
func (w *workspace) putIn(had int, log float64, cell int, given *given, logNothing []float64) {
	m, n := &w.more, given.g.n
	m.given, m.resid = grow(m.given, n*n), grow(m.resid, n)
	for a := range n { // the lower half alone is there
		for b := range a + 1 {
			m.given[a*n+b], m.given[b*n+a] = m.cov[a*n+b], m.cov[a*n+b]
		}
	}
	copy(m.resid, given.g.resid[:n])
	log += -given.g.logDensity()
	out, left := uint64(0), 0
	for o, p := range given.pos {
		if away := w.swap[o] + logNothing[o]; !w.signs.turns(o) && (p >= 0 || away > given.one(o)) {
			log += away - given.disc[o]
			if p < 0 {
				log += given.disc[o] - given.one(o)
			}
			out, left = out|1<<o, left+1
		}
	}
	for o, p := range given.pos { // of the other sign: these say something
		if p >= 0 && w.signs.turns(o) {
			log += m.told(p, n)
			m.keep(p, n)
		}
	}
	for ; left > had; left-- {
		w.addOut(log, cell, out)
		next, gain := -1, 0.0
		for o, p := range given.pos {
			if p < 0 || out&(1<<o) == 0 {
				continue
			}
			by := given.disc[o] + m.told(p, n) - w.swap[o] - logNothing[o]
			if left-1 > had {
				w.addOut(log+by, cell, out&^(1<<o))
			}
			if by > gain {
				next, gain = o, by
			}
		}
		if next < 0 {
			return
		}
		out, log = out&^(1<<next), log+gain
		m.keep(given.pos[next], n)
	}
}

// told is the log density of a reading given those that are kept.
func (m *awaySearch) told(p, n int) float64 {
	d := m.given[p*n+p]
	if !(d > 0) {
		return math.Inf(-1)
	}
	return -0.5 * (log2Pi + math.Log(d) + m.resid[p]*m.resid[p]/d)
}

// keep takes a reading in: what the others' covariance and what is left of them are
// given it.
func (m *awaySearch) keep(p, n int) {
	row := m.given[p*n : p*n+n]
	scale := 1 / row[p]
	for a := range n {
		if by := m.given[a*n+p] * scale; a != p && by != 0 {
			for b := range n {
				if b != p {
					m.given[a*n+b] -= by * row[b]
				}
			}
			m.resid[a] -= by * m.resid[p]
		}
	}
}

// addOut adds a term of many readings that say nothing, a bit each, once.
func (w *workspace) addOut(x float64, cell int, out uint64) {
	if !(x > w.max-faint) || slices.ContainsFunc(w.terms[w.more.from:], func(t term) bool { return t.more == out }) {
		return
	}
	w.max = math.Max(w.max, x)
	w.terms = append(w.terms, term{x, int32(cell), -1, -1, out, w.place, w.signs})
}
