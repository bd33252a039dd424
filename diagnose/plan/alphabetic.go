package plan

import "math"

// Cut is a node of a tree of cuts along a run of slots 0..n-1: ask whether the
// slot looked for lies before slot At (slots Lo..At-1) or not (At..Hi-1). A
// leaf (Hi = Lo+1) has At -1.
type Cut struct {
	Lo, Hi, At    int
	Before, After *Cut
}

// Depths gives the number of cuts that lead to each slot, in order.
func (c *Cut) Depths() []int {
	var out []int
	var walk func(*Cut, int)
	walk = func(c *Cut, d int) {
		if c == nil {
			return
		}
		if c.At < 0 {
			out = append(out, d)
			return
		}
		walk(c.Before, d+1)
		walk(c.After, d+1)
	}
	walk(c, 0)
	return out
}

// Cost is the sum over slots of weight times the cost of the cuts that lead to
// it. cutCost[i] is the cost of the cut before slot i+1 (length n-1); nil
// means 1 each.
func (c *Cut) Cost(weight, cutCost []float64) float64 {
	if c == nil || c.At < 0 {
		return 0
	}
	cc := 1.0
	if cutCost != nil {
		cc = cutCost[c.At-1]
	}
	return cc*total(weight[c.Lo:c.Hi]) + c.Before.Cost(weight, cutCost) + c.After.Cost(weight, cutCost)
}

// Alphabetic finds a tree of cuts of least Cost by dynamic programming over
// intervals: O(n^2) time for cuts of equal cost (cutCost nil), O(n^3) else.
// It gives nil for no slots. Among equals the cut nearest the start wins.
//
// Sources: E. N. Gilbert, E. F. Moore, "Variable-length binary encodings",
// Bell System Tech. J. 38, 1959 (the recursion); D. E. Knuth, "Optimum binary
// search trees", Acta Informatica 1, 1971 (the narrowed range of roots, valid
// for equal costs only).
func Alphabetic(weight, cutCost []float64) *Cut {
	n := len(weight)
	if n == 0 {
		return nil
	}
	if cutCost != nil {
		mustLen(n-1, len(cutCost))
		total(cutCost)
	}
	t := newIntervals(weight)
	for width := 2; width <= n; width++ {
		for lo := 0; lo+width <= n; lo++ {
			hi := lo + width
			from, to := lo+1, hi-1
			if cutCost == nil && width > 2 {
				from, to = t.at(lo, hi-1), t.at(lo+1, hi)
			}
			t.fill(lo, hi, from, to, cutCost)
		}
	}
	return t.tree(0, n)
}

// intervals is the table of the dynamic programme: for each interval of slots
// the least cost and where to cut first.
type intervals struct {
	n     int
	sum   []float64 // sums of weights of the first i slots
	cost  []float64
	first []int32
}

func newIntervals(weight []float64) *intervals {
	n := len(weight)
	return &intervals{n: n, sum: runningSums(weight), cost: make([]float64, (n+1)*(n+1)), first: make([]int32, (n+1)*(n+1))}
}

func (t *intervals) at(lo, hi int) int { return int(t.first[lo*(t.n+1)+hi]) }

func (t *intervals) fill(lo, hi, from, to int, cutCost []float64) {
	m := t.sum[hi] - t.sum[lo]
	best, where := math.Inf(1), from
	for at := from; at <= to; at++ {
		v := t.cost[lo*(t.n+1)+at] + t.cost[at*(t.n+1)+hi]
		if cutCost == nil {
			v += m
		} else {
			v += m * cutCost[at-1]
		}
		if v < best {
			best, where = v, at
		}
	}
	t.cost[lo*(t.n+1)+hi] = best
	t.first[lo*(t.n+1)+hi] = int32(where)
}

func (t *intervals) tree(lo, hi int) *Cut {
	if hi-lo == 1 {
		return &Cut{Lo: lo, Hi: hi, At: -1}
	}
	at := t.at(lo, hi)
	return &Cut{Lo: lo, Hi: hi, At: at, Before: t.tree(lo, at), After: t.tree(at, hi)}
}

// Balanced builds the tree of cuts that always divides the weight as evenly
// as it can: halving by probability. Its cost is at most the entropy plus 2
// tests (from memory), but it is not always optimal. Slots of weight 0 are cut
// off with the lighter side, so that they cost nothing; among equals the cut
// with the lighter side before it wins. It gives nil for no slots.
//
// Source: K. Mehlhorn, "Nearly optimal binary search trees", Acta Informatica
// 5, 1975 (from memory).
func Balanced(weight []float64) *Cut {
	if len(weight) == 0 {
		return nil
	}
	sum := runningSums(weight)
	var build func(lo, hi int) *Cut
	build = func(lo, hi int) *Cut {
		if hi-lo == 1 {
			return &Cut{Lo: lo, Hi: hi, At: -1}
		}
		at, off := lo+1, math.Inf(1)
		for i := lo + 1; i < hi; i++ {
			d := math.Abs(sum[lo] + sum[hi] - 2*sum[i])
			if d < off || d == off && sum[hi]-sum[i] > sum[i]-sum[lo] {
				at, off = i, d
			}
		}
		return &Cut{Lo: lo, Hi: hi, At: at, Before: build(lo, at), After: build(at, hi)}
	}
	return build(0, len(weight))
}

// runningSums gives the sum of the first i weights at index i.
func runningSums(weight []float64) []float64 {
	sum := make([]float64, len(weight)+1)
	for i, w := range weight {
		mustWeight(w)
		sum[i+1] = sum[i] + w
	}
	return sum
}

// UniformCuts is the expected and the worst number of cuts for n slots that
// are equally likely: k+2-2^(k+1)/n with k = floor(log2 n), and ceil(log2 n).
// Both are 0 for n < 2.
//
// Source: D. E. Knuth, The Art of Computer Programming 3, 6.2.1 (external path
// length of a complete binary tree; from memory).
func UniformCuts(n int) (expected float64, worst int) {
	if n < 2 {
		return 0, 0
	}
	k := 0
	for 2<<k <= n {
		k++
	}
	worst = k
	if 1<<k < n {
		worst++
	}
	return float64(k+2) - float64(int64(2)<<k)/float64(n), worst
}
