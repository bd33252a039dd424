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
	mean []float64
	rows [][]float64 // of the covariance's Cholesky factor, one over the diagonal at the end of each
	log  float64     // log of its weight, less half the log determinant
	top  float64     // the same, no logarithm
}

// gaussians are all hypotheses of a subset as some columns more show them, of all in
// the end, beside those that they have already; before is nil for none.
func (s *scene) gaussians(b *subset, before []gaussian, cols, more []int, all int) []gaussian {
	out := make([]gaussian, len(b.in))
	// A spread that is taken from so many draws is as much too small for others
	// (T. W. Anderson, An Introduction to Multivariate Statistical Analysis, from
	// memory: the mean of an inverse Wishart matrix).
	wider := float64(fits) / float64(fits-min(all, fits/2))
	cols = slices.Concat(cols, more)
	for k, i := range b.in {
		h := &s.hypos[i]
		g := gaussian{log: math.Log(h.weight)}
		if before != nil {
			g = before[k]
			g.mean, g.rows = slices.Clip(g.mean), slices.Clip(g.rows)
		}
		width := len(h.mean)
		for x := len(g.rows); x < len(cols); x++ {
			a, row := cols[x], make([]float64, x+1)
			for y, c := range cols[:x+1] {
				row[y] = wider * float64(b.cov[k][max(a, c)*width+min(a, c)])
			}
			g.add(h.mean[a], row)
		}
		g.top = math.Exp(g.log)
		out[k] = g
	}
	return out
}

// add takes one column more in, with its spread beside those before it and its own
// (overwritten): a row of Cholesky's factor.
func (g *gaussian) add(mean float64, row []float64) {
	last := len(row) - 1
	for y, above := range g.rows {
		v := row[y]
		for k, l := range above[:y] {
			v -= row[k] * l
		}
		row[y] = v * above[y]
	}
	v := row[last] + grain*grain
	for _, l := range row[:last] {
		v -= l * l
	}
	d := math.Sqrt(math.Max(v, grain*grain/4))
	row[last] = 1 / d
	g.log -= math.Log(d)
	g.mean, g.rows = append(g.mean, mean), append(g.rows, row)
}

// tails are the degrees of freedom of Student's density that stands for a Gaussian:
// its spread is only estimated, and what is drawn is no Gaussian quite.
const tails = 6

// white sets readings from the first on in units of how they scatter, given those before
// them, and gives the sum of their squares.
func (g *gaussian) white(y, work []float64, first int) float64 {
	sum := 0.0
	for i := first; i < len(g.rows); i++ {
		x, row := y[i]-g.mean[i], g.rows[i]
		for k, l := range row[:i] {
			x -= l * work[k]
		}
		work[i] = x * row[i]
		sum += work[i] * work[i]
	}
	return sum
}

// at is the weight times the density of readings, by the sum of their squares. It is far
// from where a float64 ends: readings lie within hundreds of grains of one another.
func (g *gaussian) at(sum float64) float64 {
	x, n, by := 1+sum/tails, tails+len(g.rows), g.top // to the power of half of n
	if n%2 == 1 {
		by /= math.Sqrt(x)
	}
	for n /= 2; n > 0; n /= 2 {
		if n%2 == 1 {
			by /= x
		}
		x *= x
	}
	return by
}

// left is how many pieces hold 90 % of the belief, in the mean over the faults that
// can be behind the evening.
func (s *scene) left(cols []int, e effort) float64 {
	left, _ := s.count(cols, [][]int{nil}, e)
	return left[0]
}

// counted is what readings of one fault leave: pieces, and the bad one among them.
type counted struct{ left, right float64 }

// count gives, for each choice of more columns beside some, how many pieces are left and
// how often the bad piece is among them. All choices are of as many columns.
func (s *scene) count(cols []int, more [][]int, e effort) (left, right []float64) {
	b, n := s.subset[e], len(cols)+len(more[0])
	shared := s.gaussians(b, nil, nil, cols, n)
	own := make([][]gaussian, len(more))
	for c := range more {
		own[c] = s.gaussians(b, shared, cols, more[c], n)
	}
	got := make([][]counted, len(b.in))
	each(len(b.in), func(x int) { got[x] = s.tried(b, &s.hypos[b.in[x]], cols, more, shared, own, tests[e]) })
	left, right = make([]float64, len(more)), make([]float64, len(more))
	sum := 0.0
	for x, i := range b.in {
		w := s.hypos[i].weight
		sum += w * float64(tests[e])
		for c, g := range got[x] {
			left[c] += w * g.left
			right[c] += w * g.right
		}
	}
	for c := range more {
		left[c], right[c] = left[c]/sum*float64(b.stride), right[c]/sum
	}
	return left, right
}

// tried sums up what draws of one fault leave, by choice. What the columns say that all
// choices have is worked out once.
func (s *scene) tried(b *subset, h *hypo, cols []int, more [][]int, shared []gaussian, own [][]gaussian,
	draws int) []counted {
	first, n := len(cols), len(cols)+len(more[0])
	out, y := make([]counted, len(more)), make([]float64, n)
	work, sums := make([]float64, len(b.in)*n), make([]float64, len(b.in))
	class := make([]float64, s.classes)
	for t := range draws {
		shows := h.y[fits+t]
		for x, c := range cols {
			y[x] = float64(shows[c])
		}
		for k := range shared {
			sums[k] = shared[k].white(y, work[k*n:(k+1)*n], 0)
		}
		for choice := range more {
			for x, c := range more[choice] {
				y[first+x] = float64(shows[c])
			}
			clear(class)
			all := 0.0
			for k, j := range b.in {
				g := &own[choice][k]
				x := g.at(sums[k] + g.white(y, work[k*n:(k+1)*n], first))
				class[s.hypos[j].class] += x
				all += x
			}
			left, right := hold(class, all, h.class)
			out[choice].left += left
			out[choice].right += right
		}
	}
	return out
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
	slices.Sort(order)
	sum := 0.0
	for _, x := range slices.Backward(order) {
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
