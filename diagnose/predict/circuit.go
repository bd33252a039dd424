package predict

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/nodal"
)

// Circuit is the reduced network in one set-up: links opened, source and loads
// in place. It is not safe for concurrent use: columns are made when first
// wanted.
type Circuit struct {
	b        *Basis
	Setup    conductor.Setup
	f        *nodal.Factor
	gone     []bool // supers that the set-up (or a change) takes out
	branches []branch
	source   int         // index into branches, -1 without one
	cols     [][]float64 // by node, nil where not made
	made     []int       // nodes with columns; once full, a ring from oldest on
	oldest   int
	room     int // columns kept at most
	pairs    map[[2]int][]float64
	// For opening a super that is the only path between two parts.
	isBridge  []bool
	childOf   []int // super -> node on its far side in the search tree
	tin, tout []int
}

// branch is something outside the factorised network: a source, a load, a
// fault. Its current i flows into node u and out of node v:
// v(u) - v(v) = emf - ohms*i.
type branch struct {
	u, v      int
	ohms, emf float64
}

// Extra is a branch added by a change: between two points.
type Extra struct {
	A, B int // points
	Ohms float64
	// Link, when above zero, is one more than a link that must be left in
	// place by the set-up for the branch to be there (a crossed feeder's wire
	// is gone when the feeder is pulled).
	Link int
}

// NewCircuit factorises the basis in a set-up, with more links taken out and
// branches added (both may be empty: the sound layout).
func (b *Basis) NewCircuit(s *conductor.Setup, out []int, extra []Extra) (*Circuit, error) {
	c := &Circuit{b: b, Setup: *s, source: -1, gone: make([]bool, len(b.Supers))}
	for i := range b.Supers {
		for _, m := range b.Supers[i].members {
			if !s.Conducts(&b.Net.Links[m.link]) {
				c.gone[i] = true
			}
		}
	}
	for _, k := range out {
		if i := b.superOf[k]; i >= 0 {
			c.gone[i] = true
		}
	}
	edges := make([]nodal.Edge, 0, len(b.Supers))
	for i := range b.Supers {
		if !c.gone[i] {
			edges = append(edges, nodal.Edge{U: b.Supers[i].U, V: b.Supers[i].V, Ohms: b.Supers[i].Ohms})
		}
	}
	f, err := nodal.NewFactor(b.nodes, edges, nil)
	if err != nil {
		return nil, err
	}
	c.f = f
	c.cols = make([][]float64, b.nodes)
	c.room = max(mostColumns/max(b.nodes, 1), 16)
	if c.room < b.nodes {
		c.room = max(fewColumns/b.nodes, 16)
	}
	c.pairs = map[[2]int][]float64{}
	if s.Source.Kind != conductor.SourceNone && s.Source.Kind != "" {
		c.source = len(c.branches)
		c.branches = append(c.branches, branch{b.Node(s.Source.From), b.Node(s.Source.To), s.Source.Ohms(),
			s.Source.Volts})
	}
	for _, x := range s.Also {
		c.branches = append(c.branches, branch{b.Node(x.From), b.Node(x.To), x.Ohms(), x.Volts})
	}
	for _, l := range s.Loads {
		c.branches = append(c.branches, branch{b.Node(l.From), b.Node(l.To), l.Ohms, 0})
	}
	for _, l := range b.Net.TrainLoads(s) {
		c.branches = append(c.branches, branch{b.Node(l.From), b.Node(l.To), l.Ohms, 0})
	}
	for _, e := range extra {
		if e.Link > 0 && !s.Leaves(&b.Net.Links[e.Link-1]) {
			continue
		}
		c.branches = append(c.branches, branch{b.Node(e.A), b.Node(e.B), e.Ohms, 0})
	}
	c.findBridges()
	return c, nil
}

// mostColumns is how many numbers a circuit's columns may hold (32 MB), and
// fewColumns how many (4 MB) where not all columns have room: on a big layout most
// are wanted once, and some twenty set-ups are weighed at a time.
const mostColumns, fewColumns = 4 << 20, 1 << 19

// col is the voltage of every node for one ampere into node k. It holds until
// the next call.
func (c *Circuit) col(k int) []float64 {
	if c.cols[k] != nil {
		return c.cols[k]
	}
	var memory []float64
	if len(c.made) < c.room {
		c.made = append(c.made, k)
	} else { // the oldest makes room
		old := c.made[c.oldest]
		memory, c.cols[old] = c.cols[old], nil
		c.made[c.oldest] = k
		c.oldest = (c.oldest + 1) % c.room
	}
	c.cols[k] = c.f.Column(memory, k)
	return c.cols[k]
}

// pair is the current in every super (from U to V) for one ampere into node x
// and out of node y, each within its own island.
func (c *Circuit) pair(x, y int) []float64 {
	key := [2]int{x, y}
	if f, ok := c.pairs[key]; ok {
		return f
	}
	out := make([]float64, len(c.b.Supers))
	for sign, k := range [2]int{x, y} {
		v := c.col(k)
		for i := range out {
			if s := &c.b.Supers[i]; !c.gone[i] {
				out[i] += float64(1-2*sign) * (v[s.U] - v[s.V]) / s.Ohms
			}
		}
	}
	c.pairs[key] = out
	return out
}

// z is the voltage at x for one ampere into y, 0 across islands.
func (c *Circuit) z(x, y int) float64 {
	if c.f.Island(x) != c.f.Island(y) {
		return 0
	}
	return c.col(y)[x]
}

// findBridges marks the supers whose opening splits an island (R. E. Tarjan,
// "A note on finding the bridges of a graph", Information Processing Letters
// 2, 1974, from memory), and numbers the search tree so that "on the far side"
// is a comparison.
func (c *Circuit) findBridges() {
	n, m := c.b.nodes, len(c.b.Supers)
	c.isBridge, c.childOf = make([]bool, m), make([]int, m)
	c.tin, c.tout = make([]int, n), make([]int, n)
	low := make([]int, n)
	adj := make([][]int, n)
	for i := range c.b.Supers {
		if !c.gone[i] {
			s := &c.b.Supers[i]
			adj[s.U] = append(adj[s.U], i)
			adj[s.V] = append(adj[s.V], i)
		}
	}
	type frame struct{ node, via, next int }
	clock := 0
	for root := 0; root < n; root++ {
		if c.tin[root] != 0 {
			continue
		}
		clock++
		c.tin[root], low[root] = clock, clock
		stack := []frame{{root, -1, 0}}
		for len(stack) > 0 {
			t := &stack[len(stack)-1]
			if t.next < len(adj[t.node]) {
				e := adj[t.node][t.next]
				t.next++
				if e == t.via {
					continue
				}
				w := c.b.Supers[e].U + c.b.Supers[e].V - t.node
				if c.tin[w] != 0 {
					low[t.node] = min(low[t.node], c.tin[w])
					continue
				}
				clock++
				c.tin[w], low[w] = clock, clock
				stack = append(stack, frame{w, e, 0})
				continue
			}
			c.tout[t.node] = clock
			node, via := t.node, t.via
			stack = stack[:len(stack)-1]
			if via >= 0 {
				p := stack[len(stack)-1].node
				low[p] = min(low[p], low[node])
				if low[node] > c.tin[p] {
					c.isBridge[via], c.childOf[via] = true, node
				}
			}
		}
	}
}

// Splits says whether opening a super cuts its island in two.
func (c *Circuit) Splits(super int) bool { return c.isBridge[super] }

// beyond says whether node x lies on the far side of a bridge super.
func (c *Circuit) beyond(super, x int) bool {
	k := c.childOf[super]
	return c.f.Island(x) == c.f.Island(k) && c.tin[k] <= c.tin[x] && c.tin[x] <= c.tout[k]
}
