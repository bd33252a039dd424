package plan

import (
	"math"
	"sort"
)

// What the program's own choices are compared with: exact, and slower.

// depths gives the number of cuts that lead to each slot, in order.
func depths(c *Cut) []int {
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

// alphabetic is a tree of cuts of least Cost, by dynamic programming over
// intervals in O(n^3); among equals the cut nearest the start wins.
//
// Source: E. N. Gilbert, E. F. Moore, "Variable-length binary encodings", Bell
// System Tech. J. 38, 1959.
func alphabetic(weight []float64) *Cut {
	n := len(weight)
	if n == 0 {
		return nil
	}
	cost, first, sum := make([][]float64, n+1), make([][]int, n+1), runningSums(weight)
	for lo := range cost {
		cost[lo], first[lo] = make([]float64, n+1), make([]int, n+1)
	}
	for width := 2; width <= n; width++ {
		for lo := 0; lo+width <= n; lo++ {
			hi, best := lo+width, math.Inf(1)
			for at := lo + 1; at < hi; at++ {
				if c := cost[lo][at] + cost[at][hi]; c < best {
					best, first[lo][hi] = c, at
				}
			}
			cost[lo][hi] = best + sum[hi] - sum[lo]
		}
	}
	var build func(lo, hi int) *Cut
	build = func(lo, hi int) *Cut {
		if hi-lo == 1 {
			return &Cut{Lo: lo, Hi: hi, At: -1}
		}
		at := first[lo][hi]
		return &Cut{Lo: lo, Hi: hi, At: at, Before: build(lo, at), After: build(at, hi)}
	}
	return build(0, n)
}

// inspectionOf is the least expected cost of finding the bad place by looking,
// when one is bad and a look always tells: decreasing probability over cost.
// Among equals the lower index comes first.
//
// Source: credited to J. B. Kadane, H. A. Simon, "Optimal strategies for a
// class of constrained sequential problems", Ann. Statist. 5, 1977, in T. J.
// Ottosen, "The cost of troubleshooting cost clusters with inside information",
// 2012 (abstract read).
func inspectionOf(p, cost []float64) float64 {
	sum := total(p)
	if sum == 0 {
		return 0
	}
	order := allClasses(len(p))
	sort.SliceStable(order, func(a, b int) bool { return p[order[a]]*cost[order[b]] > p[order[b]]*cost[order[a]] })
	left, acc := sum, 0.0
	for _, i := range order {
		acc += cost[i] * math.Max(left, 0)
		left -= p[i]
	}
	return acc / sum
}
