// Package debrief looks back on a drill: the learner's hunt on a time line
// beside the program's own and beside plain halving on the same fault, the two
// most useful lessons, records of drills and what they show over time, and the
// class sheet. It computes words and numbers; who keeps files and knows the
// date is the caller.
package debrief

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/rival"
	"fishplate/diagnose/drill/sitting"
)

// Party is one hunt on the fault.
type Party struct {
	Name   string
	Log    []drill.Entry
	Counts drill.Counts
	Found  bool
	Why    string // why it did not hunt or did not find, else empty
}

// Debrief is a drill looked back on.
type Debrief struct {
	Layout  string
	Lesson  string
	Told    string
	Hidden  []string
	Parties []Party // the learner, the program, halving
	Steps   []coach.Step
	Lessons []Advice // the two most useful ones
	Checks  []string // of a lesson, judged
	After   string   // what to take home from a lesson that is passed, else empty
	Odd     []string // the readings that did not show what is there
	Passed  bool     // the fault was found, and all checks of a lesson are met
	class   int
	salt    [16]byte // the mark of the drill
	fault   string
}

// Make hunts the fault again in the other ways and looks back. It takes as long
// as a hunt does: call it away from a screen's own goroutine.
func Make(s *sitting.Sitting) *Debrief {
	d := s.Drill
	over, gaveUp := d.Over()
	b := &Debrief{Layout: d.Layout().Name, Lesson: d.Options().Lesson, Told: d.Told(), Hidden: d.Reveal(),
		Steps: s.Coach.Steps(), class: d.Options().Class, salt: s.Salt,
		fault: string(d.Symptom().Kind)}
	you := Party{Name: "you", Log: slices.Clone(d.Log()), Counts: d.Count(), Found: over && !gaveUp}
	if gaveUp {
		you.Why = "given up"
	}
	b.Passed = you.Found
	b.Parties = append(b.Parties, you)
	for _, r := range []rival.Result{rival.Own(d), rival.Halving(d)} {
		b.Parties = append(b.Parties, Party{Name: r.Name, Log: r.Log, Counts: drill.CountLog(r.Log), Found: r.Found,
			Why: r.Why})
	}
	if s.Lesson != nil {
		for _, r := range s.Lesson.Judge(you.Counts) {
			mark := "passed: "
			if !r.Passed {
				mark, b.Passed = "not yet: ", false
			}
			b.Checks = append(b.Checks, mark+r.Says)
		}
	}
	if s.Lesson != nil && b.Passed {
		b.After = s.Lesson.After
	}
	b.Lessons = Useful(b.Steps)
	for _, o := range d.Odd() {
		e := &d.Log()[o.Entry]
		b.Odd = append(b.Odd, fmt.Sprintf("at %.1f min, %s: %s (%s)", e.Clock, e.Act, e.Shows, o.Why))
	}
	return b
}

// Marks of the time line.
const (
	MarkSetup   = '-' // setting up: supply, train, feeder, lamp
	MarkLift    = 'J' // a joint opened
	MarkReading = 'r'
	MarkLook    = 'K' // a piece lifted to look
	MarkAccuse  = 'A' // a piece accused: looked at, and repaired where it was it
	MarkFound   = '*'
)

// means says what the marks stand for.
var means = []struct {
	mark rune
	what string
}{{MarkReading, "reading"}, {MarkLift, "joint opened"}, {MarkLook, "piece lifted to look"},
	{MarkAccuse, "piece accused"}, {MarkSetup, "setting up"}, {MarkFound, "found"}}

// Key explains the marks of a log's strip; without a log all that there are.
func Key(log ...drill.Entry) string {
	var out []string
	for _, m := range means {
		if len(log) == 0 || slices.ContainsFunc(log, func(e drill.Entry) bool {
			return markOf(&e) == m.mark || m.mark == MarkFound && e.Found != ""
		}) {
			out = append(out, string(m.mark)+" "+m.what)
		}
	}
	return strings.Join(out, ", ")
}

// Strip draws a log as a row of at most w cells, each standing for so many
// minutes.
func Strip(log []drill.Entry, perCell float64, w int) string {
	var b strings.Builder
	cells := 0
	for i := range log {
		e := &log[i]
		mark := markOf(e)
		if mark == 0 {
			continue
		}
		upTo := min(max(int(e.Clock/perCell+0.5), cells), w)
		if mark == MarkReading && upTo == cells && cells < w {
			upTo++ // a reading is never too short to be seen
		}
		for ; cells < upTo; cells++ {
			b.WriteRune(mark)
		}
		if e.Found != "" && cells < w {
			b.WriteRune(MarkFound)
			cells++
		}
	}
	return b.String()
}

func markOf(e *drill.Entry) rune {
	switch {
	case e.Stopped != "" || e.Act.Do == drill.DoGiveUp:
		return 0
	case e.Act.Do == drill.DoRead:
		return MarkReading
	case e.Act.Do == drill.DoLift:
		return MarkLift
	case e.Act.Do == drill.DoLook:
		return MarkLook
	case e.Act.Do == drill.DoAccuse:
		return MarkAccuse
	}
	return MarkSetup
}

// Scale is the minutes a cell for strips of w cells that can be compared.
func (b *Debrief) Scale(w int) float64 {
	most := 1.0
	for _, p := range b.Parties {
		most = max(most, p.Counts.Minutes+1)
	}
	return most / float64(max(w, 1))
}

// Role is what a line of a debrief is there for.
type Role int

// The roles.
const (
	Plain Role = iota
	Title      // of what follows
	Take       // what to take home from a lesson that is passed
)

// Line is a line of a debrief.
type Line struct {
	Text string
	Role Role
}

// page gathers lines.
type page []Line

func (p *page) title(s string) { *p = append(*p, Line{s, Title}) }

func (p *page) add(lines ...string) {
	for _, s := range lines {
		*p = append(*p, Line{Text: s})
	}
}

// Lines is the debrief in lines of at most w columns (40 or more) where they are
// drawn; the rest is to be wrapped. What it was and what to take
// home come first, then the time lines.
func (b *Debrief) Lines(w int) []Line {
	strip := w - 9
	scale := b.Scale(strip)
	out := b.judged()
	out.title("IT WAS")
	out.add(b.Hidden...)
	if len(b.Odd) > 0 {
		out.add("")
		out.title("READINGS THAT LIED")
		out.add(b.Odd...)
	}
	out.add("")
	out.title("WHAT TO TAKE HOME")
	for i, a := range b.Lessons {
		out.add(fmt.Sprintf("%d. %s", i+1, a.Says))
	}
	out.add("")
	out.title("TIME LINE (" + fmt.Sprintf("%.2g", scale) + " min a mark)")
	for _, p := range b.Parties {
		if len(p.Log) > 0 {
			out.add(fmt.Sprintf("%-8s %s", p.Name, Strip(p.Log, scale, strip)))
		}
		out.add("         " + p.Summary())
	}
	out.add(Key())
	for _, p := range b.Parties {
		if len(p.Log) == 0 {
			continue
		}
		out.add("")
		out.title(strings.ToUpper(p.Name) + ", STEP BY STEP")
		out.add(Steps(p.Log)...)
	}
	return out
}

// judged is how it came out.
func (b *Debrief) judged() page {
	var out page
	switch {
	case len(b.Checks) == 0 && b.Passed:
		out.title("FOUND: " + b.Parties[0].Summary())
	case len(b.Checks) == 0:
		out.title("GIVEN UP")
	case b.Passed:
		out.title("THE LESSON: PASSED")
	default:
		out.title("THE LESSON: NOT PASSED YET")
	}
	out.add(b.Checks...)
	if b.After != "" {
		out = append(out, Line{b.After, Take})
	}
	out.add("")
	return out
}

// Summary says how a hunt came out: "8.4 min, 4 readings, 1 lift".
func (p *Party) Summary() string {
	if len(p.Log) == 0 && p.Why != "" {
		return p.Why
	}
	t := fmt.Sprintf("%.1f min, %s, %s", p.Counts.Minutes, count(p.Counts.Readings, "reading"),
		count(p.Counts.Lifts, "lift"))
	if !p.Found && p.Why != "" {
		t += "; " + p.Why
	}
	return t
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// Steps lists a log, a line an act.
func Steps(log []drill.Entry) []string {
	var out []string
	for i := range log {
		e := &log[i]
		t := e.Shows
		switch {
		case e.Stopped != "":
			t = "stopped: " + e.Stopped
		case t == "":
			t = e.Says
		}
		out = append(out, fmt.Sprintf("%5.1f  %s: %s", e.Clock, e.Act, t))
	}
	return out
}
