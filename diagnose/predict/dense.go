package predict

import "math"

// dense is a small square system of equations.
type dense struct {
	n   int
	a   []float64
	rhs []float64
}

func newDense(n int) *dense {
	return &dense{n: n, a: make([]float64, n*n), rhs: make([]float64, n)}
}

func (d *dense) set(r, c int, v float64) { d.a[r*d.n+c] = v }
func (d *dense) add(r, c int, v float64) { d.a[r*d.n+c] += v }

// solve is Gaussian elimination with partial pivoting. A column without any
// pivot belongs to an unknown that nothing depends on: it is set to zero.
func (d *dense) solve() []float64 {
	n := d.n
	scale := 0.0
	for _, v := range d.a {
		scale = math.Max(scale, math.Abs(v))
	}
	row := 0
	where := make([]int, n)
	for c := 0; c < n; c++ {
		where[c] = -1
		best := row
		for r := row; r < n; r++ {
			if math.Abs(d.a[r*n+c]) > math.Abs(d.a[best*n+c]) {
				best = r
			}
		}
		if row >= n || math.Abs(d.a[best*n+c]) <= 1e-300+scale*1e-15*1e-9 {
			continue
		}
		d.swap(row, best)
		p := d.a[row*n+c]
		for r := row + 1; r < n; r++ {
			f := d.a[r*n+c] / p
			if f == 0 {
				continue
			}
			for k := c; k < n; k++ {
				d.a[r*n+k] -= f * d.a[row*n+k]
			}
			d.rhs[r] -= f * d.rhs[row]
		}
		where[c] = row
		row++
	}
	x := make([]float64, n)
	for c := n - 1; c >= 0; c-- {
		r := where[c]
		if r < 0 {
			continue
		}
		v := d.rhs[r]
		for k := c + 1; k < n; k++ {
			v -= d.a[r*n+k] * x[k]
		}
		x[c] = v / d.a[r*n+c]
	}
	return x
}

func (d *dense) swap(r, s int) {
	if r == s {
		return
	}
	n := d.n
	for k := 0; k < n; k++ {
		d.a[r*n+k], d.a[s*n+k] = d.a[s*n+k], d.a[r*n+k]
	}
	d.rhs[r], d.rhs[s] = d.rhs[s], d.rhs[r]
}
