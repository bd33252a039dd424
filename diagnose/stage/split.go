package stage

import "math"

// split cuts 0..n-1 into stages of at most `most` each, with a cut behind every
// forced one, so that the sum of their costs is least; it gives the last of each.
// The cost of a stage depends on its first and its last alone, so that the best
// cut of a beginning stays the best whatever follows (dynamic programming:
// R. Bellman, "The theory of dynamic programming", Bull. AMS 60, 1954).
func split(n, most int, forced []bool, cost func(first, last int) float64) []int {
	best := make([]float64, n+1)
	from := make([]int, n+1)
	for end := 1; end <= n; end++ {
		best[end] = math.Inf(1)
		for first := end - 1; first >= 0 && end-first <= most; first-- {
			if first < end-1 && forced[first] {
				break // a cut that must be lies inside
			}
			if c := best[first] + cost(first, end-1); c < best[end] {
				best[end], from[end] = c, first
			}
		}
	}
	var out []int
	for end := n; end > 0; end = from[end] {
		out = append([]int{end - 1}, out...)
	}
	return out
}
