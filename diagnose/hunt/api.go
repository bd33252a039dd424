// Package hunt is the one object that all front ends share: it takes a layout
// and what the user says, and gives back the next thing to do. It keeps an
// append-only journal of events; undo is an event, and a saved hunt is its
// journal, replayed on loading. It has no clock, no files, no terminal.
package hunt

import (
	"fmt"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// SymptomKind is what the user saw, in the words of the hunt.
type SymptomKind string

// The symptoms a hunt can start from.
const (
	SymptomShort      SymptomKind = "short"       // the breaker trips at once
	SymptomShortTrain SymptomKind = "short-train" // it trips only with a train at a place
	SymptomWeak       SymptomKind = "weak"        // trains stall or slow at a place
	SymptomDead       SymptomKind = "dead"        // everything beyond a place is dead
	SymptomLive       SymptomKind = "stays-live"  // a block stays live with its toggle off
	// What an accessory that an insulated rail works does wrong; At names it.
	SymptomAccessoryDead      SymptomKind = "accessory-dead"      // it never works
	SymptomAccessoryOn        SymptomKind = "accessory-on"        // it works all the time
	SymptomAccessoryElsewhere SymptomKind = "accessory-elsewhere" // it works with a train beside its rail
	SymptomAccessoryFlickers  SymptomKind = "accessory-flickers"  // it works weakly, or comes and goes
	// SymptomPhase is sparks, or a trip, where a train passes from one
	// supply's track to another's; At names the other supply.
	SymptomPhase SymptomKind = "phase"
)

// Symptoms lists all kinds in the order in which they are offered.
func Symptoms() []SymptomKind {
	return []SymptomKind{SymptomShort, SymptomShortTrain, SymptomWeak, SymptomDead, SymptomAccessoryDead,
		SymptomAccessoryOn, SymptomAccessoryElsewhere, SymptomAccessoryFlickers, SymptomPhase, SymptomLive}
}

// OfShort says whether a symptom is a short's.
func (k SymptomKind) OfShort() bool { return k == SymptomShort || k == SymptomShortTrain }

// OfAccessory says whether a symptom is one of an accessory.
func (k SymptomKind) OfAccessory() bool {
	switch k {
	case SymptomAccessoryDead, SymptomAccessoryOn, SymptomAccessoryElsewhere, SymptomAccessoryFlickers:
		return true
	}
	return false
}

// Symptom starts a hunt. At is a piece ("main 12", "W1") or a joint, and may
// be empty for a short; for an accessory's symptom it is the accessory, for a
// phase the supply.
type Symptom struct {
	Kind SymptomKind `json:"symptom"`
	At   string      `json:"at,omitempty"`
	// Sometimes says that it comes and goes: a reading taken while it is away
	// says nothing, and a look can miss it.
	Sometimes bool `json:"sometimes,omitempty"`
	// Thrown says of a short how points stood when it tripped: turnout to
	// "through" or "diverging". Those left out stood to through; empty: nobody
	// knows how any stood.
	Thrown map[string]string `json:"thrown,omitempty"`
	// Worse says of a weak place that it was found by readings held against those of good
	// evenings, before any train felt it; nil: a train did.
	Worse *Worse `json:"worse,omitempty"`
}

// Worse is a contact that got worse.
type Worse struct {
	// Places are where it may be, a joint or a wire with its rail or side ("main 7/8
	// center", "F1 hot"), each with how likely that is.
	Places map[string]float64 `json:"places"`
	Ohms   float64            `json:"ohm"` // by about so many
}

// Source is what feeds the track while reading.
type Source struct {
	// "none", "volts" (the supply itself), "lamp" (the supply with a lamp in series)
	Kind string `json:"kind"`
	// where the hot wires join: of a lamp its track side, "T1 hot"; the supply's side is "T1 hot post"
	From  string  `json:"from,omitempty"`
	To    string  `json:"to,omitempty"`
	Volts float64 `json:"volts,omitempty"`
	Amps  float64 `json:"amps,omitempty"` // lamp: the current it passes with all the volts across it
}

// Load is a lamp or a jumper that the user lays across two points.
type Load struct {
	From string  `json:"from"`
	To   string  `json:"to"`
	Ohms float64 `json:"ohms"`
}

// Setup is what must be true while reading.
type Setup struct {
	Source Source            `json:"source"`
	Loads  []Load            `json:"loads"`
	Lifted []string          `json:"lifted"` // joints, every rail of them open
	Pulled []string          `json:"pulled"` // feeders, both wires off the supply
	Thrown map[string]string `json:"thrown"` // every turnout that switches current -> "through" or "diverging"
	Trains string            `json:"trains"` // "off" or "on"
	// Also are other supplies that are on at the same time.
	Also []Source `json:"also,omitempty"`
	// Off are the toggles in their second position (off, or reversing), and
	// Unplugged the accessories taken off their wires.
	Off       []string `json:"off,omitempty"`
	Unplugged []string `json:"unplugged,omitempty"`
}

// Outcome is one row of what may be answered, and what it would mean. The rows
// of an ask part all that can be answered: each answer is in one of them.
type Outcome struct {
	Shows string  `json:"shows"` // "beep", "12 to under 20 mV", "20 mV or more, or OL"
	P     float64 `json:"p"`     // how likely, 0..1
	Means string  `json:"means"` // "the short is between main 4 and main 17"
	// Kinds are the kinds of answers that the row takes. Of numbers it takes
	// those from From on and below To (ohm, volt, ampere; nil: no end), by their
	// size where Size says that the sign does not count.
	Kinds []unit.Kind `json:"kinds"`
	From  *float64    `json:"from,omitempty"`
	To    *float64    `json:"to,omitempty"`
	Size  bool        `json:"size,omitempty"`
}

// Current is the kind of current that a meter is set to.
type Current string

// The kinds of current.
const (
	AC Current = "AC"
	DC Current = "DC"
)

// Ask is one reading that the hunt asks for.
type Ask struct {
	N     int     `json:"n"`
	Meter string  `json:"meter"` // "beeper", "ohms", "volts", "millivolts", "amps", "lamp" (the lamp's light)
	Red   string  `json:"red"`
	Black string  `json:"black"`
	Reach float64 `json:"reach"` // metres between the probes
	Setup Setup   `json:"setup"`
	Why   string  `json:"why"`
	// Worth is what one that was chosen for it tells and costs: "it leaves about half of the pieces in
	// question, in 1.5 min".
	Worth   string    `json:"worth,omitempty"`
	Expect  []Outcome `json:"expect"`
	Minutes float64   `json:"minutes"`
	// Steps says what to do, in order, to come from the set-up before to this
	// one ("lift the joint main 12/13", "switch the supply off").
	Steps []string `json:"steps"`
	// Cautions are shown before the user touches anything.
	Cautions []string `json:"cautions,omitempty"`
	// Dial is the meter setting in full: "AC millivolts, 200 mV range".
	Dial string `json:"dial"`
	// Current says which of a dial's two settings that is; empty where it has
	// one only (beeper, ohms).
	Current Current `json:"current,omitempty"`
	// Bits is the expected information about which piece is bad.
	Bits float64 `json:"bits"`
	// Aside says, of an ask that comes again, what was wrong with the answer that
	// was just given: it was put aside and is no evidence.
	Aside *Aside `json:"aside,omitempty"`
	// Again says, of a reading that is wanted once more because what came was odd,
	// what came and what is odd about it; empty for any other.
	Again string `json:"again,omitempty"`
	// Below says of a proof in volts that it is good below so many, Above of
	// one in ohms that it is good above so many; 0: by Expect alone.
	Below float64   `json:"below,omitempty"`
	Above float64   `json:"above,omitempty"`
	at    *placed   // the same on the network of its hunt
	unfit []Outcome // answers that would be put aside
}

// placed is a question on its network.
type placed struct {
	net *conductor.Network
	q   infer.Question
}

// Fact is what an answer showed that is no evidence of where the fault lies.
type Fact string

// The facts.
const (
	// FactSupplySide: near the supply's own volts where the track has next to
	// none: a probe was on the supply's side of the lamp.
	FactSupplySide Fact = "supply-side"
	// FactOverRange: over the range where the track has next to nothing.
	FactOverRange Fact = "over-range"
	// FactNotLive: neither light nor volts: nothing feeds the track.
	FactNotLive Fact = "not-live"
	// FactAway: the lamp is dark: a fault that comes and goes is away.
	FactAway Fact = "away"
)

// Aside is an answer that was put aside, and why.
type Aside struct {
	Fact    Fact   `json:"fact"`
	Reading string `json:"reading"` // as typed
	Says    string `json:"says"`    // what to do about it
}

// Candidate is one piece (or feeder) to inspect.
type Candidate struct {
	Piece string  `json:"piece"` // "main 31", or a feeder "F1", or a supply
	P     float64 `json:"p"`
	Look  string  `json:"look"` // what to look for on this construction
	Lift  string  `json:"lift"` // how to lift it without damage
	What  string  `json:"what"` // the likeliest fault there
	// Joint is the joint that it is at, empty where it is not at one.
	Joint string `json:"joint,omitempty"`
	// Solder says that putting it right may want a soldering iron.
	Solder bool `json:"solder,omitempty"`
}

// Title names it where people read: what is no part of the layout by what it is.
func (c *Candidate) Title() string {
	if c.Piece == infer.ClassOffTrack {
		return "train, supply"
	}
	return c.Piece
}

// Share is the probability in words: "96 %", "under 1 %".
func (c *Candidate) Share() string {
	if c.P < 0.005 {
		return "under 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*c.P)
}

// Inspect asks the user to look at pieces, in order.
type Inspect struct {
	Pieces   []Candidate `json:"pieces"`
	Why      string      `json:"why"`
	Cautions []string    `json:"cautions,omitempty"`
	// Steps makes the table safe before the first piece is lifted.
	Steps []string `json:"steps"`
}

// Ending is how a hunt ends.
type Ending string

// The endings.
const (
	EndFound    Ending = "found"     // a person found and repaired it; not proven, or not yet
	EndProven   Ending = "proven"    // the same, and all proof readings are good
	EndPutAside Ending = "put-aside" // the person went away from it
	EndOffTrack Ending = "off-track" // the track reads sound: trains, supply, leads
	EndMisfit   Ending = "misfit"    // the readings fit nothing in the file
	EndLooked   Ending = "looked"    // all that the readings point to was looked at and is good
)

// Done ends a hunt.
type Done struct {
	Verdict string `json:"verdict"`
	// Outcome is what Verdict says, for who acts on it.
	Outcome Ending `json:"outcome"`
	// Found is what was found bad, as it is named in lists; empty where nothing
	// was.
	Found    string  `json:"found,omitempty"`
	Readings int     `json:"readings"`
	Lifts    int     `json:"lifts"`
	Minutes  float64 `json:"minutes"`
	// Prove is the next reading that proves the repair; nil when none is left,
	// or this kit has none (Verdict says so). Sending a reading after Done
	// answers it. A short takes one at every supply, one from each supply to another
	// that a gap keeps apart from it, and one for every part
	// that points or toggles bring in.
	Prove *Ask `json:"prove,omitempty"`
	// Proven says that all proof readings were taken and are good.
	Proven bool `json:"proven,omitempty"`
	// Proves is what good readings have proven so far; another kind of fault may
	// still be there.
	Proves []Proved `json:"proves,omitempty"`
	// File is what in the layout's file seems wrong.
	File []FileDoubt `json:"file,omitempty"`
	// Steps puts everything back for running trains, once no reading is wanted.
	Steps []string `json:"steps"`
}

// Step is what the hunt wants now: exactly one field is set; all nil means
// that it waits for a Symptom.
type Step struct {
	Ask     *Ask
	Inspect *Inspect
	Done    *Done
}

// Event is one thing the user said. Exactly one field is set.
type Event struct {
	Symptom  *Symptom `json:"start,omitempty"`
	Reading  string   `json:"reading,omitempty"`   // as typed: "212 mV", "OL", "beep"
	Skip     string   `json:"skip,omitempty"`      // why the reading cannot be taken
	Probe    Probe    `json:"probe,omitempty"`     // with Skip: which one cannot get to its place
	Change   *Change  `json:"change,omitempty"`    // an earlier reading, corrected
	Undo     int      `json:"undo,omitempty"`      // take back that many events
	Redo     int      `json:"redo,omitempty"`      // bring back that many events taken back
	Found    string   `json:"found,omitempty"`     // the piece that was bad
	NotFound string   `json:"not_found,omitempty"` // a piece looked at and good
	Quit     bool     `json:"quit,omitempty"`
}

// Probe is one of the meter's two; empty for both.
type Probe string

// The probes.
const (
	RedProbe   Probe = "red"
	BlackProbe Probe = "black"
)

// check refuses a probe that there is not, or one that nothing is said of.
func (p Probe) check(skip string) error {
	if p == "" || skip != "" && (p == RedProbe || p == BlackProbe) {
		return nil
	}
	return fmt.Errorf("probe is red or black, and stands beside skip")
}

// Change corrects the reading of ask N; an empty Reading removes it.
type Change struct {
	N       int    `json:"n"`
	Reading string `json:"reading"`
}

// Evidence is one reading taken, and what it did to the belief.
type Evidence struct {
	N       int
	Ask     Ask
	Reading string  // as typed
	Said    string  // what it said: "the short is beyond main 12"
	Bits    float64 // by how much the entropy over pieces fell
	Before  int     // pieces that held 95 % before
	After   int     // and after
	Odd     bool    // fits badly with the rest: take it again
	Untold  bool    // Said, Bits, Before and After are not worked out yet: see Hunt.Tell
	// Expected says what was expected before it was taken, in the rows of
	// Ask.Expect: "beep 45 %, silent 55 %".
	Expected string
}

// View is a snapshot of what is believed, for drawing. Slices are copies.
type View struct {
	Step Step
	// Moves are the step's Steps as acts, in the same order.
	Moves []Move
	// Off are the steps that take off what power may be on now: for who leaves.
	Off       []string
	Symptom   *Symptom
	Pieces    []float64 // suspicion of each piece of the layout, 0..1
	Ranked    []Candidate
	Evidence  []Evidence
	NotOnMap  float64 // probability that nothing in the file explains it
	File      []FileDoubt
	Lifted    []string // joints lifted now
	Pulled    []string // feeders pulled now
	Warnings  []string
	Minutes   float64
	Readings  int // of a meter, before the repair: a look at the lamp is none
	Looks     int // at the lamp, before the repair
	Proofs    int // readings and looks taken to prove a repair
	Lifts     int
	CanUndo   bool
	CanRedo   bool
	Hidden95  int // number of pieces that hold 95 % of the belief
	LayoutRef *track.Layout
	// Learned is what the readings say of this layout's resistances, nil
	// before they say anything.
	Learned *Track
}

// Kit is what the user owns.
type Kit struct {
	Beeper, Ohms, Volts, Millivolts, Amps bool
	Lamp                                  bool // a lamp that can sit in series with the supply
	// LampAmps is its current with all of the supply's volts across it; 0 means
	// that nobody knows, unless LampWatts says it.
	LampAmps float64
	// LampSpread is how far that current may be off, as a log-sd; 0: by what is
	// known of the lamp (LampCurrent). A current that was measured is known better.
	LampSpread float64 `json:",omitempty"`
	// LampWatts and LampVolts are what is written on the lamp, 0 for nothing;
	// LampsInSeries how many of them stand in a row (0 means as many as
	// the volts want: LampsFor).
	LampWatts     float64 `json:",omitempty"`
	LampVolts     float64 `json:",omitempty"`
	LampsInSeries int     `json:",omitempty"`
	// LeadMetres is how far one lead of the meter reaches; 0 means 1.2 m.
	// Extension says that a wire to lengthen one is at hand.
	LeadMetres float64 `json:",omitempty"`
	Extension  bool    `json:",omitempty"`
	// Meter is the name of a preset of package meter; empty: the cheap one.
	Meter string `json:",omitempty"`
	// DCVolts is a DC supply or battery of that many volts that stands in for the
	// layout's own supply: behind the lamp while a short is looked for, and with the
	// lamp across the rails where trains stall or stand still. 0 means none.
	DCVolts float64 `json:",omitempty"`
	// Battery says that this supply is a battery (a fuse of 3 A at the battery).
	Battery bool `json:",omitempty"`
	// Armed says that the lamp is known to burn behind the fault: no hunt begins by
	// looking at it. A drill, whose lamp is no riddle, says so.
	Armed bool `json:",omitempty"`
	// Bisect asks for bisection: of all readings the one that parts what is left
	// nearest to halves, its price breaking ties. Without it what a reading tells
	// a minute decides. Where yes and no is all there is, both are one.
	Bisect bool `json:",omitempty"`
	// Block asks for all that the labelled block tells before anything is read on the
	// track: whoever stands there would rather not kneel, whatever that costs in minutes.
	Block bool `json:",omitempty"`
	// Track is what earlier hunts learned of this layout, nil when there were
	// none.
	Track *Track `json:",omitempty"`
	// Own are the user's own figures, in place of a preset.
	Own *meter.Meter `json:",omitempty"`
}

// instrument is the model of the meter that the kit holds.
func (k *Kit) instrument(ac bool) meter.Meter {
	if k.Own != nil {
		return *k.Own
	}
	m, ok := meter.ByName(k.Meter, ac)
	if !ok {
		m, _ = meter.ByName("", ac)
	}
	return m
}
