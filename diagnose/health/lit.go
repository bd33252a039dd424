package health

import (
	"fmt"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/nodal"
)

// lit is the layout with the battery on and the lamp across one place.
type lit struct {
	n       *conductor.Network
	f       *nodal.Factor
	on      []bool    // by link: it carries current here
	volts   []float64 // by node
	columns map[int][]float64
	loops   map[int]float64 // by link: around
}

// light solves the network for the battery behind its own ohms (Norton).
func light(n *conductor.Network, supply, hot, common int, o *Options) (*lit, error) {
	s := conductor.Usual(n.Layout)
	s.Warm = true // what hangs on the track has its volts
	c := &lit{n: n, on: make([]bool, len(n.Links)), columns: map[int][]float64{}, loops: map[int]float64{}}
	plus, minus := n.NodeOf(n.Posts[supply][0]), n.NodeOf(n.Posts[supply][1])
	u, v := n.NodeOf(hot), n.NodeOf(common)
	if u == v || plus == minus {
		return nil, fmt.Errorf("the lamp cannot lie from %s to %s: they are one piece of metal", n.Points[hot].Name,
			n.Points[common].Name)
	}
	edges := []nodal.Edge{{U: plus, V: minus, Ohms: inBattery}, {U: u, V: v, Ohms: o.Volts / o.Amps}}
	var ties [][2]int
	for i := range n.Links {
		k := &n.Links[i]
		a, b := n.NodeOf(k.A), n.NodeOf(k.B)
		switch {
		case !s.Conducts(k) || a == b:
		case k.Ohms > 0:
			c.on[i] = true
			edges = append(edges, nodal.Edge{U: a, V: b, Ohms: k.Ohms})
		default:
			ties = append(ties, [2]int{a, b})
		}
	}
	var err error
	if c.f, err = nodal.NewFactor(n.Nodes, edges, ties); err != nil {
		return nil, err
	}
	inject := make([]float64, n.Nodes)
	inject[plus] += o.Volts / inBattery
	inject[minus] -= o.Volts / inBattery
	c.volts = c.f.Solve(nil, inject)
	return c, nil
}

// column is the voltage of every node for one ampere into a point's node.
func (c *lit) column(point int) []float64 {
	node := c.n.NodeOf(point)
	if c.columns[node] == nil {
		c.columns[node] = c.f.Column(nil, node)
	}
	return c.columns[node]
}

// between is the voltage of a point over another, false where nothing joins them.
func (c *lit) between(red, black int) (float64, bool) {
	a, b := c.n.NodeOf(red), c.n.NodeOf(black)
	return c.volts[a] - c.volts[b], c.f.Island(a) == c.f.Island(b)
}

// amps is the current in a link, from its A to its B.
func (c *lit) amps(link int, volts []float64) float64 {
	k := &c.n.Links[link]
	return (volts[c.n.NodeOf(k.A)] - volts[c.n.NodeOf(k.B)]) / k.Ohms
}

// reading is the volts between two points, and their derivatives by the ohms of every
// link, volt per ohm.
func (c *lit) reading(red, black int) (volts float64, by []float64, ok bool) {
	if volts, ok = c.between(red, black); !ok {
		return 0, nil, false
	}
	by = c.sees(red)
	add(by, -1, c.sees(black))
	return volts, by, true
}

// sees is what the ohms of every link do to the volts at a point, volt per ohm.
func (c *lit) sees(point int) []float64 {
	by, x := make([]float64, len(c.n.Links)), c.column(point)
	for i := range by {
		if c.on[i] {
			by[i] = c.amps(i, c.volts) * c.amps(i, x)
		}
	}
	return by
}

// around is the conductance that the branch of a link sees, its own ohms in it: with D
// ohm more its current falls by 1 + D around.
func (c *lit) around(link int) float64 {
	if g, ok := c.loops[link]; ok {
		return g
	}
	k := &c.n.Links[link]
	between := c.f.Resistance(c.n.NodeOf(k.A), c.n.NodeOf(k.B))
	g := (1 - between/k.Ohms) / k.Ohms
	c.loops[link] = g
	return g
}
