// Package report turns a hunt, finished or not, into a record that people
// read: one page as Markdown, as HTML with the map drawn in it, or as plain
// lines; and it sets two records side by side. What a hunt cannot know (dates,
// names, what was changed last) comes in as Facts. The package has no clock
// and no files, and it judges nothing: what is believed is the hunt's.
//
// The fields follow what clubs and museum layouts write down about a fault (common
// practice, no source).
package report

import (
	"fmt"
	"maps"
	"slices"
	"sort"
	"strings"
	"time"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Note is a remark added to a record.
type Note struct {
	At   time.Time `json:"at"`
	Text string    `json:"text"`
}

// Facts is what a hunt does not know about itself. Empty fields are left out
// of a report.
type Facts struct {
	ID, Name     string
	Began, Ended time.Time // zero: unknown
	// Spent is the time spent by the clock, minutes; 0: unknown.
	Spent      float64
	Finder     string
	File       string    // the layout's file
	Stamp      string    // tells two states of the file apart
	Modified   time.Time // when the file was changed last
	Changed    string    // the last thing changed on the layout before the fault
	Leads      string    // of the meter: which, and what they show when touched together
	Conditions string    // temperature, humidity, where trains stood, how turnouts were set
	Repair     string
	Open       string // what is still to be done
	Notes      []Note
	// Units says how lengths are written: "mm", "in", or empty for what the
	// layout has.
	Units string
	// MapText is the map in characters, for Markdown.
	MapText string
}

// State is how far a hunt has come.
type State string

// The states of a hunt.
const (
	NotBegun State = "not begun"
	Open     State = "open"
	Found    State = "found, not proven"
	Proven   State = "found and proven"
	Ended    State = "ended without a find"
)

// Reading is one reading of a record.
type Reading struct {
	N        int    // 0 for a proof and for readings put aside
	Function string // "ohms"
	Dial     string // the setting in full
	Red      string
	Black    string
	Loaded   string // what feeds and loads the track: "supply off", "lamp in series"
	Shown    string // as typed
	Expected string
	Said     string
	Bits     float64
	Odd      bool
	Aside    bool // put aside: before a repair that was not enough
	Good     bool // of a proof: it was good
}

// Look is a piece that was looked at.
type Look struct {
	Piece string
	Bad   bool
}

// Report is a record, ready to be shown.
type Report struct {
	Facts
	Layout   string // its name
	Build    string // pieces, feeders, how it is made
	State    State
	Symptom  string
	At       string
	Supplies []string
	Meter    string
	Counted  string // readings, looks and proofs
	Readings []Reading
	Skipped  []string
	Looked   []Look
	Lifted   []string // joints opened and feeders pulled for readings
	Verdict  string
	Piece    string    // the bad one, empty while it is not found
	Cause    string    // the likeliest thing wrong with it by the readings: a guess, nobody saw it
	Proofs   []Reading // the good readings since the repair
	Suspects []hunt.Candidate
	NotOnMap float64
	Minutes  float64 // as reckoned by the hunt
	Lifts    int
	Warnings []string
	// Cautions are for who goes on with it; none where nothing is left to do.
	Cautions []string

	layout    *track.Layout
	suspicion []float64
}

// At is where what was seen is: of what a health check found the pieces and wires that
// it may be at, where a symptom's own place is the one at which the lamp lay.
func At(l *track.Layout, y *hunt.Symptom) string {
	if y.Worse == nil {
		return y.At
	}
	var pieces []int
	var wires []string
	for _, name := range slices.Sorted(maps.Keys(y.Worse.Places)) {
		place := name[:max(0, strings.LastIndexByte(name, ' '))] // its rail or side is the last word
		if j := l.FindJoint(place); j >= 0 {
			pieces = append(pieces, l.Joints[j].A.Piece, l.Joints[j].B.Piece)
		} else if p := l.FindPiece(place); p >= 0 {
			pieces = append(pieces, p)
		} else {
			wires = append(wires, name)
		}
	}
	slices.Sort(pieces)
	return strings.Join(append(l.RowNames(slices.Compact(pieces)), wires...), ", ")
}

// New makes the report of a hunt on a layout.
func New(l *track.Layout, h *hunt.Hunt, kit hunt.Kit, f Facts) *Report {
	v := h.Told()
	r := &Report{Facts: f, Layout: l.Name, Build: build(l, f.Units), Meter: kitWords(&kit), Minutes: v.Minutes,
		Lifts: v.Lifts, Counted: v.Counted(),
		Warnings: v.Warnings, NotOnMap: v.NotOnMap, layout: l, suspicion: v.Pieces}
	for i := range l.Supplies {
		r.Supplies = append(r.Supplies, supplyWords(&l.Supplies[i]))
	}
	if v.Symptom != nil {
		r.Symptom, r.At = symptomWords[v.Symptom.Kind], At(l, v.Symptom)
		if w := v.Symptom.Worse; w != nil {
			r.Symptom = "a contact got worse by about " + unit.FormatDigits(w.Ohms, unit.Ohm, 2) + ", by a health check"
		}
		if v.Symptom.Sometimes {
			r.Symptom += ", but it comes and goes"
		}
	}
	past := h.History()
	r.past(past, v.Evidence)
	if r.State = StateOf(&v); r.State != Proven {
		r.Cautions = hunt.BeforeRepair(l)
	}
	if v.Step.Done != nil {
		r.Verdict = v.Step.Done.Verdict
	}
	for i := range v.Ranked {
		if v.Ranked[i].Piece == r.Piece {
			r.Cause = v.Ranked[i].What
		}
	}
	if r.Piece == "" {
		r.Suspects = v.Ranked[:min(len(v.Ranked), 6)]
	}
	return r
}

// StateOf says how far a hunt has come.
func StateOf(v *hunt.View) State {
	d := v.Step.Done
	switch {
	case v.Symptom == nil:
		return NotBegun
	case d == nil || d.Outcome == hunt.EndPutAside:
		return Open
	case d.Outcome == hunt.EndProven:
		return Proven
	case d.Outcome == hunt.EndFound:
		return Found
	}
	return Ended
}

// past sorts what was done.
func (r *Report) past(list []hunt.Past, evidence []hunt.Evidence) {
	n := 0
	for i := range list {
		p := &list[i]
		switch p.Kind {
		case hunt.PastReading:
			one := reading(p)
			if !p.Aside && n < len(evidence) {
				e := &evidence[n]
				one.N, one.Expected, one.Said, one.Bits, one.Odd = e.N, e.Expected, e.Said, e.Bits, e.Odd
				n++
			}
			r.Readings = append(r.Readings, one)
			r.opened(p.Ask)
		case hunt.PastProof:
			one := reading(p)
			if p.Aside || p.Counts {
				one.Said = "after the repair: still wrong"
				if p.Good {
					one.Said = "after the repair: good"
				}
				if p.Counts && n < len(evidence) {
					e := &evidence[n]
					one.N, one.Bits, one.Odd = e.N, e.Bits, e.Odd
					n++
				}
				r.Readings = append(r.Readings, one)
				continue
			}
			one.Said = "after the repair: bad, so it was taken again"
			if one.Good = p.Good; p.Good {
				one.Said = "after the repair: good"
			}
			r.Proofs = append(r.Proofs, one)
		case hunt.PastSkip:
			r.Skipped = append(r.Skipped, fmt.Sprintf("%s, %s to %s: %s", p.Ask.Meter, p.Ask.Red, p.Ask.Black, p.Text))
		case hunt.PastGood, hunt.PastBad:
			bad := p.Kind == hunt.PastBad
			r.Looked = append(r.Looked, Look{p.Text, bad})
			if bad && !p.Aside {
				r.Piece = p.Text
			}
		}
	}
}

func reading(p *hunt.Past) Reading {
	a := p.Ask
	return Reading{Function: a.Meter, Dial: a.Dial, Red: a.Red, Black: a.Black, Loaded: fed(&a.Setup), Shown: p.Text,
		Aside: p.Aside}
}

// opened notes what had to be opened for a reading, each once.
func (r *Report) opened(a *hunt.Ask) {
	for _, name := range a.Setup.Lifted {
		r.lift("joint " + name)
	}
	for _, name := range a.Setup.Pulled {
		r.lift("feeder " + name)
	}
	for _, name := range a.Setup.Unplugged {
		r.lift("accessory " + name)
	}
}

func (r *Report) lift(what string) {
	for _, have := range r.Lifted {
		if have == what {
			return
		}
	}
	r.Lifted = append(r.Lifted, what)
}

// fed says what feeds and loads the track, and what was opened or set
// otherwise for the reading.
func fed(s *hunt.Setup) string {
	out := "supply off"
	switch s.Source.Kind {
	case "volts":
		out = "supply on"
	case "lamp":
		out = "lamp in series"
	}
	for _, also := range s.Also {
		out += ", also on: " + also.From + " to " + also.To
	}
	more := func(word string, names []string) {
		if len(names) > 0 {
			out += ", " + word + " " + strings.Join(names, ", ")
		}
	}
	more("open:", s.Lifted)
	more("pulled:", s.Pulled)
	more("second position:", s.Off)
	more("unplugged:", s.Unplugged)
	var thrown []string
	for t, route := range s.Thrown {
		if route != "through" {
			thrown = append(thrown, t)
		}
	}
	sort.Strings(thrown)
	more("diverging:", thrown)
	for _, l := range s.Loads {
		out += ", " + unit.Format(l.Ohms, unit.Ohm) + " from " + l.From + " to " + l.To
	}
	return out
}

var symptomWords = map[hunt.SymptomKind]string{
	hunt.SymptomShort:      "the breaker trips at once",
	hunt.SymptomShortTrain: "the breaker trips with a train at one place",
	hunt.SymptomWeak:       "trains slow down or stall at one place",
	hunt.SymptomDead:       "everything beyond one place is dead",

	hunt.SymptomLive:               "a block stays live with its toggle off",
	hunt.SymptomAccessoryDead:      "an accessory never works",
	hunt.SymptomAccessoryOn:        "an accessory works all the time",
	hunt.SymptomAccessoryElsewhere: "an accessory works with the train beside its rail",
	hunt.SymptomAccessoryFlickers:  "an accessory works weakly, or comes and goes",
	hunt.SymptomPhase:              "sparks or a trip where a train passes from one supply's track to another's",
}

// SymptomWords says a symptom in words.
func SymptomWords(k hunt.SymptomKind) string { return symptomWords[k] }

func supplyWords(s *track.Supply) string {
	current := "DC"
	if s.AC {
		current = "AC"
	}
	out := fmt.Sprintf("%s: %s %s", s.Name, unit.Format(s.Volts, unit.Volt), current)
	if s.Breaker > 0 {
		out += ", breaker " + unit.Format(s.Breaker, unit.Ampere)
	}
	return out
}

func kitWords(k *hunt.Kit) string {
	var out []string
	for _, m := range []struct {
		name string
		has  bool
	}{{"beeper", k.Beeper}, {"ohms", k.Ohms}, {"volts", k.Volts}, {"millivolts", k.Millivolts}, {"amps", k.Amps}} {
		if m.has {
			out = append(out, m.name)
		}
	}
	s := strings.Join(out, ", ")
	if k.Lamp {
		amps := k.LampAmps
		if amps == 0 {
			amps = 1
		}
		s += fmt.Sprintf("; a lamp of about %s", unit.Format(amps, unit.Ampere))
	}
	if k.Bisect {
		s += "; readings chosen by bisection"
	}
	if k.Meter != "" {
		s = k.Meter + " meter: " + s
	}
	return s
}

func build(l *track.Layout, units string) string {
	joints := 0
	for i := range l.Joints {
		if len(l.Joints[i].Insulated) > 0 {
			joints++
		}
	}
	parts := []string{unit.Count(len(l.Pieces), "piece"), unit.Count(len(l.Runs), "run"),
		unit.Count(len(l.Feeders), "feeder"), unit.Count(len(l.Supplies), "supply")}
	if joints > 0 {
		parts = append(parts, unit.Count(joints, "insulated joint"))
	}
	parts = append(parts, "about "+length(l, units)+" of track")
	seen := map[string]bool{}
	for i := range l.Pieces {
		if c := l.Pieces[i].Construction; c != nil && !seen[c.Name] {
			seen[c.Name] = true
			parts = append(parts, c.Name)
		}
	}
	return strings.Join(parts, ", ")
}

// length adds up the pieces, a turnout by its longer way through (1 ft is
// 304.8 mm, international yard and pound agreement of 1959).
func length(l *track.Layout, units string) string {
	mm := 0.0
	for i := range l.Pieces {
		longest := 0.0
		for _, leg := range l.Pieces[i].Legs {
			longest = max(longest, leg.Length)
		}
		mm += longest
	}
	if units == "mm" || (units != "in" && l.Metric) {
		return fmt.Sprintf("%.1f m", mm/1000)
	}
	return fmt.Sprintf("%.1f ft", mm/304.8)
}
