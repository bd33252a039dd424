package predict

import (
	"math"

	"fishplate/diagnose/nodal"
)

// EffectKind says what a fault does to the network.
type EffectKind uint8

// The effects. Everything else (a swapped feeder, two faults at once) is built
// as a Circuit with links taken out and branches added.
const (
	EffectNone   EffectKind = iota
	EffectBridge            // a resistance between two points
	EffectWeak              // more resistance in series with a link
	EffectOpen              // a link that no longer conducts
)

// Effect is a fault as the network feels it.
type Effect struct {
	Kind EffectKind
	A, B int     // points, for a bridge
	Link int     // link of the conductor graph, for weak and open
	Ohms float64 // of the bridge, or added in series
	// Within is, for a bridge, one more than the link that it lies in: where the
	// set-up takes that link away (a shorted accessory off its wires, a bridged
	// gap in a lifted joint), the bridge is gone too. 0 means always there.
	Within int
	// Also is a second fault at the same time: a bridge, or more resistance in
	// another link (an open one as a very large one), nil for none.
	Also *Effect
}

// Case is one circuit under one effect, solved for its source.
type Case struct {
	c     *Circuit
	e     Effect
	br    []branch
	cells cells
	super int // super changed by the effect, -1
	fault int // index into br of the effect's branch, -1
	// The same for a second fault.
	super2, fault2 int
	drive          solution
	flow           []float64 // of the drive, made when first wanted
	none           bool      // the effect changes nothing here
}

// solution is the state for one excitation: the currents of the branches and
// the potentials of the cells, and the current injected by the probes.
type solution struct {
	i   []float64
	pot []float64 // by cell
	// red and black carry +amps and -amps from outside, -1 when nothing does.
	red, black int
	amps       float64
}

// cells are islands, with one more when an opened bridge splits one.
type cells struct {
	c     *Circuit
	split int // super whose far side is a cell of its own, -1
	root  []int
	group *nodal.Union
}

func (k *cells) of(x int) int {
	if k.split >= 0 && k.c.beyond(k.split, x) {
		return k.c.f.Islands()
	}
	return k.c.f.Island(x)
}

// NewCase applies an effect and solves for the source.
func (c *Circuit) NewCase(e Effect) *Case {
	if !c.leaves(&e) {
		e.Kind = EffectNone
	}
	cs := &Case{c: c, e: e, super: -1, fault: -1, super2: -1, fault2: -1}
	cs.br = append(cs.br, c.branches...)
	cs.cells = cells{c: c, split: -1}
	switch e.Kind {
	case EffectBridge:
		u, v := c.b.Node(e.A), c.b.Node(e.B)
		cs.fault = len(cs.br)
		cs.br = append(cs.br, branch{u, v, e.Ohms, 0})
	case EffectWeak, EffectOpen:
		cs.weaken(e)
	default:
		cs.none = true
	}
	if e.Also != nil {
		cs.second(*e.Also)
	}
	cs.cells.link(cs.br)
	cs.drive = cs.solve(-1, -1, 0)
	return cs
}

// weaken models more resistance d in a super of resistance r by a branch in
// parallel of -r(1+r/d) ohm: together they pass what r+d would. For d without
// end that is -r; where the super is the only path, the far side becomes a
// cell of its own instead.
func (cs *Case) weaken(e Effect) {
	s, _ := cs.c.b.SuperOf(e.Link)
	if s < 0 || cs.c.gone[s] {
		cs.none = true
		return
	}
	cs.super = s
	sup := &cs.c.b.Supers[s]
	if e.Kind == EffectOpen {
		if cs.c.isBridge[s] {
			cs.cells.split = s
			return
		}
		cs.fault = len(cs.br)
		cs.br = append(cs.br, branch{sup.U, sup.V, -sup.Ohms, 0})
		return
	}
	cs.fault = len(cs.br)
	cs.br = append(cs.br, branch{sup.U, sup.V, -sup.Ohms * (1 + sup.Ohms/e.Ohms), 0})
}

// second adds a second fault.
func (cs *Case) second(e Effect) {
	if !cs.c.leaves(&e) {
		return
	}
	if e.Kind == EffectBridge {
		cs.fault2 = len(cs.br)
		cs.br = append(cs.br, branch{cs.c.b.Node(e.A), cs.c.b.Node(e.B), e.Ohms, 0})
		return
	}
	s, _ := cs.c.b.SuperOf(e.Link)
	if s < 0 || cs.c.gone[s] || s == cs.super {
		return
	}
	cs.super2, cs.fault2 = s, len(cs.br)
	sup := &cs.c.b.Supers[s]
	cs.br = append(cs.br, branch{sup.U, sup.V, -sup.Ohms * (1 + sup.Ohms/e.Ohms), 0})
}

// leaves says whether the set-up leaves an effect in place.
func (c *Circuit) leaves(e *Effect) bool {
	return e.Kind != EffectBridge || e.Within == 0 || c.Setup.Leaves(&c.b.Net.Links[e.Within-1])
}

// link finds which cells hang together through branches.
func (k *cells) link(br []branch) {
	n := k.c.f.Islands() + 1
	k.group = nodal.NewUnion(n)
	for _, b := range br {
		k.group.Join(k.of(b.u), k.of(b.v))
	}
}

// connected says whether any path leads from node x to node y.
func (cs *Case) connected(x, y int) bool {
	return cs.cells.group.Find(cs.cells.of(x)) == cs.cells.group.Find(cs.cells.of(y))
}

// unit is what node x feels of branch k carrying one ampere.
func (cs *Case) unit(x, k int) float64 {
	return cs.c.z(x, cs.br[k].u) - cs.c.z(x, cs.br[k].v)
}

// unknowns are the cells whose potential is sought: a handful.
type unknowns []int

func (u unknowns) at(cell int) (int, bool) {
	for i, c := range u {
		if c == cell {
			return i, true
		}
	}
	return 0, false
}

// solve finds branch currents and cell potentials. With red >= 0 the sources
// are dead and one ampere times amps goes in at red and out at black.
func (cs *Case) solve(red, black int, amps float64) solution {
	nb := len(cs.br)
	var list unknowns
	for _, b := range cs.br {
		for _, x := range [2]int{b.u, b.v} {
			cell := cs.cells.of(x)
			if _, ok := list.at(cell); !ok && cs.cells.group.Find(cell) != cell {
				list = append(list, cell)
			}
		}
	}
	n := nb + len(list)
	m := newDense(n)
	for r, b := range cs.br {
		for k := range cs.br {
			m.set(r, k, cs.unit(b.u, k)-cs.unit(b.v, k))
		}
		m.add(r, r, b.ohms)
		for s, x := range [2]int{b.u, b.v} {
			sign := 1 - 2*float64(s)
			if p, ok := list.at(cs.cells.of(x)); ok {
				m.add(r, nb+p, sign)
				m.add(nb+p, r, sign)
			}
		}
		if red < 0 {
			m.rhs[r] = b.emf
		} else {
			m.rhs[r] = -amps * (cs.c.z(b.u, red) - cs.c.z(b.u, black) - cs.c.z(b.v, red) + cs.c.z(b.v, black))
		}
	}
	if red >= 0 {
		if p, ok := list.at(cs.cells.of(red)); ok {
			m.rhs[nb+p] -= amps
		}
		if p, ok := list.at(cs.cells.of(black)); ok {
			m.rhs[nb+p] += amps
		}
	}
	x := m.solve()
	s := solution{i: x[:nb], pot: make([]float64, cs.c.f.Islands()+1), red: red, black: black, amps: amps}
	for k, cell := range list {
		s.pot[cell] = x[nb+k]
	}
	return s
}

// at is the voltage of node x in a solution.
func (cs *Case) at(s *solution, x int) float64 {
	v := s.pot[cs.cells.of(x)]
	for k := range cs.br {
		if s.i[k] != 0 {
			v += s.i[k] * cs.unit(x, k)
		}
	}
	if s.red >= 0 {
		v += s.amps * (cs.c.z(x, s.red) - cs.c.z(x, s.black))
	}
	return v
}

// Volts is what a perfect voltmeter shows between two points, and whether any
// path joins them; without one the reading floats and counts as zero.
func (cs *Case) Volts(red, black int) (v float64, joined bool) {
	x, y := cs.c.b.Node(red), cs.c.b.Node(black)
	if !cs.connected(x, y) {
		return 0, false
	}
	return cs.at(&cs.drive, x) - cs.at(&cs.drive, y), true
}

// Ohms is the resistance between two points with every source dead, +Inf
// where no path is.
func (cs *Case) Ohms(red, black int) float64 {
	x, y := cs.c.b.Node(red), cs.c.b.Node(black)
	if x == y {
		return 0
	}
	if !cs.connected(x, y) {
		return math.Inf(1)
	}
	s := cs.solve(x, y, 1)
	return cs.at(&s, x) - cs.at(&s, y)
}

// Amps is the current that the source delivers.
func (cs *Case) Amps() float64 {
	if cs.c.source < 0 {
		return 0
	}
	return cs.drive.i[cs.c.source]
}
