package conductor

import (
	"fmt"
	"sort"
	"strconv"
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

// Setup is what must be true while a reading is taken. Slices are sorted.
type Setup struct {
	Source   Source
	Loads    []Load
	Lifted   []int          // joints, every rail of them open
	Pulled   []int          // feeders, both wires off the supply
	Thrown   map[int]string // pieces (turnouts) to their route, for power-routing ones only
	TrainsOn bool
}

// Key tells set-ups apart; equal set-ups have equal keys.
func (s *Setup) Key() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %d %d %g %g|", s.Source.Kind, s.Source.From, s.Source.To, s.Source.Volts, s.Source.Amps)
	for _, l := range s.Loads {
		fmt.Fprintf(&b, "L%d,%d,%g ", l.From, l.To, l.Ohms)
	}
	b.WriteString(s.SwitchKey())
	b.WriteString(strconv.FormatBool(s.TrainsOn))
	return b.String()
}

// SwitchKey tells apart only what opens and closes links: joints lifted,
// feeders pulled, routes thrown.
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
	return b.String()
}

// Clone copies a set-up so that the copy can be changed.
func (s *Setup) Clone() Setup {
	c := *s
	c.Loads = append([]Load(nil), s.Loads...)
	c.Lifted = append([]int(nil), s.Lifted...)
	c.Pulled = append([]int(nil), s.Pulled...)
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

// Leaves says whether the set-up leaves a link in place: not lifted, pulled or
// thrown open. A bridged gap in a lifted joint does not conduct either.
func (s *Setup) Leaves(k *Link) bool {
	switch k.Kind {
	case KindJoint, KindGap:
		return !Has(s.Lifted, k.Joint)
	case KindFeeder:
		return !Has(s.Pulled, k.Feeder)
	case KindSwitch:
		return s.Route(k.Turnout) == k.When
	}
	return true
}
