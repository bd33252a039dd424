package stage

import (
	"math"
	"slices"

	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Proof is a plan as far as it has been gone through: the readings that were good, in
// the order in which they were taken.
type Proof struct {
	Plan  *Plan
	Leads float64 // ohm that the leads of the meter show alone
	good  []string
	bad   bool // the next reading was bad once
}

// Take goes through a plan; good are the keys of readings that were good before.
func (p *Plan) Take(good []string) *Proof {
	x := &Proof{Plan: p}
	for _, key := range good {
		if !slices.Contains(x.good, key) {
			x.good = append(x.good, key)
		}
	}
	return x
}

// Stop is where work stops to read: a stage of the track, or of the wires behind it.
type Stop interface {
	Name() string // the last piece laid, or the wires
	Head() string
	Asks() []Reading
	Care() string                  // what can hurt while it is read
	Tail() string                  // what is done when all was good, empty for nothing
	Failed(l *track.Layout) string // what one that fails comes to
}

// Stops are all stops of a plan in their order.
func (p *Plan) Stops() []Stop {
	var out []Stop
	for i := range p.Stages {
		out = append(out, &p.Stages[i])
	}
	for i := range p.Wiring {
		out = append(out, &p.Wiring[i])
	}
	return out
}

// Next is the reading that comes next, with its stop; nil where all are good.
func (x *Proof) Next() (Stop, *Reading) {
	for _, s := range x.Plan.Stops() {
		list := s.Asks()
		for k := range list {
			if !x.Good(&list[k]) {
				return s, &list[k]
			}
		}
	}
	return nil, nil
}

// Good says whether a reading was.
func (x *Proof) Good(r *Reading) bool { return slices.Contains(x.good, r.Key()) }

// Count is how many of the plan's readings were good, and how many there are.
func (x *Proof) Count() (good, all int) {
	for _, s := range x.Plan.Stops() {
		for _, r := range s.Asks() {
			all++
			if x.Good(&r) {
				good++
			}
		}
	}
	return good, all
}

// Outcome is what became of an answer to the next reading.
type Outcome uint8

// The outcomes. Again is a bad answer that was not given twice yet, Dirty some kiloohms
// where nothing should be, Uneven volts that say neither, Failed a stop that is not as it
// must be.
const (
	Ticked Outcome = iota
	Again
	Dirty
	Uneven
	Failed
)

// Says is an outcome in words, empty for a stop that failed.
func (o Outcome) Says() string {
	switch o {
	case Ticked:
		return "Good, ticked."
	case Again:
		return "Not as it must be. Probes on bright metal, all as told? Read it again."
	case Dirty:
		return "That is dirt or damp, no metal: dry and clean it, and read again."
	case Uneven:
		return "That says neither. Are they on, and set to what is told? Read again."
	}
	return ""
}

// Means is an outcome in words, of an answer that is not given yet.
func (o Outcome) Means() string {
	switch o {
	case Ticked:
		return "good: as it must be"
	case Again:
		return "BAD: not as it must be"
	case Dirty:
		return "dirt or damp, no metal"
	case Uneven:
		return "it says neither"
	}
	return "BAD again: this stop fails"
}

// Would is what would become of an answer to the next reading.
func (x *Proof) Would(got unit.Reading) Outcome {
	_, r := x.Next()
	switch r.Judge(got, x.Leads) {
	case Good:
		return Ticked
	case Unclear:
		if r.inVolts() {
			return Uneven
		}
		return Dirty
	}
	if x.bad {
		return Failed
	}
	return Again
}

// Answer takes what a meter shows for the next reading. A bad one counts when it was
// taken twice.
func (x *Proof) Answer(got unit.Reading) Outcome {
	o := x.Would(got)
	switch o {
	case Ticked:
		_, r := x.Next()
		x.good, x.bad = append(x.good, r.Key()), false
	case Again, Failed:
		x.bad = o == Again
	}
	return o
}

// Back takes the reading that was good last back, to be taken anew; false where there is
// none of this plan.
func (x *Proof) Back() bool {
	x.bad = false
	for i := len(x.good) - 1; i >= 0; i-- {
		for _, s := range x.Plan.Stops() {
			if slices.ContainsFunc(s.Asks(), func(r Reading) bool { return r.Key() == x.good[i] }) {
				x.good = slices.Delete(x.good, i, i+1)
				return true
			}
		}
	}
	return false
}

// AsksLeads is what is asked before the first reading.
const AsksLeads = "Touch the leads together. What do they show in ohms? (Enter: a beeper alone)"

// mostLeads is what leads have at most, ohm (assumed).
const mostLeads = 5

// TakeLeads takes what the leads show alone; false where no leads have that.
func (x *Proof) TakeLeads(text string) bool {
	if text == "" {
		x.Leads = 0
		return true
	}
	r, err := unit.Parse(text, unit.Ohms)
	if err != nil || r.Kind != unit.Value || !(math.Abs(r.Value) < mostLeads) {
		return false
	}
	x.Leads = max(0, r.Value)
	return true
}

// NoLeads is said where they were not.
const NoLeads = "That is no pair of leads: write their ohms, as 0.3."

// Parse reads what a meter says that beeps or shows ohms, or volts where those are asked.
// On a number pad 1 is a beep, 0 silence and + over the range, as in a hunt.
func (r *Reading) Parse(text string) (unit.Reading, error) {
	if r.inVolts() {
		return unit.Parse(text, unit.Volts)
	}
	switch text {
	case "1":
		text = "beep"
	case "0":
		text = "silent"
	case "+":
		text = "OL"
	}
	if got, err := unit.Parse(text, unit.Beeper); err == nil {
		return got, nil
	}
	return unit.Parse(text, unit.Ohms)
}

// Types says what can be typed.
func (r *Reading) Types() string {
	if r.inVolts() {
		return "Type what the meter shows, in volts: 0.4 or 13.2"
	}
	return "Type what the meter says: beep or silent (1 or 0), OL, or ohms as 0.4"
}

// Proven is what is written of pieces that were read good while they were laid, and
// ProvenOdds how much likelier they are good since (assumed: a reading can miss).
const (
	Proven     = "read good as it was laid"
	ProvenOdds = 0.02
)
