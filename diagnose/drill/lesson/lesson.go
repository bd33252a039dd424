// Package lesson reads lessons: what a drill hides, what it teaches, and how
// doing it right is told from doing it somehow. A lesson is data, a file in
// HCL; the layout that it is played on is a layout file beside it. The package
// takes names and bytes and opens nothing.
package lesson

import (
	"fmt"
	"math"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
)

// Lesson is one lesson, checked.
type Lesson struct {
	Number  int
	Title   string
	Layout  string   // name of the layout file, beside the lesson's own
	Teaches []string // paragraphs shown before
	Goal    string
	After   string // what to take home, shown when it is passed
	Told    string // the customer's words; empty: made from the symptom
	Symptom hunt.SymptomKind
	Fault   string // one of drill.Kinds, where Hide is empty
	Hide    []drill.Hide
	Kit     hunt.Kit
	Slips   float64
	// Sometimes says that what Hide hides comes and goes.
	Sometimes bool
	Worn      string // a difficulty; empty: easy
	Checks    []Check
	// Plays lists who must be able to pass it: "program", "halving".
	Plays []string
}

// Options are what a drill of this lesson is begun with.
func (l *Lesson) Options() drill.Options {
	d := l.Worn
	if d == "" {
		d = drill.Easy
	}
	return drill.Options{Fault: l.Fault, Difficulty: d, Kit: l.Kit, Hide: l.Hide, Symptom: l.Symptom, Told: l.Told,
		Slips: l.Slips, Sometimes: l.Sometimes, Lesson: l.Title}
}

// Check is one thing to show by doing.
type Check struct {
	Count   string  // what is counted, one of Countable
	AtLeast float64 // -1: no bound
	AtMost  float64 // +Inf: no bound
	Says    string
}

// Result is a check judged.
type Result struct {
	Says   string
	Did    string
	Passed bool
}

// countable is what checks can count.
var countable = map[string]func(*drill.Counts) float64{
	"found":        func(c *drill.Counts) float64 { return float64(c.Found) },
	"readings":     func(c *drill.Counts) float64 { return float64(c.Readings) },
	"lifts":        func(c *drill.Counts) float64 { return float64(c.Lifts) },
	"looks":        func(c *drill.Counts) float64 { return float64(c.Looks) },
	"joints":       func(c *drill.Counts) float64 { return float64(c.Joints) },
	"wrong":        func(c *drill.Counts) float64 { return float64(c.Wrong) },
	"stops":        func(c *drill.Counts) float64 { return float64(c.Stops) },
	"repeats":      func(c *drill.Counts) float64 { return float64(c.Repeats) },
	"together":     func(c *drill.Counts) float64 { return float64(c.Together) },
	"train-on":     func(c *drill.Counts) float64 { return float64(c.TrainOn) },
	"minutes":      func(c *drill.Counts) float64 { return c.Minutes },
	"loaded":       func(c *drill.Counts) float64 { return float64(c.ByLoad) },
	"across-joint": func(c *drill.Counts) float64 { return float64(c.AcrossJoint) },
	"beeper":       func(c *drill.Counts) float64 { return float64(c.ByMeter["beeper"]) },
	"ohms":         func(c *drill.Counts) float64 { return float64(c.ByMeter["ohms"]) },
	"volts":        func(c *drill.Counts) float64 { return float64(c.ByMeter["volts"]) },
	"millivolts":   func(c *drill.Counts) float64 { return float64(c.ByMeter["millivolts"]) },
}

// Judge goes through the checks: each says whether it was met, found or given up.
func (l *Lesson) Judge(c drill.Counts) []Result {
	var out []Result
	for _, k := range l.Checks {
		x := math.Round(countable[k.Count](&c)*10) / 10
		out = append(out, Result{k.Says, fmt.Sprintf("%s: %v", k.Count, x), x >= k.AtLeast && x <= k.AtMost})
	}
	return out
}

// Passed says that every check is met, and that nothing was given up.
func (l *Lesson) Passed(c drill.Counts) bool {
	if c.GaveUp {
		return false
	}
	for _, r := range l.Judge(c) {
		if !r.Passed {
			return false
		}
	}
	return true
}
