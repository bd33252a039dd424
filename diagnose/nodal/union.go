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

// degreeQueue hands out items by least degree, then least number.
type degreeQueue struct {
	degree []int // current degree, -1 when handed out or never put
	heap   []degreeItem
}

type degreeItem struct{ degree, item int }

func newDegreeQueue(n int) *degreeQueue {
	q := &degreeQueue{degree: make([]int, n)}
	for i := range q.degree {
		q.degree[i] = -2
	}
	return q
}

func (a degreeItem) less(b degreeItem) bool {
	if a.degree != b.degree {
		return a.degree < b.degree
	}
	return a.item < b.item
}

// put adds an item or changes its degree; an item already handed out stays out.
func (q *degreeQueue) put(item, degree int) {
	if q.degree[item] == -1 || q.degree[item] == degree {
		return
	}
	q.degree[item] = degree
	q.heap = append(q.heap, degreeItem{degree, item})
	i := len(q.heap) - 1
	for i > 0 {
		p := (i - 1) / 2
		if !q.heap[i].less(q.heap[p]) {
			break
		}
		q.heap[i], q.heap[p] = q.heap[p], q.heap[i]
		i = p
	}
}

// pop hands out the next item, -1 when none is left.
func (q *degreeQueue) pop() int {
	for len(q.heap) > 0 {
		top := q.heap[0]
		last := len(q.heap) - 1
		q.heap[0] = q.heap[last]
		q.heap = q.heap[:last]
		q.sink()
		if q.degree[top.item] == top.degree { // else an old entry
			q.degree[top.item] = -1
			return top.item
		}
	}
	return -1
}

func (q *degreeQueue) sink() {
	i := 0
	for {
		l, m := 2*i+1, i
		if l < len(q.heap) && q.heap[l].less(q.heap[m]) {
			m = l
		}
		if l+1 < len(q.heap) && q.heap[l+1].less(q.heap[m]) {
			m = l + 1
		}
		if m == i {
			return
		}
		q.heap[i], q.heap[m] = q.heap[m], q.heap[i]
		i = m
	}
}
