package infer

import "math"

// newton goes to the least value of a cost by its slopes and second derivatives,
// H = A + slopes' noise^-1 slopes (bend), and knows how H bends there.
type newton struct {
	bend       bend
	t          []float64 // the slopes, with bend in them: unknown by unknown
	rhs        []float64
	move       []float64 // by unknown: the step
	all        gauss     // of noise + t't
	in, felt   []float64 // what unknowns lack: by unknown, by reading
	less, part []float64 // 1 - d^(1/2) H^-1 d^(1/2), d what they lack: its factor
	lessDet    float64
}

// descend goes to the largest value of the integrand, the steps halved until they gain.
// It starts where the term before ended where that is the better place.
func (w *laplace) descend(resid []float64) (f float64, ok bool) {
	f = math.Inf(1)
	if len(w.last) == w.p {
		f = w.cost(w.last, resid)
	}
	if g := w.cost(w.z, resid); g <= f {
		f = g
	} else {
		copy(w.z, w.last)
		f = w.cost(w.z, resid)
	}
	for range mostSteps {
		if !w.aim() {
			return 0, false
		}
		moved, step := 0.0, 1.0
		for range mostHalvings {
			moved = 0
			for k, d := range w.to.move {
				w.next[k] = w.z[k] + step*d
				moved = math.Max(moved, step*math.Abs(d))
			}
			g := w.cost(w.next, resid)
			if g <= f+sameCost {
				f = g
				break
			}
			step /= 2
		}
		w.z, w.next = w.next, w.z
		if moved < arrived {
			break
		}
	}
	return f, true
}

// curvature is the logarithm of the determinant of the second derivatives of cost
// where it was last asked for, times that of the covariance of w.free.
func (w *laplace) curvature() (logDet float64, ok bool) {
	if !w.second() {
		return 0, false
	}
	return w.to.all.logDet + w.to.bend.logDet + w.to.lessDet, true
}

// second sets the second derivatives where cost was last asked for; where they bend
// downward somewhere, those without bend (Gauss's method).
func (w *laplace) second() bool {
	w.slopes(false)
	w.to.bend.of(w)
	if w.factor() {
		return true
	}
	w.to.bend.none(w.p - 2)
	return w.factor()
}

// factor factorises them; false where they bend downward.
func (w *laplace) factor() bool {
	n, to := w.n, &w.to
	to.t, to.rhs, to.move = grow(to.t, n*w.p), grow(to.rhs, n), grow(to.move, w.p)
	to.bend.in(to.t, w.jac, n)
	to.bend.in(to.move, w.z, 1)
	copy(to.rhs, w.r)
	to.feel(to.rhs, to.move)
	w.together(to.t)
	return to.all.fit(w.cov[:n*n], to.rhs, n) && to.lacking()
}

// feel adds to the readings what they feel of something by unknown.
func (to *newton) feel(by, z []float64) {
	n := len(by)
	for k, z := range z {
		if z == 0 {
			continue
		}
		for x, t := range to.t[k*n : (k+1)*n] {
			by[x] += t * z
		}
	}
}

// lacking takes off again what the unknowns' own bends were raised by, d: det(H - d) is
// det(H) det(1 - d^(1/2) H^-1 d^(1/2)), the matrix determinant lemma.
func (to *newton) lacking() bool {
	b, n := &to.bend, to.all.n
	m, p := len(b.lacks), len(b.diag)+2
	to.lessDet = 0
	if m == 0 {
		return true
	}
	to.in, to.felt, to.less = grow(to.in, m*p), grow(to.felt, m*n), grow(to.less, m*m)
	for i, l := range b.lacks {
		in, felt := to.in[i*p:(i+1)*p], to.felt[i*n:(i+1)*n]
		b.unit(in, l)
		clear(felt)
		to.feel(felt, in)
		forward(to.all.low, felt)
		for k := range i + 1 {
			to.less[i*m+k] = dot(felt, to.felt[k*n:(k+1)*n]) - dot(in, to.in[k*p:(k+1)*p])
		}
		to.less[i*m+i]++
	}
	var ok bool
	to.lessDet, ok = cholesky(to.less, m)
	return ok
}

// forward solves with a factor, in place.
func forward(low, x []float64) {
	n := len(x)
	for i := range x {
		x[i] = (x[i] - dot(low[i*n:i*n+i], x)) * low[i*n+i]
	}
}

// aim sets the step to the least value of the parabola that has the cost's slopes and
// second derivatives where it was last asked for.
func (w *laplace) aim() bool {
	if !w.second() {
		return false
	}
	n, to := w.n, &w.to
	for k := range to.move {
		to.move[k] = dot(to.t[k*n:(k+1)*n], to.all.white) - to.move[k]
	}
	to.lower()
	to.bend.back(to.move)
	return true
}

// lower takes what the unknowns lack into the step (the inversion lemma again).
func (to *newton) lower() {
	m, n, p := len(to.bend.lacks), to.all.n, len(to.move)
	if m == 0 {
		return
	}
	to.part = grow(to.part, m)
	for i := range to.part {
		to.part[i] = dot(to.in[i*p:(i+1)*p], to.move)
	}
	forward(to.less, to.part)
	for i := m - 1; i >= 0; i-- {
		to.part[i] *= to.less[i*m+i]
		for k, l := range to.less[i*m : i*m+i] {
			to.part[k] -= l * to.part[i]
		}
	}
	felt := to.rhs
	clear(felt)
	for i, s := range to.part {
		for x, f := range to.felt[i*n : (i+1)*n] {
			felt[x] += s * f
		}
		for k, z := range to.in[i*p : (i+1)*p] {
			to.move[k] += s * z
		}
	}
	to.all.back(felt, 0)
	for k := range to.move {
		to.move[k] -= dot(to.t[k*n:(k+1)*n], felt)
	}
}
