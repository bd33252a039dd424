package bench

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"fishplate/diagnose/nodal"
	"fishplate/diagnose/simulate"
)

// Dial is where the meter's dial stands.
type Dial struct {
	Function simulate.Function
	AC       bool
}

// dials are the words on a dial, beside AC or DC.
var dials = map[string]simulate.Function{"continuity (beeper)": simulate.Beeper, "ohms, lowest range": simulate.Ohms,
	"millivolts (lowest range)": simulate.Millivolts, "volts (lowest range without OL)": simulate.Volts,
	"amps": simulate.Amps}

// dialOf reads the words of a dial: "AC millivolts (lowest range)".
func dialOf(words string) (Dial, error) {
	bare, ac := strings.CutPrefix(words, "AC ")
	if !ac {
		bare = strings.TrimPrefix(words, "DC ")
	}
	f, ok := dials[bare]
	if !ok {
		return Dial{}, fmt.Errorf("no meter here has %q on its dial", words)
	}
	return Dial{f, ac}, nil
}

// Read is what the meter shows with its red probe on one place and its black one
// on another, with its dial where hands have left it and everything joined as it
// is now.
func (b *Bench) Read(red, black string) (string, error) {
	d, err := dialOf(b.dial)
	if err != nil {
		return "", err
	}
	exact, err := b.exact(d, red, black)
	if err != nil {
		return "", err
	}
	rng := b.Rng
	if rng == nil {
		rng = rand.New(rand.NewPCG(1, 1))
	}
	return b.Meter.Show(d.Function, exact, d.AC, rng), nil
}

// Exact is the value at the tips of the probes, before the meter's own errors.
func (b *Bench) Exact(red, black string) (float64, error) {
	d, err := dialOf(b.dial)
	if err != nil {
		return 0, err
	}
	return b.exact(d, red, black)
}

// Working is the point at which the lamps work: what feeds the track, the ohms
// behind which it does (the lamp in the hot side and what the supply has inside),
// and the ohms of what is laid, by the two places.
type Working struct {
	Volts, Inside float64
	Laid          map[[2]string]float64
}

// Working is where the lamps work now.
func (b *Bench) Working() (Working, error) {
	w := Working{Laid: map[[2]string]float64{}}
	c, err := b.now()
	if err != nil {
		return w, err
	}
	for _, s := range c.feeds {
		if s.volts != 0 && w.Volts == 0 {
			w.Volts, w.Inside = s.volts, s.ohms
		}
	}
	for _, d := range c.bends {
		if d.lamp > 0 && d.u >= b.net.Nodes {
			w.Inside += d.now
		}
	}
	for _, s := range b.laid {
		u, _ := b.place(s.from)
		v, _ := b.place(s.to)
		ohms := ClipLeadOhms
		for _, d := range c.bends {
			if !s.lead() && (d.lamp > 0) == (s.lamps > 0) && d.u == u && d.v == v {
				ohms = d.now
			}
		}
		w.Laid[[2]string{s.from, s.to}] = ohms
	}
	return w, nil
}

// Dial is where the dial stands, in the words of the step that put it there.
func (b *Bench) Dial() string { return b.dial }

// exact is that for a dial. A dial on the wrong kind of volts reads nothing.
func (b *Bench) exact(d Dial, red, black string) (float64, error) {
	u, err := b.place(red)
	if err != nil {
		return 0, err
	}
	v, err := b.place(black)
	if err != nil {
		return 0, err
	}
	c, err := b.now()
	if err != nil {
		return 0, err
	}
	switch d.Function {
	case simulate.Beeper, simulate.Ohms:
		if b.live() {
			b.hazard("%s on a live track, %s to %s", d.Function, red, black)
		}
		return c.apart(u, v)
	case simulate.Amps:
		if !b.ampere {
			return 0, fmt.Errorf("amperes are asked for, and nobody put the meter in series")
		}
		return c.lampAmps(), nil
	}
	if b.ampere {
		b.hazard("volts between %s and %s with the leads in the ampere sockets", red, black)
	}
	if d.AC != b.alternating() || c.f.Island(u) != c.f.Island(v) {
		return 0, nil
	}
	return c.v[u] - c.v[v], nil
}

// apart is the ohms between two nodes, loads cold. A winding that hangs on its
// posts is a path.
func (c *circuit) apart(u, v int) (float64, error) {
	edges := c.edges[:len(c.edges):len(c.edges)]
	for _, d := range c.bends {
		edges = append(edges, nodal.Edge{U: d.u, V: d.v, Ohms: d.ohms(0)})
	}
	for _, s := range c.feeds {
		edges = append(edges, nodal.Edge{U: s.plus, V: s.minus, Ohms: s.ohms})
	}
	f, err := nodal.NewFactor(c.nodes, edges, c.ties)
	if err != nil {
		return math.NaN(), err
	}
	return f.Resistance(u, v), nil
}

func (c *circuit) lampAmps() float64 {
	for _, d := range c.bends {
		if d.lamp > 0 {
			return math.Abs(c.v[d.u]-c.v[d.v]) / d.now
		}
	}
	return 0
}
