// Package simulate is a layout with hidden faults that answers what a meter
// would read: for drills, trials and tests. It builds the whole circuit of a
// set-up link by link and factorises it anew, so that it shares nothing with
// the predictions that it is compared with. It also holds a meter and a person
// who make the errors that such make. All randomness comes from a generator
// that the caller hands over.
//
// Units are ohm, volt and ampere; an AC supply is taken at its rms value, and
// all of the network is resistive. A train is resistors: wheels and a motor.
package simulate

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/track"
)

// Fault is a suspect come true.
type Fault struct {
	Suspect fault.Suspect
	// Ohms is the resistance of a bridge, or what a weak contact adds in
	// series with its link; unused for open and swapped. Zero is a dead short.
	Ohms float64
	// Position is where a bridge lies inside a straight or a curve, from 0
	// (its first end) to 1; 0.5 is the middle. Elsewhere it is not used.
	Position float64
}

// ErrShorted says that an ideal source lies across no resistance at all.
var ErrShorted = errors.New("the source lies across zero ohm: its current has no bound")

// MeterOhms is the usual input resistance of a digital voltmeter (common
// practice, no source).
const MeterOhms = 10e6

// Bench is a layout with true resistances and hidden faults. It remembers the
// last circuit, so one Bench must not be used by several goroutines at once.
type Bench struct {
	n      *conductor.Network
	ohms   []float64
	faults []Fault
	last   *Circuit
	key    string
}

// NewBench makes a bench from the true resistance of every link (nil: the
// medians; normally open links are not looked at) and the faults hidden.
func NewBench(n *conductor.Network, ohms []float64, faults []Fault) *Bench {
	b := &Bench{n: n, ohms: ohms, faults: slices.Clone(faults)}
	if ohms == nil {
		b.ohms = make([]float64, len(n.Links))
		for i := range n.Links {
			b.ohms[i] = n.Links[i].Ohms
		}
	}
	return b
}

// Network is the layout's network.
func (b *Bench) Network() *conductor.Network { return b.n }

// Circuit builds and solves the circuit of a set-up. The error is ErrShorted
// (then Ohms still answers), or says which resistance cannot be.
func (b *Bench) Circuit(s conductor.Setup) (*Circuit, error) {
	if key := s.Key(); b.last == nil || b.key != key {
		c, err := b.build(s)
		if err != nil {
			return nil, err
		}
		b.last, b.key = c, key
	}
	return b.last, b.last.err
}

// Volts is what an ideal voltmeter reads between two points, red against
// black. False says that nothing joins the two (a real meter shows nothing
// steady there) or that the source is shorted.
func (b *Bench) Volts(s conductor.Setup, red, black int) (v float64, connected bool) {
	c, err := b.Circuit(s)
	if err != nil {
		return 0, false
	}
	return c.Volts(red, black)
}

// MeterVolts is what a voltmeter of this many ohm reads: it loads the circuit,
// and between points that nothing joins it reads zero.
func (b *Bench) MeterVolts(s conductor.Setup, red, black int, ohms float64) float64 {
	loaded := s.Clone()
	loaded.Loads = append(loaded.Loads, conductor.Load{From: red, To: black, Ohms: ohms})
	v, _ := b.Volts(loaded, red, black)
	return v
}

// Ohms is the resistance between two points with the source taken away, +Inf
// when nothing joins them. The loads stay.
func (b *Bench) Ohms(s conductor.Setup, red, black int) float64 {
	dead := s.Clone()
	dead.Source, dead.Also = conductor.Source{Kind: conductor.SourceNone}, nil
	c, err := b.Circuit(dead)
	if err != nil {
		return math.NaN()
	}
	return c.f.Resistance(b.n.NodeOf(red), b.n.NodeOf(black))
}

// Amps is the current that the source delivers: 0 without one, +Inf when an
// ideal one is shorted by zero ohm.
func (b *Bench) Amps(s conductor.Setup) float64 {
	c, err := b.Circuit(s)
	if errors.Is(err, ErrShorted) {
		return math.Inf(1)
	}
	if err != nil {
		return math.NaN()
	}
	return c.amps
}

// cut is a new node inside a link, this part of the way from A to B.
type cut struct {
	at   float64
	node int
}

// wiring gathers the edges of a circuit.
type wiring struct {
	b     *Bench
	nodes int
	edges []edge
	ties  [][2]int
	cuts  map[int][]cut // by link
}

// edge is a resistor of the circuit: a link, a part of one (share of its
// resistance), or something added (link -1).
type edge struct {
	u, v  int
	ohms  float64
	link  int
	share float64
}

func (w *wiring) add(e edge) error {
	switch {
	case e.ohms == 0:
		w.ties = append(w.ties, [2]int{e.u, e.v})
	case math.IsInf(e.ohms, 1): // conducts nothing
	case !(e.ohms > 0):
		return fmt.Errorf("%v ohm is no resistance", e.ohms)
	default:
		w.edges = append(w.edges, e)
	}
	return nil
}

// build makes the circuit of a set-up and solves it for the source.
func (b *Bench) build(s conductor.Setup) (*Circuit, error) {
	if len(b.ohms) != len(b.n.Links) {
		return nil, fmt.Errorf("%d resistances for %d links", len(b.ohms), len(b.n.Links))
	}
	w := &wiring{b: b, nodes: b.n.Nodes, edges: make([]edge, 0, len(b.n.Links)+8), cuts: map[int][]cut{}}
	for i := range b.faults {
		if err := w.bridge(&b.faults[i], &s); err != nil {
			return nil, err
		}
	}
	for i := range b.n.Links {
		if err := w.link(i, &s); err != nil {
			return nil, fmt.Errorf("%s (%s %s): %w", b.n.Links[i].ID, b.n.Links[i].Place, b.n.Links[i].Rail, err)
		}
	}
	for _, l := range s.Loads {
		if err := w.add(edge{u: b.n.NodeOf(l.From), v: b.n.NodeOf(l.To), ohms: l.Ohms, link: -1}); err != nil {
			return nil, fmt.Errorf("load: %w", err)
		}
	}
	for i := range s.Trains {
		if err := w.train(&s.Trains[i]); err != nil {
			return nil, fmt.Errorf("train: %w", err)
		}
	}
	if len(s.Also) > 0 {
		return newJointCircuit(b.n, s, w)
	}
	return newCircuit(b.n, s, w)
}

// link adds a sound or a faulty link, in parts where bridges lie along it. A
// break or a weak spot in such a link is taken to be in its first part.
func (w *wiring) link(i int, s *conductor.Setup) error {
	k := &w.b.n.Links[i]
	if !s.Conducts(k) {
		return nil
	}
	from, to, extra := w.b.n.NodeOf(k.A), w.b.n.NodeOf(k.B), 0.0
	for j := range w.b.faults {
		f := &w.b.faults[j]
		if !slices.Contains(f.Suspect.Links, i) {
			continue
		}
		switch f.Suspect.Mode {
		case track.Open:
			extra = math.Inf(1)
		case track.Weak:
			extra += f.Ohms
		case track.Swapped:
			to = w.swapped(f, i)
		case track.Misplaced:
			to = w.misplaced(i)
		}
	}
	cuts := w.cuts[i]
	slices.SortStableFunc(cuts, func(a, c cut) int {
		if a.at < c.at {
			return -1
		}
		if a.at > c.at {
			return 1
		}
		return 0
	})
	done := 0.0
	for _, c := range cuts {
		share := c.at - done
		if err := w.add(edge{from, c.node, share*w.b.ohms[i] + extra, i, share}); err != nil {
			return err
		}
		from, done, extra = c.node, c.at, 0
	}
	return w.add(edge{from, to, (1-done)*w.b.ohms[i] + extra, i, 1 - done})
}

// swapped is where a wire of a swapped feeder ends: where the other one would.
func (w *wiring) swapped(f *Fault, link int) int {
	for _, o := range f.Suspect.Links {
		if o != link {
			return w.b.n.NodeOf(w.b.n.Links[o].B)
		}
	}
	return w.b.n.NodeOf(w.b.n.Links[link].B)
}

// factor turns the gathered edges into a factorisation.
func (w *wiring) factor(ties ...[2]int) (*nodal.Factor, error) {
	list := make([]nodal.Edge, len(w.edges))
	for i, e := range w.edges {
		list[i] = nodal.Edge{U: e.u, V: e.v, Ohms: e.ohms}
	}
	return nodal.NewFactor(w.nodes, list, append(ties, w.ties...))
}

// Burnt says whether an accessory is burnt out: then it is dark whatever volts
// it has.
func (b *Bench) Burnt(accessory int) bool {
	for i := range b.faults {
		if b.faults[i].Suspect.Burnt(b.n, accessory) {
			return true
		}
	}
	return false
}
