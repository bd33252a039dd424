// Package predict works out what every reading would be under every suspect:
// the value, and how it moves with every resistance that is not known
// exactly. The conductor graph is first reduced to the points that matter,
// then each set-up is factorised once, and each suspect is a small change
// solved with a handful of unknowns.
//
// Method: nodal analysis; series and parallel reduction; Woodbury's identity
// in its augmented form (added branches keep their currents as unknowns, and
// islands their potentials, so nothing is near-singular when a fault joins or
// splits islands); sensitivities by the adjoint network (S. W. Director, R. A.
// Rohrer, "The generalized adjoint network and network sensitivities", IEEE
// Trans. Circuit Theory 16, 1969, from memory): the derivative of a reading by
// a resistance is the current in it times the current in it when one ampere
// goes through the probes.
package predict

import (
	"math"
	"slices"

	"fishplate/diagnose/conductor"
)

// Super is a link of the reduced network: one or more links of the conductor
// graph in series or parallel.
type Super struct {
	U, V int     // basis nodes
	Ohms float64 // expected resistance
	// Level is dOhms/d(log of the level of a class).
	Level [conductor.NumClasses]float64
	// Var is the variance of Ohms by the links' own spreads, per class.
	Var [conductor.NumClasses]float64

	alive     bool
	sensitive bool // holds a link that may be open or weak
	members   []member
}

// member is a link inside a super, with the derivative of the super's
// resistance by the link's.
type member struct {
	link   int
	weight float64
}

// Options say what the reduction must keep.
type Options struct {
	Points []int // points of the network where a probe, a source or a bridge may sit
	Links  []int // links that set-ups open or close, kept one by one
	Series []int // links that may turn open or weak, kept apart from parallel paths
	// Medians makes predictions from the medians themselves instead of the
	// means of the log-normal distributions: for comparing with a netlist.
	Medians bool
	// Scale multiplies the resistances of each class: the level at which the
	// network is linearised. Zero means 1.
	Scale [conductor.NumClasses]float64
}

// Basis is a reduced network.
type Basis struct {
	Net     *conductor.Network
	Supers  []Super
	nodes   int
	nodeOf  []int // network node -> basis node, -1 when reduced away
	superOf []int // network link -> super, -1 when it carries nothing
	weight  []float64
	rails   float64 // the scale of the rails
}

// MeanVar gives mean and variance of a log-normal resistance with this median
// and log-sd.
func MeanVar(median, sd float64) (mean, variance float64) {
	m := median * math.Exp(sd*sd/2)
	return m, m * m * (math.Exp(sd*sd) - 1)
}

type reducer struct {
	b        *Basis
	keepNode []bool
	incident [][]int // network node -> supers
	kept     []bool  // super -> never merged
	queue    []int
}

// NewBasis reduces the network.
func NewBasis(n *conductor.Network, o Options) *Basis {
	b := &Basis{Net: n, superOf: make([]int, len(n.Links)), weight: make([]float64, len(n.Links)), rails: 1}
	if f := o.Scale[conductor.ClassRail]; f > 0 {
		b.rails = f
	}
	r := &reducer{b: b, keepNode: make([]bool, n.Nodes), incident: make([][]int, n.Nodes)}
	keepLink := make([]bool, len(n.Links))
	series := make([]bool, len(n.Links))
	for _, i := range o.Links {
		keepLink[i] = true
	}
	for _, i := range o.Series {
		series[i] = true
	}
	for _, p := range o.Points {
		r.keepNode[n.NodeOf(p)] = true
	}
	b.Supers, r.kept = make([]Super, 0, len(n.Links)), make([]bool, 0, len(n.Links))
	single := make([]member, len(n.Links))
	for i := range n.Links {
		single[i] = member{i, 1}
		r.add(i, single[i:i+1:i+1], keepLink[i], series[i], &o)
	}
	r.reduce()
	r.finish()
	return b
}

func (r *reducer) add(i int, itself []member, keep, series bool, o *Options) {
	k := &r.b.Net.Links[i]
	if k.NormallyOpen {
		return
	}
	u, v := r.b.Net.NodeOf(k.A), r.b.Net.NodeOf(k.B)
	if u == v {
		return
	}
	s := Super{U: u, V: v, alive: true, sensitive: series, members: itself}
	mean, variance := MeanVar(k.Ohms, k.Spread)
	if o.Medians {
		mean = k.Ohms
	}
	if f := o.Scale[k.Class]; f > 0 {
		mean, variance = mean*f, variance*f*f
	}
	s.Ohms, s.Level[k.Class], s.Var[k.Class] = mean, mean, variance
	if keep {
		r.keepNode[u], r.keepNode[v] = true, true
	}
	id := len(r.b.Supers)
	r.b.Supers = append(r.b.Supers, s)
	r.kept = append(r.kept, keep)
	r.incident[u] = append(r.incident[u], id)
	r.incident[v] = append(r.incident[v], id)
}

func (r *reducer) reduce() {
	for u := range r.incident {
		r.queue = append(r.queue, u)
	}
	for len(r.queue) > 0 {
		u := r.queue[0]
		r.queue = r.queue[1:]
		r.parallel(u)
		if r.keepNode[u] {
			continue
		}
		switch len(r.incident[u]) {
		case 1:
			r.dangle(u)
		case 2:
			r.series(u)
		}
	}
}

func (r *reducer) other(id, u int) int {
	s := &r.b.Supers[id]
	if s.U == u {
		return s.V
	}
	return s.U
}

func (r *reducer) unlink(u, id int) {
	in := r.incident[u]
	for i, x := range in {
		if x == id {
			r.incident[u] = slices.Delete(in, i, i+1)
			return
		}
	}
}

// dangle drops a branch that ends nowhere: no current can go there.
func (r *reducer) dangle(u int) {
	id := r.incident[u][0]
	if r.kept[id] {
		return
	}
	w := r.other(id, u)
	r.b.Supers[id].alive = false
	r.unlink(w, id)
	r.incident[u] = nil
	r.queue = append(r.queue, w)
}

func (r *reducer) series(u int) {
	a, c := r.incident[u][0], r.incident[u][1]
	if r.kept[a] || r.kept[c] {
		return
	}
	x, y := r.other(a, u), r.other(c, u)
	if x == y { // a ring that hangs on one node carries nothing
		r.b.Supers[a].alive, r.b.Supers[c].alive = false, false
		r.unlink(x, a)
		r.unlink(x, c)
		r.incident[u] = nil
		r.queue = append(r.queue, x)
		return
	}
	sa, sc := &r.b.Supers[a], &r.b.Supers[c]
	sa.Ohms += sc.Ohms
	for k := range sa.Level {
		sa.Level[k] += sc.Level[k]
		sa.Var[k] += sc.Var[k]
	}
	sa.sensitive = sa.sensitive || sc.sensitive
	if len(sa.members) < len(sc.members) { // copy the shorter list
		sa.members, sc.members = sc.members, sa.members
	}
	sa.members = append(sa.members, sc.members...)
	sa.U, sa.V = x, y
	sc.alive = false
	r.unlink(y, c)
	r.incident[y] = append(r.incident[y], a)
	r.incident[u] = nil
	r.queue = append(r.queue, x, y)
}

// parallel merges branches of u that lead to the same node.
func (r *reducer) parallel(u int) {
	in := r.incident[u]
	for i := 0; i < len(in); i++ {
		for j := i + 1; j < len(in); j++ {
			a, c := in[i], in[j]
			if r.kept[a] || r.kept[c] || r.b.Supers[a].sensitive || r.b.Supers[c].sensitive {
				continue
			}
			w := r.other(a, u)
			if w != r.other(c, u) {
				continue
			}
			r.merge(a, c)
			r.unlink(u, c)
			r.unlink(w, c)
			in = r.incident[u]
			r.queue = append(r.queue, w, u)
			j--
		}
	}
}

func (r *reducer) merge(a, c int) {
	sa, sc := &r.b.Supers[a], &r.b.Supers[c]
	ohms := sa.Ohms * sc.Ohms / (sa.Ohms + sc.Ohms)
	wa, wc := ohms/sa.Ohms, ohms/sc.Ohms
	wa, wc = wa*wa, wc*wc
	for k := range sa.Level {
		sa.Level[k] = wa*sa.Level[k] + wc*sc.Level[k]
		sa.Var[k] = wa*wa*sa.Var[k] + wc*wc*sc.Var[k]
	}
	for i := range sa.members {
		sa.members[i].weight *= wa
	}
	for _, m := range sc.members {
		sa.members = append(sa.members, member{m.link, m.weight * wc})
	}
	sa.Ohms = ohms
	sc.alive = false
}

func (r *reducer) finish() {
	b := r.b
	for i := range b.superOf {
		b.superOf[i] = -1
	}
	b.nodeOf = make([]int, b.Net.Nodes)
	for i := range b.nodeOf {
		b.nodeOf[i] = -1
		if r.keepNode[i] {
			b.nodeOf[i] = b.nodes
			b.nodes++
		}
	}
	alive := make([]Super, 0, len(b.Supers)/2)
	for i := range b.Supers {
		s := b.Supers[i]
		if !s.alive {
			continue
		}
		for _, n := range [2]*int{&s.U, &s.V} {
			if b.nodeOf[*n] < 0 {
				b.nodeOf[*n] = b.nodes
				b.nodes++
			}
			*n = b.nodeOf[*n]
		}
		for _, m := range s.members {
			b.superOf[m.link], b.weight[m.link] = len(alive), m.weight
		}
		alive = append(alive, s)
	}
	b.Supers = alive
}

// Node is the basis node of a point of the network, -1 when it was reduced
// away.
func (b *Basis) Node(point int) int { return b.nodeOf[b.Net.NodeOf(point)] }

// SuperOf is the super that holds a link, -1 when the link carries nothing,
// and the derivative of the super's resistance by the link's.
func (b *Basis) SuperOf(link int) (super int, weight float64) {
	return b.superOf[link], b.weight[link]
}
