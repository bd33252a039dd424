// Package check looks for what is wrong with the design of a layout before
// anything is powered: track without a feeder, rails that float, gaps that
// separate nothing, supplies that fight each other, insulated rails that cannot
// work, volts that run out, wires too thin for their breaker.
//
// It takes a checked layout for granted (package layoutfile makes one) and sees
// the wiring as drawn, with median resistances and every part sound: what has
// broken is package hunt's. It is pure: no clock, files or terminal, and equal
// layouts give equal reports.
package check

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
)

// Severity says how bad a finding is.
type Severity string

// The severities, the worst first.
const (
	NotSafe    Severity = "not safe"
	WontWork   Severity = "would not work"
	Badly      Severity = "would work badly"
	GoodToKnow Severity = "good to know"
)

// Severities lists them in the order of a report.
var Severities = []Severity{NotSafe, WontWork, Badly, GoodToKnow}

// Finding is one problem of the design.
type Finding struct {
	Severity Severity `json:"severity"`
	// Kind is a word for programs that stays the same: "no-feed".
	Kind string `json:"kind"`
	// Place is where, for people: "main 3/4", "siding 1 to siding 5".
	Place string `json:"place"`
	// Pieces are the IDs of all pieces that it is about, in the order of the
	// layout; empty when it is about no piece.
	Pieces  []string `json:"pieces"`
	What    string   `json:"what"`
	Why     string   `json:"why"`
	Do      string   `json:"do"`
	Caution string   `json:"caution"` // empty where there is no danger
	// Basis is the published source, or says that there is none.
	Basis string `json:"basis"`

	at int // for the order of findings of one severity
}

// Options is what the user may state.
type Options struct {
	// TrainAmps is the current of the train that is put on each piece in
	// turn; 0 takes the largest of the layout's trains, or else an assumed one.
	TrainAmps float64
}

// Report is what Run found.
type Report struct {
	Layout   string    `json:"layout"`
	Pieces   int       `json:"pieces"`
	Feeders  int       `json:"feeders"`
	Supplies int       `json:"supplies"`
	Findings []Finding `json:"findings"`
	Volts    []Volts   `json:"volts"`
	// Unsolved are the supplies whose volts mean nothing: shorted by design, or
	// joined to another one.
	Unsolved []string `json:"unsolved"`
}

// Works says that nothing was found that would not work or is not safe.
func (r *Report) Works() bool { return r.Count(WontWork)+r.Count(NotSafe) == 0 }

// Count is the number of findings of one severity.
func (r *Report) Count(s Severity) int {
	n := 0
	for i := range r.Findings {
		if r.Findings[i].Severity == s {
			n++
		}
	}
	return n
}

// design is what is looked at: the layout, its network, and what the user stated.
// Its methods find places and say them; they find no fault.
type design struct {
	n *conductor.Network
	l *track.Layout
	o Options
}

// checker is one run over a design, and what it has found so far. What is looked
// for stands in a type of its own for each topic, all over one checker.
type checker struct {
	*design
	found []Finding
	// wired is the graph with every toggle on and every turnout leg closed;
	// rails the same without any wire, so that only track joins.
	wired, rails *graph
	// fighting marks supplies whose volts mean nothing: shorted or joined.
	fighting []bool
	volts    []Volts
	told     map[int]bool // joints whose gaps a finding about their block has named
}

func newChecker(n *conductor.Network, l *track.Layout, o Options) *checker {
	c := &checker{design: &design{n: n, l: l, o: o}, fighting: make([]bool, len(l.Supplies)), told: map[int]bool{}}
	c.wired = newGraph(n, anyRoute, true)
	c.rails = newGraph(n, anyRoute, false)
	return c
}

// Run checks a layout. It fails where the network cannot be made.
func Run(l *track.Layout, o Options) (*Report, error) {
	n, err := conductor.Build(l)
	if err != nil {
		return nil, fmt.Errorf("could not make the network of the layout: %w", err)
	}
	c := newChecker(n, l, o)
	for _, look := range []func(){
		supplyCheck{c}.supplyLimits,
		polarityCheck{c}.crossedFeeders,
		frogCheck{c}.frogs,
		polarityCheck{c}.reversing,
		polarityCheck{c}.shorts,
		polarityCheck{c}.hotOutside,
		supplyCheck{c}.joinedSupplies,
		supplyCheck{c}.neighbours,
		feedCheck{c}.unfed,
		frogCheck{c}.inside,
		railCheck{c}.insulatedRails,
		switchCheck{c}.blocks,
		gapCheck{c}.gaps,
		feedCheck{c}.floating,
		switchCheck{c}.toggles,
		wireCheck{c}.wires,
	} { // their order is the report's, where severity and place are equal
		look()
	}
	if err := (voltCheck{c}).voltages(); err != nil {
		return nil, err
	}
	slices.SortStableFunc(c.found, func(a, b Finding) int {
		if d := slices.Index(Severities, a.Severity) - slices.Index(Severities, b.Severity); d != 0 {
			return d
		}
		if a.at != b.at {
			return a.at - b.at
		}
		return strings.Compare(a.Kind, b.Kind)
	})
	r := &Report{Layout: l.Name, Pieces: len(l.Pieces), Feeders: len(l.Feeders), Supplies: len(l.Supplies),
		Findings: c.found, Volts: c.volts}
	for s := range c.fighting {
		if c.fighting[s] {
			r.Unsolved = append(r.Unsolved, l.Supplies[s].Name)
		}
	}
	return r, nil
}

// add keeps a finding about pieces (indices, may be empty).
func (c *checker) add(f Finding, pieces []int) {
	pieces = slices.Compact(slices.Sorted(slices.Values(pieces)))
	f.Pieces = []string{}
	f.at = -1 // what is about no piece comes first
	for _, p := range pieces {
		f.Pieces = append(f.Pieces, c.l.Pieces[p].ID())
	}
	if len(pieces) > 0 {
		f.at = pieces[0]
	}
	c.found = append(c.found, f)
}
