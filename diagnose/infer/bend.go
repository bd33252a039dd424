package infer

import "math"

// bend is what the second derivatives of laplace's cost have apart from the readings'
// slopes:
//
//	A = 1 - sum_k g_k a_k a_k',
//
// g_k what the cost would lose by lump k (rails, other joints) twice as large, to first
// order, and a_k how its logarithm moves with the unknowns. It is an arrow: diagonal in
// the lumps, with a border of the two levels, and factorised at once, A = M M'. In
// t = M^-1 (slopes) it is 1, and what has the readings in it is noise + t't, a matrix
// of the readings alone however many lumps there are (the matrix inversion lemma; M. A.
// Woodbury, "Inverting modified matrices", 1950, from memory).
//
// An unknown that bends by less than leastBend by itself is raised to that for M, and
// lowered again in the end (lacking).
type bend struct {
	diag          []float64 // of the lumps
	rail, jnt     []float64 // border: lump by common level, by joints' level
	uu, uv, vv    float64   // the levels' own corner
	root          []float64 // of diag
	luu, lvu, lvv float64   // factor of the corner, the lumps taken out
	logDet        float64
	lacks         []lack
}

// lack is what an unknown's own bend was raised by.
type lack struct {
	unknown int
	by      float64
}

// leastBend keeps digits (assumed); an unknown's prior bends by 1.
const leastBend = 0.25

// of works it out where cost was last asked for.
func (b *bend) of(w *laplace) {
	n, lumps := w.n, w.p-2
	b.room(lumps)
	cs, js := w.c.commonSD, w.c.jointSD
	gain := func(k int) float64 { return w.grow[k] * dot(w.by[k*n:(k+1)*n], w.free.white) }
	joints := gain(lumps + 1)
	all := gain(lumps) + joints
	for k := range b.diag {
		l, g := &w.sk.lumps[k], gain(k)
		b.diag[k], b.rail[k], b.jnt[k] = 1-l.sd*l.sd*g, 0, 0
		if !l.wire {
			b.rail[k], b.jnt[k] = -l.sd*cs*g, -l.sd*js*g
			joints, all = joints+g, all+g
		}
	}
	b.uu, b.uv, b.vv = 1-cs*cs*all, -cs*js*joints, 1-js*js*joints
	b.factor()
}

// none leaves the prior's alone.
func (b *bend) none(lumps int) {
	b.room(lumps)
	for k := range b.diag {
		b.diag[k], b.rail[k], b.jnt[k] = 1, 0, 0
	}
	b.uu, b.uv, b.vv = 1, 0, 1
	b.factor()
}

func (b *bend) room(lumps int) {
	b.diag, b.root, b.rail, b.jnt = grow(b.diag, lumps), grow(b.root, lumps), grow(b.rail, lumps), grow(b.jnt, lumps)
}

// sooner is how many of a determinant's factors are multiplied before a logarithm is
// taken: so many never leave what a float64 holds.
const sooner = 16

func (b *bend) factor() {
	uu, uv, vv, product := b.uu, b.uv, b.vv, 1.0
	b.logDet, b.lacks = 0, b.lacks[:0]
	for k, d := range b.diag {
		d = b.atLeast(k, d)
		b.diag[k], b.root[k] = d, math.Sqrt(d)
		uu, uv, vv = uu-b.rail[k]*b.rail[k]/d, uv-b.rail[k]*b.jnt[k]/d, vv-b.jnt[k]*b.jnt[k]/d
		if product *= d; k%sooner == sooner-1 {
			b.logDet, product = b.logDet+math.Log(product), 1
		}
	}
	uu = b.atLeast(len(b.diag), uu)
	b.luu = math.Sqrt(uu)
	b.lvu = uv / b.luu
	vv = b.atLeast(len(b.diag)+1, vv-b.lvu*b.lvu)
	b.lvv = math.Sqrt(vv)
	b.logDet += math.Log(product) + math.Log(uu*vv)
}

// atLeast is how much an unknown bends by itself, raised where that is too little.
func (b *bend) atLeast(unknown int, d float64) float64 {
	if d >= leastBend {
		return d
	}
	b.lacks = append(b.lacks, lack{unknown, leastBend - d})
	return leastBend
}

// in is M^-1 of something by unknown: rows of n numbers each.
func (b *bend) in(out, rows []float64, n int) {
	p := len(b.diag)
	u, v := out[p*n:(p+1)*n], out[(p+1)*n:(p+2)*n]
	copy(u, rows[p*n:])
	copy(v, rows[(p+1)*n:])
	for k, d := range b.diag {
		from, to := rows[k*n:(k+1)*n], out[k*n:(k+1)*n]
		r, j, by := b.rail[k]/d, b.jnt[k]/d, 1/b.root[k]
		for x, s := range from {
			to[x] = by * s
			u[x] -= r * s
			v[x] -= j * s
		}
	}
	for x := range u {
		u[x] /= b.luu
		v[x] = (v[x] - b.lvu*u[x]) / b.lvv
	}
}

// unit is M^-1 of one unknown, times the root of what it lacks.
func (b *bend) unit(out []float64, l lack) {
	clear(out)
	p, by, u, v := len(b.diag), math.Sqrt(l.by), 0.0, 0.0
	switch k := l.unknown; k {
	case p:
		u = by
	case p + 1:
		v = by
	default:
		out[k] = by / b.root[k]
		u, v = -b.rail[k]/b.diag[k]*by, -b.jnt[k]/b.diag[k]*by
	}
	out[p] = u / b.luu
	out[p+1] = (v - b.lvu*out[p]) / b.lvv
}

// back is M'^-1 of something by unknown, in place.
func (b *bend) back(t []float64) {
	p := len(b.diag)
	v := t[p+1] / b.lvv
	u := (t[p] - b.lvu*v) / b.luu
	for k, d := range b.diag {
		t[k] = t[k]/b.root[k] - (b.rail[k]*u+b.jnt[k]*v)/d
	}
	t[p], t[p+1] = u, v
}
