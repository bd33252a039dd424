package drill

import (
	"fmt"
	"math/rand/v2"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/price"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// Options says what to hide and how the drill goes.
type Options struct {
	Fault      string   `json:"fault,omitempty"`      // one of Kinds, or KindAny
	Difficulty string   `json:"difficulty,omitempty"` // one of Difficulties; empty: Usual
	Minutes    int      `json:"minutes,omitempty"`    // of Lengths, 0 for none: see OfLength
	Class      int      `json:"class,omitempty"`      // the class number it was drawn for, 0 for none
	Kit        hunt.Kit `json:"kit"`                  // what lies on the table
	// a lesson's own faults; the fault's kind is then not looked at
	Hide      []Hide           `json:"-"`
	Symptom   hunt.SymptomKind `json:"-"`              // with Hide: the symptom that must show
	Sometimes bool             `json:"-"`              // with Hide: the faults come and go
	Told      string           `json:"told,omitempty"` // the customer's words; empty: made from the symptom
	// how often a reading is taken through a bad contact, 0..1
	Slips  float64 `json:"slips,omitempty"`
	Lesson string  `json:"lesson,omitempty"` // the name of the lesson
}

// State is how the layout stands now.
type State struct {
	Setup conductor.Setup
	Train int // the piece that a train stands on, -1: off the rails
}

// Drill is one practice hunt.
type Drill struct {
	layout  *track.Layout
	n       *conductor.Network
	find    Finder
	costs   *price.List
	o       Options
	world   *world
	sound   []float64
	symptom hunt.Symptom
	told    string
	state   State
	log     []Entry
	before  []State // by entry of log
	clock   float64
	over    bool
	gaveUp  bool
	odd     []Odd
}

// Odd is a reading that did not show what is there.
type Odd struct {
	Entry int    // index into Log
	Why   string // a bad contact under the probe, or a fault that was away
}

// New hides a fault on a layout. All of its randomness comes from rng. It fails
// where nothing of the kind asked for would show on the layout.
func New(l *track.Layout, o Options, rng *rand.Rand) (*Drill, error) {
	if o.Class > 0 {
		l = forClass(l)
	}
	n, err := conductor.Build(l)
	if err != nil {
		return nil, err
	}
	if len(n.Posts) == 0 || len(l.Feeders) == 0 {
		return nil, fmt.Errorf("a drill needs a supply and a feeder: this layout has %d and %d", len(n.Posts),
			len(l.Feeders))
	}
	t, s, err := hide(n, &o, rng)
	if err != nil {
		return nil, err
	}
	if o.Told == "" {
		o.Told = Tell(s, l, rng)
	}
	return start(l, n, o, t, s), nil
}

func start(l *track.Layout, n *conductor.Network, o Options, t truth, s hunt.Symptom) *Drill {
	d := &Drill{layout: l, n: n, find: NewFinder(n), costs: price.Of(n), o: o, symptom: s, told: o.Told,
		world: newWorld(n, t, 1), sound: soundWays(n, t)}
	d.state = State{Setup: conductor.Usual(l), Train: firstStand(n, s)}
	return d
}

// firstStand is where the customer left the train: where it shows, else on the
// first piece that has both rails.
func firstStand(n *conductor.Network, s hunt.Symptom) int {
	if i := n.Layout.FindPiece(s.At); i >= 0 {
		return i
	}
	for i := range n.Layout.Pieces {
		if hot, common := Across(n, i); hot >= 0 && common >= 0 {
			return i
		}
	}
	return -1
}

// Layout is the layout drilled on.
func (d *Drill) Layout() *track.Layout { return d.layout }

// Network is its network.
func (d *Drill) Network() *conductor.Network { return d.n }

// Options are those that it was begun with.
func (d *Drill) Options() Options { return d.o }

// Symptom is what the customer saw; Told is how the customer says it.
func (d *Drill) Symptom() hunt.Symptom { return d.symptom }

// Told is the symptom in a customer's words.
func (d *Drill) Told() string { return d.told }

// State is how the layout stands now.
func (d *Drill) State() State {
	return State{Setup: d.state.Setup.Clone(), Train: d.state.Train}
}

// Log is all that was done. Do not change it.
func (d *Drill) Log() []Entry { return d.log }

// Clock is the minutes spent.
func (d *Drill) Clock() float64 { return d.clock }

// Over says that the drill has come to its end, and whether by giving up.
func (d *Drill) Over() (over, gaveUp bool) { return d.over, d.gaveUp }

// Reveal says what is hidden and where, in words. It is the deliberate act of
// looking: giving up and the debrief use it.
func (d *Drill) Reveal() []string {
	var out []string
	if d.world.truth.Train {
		out = append(out, OffTrack+": a wheel of one car is out of gauge and lies across two rails")
	}
	for _, h := range d.world.truth.Faults {
		if s := d.world.suspect(h.ID); s != nil {
			t := s.Place + " " + s.Rail + ": " + s.What
			if h.Ohms > 0 {
				t += fmt.Sprintf(" (%.3g ohm)", h.Ohms)
			}
			out = append(out, t)
		}
	}
	return out
}

// Hidden are the faults themselves: like Reveal it is the deliberate act of looking,
// for a teacher's key.
func (d *Drill) Hidden() []simulate.Fault { return d.world.faults() }

// Odd lists the readings that did not show what is there; none before the drill
// is over.
func (d *Drill) Odd() []Odd {
	if !d.over {
		return nil
	}
	return slices.Clone(d.odd)
}

// Twin is a fresh drill with the same faults and the same meter, for someone
// else to hunt on. stream tells the scatter of their readings from the
// learner's (which is 1).
func (d *Drill) Twin(stream uint64) *Drill {
	t := start(d.layout, d.n, d.o, d.world.truth, d.symptom)
	t.world = newWorld(d.n, d.world.truth, stream)
	return t
}

// Left is how many faults are still hidden.
func (d *Drill) Left() int { return d.world.Left() }

// Count sums up what was done.
func (d *Drill) Count() Counts {
	c := CountLog(d.log)
	c.GaveUp = d.gaveUp
	return c
}

// Reading is one reading of the learner's, as evidence.
type Reading struct {
	Entry      int // index into Log
	Setup      conductor.Setup
	Meter      string
	Red, Black int // points, -1 for amps
	Shows      string
	// TrainOn says that a train of unknown health stood on the rails; Setup
	// then has it as the load that a sound train is.
	TrainOn bool
}

// SetupOf is the set-up as someone knows it who takes the train, if one is on
// the rails, for a sound one.
func (d *Drill) SetupOf(s State) conductor.Setup {
	return withTrain(d.n, s.Setup, s.Train, soundTrain(d.n))
}

// Before is how the layout stood before entry i of the log; with the length of
// the log it is how it stands now.
func (d *Drill) Before(i int) State {
	if i < len(d.before) {
		return State{Setup: d.before[i].Setup.Clone(), Train: d.before[i].Train}
	}
	return d.State()
}
