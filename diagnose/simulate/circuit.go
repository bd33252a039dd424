package simulate

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/nodal"
)

// Circuit is one set-up of a bench, solved for its source.
type Circuit struct {
	n      *conductor.Network
	setup  conductor.Setup
	w      *wiring
	f      *nodal.Factor // with the source's own resistance in place
	v      []float64     // by node
	amps   float64
	joined bool // an ideal source is all that joins the two islands it lies between
	err    error
}

// newCircuit solves for the source. One with a resistance in series is a
// resistor and a current (Norton's equivalent). An ideal one drives the current
// that its volts give through the resistance between its ends; where that is
// open no current flows, and the source sets the two islands apart by its
// volts.
func newCircuit(n *conductor.Network, s conductor.Setup, w *wiring) (*Circuit, error) {
	c := &Circuit{n: n, setup: s, w: w}
	driven := s.Source.Kind == conductor.SourceVolts || s.Source.Kind == conductor.SourceLamp
	inside := s.Source.Ohms()
	var p, q int
	if driven {
		p, q = n.NodeOf(s.Source.From), n.NodeOf(s.Source.To)
		if inside > 0 {
			if err := w.add(edge{u: p, v: q, ohms: inside, link: -1}); err != nil {
				return nil, err
			}
		}
	}
	f, err := w.factor()
	if err != nil {
		return nil, err
	}
	c.f, c.v = f, make([]float64, w.nodes)
	if !driven {
		return c, nil
	}
	amps := 0.0 // injected
	if inside > 0 {
		amps = s.Source.Volts / inside
	} else {
		between := f.Resistance(p, q)
		if between == 0 {
			c.err = ErrShorted
			return c, nil
		}
		c.joined = math.IsInf(between, 1)
		amps = s.Source.Volts / between
	}
	inject := make([]float64, w.nodes)
	inject[p] += amps
	inject[q] -= amps
	c.v = f.Solve(c.v, inject)
	c.amps = amps
	if inside > 0 {
		c.amps = (s.Source.Volts - (c.v[p] - c.v[q])) / inside
	}
	if c.joined {
		for i := range c.v {
			if f.Island(i) == f.Island(p) {
				c.v[i] += s.Source.Volts
			}
		}
	}
	return c, nil
}

// Volts is the voltage of point red against point black; false says that
// nothing joins them.
func (c *Circuit) Volts(red, black int) (float64, bool) {
	r, b := c.n.NodeOf(red), c.n.NodeOf(black)
	if c.err != nil || !c.connected(r, b) {
		return 0, false
	}
	return c.v[r] - c.v[b], true
}

func (c *Circuit) connected(r, b int) bool {
	x, y := c.f.Island(r), c.f.Island(b)
	if x == y {
		return true
	}
	if !c.joined {
		return false
	}
	p, q := c.f.Island(c.n.NodeOf(c.setup.Source.From)), c.f.Island(c.n.NodeOf(c.setup.Source.To))
	return x == p && y == q || x == q && y == p
}

// Amps is the current that the source delivers, 0 without one.
func (c *Circuit) Amps() float64 { return c.amps }

// LinkAmps is the current in a link from its point A to its point B (where a
// bridge cuts it, in the part at A); 0 for one that is open or bridged. The
// current in a link of zero ohm is not known, and given as 0.
func (c *Circuit) LinkAmps(link int) float64 {
	for _, e := range c.w.edges {
		if e.link == link {
			return (c.v[e.u] - c.v[e.v]) / e.ohms
		}
	}
	return 0
}

// Sensitivities gives, for the voltage between two points, its derivative by
// the resistance of every link in volt per ohm: the current in the link times
// the current in it when the source is dead and one ampere goes in at red and
// out at black (S. W. Director, R. A. Rohrer, "The generalized adjoint network
// and network sensitivities", IEEE Trans. Circuit Theory 16, 1969, from
// memory). Nil when nothing joins the points or the source is shorted.
func (c *Circuit) Sensitivities(red, black int) []float64 {
	r, b := c.n.NodeOf(red), c.n.NodeOf(black)
	if c.err != nil || !c.connected(r, b) {
		return nil
	}
	dead := c.f
	src := c.setup.Source
	if len(c.setup.Also) > 0 {
		// the ideal ones are ties already
	} else if src.Kind == conductor.SourceVolts || src.Kind == conductor.SourceLamp && src.Ohms() == 0 {
		short, err := c.w.factor([2]int{c.n.NodeOf(src.From), c.n.NodeOf(src.To)})
		if err != nil {
			return nil
		}
		dead = short
	}
	inject := make([]float64, c.w.nodes)
	inject[r]++
	inject[b]--
	unit := dead.Solve(nil, inject)
	out := make([]float64, len(c.n.Links))
	for _, e := range c.w.edges {
		if e.link >= 0 {
			out[e.link] += e.share * (c.v[e.u] - c.v[e.v]) / e.ohms * (unit[e.u] - unit[e.v]) / e.ohms
		}
	}
	return out
}
