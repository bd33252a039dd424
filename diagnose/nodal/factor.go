// Package nodal solves networks of resistors: a sparse factorisation that is
// made once, exact islands and exact zero-ohm ties, and small changes (an
// added branch, an opened or weakened edge) answered without a new one. It
// knows no tracks.
//
// Units are ohm, ampere and volt. Nodes are 0..n-1.
package nodal

import (
	"fmt"
	"math"
)

// Edge is a resistor between two nodes. Ohms is above zero and finite; use a
// tie for zero, and no edge at all for an open.
type Edge struct {
	U, V int
	Ohms float64
}

// Factor is a factorised network.
//
// Method: node elimination by star-mesh transformation in minimum-degree
// order (W. F. Tinney, J. W. Walker, "Direct solutions of sparse network
// equations by optimally ordered triangular factorization", Proc. IEEE 55,
// 1967, from memory). Each pivot is the sum of the conductances that are left
// at the node, so the elimination only adds and multiplies positive numbers
// and loses no digits, however far apart the resistances are (the idea of
// Grassmann, Taksar and Heyman, 1985, from memory). Currents of both signs do
// cancel in Solve: a voltage is good to about 1e-15 times the current times
// the resistance from there to where the current leaves, which matters only
// where a node hangs on resistances 1e6 times those that carry the current.
// The last node of each island is its reference: nothing is grounded by a
// made-up conductance.
type Factor struct {
	n      int
	class  []int32   // node -> class of tied nodes
	nc     int       // number of classes
	island []int32   // class -> island
	ni     int       // number of islands
	order  []int32   // classes in elimination order, references left out
	start  []int32   // order index -> first entry in to and share
	to     []int32   // neighbours at the moment of elimination
	share  []float64 // conductance to that neighbour / pivot
	pivot  []float64 // by order index, siemens
	refs   []int32   // the reference class of each island
}

type half struct {
	to int32
	g  float64
}

// NewFactor factorises a network of n nodes. Ties join nodes exactly. It
// fails on a node out of range or a resistance that is not above zero and
// finite (or so small that its conductance is not finite).
func NewFactor(n int, edges []Edge, ties [][2]int) (*Factor, error) {
	if n < 0 {
		return nil, fmt.Errorf("%d nodes: the number of nodes cannot be below zero", n)
	}
	f := &Factor{n: n, class: make([]int32, n)}
	uf := NewUnion(n)
	for _, t := range ties {
		if t[0] < 0 || t[0] >= n || t[1] < 0 || t[1] >= n {
			return nil, fmt.Errorf("tie %v: no such node", t)
		}
		uf.Join(t[0], t[1])
	}
	for i := range f.class {
		r := uf.Find(i)
		if r == i {
			f.class[i] = int32(f.nc)
			f.nc++
		}
	}
	for i := range f.class {
		f.class[i] = f.class[uf.Find(i)]
	}
	for i, e := range edges {
		if e.U < 0 || e.U >= n || e.V < 0 || e.V >= n {
			return nil, fmt.Errorf("edge %d: no such node", i)
		}
		if !(e.Ohms > 0) || math.IsInf(e.Ohms, 0) || math.IsInf(1/e.Ohms, 0) {
			return nil, fmt.Errorf("edge %d: %v ohm is not a resistance above zero", i, e.Ohms)
		}
	}
	adj := f.room(edges)
	for _, e := range edges {
		u, v := f.class[e.U], f.class[e.V]
		if u == v {
			continue // an edge across a tie carries nothing
		}
		adj[u] = addHalf(adj[u], v, 1/e.Ohms)
		adj[v] = addHalf(adj[v], u, 1/e.Ohms)
	}
	f.findIslands(adj)
	f.eliminate(adj)
	return f, nil
}

// room makes one piece of memory for the neighbours of all classes: as many as
// edges end at each, and some for those that come while others are taken out.
func (f *Factor) room(edges []Edge) [][]half {
	const spare = 2
	most := make([]int32, f.nc)
	for _, e := range edges {
		most[f.class[e.U]]++
		most[f.class[e.V]]++
	}
	all := make([]half, 2*len(edges)+spare*f.nc)
	adj := make([][]half, f.nc)
	for c := range adj {
		k := int(most[c]) + spare
		adj[c], all = all[:0:k], all[k:]
	}
	return adj
}

func addHalf(h []half, to int32, g float64) []half {
	for i := range h {
		if h[i].to == to {
			h[i].g += g
			return h
		}
	}
	return append(h, half{to, g})
}

func dropHalf(h []half, to int32) []half {
	for i := range h {
		if h[i].to == to {
			h[i] = h[len(h)-1]
			return h[:len(h)-1]
		}
	}
	return h
}

func (f *Factor) findIslands(adj [][]half) {
	f.island = make([]int32, f.nc)
	for i := range f.island {
		f.island[i] = -1
	}
	var stack []int32
	for c := range adj {
		if f.island[c] >= 0 {
			continue
		}
		f.island[c] = int32(f.ni)
		stack = append(stack[:0], int32(c))
		for len(stack) > 0 {
			k := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for _, h := range adj[k] {
				if f.island[h.to] < 0 {
					f.island[h.to] = int32(f.ni)
					stack = append(stack, h.to)
				}
			}
		}
		f.ni++
	}
}

// eliminate takes the classes out one by one, fewest neighbours first, lowest
// number first among equals (so that the order is defined).
func (f *Factor) eliminate(adj [][]half) {
	q := newDegreeQueue(f.nc)
	ends := 0
	for c := range adj {
		q.put(c, len(adj[c]))
		ends += len(adj[c])
	}
	f.order, f.start, f.pivot = make([]int32, 0, f.nc), make([]int32, 0, f.nc+1), make([]float64, 0, f.nc)
	f.to, f.share = make([]int32, 0, ends), make([]float64, 0, ends)
	for {
		k := q.pop()
		if k < 0 {
			break
		}
		hs := adj[k]
		if len(hs) == 0 { // the last of its island: the reference
			f.refs = append(f.refs, int32(k))
			continue
		}
		g := 0.0
		for _, h := range hs {
			g += h.g
		}
		f.order = append(f.order, int32(k))
		f.start = append(f.start, int32(len(f.to)))
		f.pivot = append(f.pivot, g)
		for _, h := range hs {
			f.to = append(f.to, h.to)
			f.share = append(f.share, h.g/g)
			adj[h.to] = dropHalf(adj[h.to], int32(k))
		}
		for i, a := range hs {
			for _, b := range hs[i+1:] {
				gab := a.g * (b.g / g) // in this order nothing under- or overflows
				adj[a.to] = addHalf(adj[a.to], b.to, gab)
				adj[b.to] = addHalf(adj[b.to], a.to, gab)
			}
		}
		for _, h := range hs {
			q.put(int(h.to), len(adj[h.to]))
		}
		adj[k] = nil
	}
	f.start = append(f.start, int32(len(f.to)))
}

// Nodes is the number of nodes.
func (f *Factor) Nodes() int { return f.n }

// Islands is the number of parts that no edge or tie joins.
func (f *Factor) Islands() int { return f.ni }

// Island is the part that a node belongs to, 0..Islands()-1.
func (f *Factor) Island(node int) int { return int(f.island[f.class[node]]) }

// Tied says whether two nodes are one by ties.
func (f *Factor) Tied(a, b int) bool { return f.class[a] == f.class[b] }

// Solve gives the voltage of every node for the current injected at every
// node (ampere, into the network). Voltages are relative to the reference of
// each node's island; what an island gets in excess leaves at its reference,
// so the answer means something only where the currents of each island sum to
// zero. dst is used when long enough.
func (f *Factor) Solve(dst, inject []float64) []float64 {
	b := make([]float64, f.nc)
	for i, x := range inject {
		if x != 0 {
			b[f.class[i]] += x
		}
	}
	f.solveClasses(b)
	if cap(dst) < f.n {
		dst = make([]float64, f.n)
	}
	dst = dst[:f.n]
	for i := range dst {
		dst[i] = b[f.class[i]]
	}
	return dst
}

// Column is the voltage of every node for one ampere into one node, leaving at
// the reference of its island. dst is used when long enough.
func (f *Factor) Column(dst []float64, node int) []float64 {
	if cap(dst) < f.n {
		dst = make([]float64, f.n)
	}
	dst = dst[:f.n]
	b := dst
	if f.nc < f.n { // ties: classes are not nodes
		b = make([]float64, f.nc)
	}
	clear(b)
	b[f.class[node]] = 1
	f.solveClasses(b)
	if f.nc < f.n {
		for i := range dst {
			dst[i] = b[f.class[i]]
		}
	}
	return dst
}

// solveClasses turns currents into voltages in place.
func (f *Factor) solveClasses(b []float64) {
	for i, k := range f.order {
		x := b[k]
		if x == 0 {
			continue
		}
		for e := f.start[i]; e < f.start[i+1]; e++ {
			b[f.to[e]] += f.share[e] * x
		}
	}
	// What reached a reference leaves there: its voltage is zero.
	for _, c := range f.refs {
		b[c] = 0
	}
	for i := len(f.order) - 1; i >= 0; i-- {
		k := f.order[i]
		v := b[k] / f.pivot[i]
		for e := f.start[i]; e < f.start[i+1]; e++ {
			v += f.share[e] * b[f.to[e]]
		}
		b[k] = v
	}
}

// Resistance is the resistance between two nodes in ohm, +Inf between islands.
func (f *Factor) Resistance(a, b int) float64 {
	if f.Tied(a, b) {
		return 0
	}
	if f.Island(a) != f.Island(b) {
		return math.Inf(1)
	}
	inj := make([]float64, f.n)
	inj[a], inj[b] = 1, -1
	v := f.Solve(nil, inj)
	return v[a] - v[b]
}
