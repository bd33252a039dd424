package infer

import "math"

const log2Pi = 1.8378770664093453

// gauss is a joint Gaussian over a handful of readings, with its inverse.
type gauss struct {
	n      int
	inv    []float64 // inverse covariance, n x n
	resid  []float64 // observed minus predicted
	white  []float64 // inv * resid
	logDet float64
	quad   float64
	col    []float64 // memory
	logInv []float64 // logarithms of the diagonal of inv, NaN where not wanted yet
}

// newGauss inverts a covariance (overwritten). ok is false when it is not
// positive definite.
func newGauss(cov, resid []float64, n int) (g gauss, ok bool) {
	ok = g.fit(cov, resid, n)
	return g, ok
}

// fit is newGauss in the memory that g has.
func (g *gauss) fit(cov, resid []float64, n int) bool {
	g.n, g.resid, g.logDet = n, resid, 0
	g.inv, g.white, g.col, g.logInv = grow(g.inv, n*n), grow(g.white, n), grow(g.col, n), grow(g.logInv, n)
	for i := range g.logInv {
		g.logInv[i] = math.NaN()
	}
	var ok bool
	if g.logDet, ok = cholesky(cov, n); !ok {
		return false
	}
	col := g.col
	for c := 0; c < n; c++ {
		for i := range col {
			col[i] = 0
		}
		col[c] = 1
		for i := c; i < n; i++ {
			v := col[i]
			for k := c; k < i; k++ {
				v -= cov[i*n+k] * col[k]
			}
			col[i] = v / cov[i*n+i]
		}
		for i := n - 1; i >= 0; i-- {
			v := col[i]
			for k := i + 1; k < n; k++ {
				v -= cov[k*n+i] * col[k]
			}
			col[i] = v / cov[i*n+i]
		}
		for i := 0; i < n; i++ {
			g.inv[i*n+c] = col[i]
		}
	}
	g.set(resid)
	return true
}

// cholesky overwrites the lower triangle of a matrix by its factor and gives
// the logarithm of its determinant; false where it is not positive definite.
func cholesky(m []float64, n int) (logDet float64, ok bool) {
	for j := 0; j < n; j++ {
		for k := 0; k < j; k++ {
			f := m[j*n+k]
			for i := j; i < n; i++ {
				m[i*n+j] -= m[i*n+k] * f
			}
		}
		d := m[j*n+j]
		if !(d > 0) {
			return 0, false
		}
		d = math.Sqrt(d)
		logDet += 2 * math.Log(d)
		for i := j; i < n; i++ {
			m[i*n+j] /= d
		}
	}
	return logDet, true
}

// set puts other residuals in, the covariance staying.
func (g *gauss) set(resid []float64) {
	n := g.n
	g.resid, g.quad = resid, 0
	for i := 0; i < n; i++ {
		w := 0.0
		for k := 0; k < n; k++ {
			w += g.inv[i*n+k] * resid[k]
		}
		g.white[i] = w
		g.quad += w * resid[i]
	}
}

// logDensity of all readings.
func (g *gauss) logDensity() float64 {
	return -0.5 * (float64(g.n)*log2Pi + g.logDet + g.quad)
}

// logGiven is the log density of reading j given all others.
func (g *gauss) logGiven(j int) float64 {
	p := g.inv[j*g.n+j]
	l := g.logInv[j]
	if l != l {
		l = math.Log(p)
		g.logInv[j] = l
	}
	return -0.5 * (log2Pi - l + g.white[j]*g.white[j]/p)
}

// logGivenPair is the log density of readings j and k given all others.
func (g *gauss) logGivenPair(j, k int) float64 {
	a, b, c := g.inv[j*g.n+j], g.inv[j*g.n+k], g.inv[k*g.n+k]
	det := a*c - b*b
	if det <= 0 {
		return 0
	}
	x, y := g.white[j], g.white[k]
	quad := (c*x*x - 2*b*x*y + a*y*y) / det
	return -0.5 * (2*log2Pi - math.Log(det) + quad)
}

// logSum adds probabilities given as logarithms.
type logSum struct {
	max, sum float64
	any      bool
}

func (s *logSum) add(x float64) {
	if math.IsInf(x, -1) || math.IsNaN(x) {
		return
	}
	if !s.any {
		s.max, s.sum, s.any = x, 1, true
		return
	}
	if x > s.max {
		s.sum = s.sum*math.Exp(s.max-x) + 1
		s.max = x
		return
	}
	s.sum += math.Exp(x - s.max)
}

func (s *logSum) value() float64 {
	if !s.any {
		return math.Inf(-1)
	}
	return s.max + math.Log(s.sum)
}
