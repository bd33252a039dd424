package infer

import "math"

const log2Pi = 1.8378770664093453

// gauss is a joint Gaussian over a handful of readings. Its inverse is worked
// out when it is asked for: many need no more than the density.
type gauss struct {
	n        int
	low      []float64 // the covariance's Cholesky factor as cholesky has it, n x n
	inv      []float64 // inverse covariance, n x n, once inverted
	inverted bool
	resid    []float64 // observed minus predicted
	white    []float64 // inv * resid
	logDet   float64
	quad     float64
	col      []float64 // memory
	logInv   []float64 // logarithms of the diagonal of inv, NaN where not wanted yet
}

// newGauss inverts a covariance (overwritten). ok is false when it is not
// positive definite.
func newGauss(cov, resid []float64, n int) (g gauss, ok bool) {
	if ok = g.fit(cov, resid, n); ok {
		g.invert()
	}
	return g, ok
}

// fit factorises a covariance (overwritten) in the memory that g has.
func (g *gauss) fit(cov, resid []float64, n int) bool {
	g.n, g.resid, g.logDet, g.inverted = n, resid, 0, false
	g.low, g.white = grow(g.low, n*n), grow(g.white, n)
	var ok bool
	if g.logDet, ok = cholesky(cov, n); !ok {
		return false
	}
	w := g.white
	for i := range w {
		row := g.low[i*n : i*n+i+1]
		copy(row, cov[i*n:])
		v := resid[i]
		for k, l := range row[:i] {
			v -= l * w[k]
		}
		w[i] = v * row[i]
	}
	g.back(w, 0)
	g.quad = dot(w, resid)
	return true
}

// back solves with the transposed factor, in place, down to row first.
func (g *gauss) back(w []float64, first int) {
	n := g.n
	for i := n - 1; i >= first; i-- {
		v := w[i] * g.low[i*n+i]
		w[i] = v
		above := w[first:i]
		for k, l := range g.low[i*n+first : i*n+i] {
			above[k] -= l * v
		}
	}
}

// invert works out the inverse, column by column from the diagonal down; the
// rest is its mirror.
func (g *gauss) invert() {
	n := g.n
	g.inv, g.col, g.logInv = grow(g.inv, n*n), grow(g.col, n), grow(g.logInv, n)
	for i := range g.logInv {
		g.logInv[i] = math.NaN()
	}
	col := g.col
	for c := 0; c < n; c++ {
		col[c] = g.low[c*n+c]
		for i := c + 1; i < n; i++ {
			v, before := 0.0, col[c:i]
			for k, l := range g.low[i*n+c : i*n+i] {
				v -= l * before[k]
			}
			col[i] = v * g.low[i*n+i]
		}
		g.back(col, c)
		for i := c; i < n; i++ {
			g.inv[i*n+c], g.inv[c*n+i] = col[i], col[i]
		}
	}
	g.inverted = true
}

// cholesky overwrites the lower triangle of a matrix by its factor, row by row, with one
// over what stands on the diagonal there, and gives the logarithm of its determinant;
// false where it is not positive definite.
func cholesky(m []float64, n int) (logDet float64, ok bool) {
	const least, most = 1e-200, 1e200 // a logarithm is taken before the product leaves them
	product := 1.0
	for i := 0; i < n; i++ {
		row := m[i*n : i*n+i+1]
		for j := 0; j < i; j++ {
			v, other := row[j], m[j*n:j*n+j+1]
			for k, l := range other[:j] {
				v -= row[k] * l
			}
			row[j] = v * other[j]
		}
		d := row[i]
		for _, l := range row[:i] {
			d -= l * l
		}
		if !(d > 0) {
			return 0, false
		}
		row[i] = 1 / math.Sqrt(d)
		if product *= d; product < least || product > most {
			logDet, product = logDet+math.Log(product), 1
		}
	}
	return logDet + math.Log(product), true
}

// set puts other residuals in, the covariance staying.
func (g *gauss) set(resid []float64) {
	if !g.inverted {
		g.invert()
	}
	n := g.n
	g.resid, g.quad = resid, 0
	for i := 0; i < n; i++ {
		w := dot(g.inv[i*n:i*n+n], resid)
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
	if g.logInv[j] != g.logInv[j] {
		g.logInv[j] = math.Log(p)
	}
	return -0.5 * (log2Pi - g.logInv[j] + g.white[j]*g.white[j]/p)
}

// atLeastLog is no more than the logarithm of a positive number, and less by ln 2 at
// most: that of its power of two.
func atLeastLog(x float64) float64 {
	const bias, mantissa = 1023, 52
	return math.Ln2 * float64(int(math.Float64bits(x)>>mantissa)-bias)
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
