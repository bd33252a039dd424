package panel

import (
	"math"
	"slices"
)

// effort is how many hypotheses, and tests of each, are looked at.
type effort int

const (
	search effort = iota
	final
)

var (
	caps  = [2]int{70, 400}
	tests = [2]int{2, draws - fits}
)

// held is the share of the belief that the pieces left hold.
const held = 0.9

// beside is how many neighbours on either side a fault shares its spread with.
const beside = 2

// grain is the least spread of a reading: what the Gaussians do not know better.
const grain = 0.02

// subset is the hypotheses that are looked at, one in stride.
type subset struct {
	in     []int
	stride int
	cov    [][]float32 // by hypothesis of in: the spread of all columns, row by row
}

// spreads is the covariance of all columns for some hypotheses.
func (s *scene) spreads(in []int) [][]float32 {
	out := make([][]float32, len(in))
	each(len(in), func(k int) {
		cols := len(s.hypos[in[k]].mean)
		cov := make([]float64, cols*cols)
		n := 0
		for i := max(0, in[k]-beside); i <= min(len(s.hypos)-1, in[k]+beside); i++ {
			h := &s.hypos[i]
			if h.line != s.hypos[in[k]].line {
				continue
			}
			r := make([]float64, cols)
			for d := range fits {
				for c := range r {
					r[c] = float64(h.y[d][c]) - h.mean[c]
				}
				for a := range r {
					for b := 0; b <= a; b++ {
						cov[a*cols+b] += r[a] * r[b]
					}
				}
			}
			n += fits - 1
		}
		small := make([]float32, cols*cols)
		for a := range cols {
			for b := 0; b <= a; b++ {
				small[a*cols+b] = float32(cov[a*cols+b] / float64(n))
			}
		}
		out[k] = small
	})
	return out
}

// gaussian is a hypothesis as some columns show it.
type gaussian struct {
	mean  []float64
	lower []float64 // Cholesky factor of the covariance, row by row
	log   float64   // log of its weight, less half the log determinant
}

// gaussians are all hypotheses of a subset; ok is false where no column is looked at.
func (s *scene) gaussians(b *subset, cols []int) []gaussian {
	out := make([]gaussian, len(b.in))
	n := len(cols)
	// A spread that is taken from so many draws is as much too small for others
	// (T. W. Anderson, An Introduction to Multivariate Statistical Analysis, from
	// memory: the mean of an inverse Wishart matrix).
	wider := float64(fits) / float64(fits-min(n, fits/2))
	for k, i := range b.in {
		h := &s.hypos[i]
		g := gaussian{mean: make([]float64, n), lower: make([]float64, n*n), log: math.Log(h.weight)}
		all := len(h.mean)
		for x, a := range cols {
			g.mean[x] = h.mean[a]
			for y, c := range cols[:x+1] {
				g.lower[x*n+y] = wider * float64(b.cov[k][max(a, c)*all+min(a, c)])
			}
			g.lower[x*n+x] += grain * grain
		}
		g.factor(n)
		out[k] = g
	}
	return out
}

// factor is Cholesky's, in place.
func (g *gaussian) factor(n int) {
	for i := range n {
		for j := range i + 1 {
			x := g.lower[i*n+j]
			for k := range j {
				x -= g.lower[i*n+k] * g.lower[j*n+k]
			}
			if i > j {
				g.lower[i*n+j] = x / g.lower[j*n+j]
				continue
			}
			g.lower[i*n+i] = math.Sqrt(math.Max(x, grain*grain/4))
			g.log -= math.Log(g.lower[i*n+i])
		}
	}
}

// tails are the degrees of freedom of Student's density that stands for a Gaussian:
// its spread is only estimated, and what is drawn is no Gaussian quite.
const tails = 6

// at is the log of the weight times the density of readings.
func (g *gaussian) at(y, work []float64) float64 {
	n := len(y)
	sum := 0.0
	for i := range n {
		x := y[i] - g.mean[i]
		for k := range i {
			x -= g.lower[i*n+k] * work[k]
		}
		work[i] = x / g.lower[i*n+i]
		sum += work[i] * work[i]
	}
	return g.log - (tails+float64(n))/2*math.Log1p(sum/tails)
}

// left is how many pieces hold 90 % of the belief, in the mean over the faults that
// can be behind the evening.
func (s *scene) left(cols []int, e effort) float64 {
	left, _ := s.count(cols, e)
	return left
}

// count also gives how often the bad piece is among them.
func (s *scene) count(cols []int, e effort) (left, right float64) {
	b := s.subset[e]
	gs := s.gaussians(b, cols)
	p, class := make([]float64, len(b.in)), make([]float64, s.classes)
	y, work := make([]float64, len(cols)), make([]float64, len(cols))
	sum := 0.0
	for _, i := range b.in {
		h := &s.hypos[i]
		for t := range tests[e] {
			for x, c := range cols {
				y[x] = float64(h.y[fits+t][c])
			}
			best := math.Inf(-1)
			for k := range gs {
				p[k] = gs[k].at(y, work)
				best = math.Max(best, p[k])
			}
			clear(class)
			all := 0.0
			for k, j := range b.in {
				x := math.Exp(p[k] - best)
				class[s.hypos[j].class] += x
				all += x
			}
			n, in := hold(class, all, h.class)
			left += h.weight * n
			right += h.weight * in
			sum += h.weight
		}
	}
	return left / sum * float64(b.stride), right / sum
}

// hold counts the likeliest classes that hold 90 % of the belief, the last of them in
// part, and says how much of one of them that is.
func hold(class []float64, all float64, one int) (n, in float64) {
	order := make([]float64, 0, 16)
	for _, x := range class {
		if x > 1e-6*all {
			order = append(order, x)
		}
	}
	slices.SortFunc(order, func(a, b float64) int {
		if a > b {
			return -1
		}
		return 1
	})
	sum := 0.0
	for _, x := range order {
		if sum+x >= held*all {
			part := (held*all - sum) / x
			switch {
			case class[one] > x:
				in = 1
			case class[one] == x:
				in = part
			}
			return n + part, in
		}
		n++
		sum += x
	}
	return n, 1
}
