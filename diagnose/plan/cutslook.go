package plan

import "math"

// CutsThenLook is the least expected cost, times the weight, of finding the one
// bad slot in a row: by cuts at cut each, which tell the slots before from those
// after, and then by looking. look gives the cost of looking at slots lo..hi-1
// one by one, times their weight, and whether looking may begin there; it always
// may at a single slot. It takes O(n^3) steps and one call of look for each
// interval.
//
// Source: the recursion of E. N. Gilbert, E. F. Moore, "Variable-length binary
// encodings", Bell System Tech. J. 38, 1959, with an end to choose; the end is
// own form.
func CutsThenLook(weight []float64, cut float64, look func(lo, hi int) (float64, bool)) float64 {
	n := len(weight)
	if n == 0 {
		return 0
	}
	sum := runningSums(weight)
	cost := make([]float64, (n+1)*(n+1))
	for width := 1; width <= n; width++ {
		for lo := 0; lo+width <= n; lo++ {
			hi := lo + width
			best := math.Inf(1)
			for at := lo + 1; at < hi; at++ {
				best = min(best, cost[lo*(n+1)+at]+cost[at*(n+1)+hi])
			}
			best += cut * (sum[hi] - sum[lo])
			if v, ok := look(lo, hi); width == 1 || ok && v < best {
				best = v
			}
			cost[lo*(n+1)+hi] = best
		}
	}
	return cost[n]
}
