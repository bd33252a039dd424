package plan

import "math/bits"

// MaxTreeNodes is the largest tree that EdgeSearch takes.
const MaxTreeNodes = 20

// EdgeSearch is the best that can be done to find one node of a tree by asking
// "on which side of this edge?": the least worst number of questions, and the
// least expected number under the weights made to sum to 1. These are two
// strategies, not one. edges holds the n-1 edges of a tree over the nodes
// 0..n-1 (n the number of weights, at most MaxTreeNodes); anything else
// panics.
//
// Source: Y. Ben-Asher, E. Farchi, I. Newman, "Optimal search in trees", SIAM
// J. Comput. 28, 1999 (the question; from memory); solved here by dynamic
// programming over the connected parts, for small trees such as a yard.
func EdgeSearch(edges [][2]int, weight []float64) (worst int, expected float64) {
	n := len(weight)
	if n < 1 || n > MaxTreeNodes || len(edges) != n-1 {
		panic("plan: not a small tree")
	}
	t := &treeSearch{edges: edges, side: make([]states, len(edges)), weight: weight, memo: map[states]treeCost{}}
	for e := range edges {
		t.side[e] = t.reach(edges[e][0], e)
		if t.side[e]>>edges[e][1]&1 == 1 {
			panic("plan: a circle of edges is no tree")
		}
	}
	c := t.best(states(1)<<n - 1)
	if sum := total(weight); sum > 0 {
		return c.worst, c.weighted / sum
	}
	return c.worst, 0
}

type treeCost struct {
	worst    int
	weighted float64
}

type treeSearch struct {
	edges  [][2]int
	side   []states // for each edge the nodes on the side of its first end
	weight []float64
	memo   map[states]treeCost // looked up only, never walked
}

// reach lists the nodes that hang together with node from when edge cut is
// taken away.
func (t *treeSearch) reach(from, cut int) states {
	set := states(1) << from
	for grown := true; grown; {
		grown = false
		for i, e := range t.edges {
			a, b := set>>e[0]&1, set>>e[1]&1
			if i != cut && a != b {
				set |= 1<<e[0] | 1<<e[1]
				grown = true
			}
		}
	}
	return set
}

// best solves a connected part.
func (t *treeSearch) best(set states) treeCost {
	if bits.OnesCount32(uint32(set)) < 2 {
		return treeCost{}
	}
	if c, ok := t.memo[set]; ok {
		return c
	}
	mass := 0.0
	for b := set; b != 0; b &= b - 1 {
		mass += t.weight[bits.TrailingZeros32(uint32(b))]
	}
	var c treeCost
	first := true
	for i, e := range t.edges {
		if set>>e[0]&1 == 0 || set>>e[1]&1 == 0 {
			continue
		}
		x, y := t.best(set&t.side[i]), t.best(set&^t.side[i])
		w, v := 1+max(x.worst, y.worst), mass+x.weighted+y.weighted
		if first {
			c, first = treeCost{w, v}, false
		}
		c.worst, c.weighted = min(c.worst, w), min(c.weighted, v)
	}
	t.memo[set] = c
	return c
}
