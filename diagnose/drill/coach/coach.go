package coach

import (
	"fmt"
	"math"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/price"
	"fishplate/diagnose/unit"
)

// Level is how much the coach says.
type Level string

// The levels.
const (
	Silent  Level = "silent"
	Hint    Level = "hint"
	Explain Level = "explain"
)

// Levels lists them.
var Levels = []Level{Silent, Hint, Explain}

// Step is an act that could teach something (a reading or a look) together
// with what was done to set it up.
type Step struct {
	Entry    int     // index into the drill's log
	Did      string  // "beeper main 7/8 center to main 7/8 right"
	Meter    string  // of a reading, else empty
	Shows    string  // of a reading
	Minutes  float64 // of the set-up and of the act
	Lifts    int     // joints lifted for it
	Expected float64 // bits that it was expected to tell
	Bits     float64 // bits that it told: by how much the entropy fell (below 0: it upset what was believed)
	Before   int     // pieces that held 95 % before
	After    int     // and after
	Top      float64 // belief in the likeliest place after it
	Best     Best    // what the program would have done instead
	Remarks  []Remark
	Nudge    string // where more would have been told, after a remark made before; else empty
	Note     string // of what the meter cannot show, the first time
	Seen     string // where a look has shown the fault that is not repaired yet, else empty
}

// Rate is the information expected a minute.
func (s *Step) Rate() float64 { return rate(s.Expected, s.Minutes) }

func rate(bits, minutes float64) float64 {
	if minutes <= 0 {
		return 0
	}
	return bits / minutes
}

// Coach watches a drill.
type Coach struct {
	d       *drill.Drill
	mind    *mind
	fixed   []string // pieces repaired
	seen    int      // entries taken in
	from    int      // the entry that setting up for the next step begins with
	waiting float64  // minutes spent on setting up since the last step
	lifts   int
	wasted  int // lifts so far where a reading would have done
	steps   []Step
	next    *hunt.Step // what the hunt would do now, nil when not worked out
	stood   string     // the set-up that next sets out from
	belief  Belief
	err     error
	warned  map[Habit]bool // whose moral was told
	noSign  bool           // that AC has no sign was told
}

// New makes a coach for a drill from its beginning; what was already done is
// watched at once.
func New(d *drill.Drill) *Coach {
	m, err := newMind(d.Network(), d.Options().Kit, d.Symptom())
	c := &Coach{d: d, mind: m, err: err, warned: map[Habit]bool{}, belief: m.belief()}
	c.Watch()
	return c
}

// Steps are all steps so far. Do not change them.
func (c *Coach) Steps() []Step { return c.steps }

// Watch takes in what was done since the last call and gives the new steps.
func (c *Coach) Watch() []Step {
	from := len(c.steps)
	log := c.d.Log()
	for ; c.seen < len(log); c.seen++ {
		c.take(c.seen, &log[c.seen])
	}
	return c.steps[from:]
}

func (c *Coach) take(i int, e *drill.Entry) {
	if e.Stopped != "" {
		return
	}
	switch e.Act.Do {
	case drill.DoRead:
		c.read(i, e)
	case drill.DoLook, drill.DoAccuse:
		c.look(i, e)
	case drill.DoGiveUp:
	default:
		c.waiting += e.Minutes
		if e.Act.Do == drill.DoLift {
			c.lifts++
		}
	}
}

// step begins one with what is common to all.
func (c *Coach) step(i int, e *drill.Entry) Step {
	s := Step{Entry: i, Did: e.Act.String(), Meter: e.Act.Meter, Shows: e.Shows, Minutes: c.waiting + e.Minutes,
		Lifts: c.lifts, Before: c.belief.Left, Seen: c.mind.seen}
	s.Best = c.best(c.from) // from where the learner stood before setting up
	c.waiting, c.lifts, c.from = 0, 0, i+1
	return s
}

// best is what the program would do with what is known now, from where the
// layout stood before entry i.
func (c *Coach) best(i int) Best {
	if c.mind.seen != "" {
		return Best{Look: []string{c.mind.seen}}
	}
	at := c.d.Before(i)
	if key := at.Setup.Key(); c.next == nil || c.stood != key {
		step := c.mind.next(&at.Setup)
		c.next, c.stood = &step, key
	}
	b, err := c.mind.best(*c.next, &at.Setup)
	if err != nil {
		c.err = err
	}
	if at.Train >= 0 {
		b.Minutes += price.Train
		b.TrainOn = true
	}
	return b
}

// Next is what the program would do now.
func (c *Coach) Next() Best { return c.best(len(c.d.Log())) }

func (c *Coach) read(i int, e *drill.Entry) {
	if e.Act.Red == e.Act.Black && e.Act.Red != "" { // the leads: a part of setting up
		c.waiting += e.Minutes
		if e.Act.Meter == "ohms" {
			c.mind.lead(e.Shows)
			c.next = nil
		}
		return
	}
	from, at := c.d.Before(c.from), c.d.Before(i)
	s := c.step(i, e)
	q := c.question(e, at)
	before, first := c.belief, c.mind.number == 0
	_, mute := c.mute(&q, at)
	took := q.Red >= 0 && mute == ""
	if took {
		s.Expected = before.worth(q)
		c.mind.add(q, e.Shows)
		c.belief = c.mind.belief()
	}
	s.Bits, s.After = before.Bits-c.belief.Bits, c.belief.Left
	_, s.Top = c.belief.Top()
	r := &reader{c: c, s: &s, q: q, from: from, at: at, before: before, first: first, took: took}
	r.remark()
	if took && !c.noSign && c.signless(&q, e.Shows) {
		s.Note, c.noSign = "AC: there is no sign. It says how much flows, not which way; a battery's DC says both.",
			true
	}
	c.add(s)
}

// signless says that a reading showed millivolts along the rails or wires, and on AC:
// a battery's would have shown which way the current goes.
func (c *Coach) signless(q *infer.Question, shows string) bool {
	l, a, b := c.mind.net.Layout, &c.mind.net.Points[q.Red], &c.mind.net.Points[q.Black]
	if q.Func != meter.Millivolts || len(l.Supplies) == 0 || !l.Supplies[0].AC {
		return false
	}
	if a.Piece == b.Piece && a.Rail != b.Rail || a.Piece < 0 && b.Piece < 0 { // across, at one place
		return false
	}
	r, err := unit.Parse(shows, unit.Millivolts)
	return err == nil && r.Kind == unit.Value && r.Value > 0
}

func (c *Coach) add(s Step) {
	for i := range s.Remarks {
		r := &s.Remarks[i]
		if r.Says == answered && c.warned[r.Habit] { // the same words again teach nothing
			r.Says, s.Nudge = "That was answered before, too.", s.Best.nudge()
		}
		if r.Habit == HabitTwo && c.warned[r.Habit] {
			r.Says = stillTwo
		}
		if m := morals[r.Habit]; m != "" && !c.warned[r.Habit] {
			r.Moral, c.warned[r.Habit] = upper(m)+".", true
		}
		if r.Habit == HabitLift {
			c.wasted += s.Lifts
		}
	}
	c.steps = append(c.steps, s)
	c.next = nil
}

// question is what a reading asked, the train taken for a sound one.
func (c *Coach) question(e *drill.Entry, at drill.State) infer.Question {
	q := infer.Question{Setup: c.d.SetupOf(at), Func: meter.Function(e.Act.Meter), Red: -1, Black: -1, Minutes: 1}
	if e.Act.Red != "" {
		q.Red, q.Black = c.mind.net.Find(e.Act.Red), c.mind.net.Find(e.Act.Black)
	}
	return q
}

// mute says in words why a reading can be no evidence at all: volts without current, or a
// train of unknown health on shorted rails; empty where it can.
func (c *Coach) mute(q *infer.Question, at drill.State) (h Habit, why string) {
	switch {
	case needsCurrent(q.Func) && q.Setup.Source.Kind == conductor.SourceNone:
		return HabitNoCurrent, "no current flows, and without it every stretch of rail reads zero, good or bad"
	case at.Train >= 0 && c.shorted():
		return HabitTrain, "a train stands on the rails, whose motor and lamps conduct too"
	}
	return "", ""
}

// shorted says that the customer saw a short.
func (c *Coach) shorted() bool {
	return c.d.Symptom().Kind.OfShort()
}

func needsCurrent(f meter.Function) bool {
	return f == meter.Volts || f == meter.Millivolts || f == meter.Amps
}

func (c *Coach) look(i int, e *drill.Entry) {
	s := c.step(i, e)
	before := c.belief
	s.Expected = before.Found(e.Act.At)
	switch {
	case e.Found != "":
		c.fixed = append(c.fixed, e.Found)
		c.mind.repaired(c.fixed)
	case e.Result == drill.ResultThere:
		c.mind.seen = e.Act.At
	default:
		c.mind.good(e.Act.At)
	}
	c.belief = c.mind.belief()
	s.Bits, s.After = before.Bits-c.belief.Bits, c.belief.Left
	if e.Found != "" {
		s.Bits, s.After = before.Bits, 0
	}
	c.lookRemarks(&s, &before, e)
	c.add(s)
}

// Taught says what a step taught, in a sentence.
func (s *Step) Taught() string {
	var t string
	switch {
	case s.After == 0:
		return "That was it."
	case s.Seen != "":
		return "It is seen already. " + Repair(s.Seen)
	case s.After < s.Before:
		t = fmt.Sprintf("%d of %d ruled out, %s left", s.Before-s.After, s.Before, places(s.After))
	case s.After > s.Before:
		t = fmt.Sprintf("It upset what was believed: %s now instead of %d", places(s.After), s.Before)
	case s.Bits >= clearly:
		t = fmt.Sprintf("It moved the odds, though none of %s is ruled out for good", places(s.After))
	default:
		t = fmt.Sprintf("Nothing ruled out, %s left", places(s.After))
	}
	if s.Top >= plainly && s.After > 1 {
		t += fmt.Sprintf("; one of them holds %.0f in 100", 100*s.Top)
	}
	return t + "."
}

// Repair says what to type where a look has shown the fault.
func Repair(at string) string {
	if at == drill.OffTrack {
		at = "train"
	}
	return "To repair it: accuse " + at + "."
}

// plainly is the belief in one place from which the coach says that there is
// one (not which; assumed).
const plainly = 0.6

func places(n int) string {
	if n == 1 {
		return "1 place"
	}
	return fmt.Sprintf("%d places", n)
}

// Better says what the best act would have been, and why. Where the readings
// point at a piece already it says so and does not name it.
func (s *Step) Better() string {
	b := &s.Best
	switch {
	case s.shows(HabitGood):
		return ""
	case b.Ask != nil && s.Rate() >= 0.8*rate(b.Bits, b.Minutes):
		return "No reading would have told much more for the time."
	case b.Ask != nil:
		return fmt.Sprintf("Better: %s%s: it leaves about %s of %d in %.1f min; yours promised %d in %.1f.", b.first(),
			Words(b.Ask),
			places(leaves(s.Before, b.Bits)), s.Before, b.Minutes, leaves(s.Before, s.Expected), s.Minutes)
	case len(b.Look) > 0 && s.Meter != "" && !s.shows(HabitLate):
		return "Better: stop reading and look under the likeliest piece; another reading costs more than looking."
	}
	return ""
}

// leaves is how many of n places a reading that tells b bits leaves on average
// (C. Shannon, 1948: 2^-b of them).
func leaves(n int, bits float64) int { return max(int(math.Round(float64(n)*math.Exp2(-bits))), 1) }

// look says where to look, in order: the trains are not lifted.
func look(names []string) string {
	var out []string
	for _, n := range names[:min(3, len(names))] {
		if n == drill.OffTrack {
			n = "at the trains themselves (accuse train)"
		} else {
			n = "under " + n
		}
		out = append(out, n)
	}
	return "look " + strings.Join(out, ", then ")
}

// shows says that a habit was remarked on.
func (s *Step) shows(h Habit) bool {
	for _, r := range s.Remarks {
		if r.Habit == h {
			return true
		}
	}
	return false
}

// first is what comes before the best reading.
func (b *Best) first() string {
	if b.TrainOn {
		return "trains off, then "
	}
	return ""
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// Words says a reading of the hunt's in a line.
func Words(a *hunt.Ask) string {
	t := a.Meter + " " + a.Red + " to " + a.Black
	switch a.Setup.Source.Kind {
	case "lamp":
		t += ", the supply on through the lamp"
	case "volts":
		t += ", supply on"
	}
	for _, x := range a.Setup.Also {
		t += ", and the other one on (" + strings.TrimSuffix(strings.TrimSuffix(x.From, " hot"), " winding") + ")"
	}
	for _, x := range a.Setup.Loads {
		what := "a lamp"
		if x.Ohms < drill.ClipBelow {
			what = "a clip lead"
		}
		t += ", " + what + " across " + x.From + " and " + x.To
	}
	for _, list := range []struct {
		what  string
		names []string
	}{{"open at", a.Setup.Lifted}, {"off the supply:", a.Setup.Pulled}, {"unplugged:", a.Setup.Unplugged}} {
		if len(list.names) > 0 {
			t += ", " + list.what + " " + strings.Join(list.names, ", ")
		}
	}
	return t
}

// Say is what the coach says after a step, at a level: nothing; the habit that it
// shows, else what it told; or all of it, with the figures.
func (s *Step) Say(l Level) []string {
	if l == Silent || l == "" {
		return nil
	}
	out := []string{s.Taught()}
	if l == Hint && len(s.Remarks) > 0 && s.After > 0 && !s.shows(HabitGood) {
		out = nil
	}
	for _, r := range s.Remarks {
		out = append(out, strings.TrimSpace(r.Says+" "+r.Moral))
	}
	switch t := s.Better(); {
	case l == Explain && t != "":
		out = append(out, t)
	case l == Hint:
		out = []string{strings.TrimSpace(strings.Join(out, " ") + " " + s.Nudge)}
	}
	if s.Note != "" {
		out = append(out, s.Note)
	}
	return out
}

// nudge is a word of what is best, without giving it away: the setting and one of the
// probes, or that it is time to look.
func (b *Best) nudge() string {
	switch {
	case b.Ask != nil:
		at := b.Ask.Black
		return fmt.Sprintf("More would tell now: %s%s, with a probe on %s.", b.first(), b.Ask.Meter, at)
	case len(b.Look) > 0:
		return "Your readings are enough: it is time to look, at the likeliest place first."
	}
	return ""
}

// Hint is a word of what to do now, for who asks.
func (c *Coach) Hint() string {
	b := c.Next()
	if t := b.nudge(); t != "" && c.mind.seen == "" && c.belief.Left > 1 {
		return t + " best says it in full."
	}
	return c.Advice()[0]
}

// Advice is what the program would do now, for who asks: a reading in full, or
// the pieces to look at.
func (c *Coach) Advice() []string {
	b := c.Next()
	switch {
	case c.mind.seen != "":
		return []string{"It is seen already. " + Repair(c.mind.seen)}
	case b.Ask != nil && c.belief.Left == 1:
		name, _ := c.belief.Top()
		return []string{"Your readings leave one place: " + look([]string{name}) + "."}
	case b.Ask != nil:
		out := []string{fmt.Sprintf("%s: it leaves about %s of %d, in %.1f min.", upper(b.first()+Words(b.Ask)),
			places(leaves(c.belief.Left, b.Bits)), c.belief.Left, b.Minutes)}
		for _, x := range b.Ask.Expect {
			out = append(out, fmt.Sprintf("If %s (%.0f in 100): %s.", x.Shows, 100*x.P, x.Means))
		}
		return out
	case len(b.Look) > 0:
		return []string{"Your readings are enough: " + look(b.Look) + "."}
	case c.err != nil:
		return []string{"No advice: " + c.err.Error() + "."}
	}
	return []string{"These readings fit no single fault on this layout: take the oddest one again, and think of two " +
		"faults."}
}

// Would is how many bits an act of another drill, where the same was shown until then, is
// expected to tell; at is how that one stood before it. Where a reading can tell nothing,
// whatever it shows, mute is why.
func (c *Coach) Would(e *drill.Entry, at drill.State) (bits float64, mute string) {
	switch e.Act.Do {
	case drill.DoRead:
		q := c.question(e, at)
		if _, mute = c.mute(&q, at); mute == "" && q.Red >= 0 && q.Red != q.Black {
			bits = c.belief.worth(q)
		}
	case drill.DoLook, drill.DoAccuse:
		bits = c.belief.Found(e.Act.At)
	}
	return bits, mute
}
