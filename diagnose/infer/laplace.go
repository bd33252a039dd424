package infer

import (
	"math"

	"fishplate/diagnose/conductor"
)

// laplace integrates over the lumps and over where the levels lie within their
// cell: all log-normal, each the exponential of a standard normal. The
// integrand is a Gaussian about its largest value (Laplace's method; L.
// Tierney, J. B. Kadane, "Accurate approximations for posterior moments and
// marginal densities", J. Am. Stat. Assoc. 81, 1986, from memory).
type laplace struct {
	sk   *skewed
	c    *levelCell
	n, p int // readings, unknowns: lumps, common level, joints' level
	// by, jac: unknown by unknown, what each reading moves by (volt at the
	// mean; for the last two that of rails, and of joints in no lump), and the
	// derivatives.
	by, jac []float64
	z, next []float64 // the unknowns
	last    []float64 // where they ended for the term before, of the same joint; empty for none
	grow    []float64 // factor on each lump's mean, on rails, on other joints
	noise   []float64 // covariance with lumps and levels at their place
	r       []float64 // residuals there
	cov     []float64
	free    gauss // the readings with the lumps and levels at their place
	all     gauss // and with them spread
	to      newton
	box     boxes
	felt    felt
}

// logDensity of readings idx of a joint in a level cell, given their residuals
// from the cell's center: bent with log-normal lumps and levels, flat with all
// of it Gaussian.
func (w *laplace) logDensity(sk *skewed, c *levelCell, railSD float64, idx []int, resid []float64) (bent,
	flat float64, ok bool) {
	w.start(sk, c, idx)
	w.still(railSD, idx)
	copy(w.cov, w.noise)
	if !w.free.fit(w.cov[:w.n*w.n], resid, w.n) {
		return 0, 0, false
	}
	w.slopes(true)
	if !w.spread(resid) {
		return 0, 0, false
	}
	flat = w.all.logDensity()
	boxLog := 0.0
	if w.box.start(sk.j, idx) {
		w.together(w.jac)
		if l, ok := w.box.settle(w.cov, resid); ok {
			boxLog = l
			resid = w.box.resid
			w.unbox()
			copy(w.cov, w.noise)
			if !w.free.fit(w.cov[:w.n*w.n], resid, w.n) || !w.spread(resid) {
				return 0, 0, false
			}
		}
	}
	w.begin()
	f, ok := w.descend(resid)
	if !ok {
		return 0, 0, false
	}
	w.last = append(w.last[:0], w.z...)
	logDet, ok := w.curvature()
	if !ok {
		return 0, 0, false
	}
	return boxLog - f - 0.5*(float64(w.n)*log2Pi+logDet), flat, true
}

// unbox takes the Gaussians in place of the boxes into the noise.
func (w *laplace) unbox() {
	for x, v := range w.box.vary {
		w.noise[x*w.n+x] += v - w.box.own[x]
	}
}

func (w *laplace) start(sk *skewed, c *levelCell, idx []int) {
	w.sk, w.c, w.n, w.p = sk, c, len(idx), len(sk.lumps)+2
	n, p := w.n, w.p
	w.by, w.jac = grow(w.by, n*p), grow(w.jac, n*p)
	w.z, w.next, w.grow = grow(w.z, p), grow(w.next, p), grow(w.grow, p)
	w.cov, w.r = grow(w.cov, n*n), grow(w.r, n)
	for k := range sk.lumps {
		l := &sk.lumps[k]
		scale := c.jnt
		if l.wire {
			scale = 1
		}
		for x, a := range idx {
			w.by[k*n+x] = sk.j.byLampAt(a, c) * scale * l.by[a]
		}
	}
	for x, a := range idx {
		lamp := sk.j.byLampAt(a, c)
		w.by[(p-2)*n+x] = lamp * c.rail * sk.j.rail[a]
		w.by[(p-1)*n+x] = lamp * c.jnt * sk.jnt[a]
	}
}

// still sets the covariance of what is neither a lump nor a level within its
// cell: its lower triangle.
func (w *laplace) still(railSD float64, idx []int) {
	w.noise = grow(w.noise, w.n*w.n)
	c, kept, felt := w.c, &w.sk.kept, w.felt.in(w.sk.j, w.c, railSD)
	rails := w.by[(w.p-2)*w.n:]
	for x, a := range idx {
		for y, b := range idx[:x+1] {
			at := a*w.sk.j.n + b
			lamps := felt.lamp[a] * felt.lamp[b]
			w.noise[x*w.n+y] = lamps*(c.rail*c.rail*kept[conductor.ClassRail][at]+
				c.jnt*c.jnt*kept[conductor.ClassJoint][at]+kept[conductor.ClassWire][at]) +
				felt.common(a, b) + railSD*railSD*rails[x]*rails[y]
		}
	}
}

// slopes sets the derivatives where cost was last asked for; flat, those of a
// Gaussian with the same means and variances.
func (w *laplace) slopes(flat bool) {
	n, p := w.n, w.p
	clear(w.jac[(p-2)*n : p*n])
	for k := 0; k < p; k++ {
		f, sd, wire := w.grow[k], 0.0, false
		if k < p-2 {
			l := &w.sk.lumps[k]
			sd, wire = l.sd, l.wire
		}
		if flat {
			f, sd = 1, math.Sqrt(math.Expm1(sd*sd))
		}
		for x := 0; x < n; x++ {
			v := w.by[k*n+x] * f
			if k < p-2 {
				w.jac[k*n+x] = sd * v
			}
			if !wire {
				w.jac[(p-2)*n+x] += w.c.commonSD * v
			}
			if !wire && k != p-2 {
				w.jac[(p-1)*n+x] += w.c.jointSD * v
			}
		}
	}
}

// spread fits the readings with the unknowns' derivatives as they are.
func (w *laplace) spread(resid []float64) bool {
	w.together(w.jac)
	return w.all.fit(w.cov[:w.n*w.n], resid, w.n)
}

// together sets the covariance with the unknowns' derivatives as they are: its
// lower triangle, which is all that a fit reads.
func (w *laplace) together(slopes []float64) {
	n := w.n
	cov := w.cov[:n*n]
	copy(cov, w.noise)
	k := 0
	for ; k+4 <= w.p; k += 4 { // four at once: a sum is fetched and put back once
		fours(cov, slopes[k*n:(k+4)*n], n)
	}
	for ; k < w.p; k++ {
		row := slopes[k*n : k*n+n]
		for x, a := range row {
			for y, b := range row[:x+1] {
				cov[x*n+y] += a * b
			}
		}
	}
}

// fours adds the products of four rows to a lower triangle.
func fours(cov, rows []float64, n int) {
	p, q, r, s := rows[:n], rows[n:2*n], rows[2*n:3*n], rows[3*n:4*n]
	for x := range n {
		a, b, c, d := p[x], q[x], r[x], s[x]
		if a == 0 && b == 0 && c == 0 && d == 0 {
			continue
		}
		to := cov[x*n : x*n+x+1]
		p, q, r, s := p[:len(to)], q[:len(to)], r[:len(to)], s[:len(to)]
		for y := range to {
			to[y] += a*p[y] + b*q[y] + c*r[y] + d*s[y]
		}
	}
}

// leastShrunk is the least part of its mean that a lump begins the descent with: a
// Gaussian's lowest values are below any resistance. A descent has mostSteps, each
// halved up to mostHalvings times until it gains (a gain of nothing is one: sameCost,
// in natural logarithms); it ends when none of the lumps and levels moves by more than
// arrived, in standard deviations; where it has not arrived the last place is taken.
// All assumed.
const (
	leastShrunk  = 0.1
	mostSteps    = 25
	mostHalvings = 10
	sameCost     = 1e-9
	arrived      = 0.01
)

// begin starts where the Gaussian has its largest value, as far as a
// log-normal goes there.
func (w *laplace) begin() {
	for k := range w.z {
		z := dot(w.jac[k*w.n:(k+1)*w.n], w.all.white)
		if k < w.p-2 {
			sd := w.sk.lumps[k].sd
			z = math.Log(math.Max(1+z*math.Sqrt(math.Expm1(sd*sd)), leastShrunk))/sd + sd/2
		}
		w.z[k] = z
	}
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// cost is minus the logarithm of the integrand at z, but for constants; it
// sets the residuals and the factors there.
func (w *laplace) cost(z, resid []float64) float64 {
	n, p := w.n, w.p
	copy(w.r, resid)
	rails := math.Exp(w.c.commonSD * z[p-2])
	joints := rails * math.Exp(w.c.jointSD*z[p-1])
	for k := 0; k < p; k++ {
		f := joints
		switch {
		case k == p-2:
			f = rails
		case k < p-2:
			l := &w.sk.lumps[k]
			if l.wire {
				f = 1
			}
			f *= math.Exp(l.sd*z[k] - l.sd*l.sd/2)
		}
		w.grow[k] = f
		for x := 0; x < n; x++ {
			w.r[x] -= w.by[k*n+x] * (f - 1)
		}
	}
	w.free.set(w.r)
	return 0.5 * (dot(z, z) + w.free.quad)
}
