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

// Slide says how a bridge's end moves along one half of a rail when the bridge
// lies off the middle of its piece, where the network has it.
type Slide struct {
	Link  int     // the half of the rail it moves onto
	Side  int     // 0 or 1: the places on which side of the middle this stands for
	Point int     // the bridge's own end on this rail, in the middle
	Ohms  float64 // of the whole rail: what moving from the middle by one piece would add
	Into  bool    // the end that the bridge's current flows into (Effect.B)
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
	Also   float64                       // by the log of a second fault's ohms
	// Place is by the distance of a bridge from the middle of its piece, in
	// pieces, toward its first and toward its second end: the two differ where
	// current turns at the middle (a tie, a feeder).
	Place [2]float64
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
	if cs.super2 >= 0 {
		dst[cs.super2] = cs.through2(s)
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

// through2 is through for a second fault.
func (cs *Case) through2(s *solution) float64 {
	sup := &cs.c.b.Supers[cs.super2]
	return (cs.at(s, sup.U) - cs.at(s, sup.V)) / (sup.Ohms + cs.e.Also.Ohms)
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
// of the network; for Current they are not used, and its derivatives hold for
// one source alone (its mean for several, too).
func (cs *Case) Moments(q Quantity, red, black int, slides []Slide) Moments {
	return cs.MomentsIn(nil, q, red, black, slides)
}

// MomentsIn is Moments with S in memory that the caller does not need any
// more (nil: new memory).
func (cs *Case) MomentsIn(buf []float64, q Quantity, red, black int, slides []Slide) Moments {
	if n := len(cs.c.b.Supers); cap(buf) < n {
		buf = make([]float64, n)
	} else {
		buf = buf[:n]
		clear(buf)
	}
	m := Moments{S: buf, Joined: true}
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
	cs.slide(&m, other, &adj, &act, scale, slides)
	for i := range m.S {
		m.S[i] *= other[i] * scale
	}
	cs.derive(&m, &adj, &act, scale, q)
	return m
}

func (cs *Case) derive(m *Moments, adj, act *solution, scale float64, q Quantity) {
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
	if cs.fault2 >= 0 {
		i, j := act.i[cs.fault2], adj.i[cs.fault2]
		if cs.super2 >= 0 {
			i, j = cs.through2(act), cs.through2(adj)
		}
		m.Also = cs.e.Also.Ohms * i * j * scale
	}
	if cs.fault >= 0 && !math.IsInf(cs.e.Ohms, 1) {
		m.Fault = cs.e.Ohms * cs.faultCurrent(act) * cs.faultCurrent(adj) * scale
	}
}

// slide works out how the reading moves when the bridge does. Taken at x
// instead of at the middle m, the bridge's current i changes the reading by
// i (Va(m) - Va(x)), Va being the potentials of the adjoint network; the
// bridge meets other volts by V(m) - V(x), which its adjoint current j carries
// to the reading; and i now also flows between m and x. m.S still holds the
// adjoint currents, flow those of the drive.
func (cs *Case) slide(m *Moments, flow []float64, adj, act *solution, scale float64, slides []Slide) {
	if cs.fault < 0 || cs.e.Kind != EffectBridge {
		return
	}
	i, j := -act.i[cs.fault], -adj.i[cs.fault] // from Effect.A to Effect.B
	for _, sl := range slides {
		toward, k := cs.toward(&sl)
		there := 0.0
		if toward != 0 {
			there = toward * (i*m.S[k] + j*flow[k])
		}
		m.Place[sl.Side] += sl.Ohms * cs.c.b.rails * scale * (there + i*j)
	}
}

// toward finds the super that holds a slide's half rail, and what turns the
// super's current into that of the half rail toward the middle (for the end
// that the bridge's current leaves by: away from it). It is 0 where the half
// rail leads nowhere and carries nothing.
func (cs *Case) toward(sl *Slide) (factor float64, super int) {
	k, w := cs.c.b.SuperOf(sl.Link)
	if k < 0 {
		return 0, k
	}
	factor = math.Sqrt(w) // parallel parts share the current by the root of their weight
	switch cs.c.b.Node(sl.Point) {
	case cs.c.b.Supers[k].U:
		factor = -factor
	case cs.c.b.Supers[k].V:
	default:
		return 0, k
	}
	if !sl.Into {
		factor = -factor
	}
	return factor, k
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
