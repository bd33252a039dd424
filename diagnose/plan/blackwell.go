package plan

import "math"

// NextLook gives the place to look at next when a look can miss: the one
// where the probability that it is bad, times the probability seen that a look
// shows it, over the cost is largest; among equals the lower index, -1 when no
// look can help. p is the current belief, which need not sum to 1.
//
// Source: D. Blackwell's rule, in M. C. Chew, "A sequential search procedure",
// Ann. Math. Statist. 38(2), 1967 (abstract read).
func NextLook(p, seen, cost []float64) int {
	mustLen(len(p), len(seen))
	mustLen(len(p), len(cost))
	best := -1
	for i := range p {
		v := p[i] * seen[i]
		if v > 0 && (best < 0 || v*cost[best] > p[best]*seen[best]*cost[i]) {
			best = i
		}
	}
	return best
}

// LooksThatMiss follows NextLook for at most horizon looks, lowering p after
// each look that showed nothing. It gives the order of looks and the
// probability that the bad place was found within the first k+1 of them.
func LooksThatMiss(p, seen, cost []float64, horizon int) (order []int, found []float64) {
	q := append([]float64(nil), p...)
	sum := total(q)
	hit := 0.0
	for len(order) < horizon {
		i := NextLook(q, seen, cost)
		if i < 0 {
			break
		}
		hit += q[i] * seen[i] / sum
		q[i] *= 1 - seen[i]
		order = append(order, i)
		found = append(found, hit)
	}
	return order, found
}

// ExpectedLooks is the expected cost of following NextLook until the bad place
// is found, with p made to sum to 1. It is +Inf when a possible place cannot
// be seen at all.
func ExpectedLooks(p, seen, cost []float64) float64 {
	q := append([]float64(nil), p...)
	sum := total(q)
	if sum == 0 {
		return 0
	}
	for i := range q {
		if q[i] > 0 && !(seen[i] > 0) {
			return math.Inf(1)
		}
	}
	left, acc := sum, 0.0
	// The rest left after a look falls geometrically; stop where it no longer
	// changes a double. The bound on rounds is for looks that hardly ever tell.
	for round := 0; left > 1e-16*sum && round < 10_000_000; round++ {
		i := NextLook(q, seen, cost)
		if i < 0 {
			break
		}
		acc += left * cost[i]
		q[i] *= 1 - seen[i]
		left = 0
		for _, x := range q {
			left += x
		}
	}
	return acc / sum
}
