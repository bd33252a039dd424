// Package bench is a table with a layout, supplies, wires, lamps, a battery and
// a meter on it, and a pair of hands that do literally what a sentence says and
// nothing more. What the meter then shows follows from what is joined to what at
// that moment, not from what anyone meant. It shares nothing with the
// predictions of a hunt: the circuit is built here, link by link, lamps are
// filaments, supplies have a resistance of their own, and trip.
//
// Units are ohm, volt (rms where it is AC) and ampere. All randomness comes from
// a generator that the caller hands over.
package bench

import (
	"fmt"
	"math/rand/v2"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// What a supply has inside (a transformer's winding and its rheostat), and a
// battery with its fuse holder and clips. Both are assumed.
const (
	WindingOhms = 0.2
	batteryOhms = 0.05
)

// Things is what stands and lies on the table.
type Things struct {
	// Layout is the table as it really is, whatever a file says of it.
	Layout *track.Layout
	// Ohms is the true resistance of every link of its network; nil: the medians.
	Ohms   []float64
	Faults []simulate.Fault
	// Lamp is what the lamps on the table are, and Lamps how many there are.
	Lamp  Filament
	Lamps int
	// Battery stands in for the layout's own supply where that is asked for;
	// nil: there is none.
	Battery *Battery
	Meter   simulate.Meter
	// Handle is what a handle that is full up really gives, as a share of the
	// volts that the layout states; 0 means all of them.
	Handle float64
	// Thrown are the turnouts that do not stand to their through leg at first.
	Thrown map[string]string
	Rng    *rand.Rand
}

// Battery is a battery or a DC supply.
type Battery struct {
	Volts float64
	Fuse  float64 // amperes; 0: none
}

// supply is a power pack or a transformer of the layout. hot and common say that
// all the wires of that side are on its post.
type supply struct {
	plugged, on, tripped bool
	handle               float64
	hot, common          bool
}

func (s *supply) live() bool { return s.plugged && s.on && !s.tripped && s.handle > 0 }

// strap is something that hands have laid across two places: lamps in series, a lit
// car or an engine of so many ohm at the track's volts, or neither: a clip lead.
type strap struct {
	from, to string
	lamps    int
	load     float64
}

// lead says that it is a clip lead.
func (s strap) lead() bool { return s.lamps == 0 && s.load == 0 }

// cell is how the battery (or the DC pack) hangs: its minus on the common wires
// of a supply (-1: on none), its clip on its plus (or, a pack, switched on). plus is
// where that leads without a lamp, to the hot wires of a supply.
type cell struct {
	minus, plus int
	clip, blown bool
}

// socket is where the lamp (or so many in series) of the hot side lies: from a supply's hot post, or
// from the battery's plus, to the hot wires of a supply (-1: it lies about).
type socket struct {
	wires   int
	battery bool
	lamps   int
}

// tabletop is what stands and lies there now, and what hands do to it.
type tabletop struct {
	Things
	net      *conductor.Network
	supplies []supply
	battery  cell
	lamp     socket
	laid     []strap
	thrown   map[int]string
	// Sets of joints, feeders, toggles, accessories and pieces.
	lifted, pulled, off, unplugged, out set
	trains                              bool // on the rails
	hazards                             []string
}

// Bench is the table with its meter, and what is joined to what there now.
type Bench struct {
	tabletop
	away   bool // what comes and goes is away
	ampere bool // the meter lies in series with the lamp
	dial   string
	solved *circuit
}

type set map[int]bool

// New lays the table as it stands when a hunt begins: every supply plugged in
// and on with its wires on its posts, every joint seated, every toggle as in
// daily use, and a train on the rails.
func New(t Things) (*Bench, error) {
	n, err := conductor.Build(t.Layout)
	if err != nil {
		return nil, err
	}
	if t.Ohms == nil {
		for i := range n.Links {
			t.Ohms = append(t.Ohms, n.Links[i].Ohms)
		}
	}
	if len(t.Ohms) != len(n.Links) {
		return nil, fmt.Errorf("%d resistances for %d links", len(t.Ohms), len(n.Links))
	}
	if t.Handle <= 0 {
		t.Handle = 1
	}
	b := &Bench{tabletop: tabletop{Things: t, net: n, lamp: socket{wires: -1}, battery: cell{minus: -1, plus: -1},
		thrown: map[int]string{}, trains: true,
		lifted: set{}, pulled: set{}, off: set{}, unplugged: set{}, out: set{}}}
	for range t.Layout.Supplies {
		b.supplies = append(b.supplies, supply{plugged: true, on: true, handle: half * t.Handle, hot: true,
			common: true})
	}
	for _, i := range t.Layout.UsuallyOff() {
		b.off[i] = true
	}
	for name, route := range t.Thrown {
		if err := b.throw(name, route); err != nil {
			return nil, err
		}
	}
	_, err = b.now() // what trips, trips before anybody looks
	b.hazards = nil
	return b, err
}

// half is where a handle stands when a hunt begins.
const half = 0.6

// Network is the network of the table as it really is.
func (b *Bench) Network() *conductor.Network { return b.net }

// Away lets a fault that comes and goes be away, or come back.
func (b *Bench) Away(away bool) {
	b.away = away
	b.touched()
}

// touched says that something was changed: what was solved holds no longer.
func (b *Bench) touched() { b.solved = nil }

// Hazards are what could have hurt someone or burnt something up to now, in the
// order in which it happened.
func (b *Bench) Hazards() []string { return b.hazards }

func (b *tabletop) hazard(format string, args ...any) {
	b.hazards = append(b.hazards, fmt.Sprintf(format, args...))
}

// live says whether anything feeds the track or its wires now.
func (b *tabletop) live() bool {
	if b.battery.clip && !b.battery.blown && (b.battery.minus >= 0 || b.battery.plus >= 0 || b.lamp.wires >= 0 &&
		b.lamp.battery) {
		return true
	}
	for i := range b.supplies {
		if s := &b.supplies[i]; s.live() && (s.hot || s.common || b.lamp.wires == i && !b.lamp.battery) {
			return true
		}
	}
	return false
}

// bare says that hands touch metal: a hazard while anything is live.
func (b *tabletop) bare(what string) {
	if b.live() {
		b.hazard("hands on %s while the track is live", what)
	}
}

// lampsFree is how many lamps lie about.
func (b *tabletop) lampsFree() int {
	n := b.Lamps
	if b.lamp.wires >= 0 {
		n -= b.lamp.lamps
	}
	for _, s := range b.laid {
		n -= s.lamps
	}
	return n
}
