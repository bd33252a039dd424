package plan

import (
	"math"
	"sort"
)

// LookOrder gives the order of looks of least expected cost when exactly one
// place is bad and a look always tells: decreasing probability over cost.
// Places that cost nothing come first; among equals the lower index.
//
// Source: credited to J. B. Kadane, H. A. Simon, "Optimal strategies for a
// class of constrained sequential problems", Ann. Statist. 5, 1977, in T. J.
// Ottosen, "The cost of troubleshooting cost clusters with inside information",
// 2012 (abstract read).
func LookOrder(p, cost []float64) []int {
	mustLen(len(p), len(cost))
	total(p)
	total(cost)
	order := make([]int, len(p))
	for i := range order {
		order[i] = i
	}
	sort.SliceStable(order, func(a, b int) bool { return before(p, cost, order[a], order[b]) })
	return order
}

// before compares two places by probability over cost without dividing.
func before(p, cost []float64, i, j int) bool {
	x, y := p[i]*cost[j], p[j]*cost[i]
	if x != y {
		return x > y
	}
	return cost[i] == 0 && cost[j] > 0 // 0/0 against 0/c: free looks first
}

// ExpectedCost is the expected cost of looking in this order until the bad
// place is found: the sum of cost[i] times the probability that no earlier
// look found it. p must sum to at most 1; what is missing lies in none of the
// places, so that all looks are paid. The last look is paid too.
//
// Source: D. Heckerman, J. S. Breese, K. Rommelse, "Decision-theoretic
// troubleshooting", Comm. ACM 38(3), 1995 (formula from memory).
func ExpectedCost(order []int, p, cost []float64) float64 {
	left, sum := 1.0, 0.0
	for _, i := range order {
		sum += cost[i] * math.Max(left, 0)
		left -= p[i]
	}
	return sum
}

// ExpectedInspection is the least expected cost of finding the bad place by
// looking: ExpectedCost of LookOrder, with p made to sum to 1. It is 0 when
// all p are 0.
func ExpectedInspection(p, cost []float64) float64 {
	sum := total(p)
	if sum == 0 {
		return 0
	}
	left, acc := sum, 0.0
	for _, i := range LookOrder(p, cost) {
		acc += cost[i] * math.Max(left, 0)
		left -= p[i]
		if left <= 1e-15*sum {
			break
		}
	}
	return acc / sum
}

// Cluster is a group of places that all lie behind one cost, paid once: a
// piece that must be lifted before its parts can be seen.
type Cluster struct {
	Open  float64 // cost of opening, not negative
	Items []int   // places behind it
}

// ClusterOrder gives the order of looks of least expected cost when some
// places lie behind clusters, one place is bad, a look always tells, and a
// cluster stays open. Places in no cluster are free to look at. A place must
// not be in two clusters.
//
// A cluster competes by its best start: the first k of its items (in order of
// probability over cost) with the largest sum of probability over opening cost
// plus their costs. Once open, its other items compete alone. Plain
// probability over cost is not optimal here.
//
// Source: the bottom-up ordering over clusters of T. J. Ottosen, "The cost of
// troubleshooting cost clusters with inside information", 2012 (abstract read;
// checked against all permutations in the tests).
func ClusterOrder(p, cost []float64, clusters []Cluster) []int {
	c := newClusterRun(p, cost, clusters)
	out := make([]int, 0, len(p))
	for len(out) < len(p) {
		take := c.next()
		out = append(out, take...)
	}
	return out
}

// ClusterCost is ExpectedCost with the opening of each cluster paid before the
// first look behind it.
func ClusterCost(order []int, p, cost []float64, clusters []Cluster) float64 {
	of := clusterOf(len(p), clusters)
	open := make([]bool, len(clusters))
	left, sum := 1.0, 0.0
	for _, i := range order {
		c := cost[i]
		if k := of[i]; k >= 0 && !open[k] {
			open[k] = true
			c += clusters[k].Open
		}
		sum += c * math.Max(left, 0)
		left -= p[i]
	}
	return sum
}

func clusterOf(n int, clusters []Cluster) []int {
	of := make([]int, n)
	for i := range of {
		of[i] = -1
	}
	for k, c := range clusters {
		mustWeight(c.Open)
		for _, i := range c.Items {
			if of[i] >= 0 {
				panic("plan: a place in two clusters")
			}
			of[i] = k
		}
	}
	return of
}

// clusterRun is the state of the ordering: a queue of free places and one per
// unopened cluster, each in order of probability over cost.
type clusterRun struct {
	p, cost  []float64
	free     []int
	closed   [][]int
	clusters []Cluster
}

func newClusterRun(p, cost []float64, clusters []Cluster) *clusterRun {
	of := clusterOf(len(p), clusters)
	c := &clusterRun{p: p, cost: cost, clusters: clusters, closed: make([][]int, len(clusters))}
	for _, i := range LookOrder(p, cost) {
		if of[i] < 0 {
			c.free = append(c.free, i)
		} else {
			c.closed[of[i]] = append(c.closed[of[i]], i)
		}
	}
	return c
}

// next takes the best free place or the best start of a cluster; the cluster's
// other items become free.
func (c *clusterRun) next() []int {
	best, length, prob, minutes := -1, 0, 0.0, 0.0
	if len(c.free) > 0 {
		prob, minutes, length = c.p[c.free[0]], c.cost[c.free[0]], 1
	}
	for k, items := range c.closed {
		sp, sc := 0.0, c.clusters[k].Open
		for n, i := range items {
			sp += c.p[i]
			sc += c.cost[i]
			if length == 0 || sp*minutes > prob*sc*(1+1e-12) {
				best, length, prob, minutes = k, n+1, sp, sc
			}
		}
	}
	if best < 0 {
		take := c.free[:1]
		c.free = c.free[1:]
		return take
	}
	take, rest := c.closed[best][:length], c.closed[best][length:]
	c.closed[best] = nil
	c.free = append(append([]int{}, c.free...), rest...)
	sort.SliceStable(c.free, func(a, b int) bool { return before(c.p, c.cost, c.free[a], c.free[b]) })
	return take
}
