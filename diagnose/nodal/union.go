package nodal

// Union is a disjoint-set forest whose representative is always the lowest
// member, so that numbering does not depend on the order of joins.
type Union struct{ parent []int }

// NewUnion is n items, each alone.
func NewUnion(n int) *Union {
	u := &Union{parent: make([]int, n)}
	for i := range u.parent {
		u.parent[i] = i
	}
	return u
}

// Find is the lowest item joined to i.
func (u *Union) Find(i int) int {
	for u.parent[i] != i {
		u.parent[i] = u.parent[u.parent[i]]
		i = u.parent[i]
	}
	return i
}

// Join puts the sets of a and b together.
func (u *Union) Join(a, b int) {
	a, b = u.Find(a), u.Find(b)
	if a < b {
		u.parent[b] = a
	} else {
		u.parent[a] = b
	}
}

// degreeQueue hands out items by least degree, then least number: a heap of
// both in one word, the degree in its upper half. An entry whose item has
// another degree by now is old, and passed over.
type degreeQueue struct {
	degree []int32 // current degree, -1 when handed out, -2 when never put
	heap   []uint64
}

func newDegreeQueue(n int) *degreeQueue {
	q := &degreeQueue{degree: make([]int32, n), heap: make([]uint64, 0, 3*n)}
	for i := range q.degree {
		q.degree[i] = -2
	}
	return q
}

// put adds an item or changes its degree; an item already handed out stays out.
func (q *degreeQueue) put(item, degree int) {
	if q.degree[item] == -1 || q.degree[item] == int32(degree) {
		return
	}
	q.degree[item] = int32(degree)
	x := uint64(degree)<<32 | uint64(item)
	q.heap = append(q.heap, x)
	i := len(q.heap) - 1
	for i > 0 && x < q.heap[(i-1)/2] {
		q.heap[i] = q.heap[(i-1)/2]
		i = (i - 1) / 2
	}
	q.heap[i] = x
}

// pop hands out the next item, -1 when none is left.
func (q *degreeQueue) pop() int {
	for len(q.heap) > 0 {
		top := q.heap[0]
		last := len(q.heap) - 1
		x := q.heap[last]
		q.heap = q.heap[:last]
		q.sink(x)
		if item := uint32(top); q.degree[item] == int32(top>>32) {
			q.degree[item] = -1
			return int(item)
		}
	}
	return -1
}

// sink puts x where it belongs, from the root down, which is free.
func (q *degreeQueue) sink(x uint64) {
	h, i := q.heap, 0
	if len(h) == 0 {
		return
	}
	for {
		m := 2*i + 1
		if m >= len(h) {
			break
		}
		if m+1 < len(h) && h[m+1] < h[m] {
			m++
		}
		if h[m] >= x {
			break
		}
		h[i] = h[m]
		i = m
	}
	h[i] = x
}
