package plan

import "container/heap"

// Huffman is the least possible sum of weight times depth of a tree with the
// weights as leaves and at most arity branches at a node: what a series of
// tests with that many outcomes would need if every split were on offer. It is
// a floor under every real series of tests at unit cost.
//
// Source: D. A. Huffman, "A method for the construction of minimum-redundancy
// codes", Proc. IRE 40, 1952.
func Huffman(weight []float64, arity int) float64 {
	if arity < 2 {
		panic("plan: a tree needs at least two branches")
	}
	h := make(floatHeap, 0, len(weight)+arity)
	for _, w := range weight {
		mustWeight(w)
		h = append(h, w)
	}
	if len(h) < 2 {
		return 0
	}
	for (len(h)-1)%(arity-1) != 0 {
		h = append(h, 0) // empty leaves make the last merge complete
	}
	heap.Init(&h)
	cost := 0.0
	for len(h) > 1 {
		sum := 0.0
		for range arity {
			sum += heap.Pop(&h).(float64)
		}
		cost += sum
		heap.Push(&h, sum)
	}
	return cost
}

type floatHeap []float64

func (h floatHeap) Len() int           { return len(h) }
func (h floatHeap) Less(i, j int) bool { return h[i] < h[j] }
func (h floatHeap) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *floatHeap) Push(x any)        { *h = append(*h, x.(float64)) }
func (h *floatHeap) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}
