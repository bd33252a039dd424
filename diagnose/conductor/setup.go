package conductor

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"fishplate/diagnose/track"
)

// SourceKind says what feeds the track while a reading is taken.
type SourceKind string

// The kinds of sources. A lamp is the supply with a lamp in series.
const (
	SourceNone  SourceKind = "none"
	SourceVolts SourceKind = "volts"
	SourceLamp  SourceKind = "lamp"
)

// Source feeds the network between two points, From being the positive (or
// hot) one.
type Source struct {
	Kind     SourceKind
	From, To int     // points
	Volts    float64 // open-circuit volts
	// Amps is, for a lamp, the current it passes with all the volts across
	// it; the source is then Volts behind Volts/Amps ohm.
	Amps float64
}

// Ohms is the resistance in series with the source.
func (s Source) Ohms() float64 {
	if s.Kind == SourceLamp && s.Amps > 0 {
		return s.Volts / s.Amps
	}
	return 0
}

// Load is a resistor that the user lays across two points.
type Load struct {
	From, To int // points
	Ohms     float64
}

// TrainAt is a train that stands on neighbouring pieces: its wheels join the
// running rails of three-rail track (or pass current from rail to rail of two-rail
// track through the motor alone), reach over joints from piece to piece, and
// its pickups do the same on the center rail.
type TrainAt struct {
	Pieces []int
	// Motor is what the train takes between hot and common, ohm; 0 is a car
	// without pickups. Wheels is a pair of wheels from rail to rail; 0 means
	// DefaultWheels.
	Motor, Wheels float64
}

// DefaultWheels is a pair of wheels from rail to rail with its two contacts,
// ohm: clean treads on clean rail (assumed, no source).
const DefaultWheels = 0.05

// Setup is what must be true while a reading is taken. Slices are sorted.
type Setup struct {
	Source Source
	// Also are the other supplies that are on at the same time. To have two
	// on, drive the windings of each (Network.Windings).
	Also      []Source
	Loads     []Load
	Lifted    []int          // joints, every rail of them open
	Pulled    []int          // feeders, both wires off the supply
	Thrown    map[int]string // pieces (turnouts) to their route, for power-routing ones only
	Off       []int          // toggles in their second position: off, or reversing
	Unplugged []int          // accessories, taken off their wires
	Trains    []TrainAt
	// Warm says that loads have their hot resistance though nothing feeds
	// them: what a breaker meets, not what an ohmmeter does.
	Warm bool
}

// Usual is the set-up of daily use with every supply off: each toggle where
// it usually is.
func Usual(l *track.Layout) Setup {
	return Setup{Source: Source{Kind: SourceNone}, Off: l.UsuallyOff()}
}

// Bare is Usual with every accessory off its wires: a cold lamp or coil reads
// as a short.
func Bare(l *track.Layout) Setup {
	s := Usual(l)
	s.UnplugAll(l)
	return s
}

// Sources are all that are on: Source first, unless it is none.
func (s *Setup) Sources() []Source {
	var out []Source
	for _, x := range append([]Source{s.Source}, s.Also...) {
		if x.Kind != SourceNone && x.Kind != "" {
			out = append(out, x)
		}
	}
	return out
}

// Key tells set-ups apart; equal set-ups have equal keys.
func (s *Setup) Key() string {
	var b strings.Builder
	for _, x := range append([]Source{s.Source}, s.Also...) {
		fmt.Fprintf(&b, "%s %d %d %g %g|", x.Kind, x.From, x.To, x.Volts, x.Amps)
	}
	for _, t := range s.Trains {
		fmt.Fprintf(&b, "W%v,%g,%g ", t.Pieces, t.Motor, t.Wheels)
	}
	for _, l := range s.Loads {
		fmt.Fprintf(&b, "L%d,%d,%g ", l.From, l.To, l.Ohms)
	}
	b.WriteString(s.SwitchKey())
	return b.String()
}

// SwitchKey tells apart only what opens and closes links: joints lifted,
// feeders pulled, routes thrown, toggles, accessories unplugged. (Whether loads
// are hot follows from the sources.)
func (s *Setup) SwitchKey() string {
	var b strings.Builder
	fmt.Fprintf(&b, "|J%v F%v ", s.Lifted, s.Pulled)
	var turnouts []int
	for t := range s.Thrown {
		turnouts = append(turnouts, t)
	}
	sort.Ints(turnouts)
	for _, t := range turnouts {
		fmt.Fprintf(&b, "T%d=%s ", t, s.Thrown[t])
	}
	if s.Warm {
		b.WriteString("W ")
	}
	if len(s.Off)+len(s.Unplugged) > 0 {
		fmt.Fprintf(&b, "O%v U%v ", s.Off, s.Unplugged)
	}
	return b.String()
}

// LightsLoad says whether the lamp that eyes look at is what is laid across the rails,
// with the supply itself on; else it is the one in series.
func (s *Setup) LightsLoad() bool { return s.Source.Kind == SourceVolts && len(s.Loads) > 0 }

// Clone copies a set-up so that the copy can be changed.
func (s *Setup) Clone() Setup {
	c := *s
	c.Loads = append([]Load(nil), s.Loads...)
	c.Lifted = append([]int(nil), s.Lifted...)
	c.Pulled = append([]int(nil), s.Pulled...)
	c.Also = append([]Source(nil), s.Also...)
	c.Off = append([]int(nil), s.Off...)
	c.Unplugged = append([]int(nil), s.Unplugged...)
	c.Trains = append([]TrainAt(nil), s.Trains...)
	for i := range c.Trains {
		c.Trains[i].Pieces = append([]int(nil), s.Trains[i].Pieces...)
	}
	if s.Thrown != nil {
		c.Thrown = make(map[int]string, len(s.Thrown))
		for k, v := range s.Thrown {
			c.Thrown[k] = v
		}
	}
	return c
}

// Lift adds joints to the lifted ones.
func (s *Setup) Lift(joints ...int) {
	s.Lifted = addSorted(s.Lifted, joints)
}

// Pull adds feeders to the pulled ones.
func (s *Setup) Pull(feeders ...int) {
	s.Pulled = addSorted(s.Pulled, feeders)
}

// TurnOff adds toggles to those in their second position.
func (s *Setup) TurnOff(toggles ...int) {
	s.Off = addSorted(s.Off, toggles)
}

// Flip puts a toggle the other way.
func (s *Setup) Flip(toggle int) {
	if i, second := slices.BinarySearch(s.Off, toggle); second {
		s.Off = slices.Delete(slices.Clone(s.Off), i, i+1)
		return
	}
	s.TurnOff(toggle)
}

// Unplug adds accessories to those taken off their wires.
func (s *Setup) Unplug(accessories ...int) {
	s.Unplugged = addSorted(s.Unplugged, accessories)
}

// UnplugAll takes every accessory off its wires.
func (s *Setup) UnplugAll(l *track.Layout) {
	s.Unplugged = make([]int, len(l.Accessories))
	for i := range s.Unplugged {
		s.Unplugged[i] = i
	}
}

func addSorted(list, more []int) []int {
	out := append([]int(nil), list...)
	for _, x := range more {
		i := sort.SearchInts(out, x)
		if i == len(out) || out[i] != x {
			out = append(out, 0)
			copy(out[i+1:], out[i:])
			out[i] = x
		}
	}
	return out
}

// Has says whether a sorted list holds x.
func Has(list []int, x int) bool {
	i := sort.SearchInts(list, x)
	return i < len(list) && list[i] == x
}

// Route is the route that a turnout is thrown to; through when the set-up
// does not say.
func (s *Setup) Route(turnout int) string {
	if r, ok := s.Thrown[turnout]; ok {
		return r
	}
	return track.EndThrough
}

// Conducts says whether a sound link carries current in this set-up.
func (s *Setup) Conducts(k *Link) bool {
	return !k.NormallyOpen && s.Leaves(k)
}
