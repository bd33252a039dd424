package trial

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"

	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/internal/bench"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// Evening is one hunt at a bench where hands do every step that is said, word by
// word, and the meter shows what is joined to what then.
type Evening struct {
	Bench *bench.Bench
	// File is the layout as the hunt is told of it, which may be wrong, True as it is.
	File, True *track.Layout

	Kit     hunt.Kit
	Symptom hunt.Symptom
	// Hidden are the faults as they were put in.
	Hidden []simulate.Fault
	// Engine says that the fault is an engine that was left on.
	Engine bool
	// WrongSide says that one reading from the hot wires is taken on the supply's
	// side of the lamp.
	WrongSide bool
	// Away is how often what comes and goes is away at a reading.
	Away float64
	// Restless is how often something else than the answer comes: a skip, an undo, a
	// redo, a look at a piece of one's own choice, each with a part of the steps done.
	Restless float64
	// Prove goes on with the proof readings once something was found, Checks holds
	// the table to what the asks say that it is.
	Prove, Checks bool
	// Unmended says that what is found first is called mended and is not.
	Unmended bool
	// Clock gives the processor time used so far, second; nil: replies are not timed.
	Clock func() float64
	Rng   *rand.Rand

	Told // what came of it

	hunt  *hunt.Hunt
	bad   []string // what is bad still
	asked float64  // when something was said last
	did   []string // steps that were done already, where what was said next was refused
}

// Told is what came of an evening.
type Told struct {
	Log      []string
	Readings int // until pieces were named
	Rank     int // of the first bad piece in the first list, 0: not there
	Stated   float64
	Listed   bool
	// Named says that the first piece of the first list is told to have an engine or
	// a lit car on it.
	Named  bool
	Claims int // looks at a piece that was given more than 0.9
	Wrong  int // of those, at good pieces
	// Doubt is how many of the claims were said to be wrong: the sum of what each
	// leaves to other places.
	Doubt float64
	Looks int
	// Interludes is how often something else came than the answer.
	Interludes int
	All        int // readings in all
	Found      bool
	// Proven says that the hunt called the repair proven, Left how many faults were
	// there still.
	Proven  bool
	Left    int
	Verdict string
	// Doubts are what the hunt said last to be wrong in the file, Doubted how many readings
	// were taken when it first said anything.
	Doubts  []hunt.FileDoubt
	Doubted int
	// Slowest is the longest time that the program took over what comes next, second.
	Slowest float64
	// Apart are the differences between the table and the set-ups of the asks.
	Apart []string
}

// patience is how many readings a person takes before giving up.
const patience = 30

// Bad are the pieces (or feeders) at which a look finds something still.
func (e *Evening) Bad() []string { return e.bad }

// Hunt plays it from the symptom to its end. An error says which sentence was
// not understood or could not be done, or what else stopped it.
func (e *Evening) Hunt() error {
	for _, f := range e.Hidden {
		if !slices.Contains(e.bad, f.Suspect.Piece) {
			e.bad = append(e.bad, f.Suspect.Piece)
		}
	}
	e.hunt, e.asked = hunt.New(e.File, e.Kit), e.time()
	if err := e.hunt.Apply(hunt.Event{Symptom: &e.Symptom}); err != nil {
		return err
	}
	for range maxReadings + maxLooks {
		step := e.next()
		if e.Restless > 0 && !e.Found && e.Rng.Float64() < e.Restless {
			if err := e.interlude(&step); err != nil {
				return err
			}
			continue
		}
		over, err := e.step(&step)
		if err != nil || over {
			e.Left = len(e.bad)
			return err
		}
	}
	e.Left = len(e.bad)
	return nil
}

// step does what is wanted; over says that the evening ends there.
func (e *Evening) step(s *hunt.Step) (over bool, err error) {
	switch {
	case s.Ask != nil:
		return e.All >= patience, e.answer(s.Ask)
	case s.Inspect != nil:
		err := e.look(s.Inspect)
		return e.Looks >= maxLooks || len(e.bad) == 0 && !e.Prove, err
	case s.Done != nil && s.Done.Prove != nil && e.Found:
		return e.All >= patience, e.answer(s.Done.Prove)
	case s.Done != nil:
		e.Verdict, e.Proven = s.Done.Verdict, s.Done.Proven
		e.note("done: %s", s.Done.Verdict)
		return true, e.do(s.Done.Steps)
	}
	return true, fmt.Errorf("the hunt wants nothing: %v", e.hunt.View().Warnings)
}

// next is what is wanted next, timed from what was said last.
func (e *Evening) next() hunt.Step {
	v := e.hunt.View()
	step := v.Step
	if len(v.File) > 0 && e.Doubts == nil {
		e.Doubted = e.All
		e.note("the file: %+v", v.File)
	}
	if len(v.File) > 0 {
		e.Doubts = v.File
	}
	e.Slowest = max(e.Slowest, e.time()-e.asked)
	return step
}

func (e *Evening) time() float64 {
	if e.Clock == nil {
		return 0
	}
	return e.Clock()
}

// say tells the hunt something.
func (e *Evening) say(x hunt.Event) error {
	e.asked = e.time()
	return e.hunt.Apply(x)
}

func (e *Evening) note(format string, args ...any) {
	e.Log = append(e.Log, fmt.Sprintf(format, args...))
}

// answer does the steps and takes the reading.
func (e *Evening) answer(a *hunt.Ask) error {
	if err := e.do(a.Steps); err != nil {
		return err
	}
	if e.Checks {
		if err := e.compare(a); err != nil {
			return err
		}
	}
	if e.Away > 0 {
		e.Bench.Away(e.Rng.Float64() < e.Away)
	}
	text, err := e.shows(a)
	if err != nil {
		return err
	}
	if a.Meter == "lamp" {
		e.note("the lamp: %s", text)
	} else {
		e.All++
		e.note("%s, %s to %s: %s", a.Dial, a.Red, a.Black, text)
	}
	if err := e.say(hunt.Event{Reading: text}); err != nil {
		e.note("refused: %v", err)
		return e.say(hunt.Event{Skip: "the display makes no sense"})
	}
	return nil
}

// do does steps one by one; what was done of the same list before is not done
// again.
func (e *Evening) do(steps []string) error {
	if len(e.did) <= len(steps) && slices.Equal(e.did, steps[:len(e.did)]) {
		steps = steps[len(e.did):]
	}
	e.did = nil
	for _, s := range steps {
		e.note("  - %s", s)
		was := len(e.Bench.Hazards())
		if err := e.Bench.Do(s); err != nil {
			return err
		}
		for _, x := range e.Bench.Hazards()[was:] {
			e.note("  ! %s", x)
		}
	}
	return nil
}

// shows is what the meter, or the lamp, shows.
func (e *Evening) shows(a *hunt.Ask) (string, error) {
	was := len(e.Bench.Hazards())
	defer func() {
		for _, x := range e.Bench.Hazards()[was:] {
			e.note("  ! %s", x)
		}
	}()
	if a.Meter == "lamp" {
		seen, err := e.Bench.Seen()
		return string(seen), err
	}
	red := a.Red
	if e.WrongSide && a.Setup.Source.Kind == "lamp" && red == a.Setup.Source.From && strings.HasSuffix(red, " hot") {
		red, e.WrongSide = red+" post", false
		if e.Bench.State().StandIn {
			red = bench.BatteryPlus
		}
		e.note("  (on the supply's side of the lamp)")
	}
	return e.Bench.Read(red, a.Black)
}

// look does what a list says first, and looks at its first piece.
func (e *Evening) look(in *hunt.Inspect) error {
	if err := e.do(in.Steps); err != nil {
		return err
	}
	first := in.Pieces[0]
	if !e.Listed {
		e.Listed, e.Stated, e.Readings = true, first.P, e.All
		e.Named = strings.Contains(first.What, fault.Motor.Name()) || strings.Contains(first.What, fault.Lamps.Name())
		e.Rank = 1 + slices.IndexFunc(in.Pieces, func(c hunt.Candidate) bool { return slices.Contains(e.bad, c.Piece) })
	}
	bad := slices.Contains(e.bad, first.Piece)
	if first.P > 0.9 {
		e.Claims++
		e.Doubt += 1 - first.P
		if !bad {
			e.Wrong++
		}
	}
	e.Looks++
	e.Bench.Look(first.Piece)
	if !bad {
		e.note("look at %s (%s): good", first.Piece, first.Share())
		return e.say(hunt.Event{NotFound: first.Piece})
	}
	e.note("look at %s (%s; %s): there it is", first.Piece, first.Share(), first.What)
	e.mend(first.Piece)
	return e.say(hunt.Event{Found: first.Piece})
}

// mend takes away what is wrong at a piece.
func (e *Evening) mend(piece string) {
	e.Found = true
	if e.Unmended {
		e.Unmended = false
		return
	}
	e.bad = slices.DeleteFunc(e.bad, func(x string) bool { return x == piece })
	e.Bench.Mend(func(s *fault.Suspect) bool { return s.Piece == piece })
}

// interlude does something else than what is wanted, after a part of the steps.
func (e *Evening) interlude(s *hunt.Step) error {
	var steps []string
	switch {
	case s.Ask != nil:
		steps = s.Ask.Steps
	case s.Inspect != nil:
		steps = s.Inspect.Steps
	}
	steps = steps[:e.Rng.IntN(len(steps)+1)]
	if err := e.do(steps); err != nil {
		return err
	}
	var x hunt.Event
	switch k := e.Rng.IntN(4); {
	case k == 0 && s.Ask != nil:
		x.Skip = "no room for the probe"
	case k == 1:
		x.Redo = 1
	case k == 2 && s.Ask != nil:
		x.NotFound = e.stray()
	default:
		x.Undo = 1 + e.Rng.IntN(2)
	}
	if err := e.say(x); err != nil {
		e.did = steps
		return nil // nothing to take back: it was said in vain
	}
	e.Interludes++
	e.note("said: %+v", x)
	if e.hunt.View().Symptom == nil {
		return e.say(hunt.Event{Symptom: &e.Symptom})
	}
	return nil
}

// stray looks at a good piece of one's own choice, power off, and leaves it out.
func (e *Evening) stray() string {
	e.Bench.PowerOff()
	for {
		p := e.File.Pieces[e.Rng.IntN(len(e.File.Pieces))].ID()
		if !slices.Contains(e.bad, p) {
			e.Bench.Look(p)
			return p
		}
	}
}
