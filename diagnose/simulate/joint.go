package simulate

import (
	"errors"
	"fmt"

	"fishplate/diagnose/conductor"
)

// ErrAgainst says that ideal sources close a ring: each holds the other's volts
// down or up, and their current has no bound.
var ErrAgainst = errors.New("two ideal sources lie against each other: their current has no bound")

// lift is a forest of ideal sources: every node hangs on its root with so many
// volts more.
type lift struct {
	up    []int
	volts []float64
}

func newLift(n int) *lift {
	l := &lift{up: make([]int, n), volts: make([]float64, n)}
	for i := range l.up {
		l.up[i] = i
	}
	return l
}

func (l *lift) root(x int) (root int, volts float64) {
	for l.up[x] != x {
		volts += l.volts[x]
		x = l.up[x]
	}
	return x, volts
}

// hang puts node p so many volts over node q.
func (l *lift) hang(p, q int, volts float64) error {
	rp, vp := l.root(p)
	rq, vq := l.root(q)
	if rp == rq {
		return ErrAgainst
	}
	l.up[rp], l.volts[rp] = rq, vq+volts-vp
	return nil
}

// newJointCircuit solves for several sources at once. An ideal one ties its two
// ends into one node, which stands so many volts apart from itself: a resistor
// from one end to elsewhere then carries a current of its own, which is put in
// as a current source. A lamp is a resistor and a current (Norton).
func newJointCircuit(n *conductor.Network, s conductor.Setup, w *wiring) (*Circuit, error) {
	c := &Circuit{n: n, setup: s, w: w}
	up := newLift(w.nodes)
	inject := make([]float64, w.nodes)
	var ties [][2]int
	for _, t := range w.ties {
		if err := up.hang(t[0], t[1], 0); err != nil && !errors.Is(err, ErrAgainst) {
			return nil, err
		}
	}
	for _, x := range s.Sources() {
		p, q := n.NodeOf(x.From), n.NodeOf(x.To)
		if r := x.Ohms(); r > 0 {
			if err := w.add(edge{u: p, v: q, ohms: r, link: -1}); err != nil {
				return nil, err
			}
			inject[p] += x.Volts / r
			inject[q] -= x.Volts / r
			continue
		}
		if err := up.hang(p, q, x.Volts); err != nil {
			c.err = fmt.Errorf("%w", ErrAgainst)
			return c, nil
		}
		ties = append(ties, [2]int{p, q})
	}
	f, err := w.factor(ties...)
	if err != nil {
		return nil, err
	}
	for _, e := range w.edges {
		_, a := up.root(e.u)
		_, b := up.root(e.v)
		inject[e.u] -= (a - b) / e.ohms
		inject[e.v] += (a - b) / e.ohms
	}
	c.f, c.v = f, f.Solve(nil, inject)
	for i := range c.v {
		_, a := up.root(i)
		c.v[i] += a
	}
	c.amps = c.leaving(s)
	return c, nil
}

// leaving is the current that the first source delivers: what leaves the node
// that it feeds, where no other source feeds it too.
func (c *Circuit) leaving(s conductor.Setup) float64 {
	if s.Source.Kind == conductor.SourceNone || s.Source.Kind == "" {
		return 0
	}
	p, q := c.n.NodeOf(s.Source.From), c.n.NodeOf(s.Source.To)
	if r := s.Source.Ohms(); r > 0 {
		return (s.Source.Volts - (c.v[p] - c.v[q])) / r
	}
	out := 0.0
	for _, e := range c.w.edges {
		if e.u == p {
			out += (c.v[e.u] - c.v[e.v]) / e.ohms
		}
		if e.v == p {
			out -= (c.v[e.u] - c.v[e.v]) / e.ohms
		}
	}
	return out
}
