package predict

import (
	"math"

	"fishplate/diagnose/conductor"
)

// Quantity says what a probe pair measures.
type Quantity uint8

// What can be measured between two points (or, for Current, at the source).
const (
	Voltage Quantity = iota
	Resistance
	Current
)

// Shift is how a link's resistance grows per unit of a fault's position along
// its piece (-0.5 to +0.5).
type Shift struct {
	Link int
	Ohms float64
}

// Moments is a reading under one case: its value, and its derivatives by
// everything that is not known exactly.
type Moments struct {
	Mean float64 // volt, ohm or ampere
	// Joined is false where no path joins the probes: volts then float, and
	// ohms are over the limit (Mean is +Inf).
	Joined bool
	Level  [conductor.NumClasses]float64 // by the log of each class's level
	Source float64                       // by the log of the ohms in series with the source
	EMF    float64                       // by the log of the source's volts
	Load   float64                       // by the log of the loads' ohms, all together
	Fault  float64                       // by the log of the fault's ohms
	Place  float64                       // by the fault's position along its piece
	// S is, for every super, the derivative of the reading by its resistance.
	S []float64
}

// fill writes the current in every super into dst, which must be zero.
func (cs *Case) fill(dst []float64, s *solution) {
	axpy := func(x, y int, f float64) {
		if f == 0 {
			return
		}
		from := cs.c.pair(x, y)
		dst = dst[:len(from)]
		for i, x := range from {
			dst[i] += f * x
		}
	}
	for k := range cs.br {
		axpy(cs.br[k].u, cs.br[k].v, s.i[k])
	}
	if s.red >= 0 {
		axpy(s.red, s.black, s.amps)
	}
	if cs.super >= 0 {
		dst[cs.super] = cs.through(s)
	}
}

// driven is the current in every super for the source, worked out once a case.
func (cs *Case) driven() []float64 {
	if cs.flow == nil {
		cs.flow = make([]float64, len(cs.c.b.Supers))
		cs.fill(cs.flow, &cs.drive)
	}
	return cs.flow
}

// through is the current in the super that a weak or open fault changes,
// fault included.
func (cs *Case) through(s *solution) float64 {
	if cs.e.Kind == EffectOpen {
		return 0
	}
	sup := &cs.c.b.Supers[cs.super]
	return (cs.at(s, sup.U) - cs.at(s, sup.V)) / (sup.Ohms + cs.e.Ohms)
}

// faultCurrent is the current through the resistance of the fault.
func (cs *Case) faultCurrent(s *solution) float64 {
	switch {
	case cs.fault < 0:
		return 0
	case cs.e.Kind == EffectBridge:
		return s.i[cs.fault]
	}
	return cs.through(s)
}

// Moments works out a reading and its derivatives. Red and black are points
// of the network; for Current they are not used.
func (cs *Case) Moments(q Quantity, red, black int, shift []Shift) Moments {
	m := Moments{S: make([]float64, len(cs.c.b.Supers)), Joined: true}
	var adj, act solution
	scale := 1.0
	switch q {
	case Current:
		if cs.c.source < 0 {
			return m
		}
		// The current is read across one milliohm of the source's own series
		// resistance: by reciprocity its adjoint is the drive itself over EMF.
		act = cs.drive
		adj = cs.drive
		m.Mean = cs.drive.i[cs.c.source]
		emf := cs.br[cs.c.source].emf
		if emf == 0 {
			return m
		}
		scale = -1 / emf
	default:
		x, y := cs.c.b.Node(red), cs.c.b.Node(black)
		if x == y {
			return m
		}
		if !cs.connected(x, y) {
			m.Joined = false
			if q == Resistance {
				m.Mean = math.Inf(1)
			}
			return m
		}
		adj = cs.solve(x, y, 1)
		act = cs.drive
		if q == Resistance {
			act = adj
			m.Mean = cs.at(&adj, x) - cs.at(&adj, y)
		} else {
			m.Mean = cs.at(&act, x) - cs.at(&act, y)
		}
	}
	cs.fill(m.S, &adj)
	other := m.S
	if q == Voltage {
		other = cs.driven()
	}
	for i := range m.S {
		m.S[i] *= other[i] * scale
	}
	cs.derive(&m, &adj, &act, scale, q, shift)
	return m
}

func (cs *Case) derive(m *Moments, adj, act *solution, scale float64, q Quantity, shift []Shift) {
	for i := range m.S {
		if m.S[i] == 0 {
			continue
		}
		for k, l := range cs.c.b.Supers[i].Level {
			m.Level[k] += l * m.S[i]
		}
	}
	for k := range cs.c.branches {
		d := cs.br[k].ohms * act.i[k] * adj.i[k] * scale
		if k == cs.c.source {
			m.Source += d
			switch q {
			case Voltage:
				m.EMF -= cs.br[k].emf * adj.i[k]
			case Current:
				m.EMF = m.Mean
			}
		} else {
			m.Load += d
			if q == Voltage && cs.br[k].emf != 0 { // another supply, on the same mains
				m.EMF -= cs.br[k].emf * adj.i[k]
			}
		}
	}
	if cs.fault >= 0 && !math.IsInf(cs.e.Ohms, 1) {
		m.Fault = cs.e.Ohms * cs.faultCurrent(act) * cs.faultCurrent(adj) * scale
	}
	for _, s := range shift {
		if i, w := cs.c.b.SuperOf(s.Link); i >= 0 {
			m.Place += s.Ohms * w * m.S[i]
		}
	}
}

// Cov adds to dst, class by class, the covariance of two readings by the
// links' own spreads.
func (b *Basis) Cov(dst *[conductor.NumClasses]float64, s, t []float64) {
	for i := range s {
		p := s[i] * t[i]
		if p == 0 {
			continue
		}
		v := &b.Supers[i].Var
		for k := range dst {
			dst[k] += v[k] * p
		}
	}
}
