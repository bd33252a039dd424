package health

import "math"

// matrix is a small square symmetric one, and after factor its lower Cholesky part.
type matrix struct {
	n int
	a []float64
}

func newMatrix(n int) *matrix { return &matrix{n: n, a: make([]float64, n*n)} }

func (m *matrix) at(i, k int) *float64 { return &m.a[i*m.n+k] }

// spread adds w x x'.
func (m *matrix) spread(w float64, x []float64) {
	for i := range m.n {
		for k := range m.n {
			*m.at(i, k) += w * x[i] * x[k]
		}
	}
}

// factor makes the lower Cholesky part in place; false where it is not positive.
func (m *matrix) factor() bool {
	for k := range m.n {
		d := *m.at(k, k)
		for j := range k {
			d -= *m.at(k, j) * *m.at(k, j)
		}
		if !(d > 0) {
			return false
		}
		d = math.Sqrt(d)
		*m.at(k, k) = d
		for i := k + 1; i < m.n; i++ {
			x := *m.at(i, k)
			for j := range k {
				x -= *m.at(i, j) * *m.at(k, j)
			}
			*m.at(i, k) = x / d
		}
	}
	return true
}

// whiten gives L^-1 x.
func (m *matrix) whiten(x []float64) []float64 {
	out := make([]float64, m.n)
	for i := range m.n {
		s := x[i]
		for j := range i {
			s -= *m.at(i, j) * out[j]
		}
		out[i] = s / *m.at(i, i)
	}
	return out
}

// logDet is the logarithm of the determinant of what was factored.
func (m *matrix) logDet() float64 {
	out := 0.0
	for i := range m.n {
		out += 2 * math.Log(*m.at(i, i))
	}
	return out
}

func dot(x, y []float64) float64 {
	s := 0.0
	for i := range x {
		s += x[i] * y[i]
	}
	return s
}

// apart takes out of y what lies along the columns, which are made orthonormal, and
// gives the sum of the logarithms of their lengths before.
func apart(columns [][]float64, y []float64) (log float64) {
	for i, x := range columns {
		for _, before := range columns[:i] {
			add(x, -dot(x, before), before)
		}
		long := math.Sqrt(dot(x, x))
		if long == 0 {
			continue
		}
		log += math.Log(long)
		for j := range x {
			x[j] /= long
		}
		add(y, -dot(x, y), x)
	}
	return log
}

func add(y []float64, f float64, x []float64) {
	for i := range y {
		y[i] += f * x[i]
	}
}

// noise is how the volts of evenings scatter: by the meter alone, by the drift of every
// contact (a sum over links, for a log-sd of 1), and by rails and joints together.
type noise struct {
	meter    []float64 // variance by reading
	drift    *matrix
	each     [][]float64 // the same, a contact each
	cubes    []float64   // the mean cube of each one's ohms over the mean square to the power of 3/2
	together *matrix
	place    []int
	places   int
}

// at is the covariance for a drift, factored; f and meter are how many evenings' worth of
// drift and of the meter are in it: less than 1 where evenings are averaged.
func (z *noise) at(drift, f, meter float64) (*matrix, bool) {
	m := newMatrix(len(z.meter))
	for i := range m.a {
		m.a[i] = f * (drift*drift*z.drift.a[i] + z.together.a[i])
	}
	for k, v := range z.meter {
		*m.at(k, k) += meter * v
	}
	return m, m.factor()
}

// scales are the unknown scales, one for each place of the lamp, as columns: the volts
// that are read there, no others.
func (z *noise) scales(volts []float64) [][]float64 {
	out := make([][]float64, z.places)
	for p := range out {
		out[p] = make([]float64, len(volts))
		for k := range volts {
			if z.place[k] == p {
				out[p][k] = volts[k]
			}
		}
	}
	return out
}
