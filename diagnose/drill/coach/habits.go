package coach

import (
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// Habit is a way of working that a step shows.
type Habit string

// The habits.
const (
	HabitGood      Habit = "good"       // as good as the best act
	HabitTrain     Habit = "train"      // read with a train on shorted rails
	HabitNoCurrent Habit = "no current" // volts without current
	HabitAnswered  Habit = "answered"   // the readings before had answered it
	HabitOneCut    Habit = "one cut"    // a loop cut once
	HabitLift      Habit = "lift"       // lifted where a reading would do
	HabitGuess     Habit = "guess"      // looked on a slim chance
	HabitEdge      Habit = "edge"       // asked where the answer was nearly sure
	HabitCoarse    Habit = "coarse"     // a coarse setting where a fine one was at hand
	HabitLate      Habit = "late"       // read on where looking was due
	HabitMisfit    Habit = "misfit"     // a reading that fits badly with the others
	HabitTwo       Habit = "two"        // no single fault explains the readings
	HabitSurprise  Habit = "surprise"   // the answer that was hardly expected
)

// Habits lists all of them.
var Habits = []Habit{HabitGood, HabitTrain, HabitNoCurrent, HabitAnswered, HabitOneCut, HabitLift, HabitGuess,
	HabitEdge, HabitCoarse, HabitLate, HabitMisfit, HabitTwo, HabitSurprise}

// Words says a habit in a few words, for records.
func (h Habit) Words() string {
	if w := inWords[h]; w != "" {
		return w
	}
	return string(h)
}

var inWords = map[Habit]string{HabitTrain: "read with a train on", HabitNoCurrent: "volts without current",
	HabitAnswered: "asked what was answered", HabitOneCut: "cut a loop once",
	HabitLift: "lifted before reading", HabitGuess: "looked on a slim chance", HabitEdge: "asked at the edge",
	HabitCoarse: "too coarse a setting", HabitLate: "read on when sure",
	HabitMisfit: "built on an odd reading", HabitTwo: "one fault for two", HabitSurprise: "a surprise",
	HabitGood: "well chosen"}

// Moral is what to do instead, empty for a habit that is none or that is good.
func (h Habit) Moral() string { return morals[h] }

var morals = map[Habit]string{
	HabitTrain:     "take every train and car off the rails before the first reading",
	HabitNoCurrent: "volts need a current: switch on, through the lamp where there is a short",
	HabitAnswered:  "ask yourself before a reading what each answer would change; if nothing, read elsewhere",
	HabitOneCut:    "on a loop open two joints before you trust a beep",
	HabitLift:      "read first, lift last: a reading bends no pins",
	HabitGuess:     "look under a piece when the readings point at it, not before",
	HabitEdge:      "ask in the middle of what is left, so that either answer rules out half",
	HabitCoarse:    "use the lamp and millivolts where they reach: they tell how far, not only whether",
	HabitLate:      "when one place is left, stop reading and look",
	HabitMisfit:    "a reading that does not fit is taken again before anything is built on it",
	HabitTwo:       "when no single place fits all readings, think of two faults, or of a reading that lies",
}

// Remark names a habit in a step.
type Remark struct {
	Habit Habit
	Says  string
	Moral string // what to do instead, said once of each habit
	// Lost is about how many minutes the step spent more than the best act
	// would have for the same information.
	Lost float64
}

// Where remarks begin. Assumed, as in the hunt: below tooLittle bits a reading
// is not worth taking, at sureEnough a piece is looked at.
const (
	tooLittle  = 0.06
	clearly    = 0.3  // bits that count as plainly more
	sureEnough = 0.9  // belief in one piece
	slimChance = 0.25 // belief in a piece that is looked under
	nearlySure = 0.12 // doubt about one of two answers: not worth asking for
	allButSure = 0.97 // belief in one of two answers: what is left is misreading
	good       = 0.7  // share of the best act's bits a minute
	alikeShare = 0.06 // two readings of one thing differ by less: a part of the reading,
	alikeLeast = 3e-4 // or volts
)

const stillTwo = "Still no single fault explains your readings."

const answered = "You asked what the readings before had already answered: whatever it showed, hardly anything could " +
	"change."

// lost is the minutes of a step that were above what the best act would have
// needed for the same information, never more than its own.
func (s *Step) lost() float64 {
	best := rate(s.Best.Bits, s.Best.Minutes)
	if s.Best.Ask == nil || best <= 0 {
		return s.Minutes
	}
	if x := s.Minutes - max(s.Expected, 0)/best; x > 0 {
		return x
	}
	return 0
}

// reader finds the habits of a reading.
type reader struct {
	c      *Coach
	s      *Step
	q      infer.Question
	from   drill.State // before setting up
	at     drill.State // when reading
	before Belief
	first  bool // no reading came before
	took   bool // the reading was taken in as evidence
}

func (r *reader) say(h Habit, format string, args ...any) {
	lost := r.s.lost()
	if h == HabitGood || h == HabitMisfit || h == HabitTwo || h == HabitSurprise {
		lost = 0
	}
	r.s.Remarks = append(r.s.Remarks, Remark{Habit: h, Says: fmt.Sprintf(format, args...), Lost: lost})
}

// remark looks for the first reason why a reading told little, and then for
// what it left behind.
func (r *reader) remark() {
	s := r.s
	better := s.Best.Ask != nil && s.Best.Bits >= tooLittle && s.Rate() < good*rate(s.Best.Bits, s.Best.Minutes)
	if s.Seen != "" {
		return
	}
	switch habit, why := r.c.mute(&r.q, r.at); {
	case why != "":
		r.say(habit, "This reading says nothing: %s.", why)
	case r.late():
	case r.oneCut(), better && r.unloaded():
	case better && r.coarse():
	case r.again():
	case r.before.several(): // what one fault would have answered is no measure
	case s.Expected < tooLittle && (s.Best.Bits >= clearly || len(s.Best.Look) > 0):
		r.say(HabitAnswered, answered)
	case better && r.edge():
	case !better && s.Best.Ask != nil && s.Expected >= tooLittle:
		r.say(HabitGood, "Well chosen: hardly any reading promised more for the time.")
	}
	if better {
		r.lift()
	}
	r.fit()
}

// again says what a reading taken a second time showed, where readings lie: there that is
// no waste. A third one that agrees is.
func (r *reader) again() bool {
	if r.c.d.Options().Slips == 0 {
		return false
	}
	var shown []string
	act, log := r.c.d.Log()[r.s.Entry].Act, r.c.d.Log()
	for i := range r.c.steps {
		e := &log[r.c.steps[i].Entry]
		at := r.c.d.Before(r.c.steps[i].Entry)
		if e.Act == act && at.Setup.Key() == r.at.Setup.Key() && at.Train == r.at.Train {
			shown = append(shown, e.Shows)
		}
	}
	switch {
	case len(shown) != 1:
		return false
	case alike(shown[0], r.s.Shows):
		r.say(HabitGood, "Taken twice, and the two agree: build on that.")
	default:
		r.say(HabitMisfit, "Taken twice, and the two differ (%s, now %s): take it once more and build on the two that "+
			"agree.", shown[0], r.s.Shows)
	}
	return true
}

// alike says that two readings of one thing differ by no more than a meter does.
func alike(a, b string) bool {
	x, errX := unit.Parse(a, unit.Millivolts)
	y, errY := unit.Parse(b, unit.Millivolts)
	if errX != nil || errY != nil || x.Kind != unit.Value || y.Kind != unit.Value {
		return a == b
	}
	return math.Abs(x.Value-y.Value) <= max(alikeShare*math.Abs(x.Value), alikeLeast)
}

// several says that no single fault explained the readings.
func (b *Belief) several() bool { return b.Of(infer.ClassNotOnMap) > 0.5 || b.Two > 0.5 }

// late says that one piece was nearly certain before the reading.
func (r *reader) late() bool {
	name, p := r.before.Top()
	if p < sureEnough || name == infer.ClassNotOnMap || r.first || len(r.s.Best.Look) == 0 {
		return false
	}
	r.say(HabitLate, "Your readings pointed at one place already.")
	return true
}

// oneCut says that the reading told nothing since current came round the other
// way: wherever else the one cut were, it would tell nothing either, and a
// second cut would.
func (r *reader) oneCut() bool {
	if r.s.Expected >= tooLittle || (r.q.Func != meter.Beeper && r.q.Func != meter.Ohms) || len(r.q.Setup.Lifted) != 1 {
		return false
	}
	one, n := r.q.Setup.Lifted[0], len(r.c.mind.net.Layout.Joints)
	var moved, second []infer.Question
	for k := 1; k <= 8; k++ {
		other := (one + k*n/9) % n
		m, q := r.q, r.q
		m.Setup, q.Setup = r.q.Setup.Clone(), r.q.Setup.Clone()
		m.Setup.Lifted = []int{other}
		q.Setup.Lift(other)
		moved, second = append(moved, m), append(second, q)
	}
	if r.before.worth(moved...) >= tooLittle || r.before.worth(second...) < clearly {
		return false
	}
	r.say(HabitOneCut, "One cut does not open a loop: the other way round still conducts.")
	return true
}

// unloaded says that volts were read where nothing drew a current, and that the
// same reading under load would have told.
func (r *reader) unloaded() bool {
	best, kind := r.s.Best, r.c.d.Symptom().Kind
	if kind != hunt.SymptomWeak && kind != hunt.SymptomDead { // elsewhere what lies across the rails is no load
		return false
	}
	if !needsCurrent(r.q.Func) || len(r.q.Setup.Loads) > 0 || best.Ask == nil || len(best.Setup.Loads) == 0 {
		return false
	}
	q := r.q
	q.Setup = r.q.Setup.Clone()
	q.Setup.Loads, q.Setup.Source = slices.Clone(best.Setup.Loads), best.Setup.Source
	if p := r.c.mind.net.Layout.FindPiece(r.c.mind.symptom.At); p >= 0 {
		if hot, common := drill.Across(r.c.mind.net, p); hot >= 0 && common >= 0 {
			q.Setup.Loads[0].From, q.Setup.Loads[0].To = hot, common
		}
	}
	if bits := r.before.worth(q); bits < 2*r.s.Expected ||
		bits < r.s.Expected+tooLittle {
		return false
	}
	r.say(HabitNoCurrent, "Hardly any current flowed: nothing on the rails takes any. Lay the lamp across the rails "+
		"beyond the place, switch on, and read again.")
	return true
}

// edge says that one of a beeper's answers was nearly sure.
func (r *reader) edge() bool {
	if r.q.Func != meter.Beeper || r.s.Best.Bits < 2*r.s.Expected ||
		r.c.mind.net.Points[r.q.Red].Kind == conductor.PointPost {
		return false
	}
	if r.c.shorted() && len(r.q.Setup.Lifted) == 0 { // while the track is whole it sounds everywhere
		return false
	}
	p := r.before.beeps(r.q)
	word := "beep"
	if p < 0.5 {
		p, word = 1-p, "stay silent"
	}
	switch {
	case p < 1-nearlySure:
		return false
	case (word == "beep") != (r.s.Shows == "beep"):
		r.say(HabitSurprise, "That was a surprise: it was %.0f in 100 that it would %s. Take it again; if it stays, "+
			"think of two faults.", 100*p, word)
		return true
	case p > allButSure:
		r.say(HabitAnswered, "The readings before had already answered that: it was %.0f in 100 that it would %s.",
			100*p, word)
		return true
	}
	r.say(HabitEdge, "You asked near the end of what is left: it was %.0f in 100 that it would %s.", 100*p, word)
	return true
}

// coarse says that millivolts between the same points, under the lamp's
// current, would have told far more.
func (r *reader) coarse() bool {
	kit := r.c.d.Options().Kit
	if (r.q.Func != meter.Beeper && r.q.Func != meter.Ohms) || !kit.Lamp || !kit.Millivolts || r.s.Best.Ask == nil ||
		r.s.Best.Ask.Meter != "millivolts" {
		return false
	}
	fine := r.q
	fine.Func = meter.Millivolts
	fine.Setup = r.s.Best.Setup.Clone()
	fine.Setup.Lifted, fine.Setup.Pulled = r.q.Setup.Lifted, r.q.Setup.Pulled
	bits := r.before.worth(fine)
	if bits < 2*r.s.Expected || bits < r.s.Expected+clearly {
		return false
	}
	word := "A beeper"
	if r.q.Func == meter.Ohms {
		word = "The ohms range"
	}
	r.say(HabitCoarse, "%s cannot tell near from far: a piece is a few thousandths of an ohm. With the lamp's ampere "+
		"in the rails, millivolts between the same two points would.", word)
	return true
}

// lift says that joints were lifted where a reading would have done.
func (r *reader) lift() {
	if r.s.Lifts == 0 || r.s.Best.Ask == nil || r.lifts(&r.s.Best.Setup) {
		return
	}
	if a := r.s.Best.Ask; r.c.mind.net.Points[r.c.mind.net.Find(a.Red)].Kind == conductor.PointPost &&
		len(a.Setup.Lifted) == 0 {
		r.say(HabitLift, "You lifted a joint first. One reading at the supply, trains off, tells whether it is the "+
			"track at all.")
		return
	}
	n := r.c.wasted + r.s.Lifts
	if n == 1 {
		r.say(HabitLift, "You lifted a joint where a reading would do.")
		return
	}
	r.say(HabitLift, "%d lifts so far where a reading would do.", n)
}

// lifts says that a set-up opens joints that were closed before.
func (r *reader) lifts(s *conductor.Setup) bool {
	for _, j := range s.Lifted {
		if !conductor.Has(r.from.Setup.Lifted, j) {
			return true
		}
	}
	return false
}

// fit says what the reading left behind: one that fits badly, or readings that
// fit no single fault.
func (r *reader) fit() {
	b := &r.c.belief
	if !r.took {
		return
	}
	switch worst := worstMisread(b.Misread); {
	case b.several():
		r.say(HabitTwo, "No single fault on this layout explains your readings: one of them is wrong, or two things "+
			"are.")
	case worst >= 0 && b.Misread[worst] > 0.5 && r.c.mind.reads[worst].n > 0:
		odd := r.c.mind.reads[worst]
		r.say(HabitMisfit, "Reading %d (%s) fits badly with the others.", odd.n, odd.shows)
	}
}

func worstMisread(p []float64) int {
	worst := -1
	for i, x := range p {
		if worst < 0 || x > p[worst] {
			worst = i
		}
	}
	return worst
}

// lookRemarks finds the habits of a look.
func (c *Coach) lookRemarks(s *Step, before *Belief, e *drill.Entry) {
	if s.Seen != "" {
		return
	}
	p := before.Of(e.Act.At)
	switch {
	case p < slimChance && s.Best.Ask != nil && s.Rate() < good*rate(s.Best.Bits, s.Best.Minutes):
		s.Remarks = append(s.Remarks, Remark{Habit: HabitGuess,
			Says: fmt.Sprintf("You looked on a chance of about %.0f in 100, where a reading promised more for the "+
				"time.", 100*p), Lost: s.lost()})
	case len(s.Best.Look) > 0 && s.Best.Look[0] == e.Act.At:
		s.Remarks = append(s.Remarks, Remark{Habit: HabitGood,
			Says: "Right to look now: this was the likeliest place."})
	}
}
