package plan

import "math"

// GarsiaWachs finds an optimal tree of cuts of equal cost. It takes O(n log n)
// merges' worth of work on common lists and O(n^2) at worst. It gives nil for no slots.
//
// Source: A. M. Garsia, M. L. Wachs, "A new algorithm for minimum cost binary
// trees", SIAM J. Comput. 6(4), 1977; the three phases (merge, depths, rebuild)
// as in D. E. Knuth, The Art of Computer Programming 3, 6.2.2 (from memory).
func GarsiaWachs(weight []float64) *Cut {
	if len(weight) == 0 {
		return nil
	}
	depth := garsiaWachsDepths(weight)
	pos := 0
	return fromDepths(depth, &pos, 0)
}

// gwNode is a node of the merge tree of the first phase, whose leaves are not
// yet in order.
type gwNode struct {
	weight      float64
	left, right int32 // -1 for a leaf
}

// garsiaWachsDepths merges, at each step, the first pair whose left weight is
// at most that of the node two to the right, and moves the new node left past
// all smaller ones. Only the depths of the leaves are kept.
//
// It reckons in whole numbers: where sums are rounded, equal weights can compare
// one way here and another way there, and the depths then belong to no tree.
func garsiaWachsDepths(weight []float64) []int {
	n := len(weight)
	nodes := make([]gwNode, 0, 2*n)
	for _, w := range whole(weight) {
		nodes = append(nodes, gwNode{w, -1, -1})
	}
	// stack holds the nodes met so far; it never contains a pair to merge
	// except at its end.
	var stack []int32
	w := func(i int) float64 { return nodes[stack[i]].weight }
	var combine func(k int)
	combine = func(k int) { // merge stack[k-1] and stack[k]
		nodes = append(nodes, gwNode{w(k-1) + w(k), stack[k-1], stack[k]})
		id := int32(len(nodes) - 1)
		stack = append(stack[:k-1], stack[k+1:]...)
		j := k - 1
		for j > 0 && w(j-1) < nodes[id].weight {
			j--
		}
		stack = append(stack, 0)
		copy(stack[j+1:], stack[j:])
		stack[j] = id
		for j >= 2 && w(j-2) <= w(j) {
			d := len(stack) - j
			combine(j - 1)
			j = len(stack) - d
		}
	}
	for i := range n {
		stack = append(stack, int32(i))
		for len(stack) >= 3 && w(len(stack)-3) <= w(len(stack)-1) {
			combine(len(stack) - 2)
		}
	}
	for len(stack) > 1 {
		combine(len(stack) - 1)
	}
	return leafDepths(nodes, n)
}

// whole scales weights to whole numbers whose sums are all exact, below 2^52.
func whole(weight []float64) []float64 {
	most := 0.0
	for _, w := range weight {
		mustWeight(w)
		most = math.Max(most, w)
	}
	out := make([]float64, len(weight))
	if most == 0 {
		return out
	}
	for i, w := range weight {
		out[i] = math.Round(w / most * (1 << 52) / float64(len(weight)))
	}
	return out
}

// leafDepths walks the merge tree from its root (the last node) down.
func leafDepths(nodes []gwNode, n int) []int {
	depth := make([]int, len(nodes))
	for i := len(nodes) - 1; i >= n; i-- {
		depth[nodes[i].left] = depth[i] + 1
		depth[nodes[i].right] = depth[i] + 1
	}
	return depth[:n]
}

// fromDepths rebuilds, from left to right, the one ordered tree whose leaves
// have these depths.
func fromDepths(depth []int, pos *int, level int) *Cut {
	lo := *pos
	if depth[lo] == level {
		*pos++
		return &Cut{Lo: lo, Hi: *pos, At: -1}
	}
	b := fromDepths(depth, pos, level+1)
	at := *pos
	a := fromDepths(depth, pos, level+1)
	return &Cut{Lo: lo, Hi: *pos, At: at, Before: b, After: a}
}
