package track

import (
	"math"
	"slices"
	"strings"
)

// Phase says how the alternating current of a supply stands to that of the
// first supply of the layout, with the commons joined.
type Phase string

// The phases of a supply. Reversed means that its hot post swings against the
// first one's: the two add up across a gap instead of cancelling.
const (
	PhaseUnknown  Phase = ""
	PhaseIn       Phase = "in phase"
	PhaseReversed Phase = "reversed"
)

// Supply is a source of current.
type Supply struct {
	Name    string
	AC      bool
	Volts   float64 // at the posts, rms for AC
	Breaker float64 // amperes
	Phase   Phase   // as last checked, unknown for the first one and for DC
	Line    int
}

// Limits of a toy's supply: IEC 61558-2-7:2007, clause 1 (read in the identical
// GB 19212.8-2012): rated output at most 24 V AC, or 33 V ripple-free DC, at
// most 10 A and 200 VA. MOROP NEM 609 (2010), 6.1 repeats them.
const (
	ToyVoltsAC, ToyVoltsDC = 24.0, 33.0
	ToyAmps                = 10.0
	ToyVA                  = 200.0
)

// ToyVolts is the most that a toy's supply of this current may give, volts.
func (s *Supply) ToyVolts() float64 {
	if s.AC {
		return ToyVoltsAC
	}
	return ToyVoltsDC
}

// Trip is the current at which the supply trips, ampere; +Inf where its file has no
// breaker.
func (s *Supply) Trip() float64 {
	if s.Breaker <= 0 {
		return math.Inf(1)
	}
	return s.Breaker
}

// OutletKind says what a pair of wires hangs on.
type OutletKind uint8

// The kinds of outlets. The zero value is a supply's posts.
const (
	OnSupply OutletKind = iota
	OnBus
	OnToggle
)

// Outlet is where a pair of wires (or the hot one of an accessory) gets its
// current from.
type Outlet struct {
	Kind     OutletKind
	Index    int // into Supplies, Buses or Toggles
	Terminal int // of a bus, from 1
}

// Feeder is a pair of wires from a supply, a bus or a toggle to the track.
type Feeder struct {
	Name        string
	Supply      int    // index into Layout.Supplies: where its current comes from in the end
	On          Outlet // what its wires hang on; its Index is Supply when that is the supply itself
	At          Place
	Hot, Common Rail    // the rails that its two wires go to
	Wire        string  // as written: "16 AWG", "0.75 mm2"
	LengthMM    float64 // one way
	OhmsPerWire float64 // copper of one wire, at 20 degrees C
	Fuse        float64 // amperes, in its hot wire; 0 without one
	Line        int
}

// Terminal is a labelled place of the block under the table to which thin wires
// come from the track, to read at: they carry no load.
type Terminal struct {
	Name        string
	At          Place
	Hot, Common Rail    // the rails that its wires come from; empty: it has no such wire
	Wire        string  // as written: "22 AWG"
	LengthMM    float64 // one way
	OhmsPerWire float64 // copper of one wire, at 20 degrees C
	Line        int
}

// Rails are the rails of its two wires, hot first.
func (t *Terminal) Rails() [2]Rail { return [2]Rail{t.Hot, t.Common} }

// Bus is a pair of wires under the table with terminals along it, or a
// terminal strip at the end of a pair.
type Bus struct {
	Name      string
	Supply    int    // where its current comes from in the end
	On        Outlet // a supply, another bus (one that stands earlier) or a toggle
	Terminals int    // from 1, the nearest to the supply
	// Strip says that all terminals are side by side at the end of the pair;
	// else they stand evenly along it, the last one at its end.
	Strip       bool
	Wire        string
	LengthMM    float64 // one way, to the last terminal
	OhmsPerWire float64 // copper of one whole wire, at 20 degrees C
	// RingMM and RingOhms are the pair that closes a bus to a ring, from its last
	// terminal back to what it hangs on (one way, one wire); 0 where it ends there.
	RingMM, RingOhms float64
	Fuse             float64 // amperes, in its hot wire where it begins; 0 without one
	Line             int
}

// Toggle is a switch by hand in the wires to a block, a bus or an accessory.
type Toggle struct {
	Name   string
	Supply int    // where its current comes from in the end
	On     Outlet // a supply or a bus
	// Hot and Common say which wires it switches; the other goes past it.
	Hot, Common bool
	// Reverses says that its second position crosses the two wires instead of
	// opening them (for the loop that turns a train round); both are switched.
	Reverses bool
	// Other is what it feeds from in its second position, when Chooses is set:
	// a block that is run from one supply or from another.
	Other   Outlet
	Chooses bool
	// UsuallyOff says that it is in its second position in daily use.
	UsuallyOff bool
	// Middle says that it is off in the middle of three positions: it hangs on
	// another Toggle, its Side, which chooses or reverses, and in its own second
	// position both are off. Its contacts stand with the Side.
	Middle bool
	// Side says that it is the two sides of such a toggle.
	Side bool
	Line int
}

const sideSuffix = " side"

// SideName names the two sides of a toggle that is off in the middle.
func SideName(toggle string) string { return toggle + sideSuffix }

// Part names what is looked at when the toggle is bad: the whole of one that
// has a middle position.
func (t *Toggle) Part() string {
	if t.Side {
		return strings.TrimSuffix(t.Name, sideSuffix)
	}
	return t.Name
}

// Block is a stretch between insulated joints that is switched on its own.
type Block struct {
	Name   string
	Pieces []int // along its run
	Toggle int   // index into Layout.Toggles, -1 when none feeds it
	Line   int
}

// AccessoryKind says what an accessory is to a meter.
type AccessoryKind string

// The kinds of accessories. A filament is far below its hot resistance while
// cold; a coil's wire is below what it takes on AC; a light of the LED kind
// does not conduct at a meter's test volts.
const (
	Lamp      AccessoryKind = "lamp"
	LitBumper AccessoryKind = "bumper"
	Signal    AccessoryKind = "signal"
	Relay     AccessoryKind = "relay"
	Motor     AccessoryKind = "motor"
	LED       AccessoryKind = "led"
)

// Accessory is a load that is no train. It lies across two rails (At says
// where), across an outlet, or between an outlet and an insulated rail that
// works it (then an InsulatedRail names it).
type Accessory struct {
	Name        string
	Kind        AccessoryKind
	Volts, Amps float64 // what it takes in use
	ColdOhms    float64 // what an ohmmeter finds in it, +Inf for none
	// OnTrack says that it lies across the rails Hot and Common at At. Else
	// On says where its hot wire comes from.
	OnTrack     bool
	At          Place
	Hot, Common Rail
	On          Outlet
	Supply      int     // where its current comes from in the end; -1 on the track
	Fuse        float64 // amperes, in its hot wire; 0 without one
	// Turnout is the piece whose points this accessory throws when a train
	// comes in by the wrong leg, -1 for all others.
	Turnout int
	Line    int
}

// HotOhms is the resistance in use: volts over amperes.
func (a *Accessory) HotOhms() float64 { return a.Volts / a.Amps }

// ColdOhms is what an ohmmeter finds in an accessory that takes volts/amps
// ohm in use, where the layout does not say: a filament a twelfth (10 to
// 15 times the current at switching on: "Light Bulb", a page on vehicles, and an
// installer's guide to lighting; both second-hand, sources not named), a coil or a motor 0.4 (assumed), the LED
// kind nothing.
func ColdOhms(k AccessoryKind, hotOhms float64) float64 {
	switch k {
	case Relay, Motor:
		return 0.4 * hotOhms
	case LED:
		return inf
	}
	return hotOhms / 12
}

// InsulatedRail is a rail cut off between two joints, so that wheels which
// join it to the other outer rail work an accessory.
type InsulatedRail struct {
	Name     string
	Rail     Rail // as named on the first piece
	From, To int  // joints
	Pieces   []int
	// Tap is where the accessory's wire is joined to it, and TapRail the name
	// that the rail has there.
	Tap       Place
	TapRail   Rail
	Accessory int // index into Layout.Accessories
	Wire      string
	LengthMM  float64 // of the wire from the accessory
	Ohms      float64 // copper of that wire
	// Own says that it is a rail of a turnout that senses a train coming in
	// by the wrong leg; From or To is then -1 at the inner end.
	Own  bool
	Line int
}

// Train is what runs on the layout, for loads and for wheels that bridge.
type Train struct {
	Name string
	// AxleMM is the longest distance between two neighbouring axles, within a
	// car or from car to car.
	AxleMM float64
	// PickupMM is the distance from the first to the last pickup of the
	// engine; a dead stretch longer than that stops it.
	PickupMM float64
	Amps     float64
	Line     int
}

// DefaultTrain is the train that is reckoned with when a layout names none.
// Its figures are assumed: 8 in between axles, 5 in between pickups, 3 A.
func DefaultTrain() Train {
	return Train{Name: "train", AxleMM: 203.2, PickupMM: 127, Amps: 3}
}

// TwoRailAmps is what a train takes on two rails where neither the user nor the
// file says so, ampere: an engine of 16.5 mm gauge that stalls took 0.86 A (one
// sample, source not named). On three rails it is that of DefaultTrain: two motors
// of 1.25 A and some lamps (an operating booklet of 1959, p. 52: 1.25 A a motor,
// 0.2 A a lamp; second-hand, source not named).
const TwoRailAmps = 1.0

// TrainAmps is what a train takes on a piece at full volts, ampere: the most of
// the file's trains, else what is assumed for its kind of track.
func (l *Layout) TrainAmps(piece int) float64 {
	amps := 0.0
	for i := range l.Trains {
		amps = max(amps, l.Trains[i].Amps)
	}
	switch {
	case amps > 0:
		return amps
	case l.Pieces[piece].Construction.HasRail(Center):
		return DefaultTrain().Amps
	}
	return TwoRailAmps
}

// UsuallyOff lists the toggles that are in their second position in daily
// use, in order.
func (l *Layout) UsuallyOff() []int {
	var out []int
	for i := range l.Toggles {
		if l.Toggles[i].UsuallyOff {
			out = append(out, i)
		}
	}
	return out
}

// RailOf finds the insulated rail that works an accessory, -1 when none does.
func (l *Layout) RailOf(accessory int) int {
	for i := range l.InsulatedRails {
		if l.InsulatedRails[i].Accessory == accessory {
			return i
		}
	}
	return -1
}

// StandsAt is where an accessory meets the track: across its rails, or at the
// tap of the insulated rail that works it; false for one that lies across its
// supply's wires, and for the coils of a turnout, which stand in it.
func (l *Layout) StandsAt(accessory int) (Place, bool) {
	a := &l.Accessories[accessory]
	switch r := l.RailOf(accessory); {
	case a.Turnout >= 0:
		return Place{Piece: -1, End: -1}, false
	case r >= 0:
		return l.InsulatedRails[r].Tap, true
	case a.OnTrack:
		return a.At, true
	}
	return Place{Piece: -1, End: -1}, false
}

// BlockOf is the block of a piece that a toggle switches, -1 where none does.
func (l *Layout) BlockOf(piece int) int {
	for i := range l.Blocks {
		if l.Blocks[i].Toggle >= 0 && slices.Contains(l.Blocks[i].Pieces, piece) {
			return i
		}
	}
	return -1
}

// FeederToggle is the toggle that a feeder hangs on itself, -1 for none.
func (l *Layout) FeederToggle(feeder int) int {
	if o := l.Feeders[feeder].On; o.Kind == OnToggle {
		return o.Index
	}
	return -1
}

// Holds is the current at which the first of all that stands before a wire opens,
// ampere: the breaker of its supply, the fuses of the buses on the way, and a fuse
// of its own (0 without one).
func (l *Layout) Holds(on Outlet, fuse float64) float64 {
	least := inf
	fused := func(fuse float64) {
		if fuse > 0 {
			least = min(least, fuse)
		}
	}
	fused(fuse)
	for range 20 { // outlets hang on earlier ones, so the chain ends
		switch on.Kind {
		case OnBus:
			fused(l.Buses[on.Index].Fuse)
			on = l.Buses[on.Index].On
		case OnToggle:
			on = l.Toggles[on.Index].On
		default:
			return min(least, l.Supplies[on.Index].Breaker)
		}
	}
	return least
}

// OutletName names what wires hang on: "T1", "B1 2", "S1".
func (l *Layout) OutletName(o Outlet) string {
	switch o.Kind {
	case OnBus:
		return l.Buses[o.Index].Name + " " + itoa(o.Terminal)
	case OnToggle:
		return l.Toggles[o.Index].Name
	}
	return l.Supplies[o.Index].Name
}
