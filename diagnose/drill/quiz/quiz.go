// Package quiz is a drill before a class: the class calls what it would do next, a side
// or a pupil each, every call is a bet that nothing tells more a minute, and the best of
// them is done. It is the drill of the class sheet on paper, with the same fault; what is
// called is weighed by the drill's own coach.
package quiz

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/rival"
	"fishplate/diagnose/drill/sitting"
)

// Call is a reading or a look that somebody would take next, with what it is worth.
type Call struct {
	Who     string // empty: nobody's name was typed
	Does    string
	Red     string // the points of a reading, empty for a look
	Black   string
	Bits    float64 // that it is expected to tell
	Minutes float64 // that it takes, from how the layout stands
	Mute    string  // why it can tell nothing, whatever the meter shows; empty where it can
}

// Rate is the bits that it is expected to tell a minute.
func (c *Call) Rate() float64 {
	if c.Minutes <= 0 {
		return 0
	}
	return c.Bits / c.Minutes
}

// Most is how many calls are taken before one is done: what fits on a screen.
const Most = 6

// Quiz is a sitting at which a class sits.
type Quiz struct {
	s      *sitting.Sitting
	calls  []Call
	acts   []drill.Act
	points map[string]int
	shown  []sitting.Line
}

// New begins one; the sitting's own coach is silent in it.
func New(s *sitting.Sitting) *Quiz {
	s.Level = coach.Silent
	return &Quiz{s: s, points: map[string]int{}}
}

// learnerStream is the scatter of the class's own readings: a twin that is asked what a
// call takes reads what the class has read.
const learnerStream = 1

// Type takes a line: a call ("red: mv T1 hot to main 12 center"), or an act that sets
// something up, which is done at once. An error says what is wrong with it.
func (q *Quiz) Type(text string) error {
	who, what := "", text
	if a, b, named := strings.Cut(text, ":"); named {
		who, what = strings.TrimSpace(a), b
	}
	acts, err := drill.ParseAll(what)
	switch {
	case err != nil:
		return err
	case !isCall(&acts[0]):
		return q.setUp(acts)
	case len(q.calls) == Most:
		return fmt.Errorf("%d calls are enough: Enter alone shows them beside the best", Most)
	case who != "" && slices.ContainsFunc(q.calls, func(c Call) bool { return c.Who == who }):
		return fmt.Errorf("%s has called already; one call each", who)
	}
	c, err := q.weigh(acts[0])
	if err != nil {
		return err
	}
	c.Who = who
	q.calls, q.acts = append(q.calls, c), append(q.acts, acts[0])
	return nil
}

func isCall(a *drill.Act) bool {
	return slices.Contains([]drill.Do{drill.DoRead, drill.DoLook, drill.DoAccuse}, a.Do)
}

// setUp does what is no call; calls that were taken are weighed anew.
func (q *Quiz) setUp(acts []drill.Act) error {
	q.shown = nil
	for _, a := range acts {
		lines, _ := q.s.Do(a)
		for _, l := range lines {
			if l.Role == sitting.Wrong {
				return errors.New(l.Text)
			}
		}
		q.shown = append(q.shown, lines...)
	}
	kept := q.acts
	was := q.calls
	q.calls, q.acts = nil, nil
	for i, a := range kept {
		if c, err := q.weigh(a); err == nil {
			c.Who = was[i].Who
			q.calls, q.acts = append(q.calls, c), append(q.acts, a)
		}
	}
	return nil
}

// weigh says what an act is worth. What it takes, and whether it can be done, is tried on
// a twin, which has done all that was done here.
func (q *Quiz) weigh(a drill.Act) (Call, error) {
	d := q.s.Drill
	t := d.Twin(learnerStream)
	for _, e := range d.Log() {
		if _, err := t.Do(e.Act); err != nil {
			return Call{}, err
		}
	}
	at := t.State()
	e, err := t.Do(a)
	switch {
	case err != nil:
		return Call{}, err
	case e.Stopped != "":
		return Call{}, errors.New("stopped: " + e.Stopped)
	}
	c := Call{Does: e.Act.String(), Red: e.Act.Red, Black: e.Act.Black, Minutes: e.Minutes}
	c.Bits, c.Mute = q.s.Coach.Would(&e, at)
	return c, nil
}

// Calls are those that were taken, in their order.
func (q *Quiz) Calls() []Call { return slices.Clone(q.calls) }

// Drop takes the last call back.
func (q *Quiz) Drop() {
	if n := len(q.calls); n > 0 {
		q.calls, q.acts = q.calls[:n-1], q.acts[:n-1]
	}
}

// Best is what the program would do now.
func (q *Quiz) Best() Call {
	b := q.s.Coach.Next()
	c := Call{Who: program, Bits: b.Bits, Minutes: b.Minutes}
	switch {
	case b.Ask != nil:
		c.Does = coach.Words(b.Ask)
	case len(b.Look) > 0:
		c.Does = "look under " + b.Look[0]
	}
	if b.TrainOn && c.Does != "" {
		c.Does = "trains off, then " + c.Does
	}
	return c
}

// program is who the best is.
const program = "the program"

// Winner is the call that is worth most a minute, the first of equals; -1 for none.
func (q *Quiz) Winner() int {
	best := -1
	for i := range q.calls {
		if best < 0 || q.calls[i].Rate() > q.calls[best].Rate() {
			best = i
		}
	}
	return best
}

// Do does the winner, and gives whoever called it a point, where it can tell anything.
func (q *Quiz) Do() {
	i := q.Winner()
	if i < 0 {
		return
	}
	if who := q.calls[i].Who; who != "" && q.calls[i].Rate() > 0 {
		q.points[who]++
	}
	q.shown, _ = q.s.Do(q.acts[i])
	if steps := q.s.Coach.Steps(); len(steps) > 0 {
		q.shown = append(q.shown, sitting.Line{Role: sitting.Coach, Text: steps[len(steps)-1].Taught()})
	}
	q.calls, q.acts = nil, nil
}

// Shown is what was seen last.
func (q *Quiz) Shown() []sitting.Line { return q.shown }

// Over says that nothing is hidden any more.
func (q *Quiz) Over() bool {
	over, _ := q.s.Drill.Over()
	return over
}

// Found says that the class found it all, and did not give up.
func (q *Quiz) Found() bool {
	over, gaveUp := q.s.Drill.Over()
	return over && !gaveUp
}

// End is what is said when it is over: what it was, and the class beside the program.
func (q *Quiz) End() []string {
	d := q.s.Drill
	out := d.Reveal()
	out = append(out, "The class: "+counted(d.Count()))
	own := rival.Own(d)
	if own.Found {
		out = append(out, "The program: "+counted(drill.CountLog(own.Log)))
	} else {
		out = append(out, "The program did not find it: "+own.Why)
	}
	if p := q.Points(); p != "" {
		out = append(out, "Points: "+p)
	}
	return out
}
