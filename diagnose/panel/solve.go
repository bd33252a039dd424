package panel

import (
	"math"
	"math/rand/v2"
	"runtime"
	"sync"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/track"
)

// solved is the sound layout in a setting, as drawn.
type solved struct {
	m    *maker
	f    *nodal.Factor
	v    []float64 // by node
	ohms []float64
	lamp float64 // ohm in series with the source
}

// solve makes the circuit of a setting; ohms are by link (nil: medians), and the
// lamp's current is that many times the usual.
func (m *maker) solve(g *setting, ohms []float64, lamp float64) (*solved, error) {
	k := &solved{m: m, ohms: ohms, lamp: inside}
	if g.kind == Short {
		k.lamp = lampVolts / (lampAmps * lamp)
	}
	if ohms == nil {
		k.ohms = make([]float64, len(m.n.Links))
		for i := range m.n.Links {
			k.ohms[i] = m.n.Links[i].Ohms
		}
	}
	p, q := m.n.NodeOf(m.n.Posts[g.supply][0]), m.n.NodeOf(m.n.Posts[g.supply][1])
	edges := []nodal.Edge{{U: p, V: q, Ohms: k.lamp}}
	var ties [][2]int
	for i := range m.n.Links {
		l := &m.n.Links[i]
		if !g.setup.Conducts(l) {
			continue
		}
		if a, b := m.n.NodeOf(l.A), m.n.NodeOf(l.B); k.ohms[i] > 0 {
			edges = append(edges, nodal.Edge{U: a, V: b, Ohms: k.ohms[i]})
		} else {
			ties = append(ties, [2]int{a, b})
		}
	}
	for _, l := range g.setup.Loads {
		edges = append(edges, nodal.Edge{U: m.n.NodeOf(l.From), V: m.n.NodeOf(l.To), Ohms: l.Ohms})
	}
	var err error
	if k.f, err = nodal.NewFactor(m.n.Nodes, edges, ties); err != nil {
		return nil, err
	}
	inject := make([]float64, m.n.Nodes)
	inject[p], inject[q] = g.volts/k.lamp, -g.volts/k.lamp
	k.v = k.f.Solve(nil, inject)
	return k, nil
}

// across is the volts between two points.
func (k *solved) across(at [2]int) float64 {
	return k.v[k.m.n.NodeOf(at[0])] - k.v[k.m.n.NodeOf(at[1])]
}

// effect is what a fault does to a solved layout: a branch between two places, or a
// link made worse. The volts of every node follow from one solution u for an ampere
// in at the one place and out at the other (the compensation theorem; rank one, as
// Sherman and Morrison, Ann. Math. Statist. 21, 1950).
type effect struct {
	k       *solved
	u       []float64
	between float64 // volts between its two places in the sound layout
	self    float64 // ohms between them
	link    float64 // of a link that is made worse, its own ohms; 0 for a bridge
}

// scratch is memory that is used again and again.
type scratch struct{ inject, u []float64 }

// effect is nil for a fault that changes nothing here; it lies in the scratch.
func (m *maker) effect(g *setting, k *solved, s *fault.Suspect, rng *rand.Rand, w *scratch) *effect {
	i := s.Links[0]
	for _, other := range s.Links[1:] { // a bulb is two, cold and hot
		if s.Mode == track.Open && g.setup.Conducts(&m.n.Links[other]) {
			i = other
		}
	}
	l := &m.n.Links[i]
	a, b := m.n.NodeOf(l.A), m.n.NodeOf(l.B)
	if a == b || k.f.Island(a) != k.f.Island(b) || !g.setup.Leaves(l) {
		return nil
	}
	if w.inject == nil {
		w.inject = make([]float64, m.n.Nodes)
	}
	inject, e := w.inject, &effect{k: k}
	clear(inject)
	if s.Mode == track.Bridged {
		e.self = m.slide(k, l, inject, rng)
	} else {
		if e.link = k.ohms[i]; !(e.link > 0) || !g.setup.Conducts(l) {
			return nil
		}
		inject[a], inject[b] = 1, -1
	}
	w.u = k.f.Solve(w.u, inject)
	e.u = w.u
	for node, x := range inject {
		e.between += x * k.v[node]
		e.self += x * e.u[node]
	}
	return e
}

// slide lays a bridge anywhere along its piece: a part f of the way from the middle
// to an end is 1-f of its current at the middle and f at the end, and f (1-f) of the
// half rail on top (the two-terminal resistor seen from inside). It gives what is on
// top.
func (m *maker) slide(k *solved, l *conductor.Link, inject []float64, rng *rand.Rand) float64 {
	end, f, over := rng.IntN(2), rng.Float64(), 0.0
	for side, p := range [2]int{l.A, l.B} {
		sign, mid := 1-2*float64(side), m.n.NodeOf(p)
		inject[mid] += sign
		if l.Piece < 0 || len(m.l.Pieces[l.Piece].Ends) != 2 || m.l.Pieces[l.Piece].Wiring() != nil {
			continue
		}
		far := m.n.At(track.EndRef{Piece: l.Piece, End: end}, m.n.Points[p].Rail)
		if far < 0 {
			continue
		}
		inject[mid] -= sign * f
		inject[m.n.NodeOf(far)] += sign * f
		over += f * (1 - f) * m.half(k, l.Piece, far)
	}
	return over
}

// half is the ohms of the half rail that ends at a point.
func (m *maker) half(k *solved, piece, far int) float64 {
	for i := range m.n.Links {
		if l := &m.n.Links[i]; l.Piece == piece && l.Kind == conductor.KindRail && (l.A == far || l.B == far) {
			return k.ohms[i]
		}
	}
	return 0
}

// branch is the current that is added from the one place to the other.
func (e *effect) branch(ohms float64) float64 {
	if e.link == 0 {
		return e.between / (ohms + e.self)
	}
	more := 1/(e.link+ohms) - 1/e.link
	return more * e.between / (1 + more*e.self)
}

// volt is a node with the fault in place, by the current that it adds.
func (e *effect) volt(node int, added float64) float64 { return e.k.v[node] - added*e.u[node] }

// seen is how surely the fault is seen as this kind of evening.
func (e *effect) seen(g *setting, ohms float64) float64 {
	m, added := e.k.m, e.branch(ohms)
	at := func(point int) float64 { return e.volt(m.n.NodeOf(point), added) }
	if g.kind == Short {
		posts := m.n.Posts[g.supply]
		v := at(posts[0]) - at(posts[1])
		if v/((g.volts-v)/e.k.lamp) < g.breaker { // its breaker trips
			return 1
		}
		return 0
	}
	share := (at(g.at[0]) - at(g.at[1])) / g.sound
	if g.kind == Dead {
		return fault.SeenDead(math.Max(share, 0))
	}
	return fault.SeenWeak(math.Max(share, 0))
}

// each does work for 0 to n-1 on all processors; what it writes must belong to its
// item.
func each(n int, work func(i int)) {
	var all sync.WaitGroup
	workers := min(runtime.GOMAXPROCS(0), n)
	for w := range workers {
		all.Add(1)
		go func() {
			defer all.Done()
			for i := w; i < n; i += workers {
				work(i)
			}
		}()
	}
	all.Wait()
}
