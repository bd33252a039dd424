// Package sitting is a drill as someone sits at it: the drill, its coach and,
// where there is one, the lesson's checks, behind one line of input. The plain
// mode and the screen both use it, so that they say the same.
package sitting

import (
	"fmt"
	"strconv"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/lesson"
)

// Role says what a line of an answer is.
type Role string

// The roles.
const (
	Shows   Role = "shows"   // the meter
	Says    Role = "says"    // what happened
	Stopped Role = "stopped" // why it did not
	Caution Role = "caution"
	Coach   Role = "coach"
	Wrong   Role = "wrong" // what is wrong with what was typed
	Info    Role = "info"
)

// Line is one line of an answer.
type Line struct {
	Role Role
	Text string
}

// Sitting is one drill with its coach.
type Sitting struct {
	Drill  *drill.Drill
	Coach  *coach.Coach
	Level  coach.Level
	Lesson *lesson.Lesson // nil outside lessons
	Salt   [16]byte
	taught bool   // advice or the answer was asked for
	far    string // what was typed that takes a long way, until it is typed again
}

// New sits down at a drill. Its coach is slow to begin (it weighs every suspect
// against the symptom), so call it away from a screen's own goroutine.
func New(d *drill.Drill, level coach.Level, l *lesson.Lesson, salt [16]byte) *Sitting {
	return &Sitting{Drill: d, Coach: coach.New(d), Level: level, Lesson: l, Salt: salt}
}

// Save gives the sealed save file.
func (s *Sitting) Save() ([]byte, error) { return s.Drill.Save(s.Salt) }

// Type takes what was typed: an act, or a word to the coach. changed says that
// something was done that must be saved.
func (s *Sitting) Type(text string) (out []Line, changed bool) {
	word, far := strings.ToLower(strings.TrimSpace(text)), s.far
	if s.far = ""; word == "" {
		word, text = far, far
	}
	switch word {
	case "":
		return nil, false
	case "status":
		return s.Status(), false
	case "best", "advice":
		return s.advice(), false
	case "hint":
		return s.hint(), false
	case "log":
		return s.Log(), false
	case "goal", "lesson":
		return s.goal(), false
	}
	if level, ok := strings.CutPrefix(word, "coach"); ok {
		return s.setLevel(strings.TrimSpace(level)), false
	}
	acts, err := drill.ParseAll(text)
	if err != nil {
		return []Line{{Wrong, err.Error()}}, false
	}
	for _, a := range acts {
		if t := s.Drill.Far(a); t != "" && word != far {
			s.far = word
			return []Line{{Info, t + ": Enter again does it."}}, false
		}
	}
	for _, a := range acts { // what could be done stays done
		lines, did := s.Do(a)
		out, changed = append(out, lines...), changed || did
		if !did {
			break
		}
	}
	return out, changed
}

// Far is what was typed and waits, since it takes a long way, for Enter again; empty for
// nothing.
func (s *Sitting) Far() string { return s.far }

// Do takes an act.
func (s *Sitting) Do(a drill.Act) (out []Line, changed bool) {
	e, err := s.Drill.Do(a)
	if err != nil {
		return []Line{{Wrong, err.Error()}}, false
	}
	switch {
	case e.Stopped != "":
		out = append(out, Line{Stopped, "Stopped: " + e.Stopped + "."})
	case e.Shows != "":
		out = append(out, Line{Shows, display(&e)})
	default:
		out = append(out, Line{Says, upper(e.Says) + "."})
		if e.Result == drill.ResultThere {
			out = append(out, Line{Info, coach.Repair(e.Act.At)})
		}
	}
	if t := s.Drill.Spent(&e); t != "" {
		out = append(out, Line{Info, t})
	}
	if e.Caution != "" {
		out = append(out, Line{Caution, "Caution: " + e.Caution})
	}
	for _, step := range s.Coach.Watch() {
		for _, t := range step.Say(s.Level) {
			out = append(out, Line{Coach, t})
		}
	}
	over, gaveUp := s.Drill.Over()
	if o := s.Drill.Options(); !over && o.Minutes > 0 && len(s.Drill.Log()) == o.Acts() {
		out = append(out, Line{Info, fmt.Sprintf("Those were the %d acts of about %s. The drill goes on.", o.Acts(),
			count(o.Minutes, "minute"))})
	}
	if over {
		out = append(out, s.end(gaveUp)...)
	}
	return out, true
}

// display is what the meter shows, with the unit that the dial gives a bare
// number.
func display(e *drill.Entry) string {
	if _, err := strconv.ParseFloat(e.Shows, 64); err == nil && e.Act.Meter == "ohms" {
		return e.Shows + " ohm"
	}
	return e.Shows
}

func upper(s string) string {
	if s == "" {
		return s
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// end tells the answer to who gave up. How it came out is the debrief's.
func (s *Sitting) end(gaveUp bool) []Line {
	var out []Line
	if gaveUp {
		for _, h := range s.Drill.Reveal() {
			out = append(out, Line{Info, "It was: " + h + "."})
		}
	}
	return out
}

// goal says again what a lesson wants.
func (s *Sitting) goal() []Line {
	if s.Lesson == nil {
		return []Line{{Info, fmt.Sprintf("Find what is wrong. The customer: %q", s.Drill.Told())}}
	}
	var out []Line
	for _, t := range s.Lesson.Teaches {
		out = append(out, Line{Info, t})
	}
	return append(out, Line{Info, "To do: " + s.Lesson.Goal})
}

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func (s *Sitting) setLevel(level string) []Line {
	for _, l := range coach.Levels {
		if string(l) == level {
			s.Level = l
			return []Line{{Info, "The coach is set to " + level + "."}}
		}
	}
	return []Line{{Wrong, "the coach can be silent, hint or explain, as in: coach hint"}}
}

func (s *Sitting) advice() []Line {
	if over, _ := s.Drill.Over(); over {
		return []Line{{Info, "The drill is over."}}
	}
	var out []Line
	for _, t := range s.Coach.Advice() {
		out = append(out, Line{Coach, t})
	}
	return out
}

// hint is a word of what to do now, as far as the coach may speak.
func (s *Sitting) hint() []Line {
	if over, _ := s.Drill.Over(); over {
		return []Line{{Info, "The drill is over."}}
	}
	if s.Level == coach.Silent {
		return []Line{{Info, "The coach is silent: type coach hint to let it speak, or best to ask it once."}}
	}
	return []Line{{Coach, s.Coach.Hint()}}
}

// Status says how the layout stands and what was spent.
func (s *Sitting) Status() []Line {
	return []Line{{Info, fmt.Sprintf("%s. %.1f min, %s.", s.Stands(), s.Drill.Count().Minutes, s.Spent())}}
}

// Spent counts what was done: "3 readings, 1 lift".
func (s *Sitting) Spent() string {
	c := s.Drill.Count()
	return count(c.Readings, "reading") + ", " + count(c.Lifts, "lift")
}

// Stands says how the layout stands: what is on, what is open.
func (s *Sitting) Stands() string {
	d := s.Drill
	st := d.State()
	l := d.Layout()
	parts := []string{s.supplies(&st.Setup)}
	if st.Train >= 0 {
		parts = append(parts, "a train on "+l.Pieces[st.Train].ID())
	} else {
		parts = append(parts, "trains off")
	}
	for i, j := range st.Setup.Lifted {
		parts = append(parts, l.Joints[j].Name)
		if i == len(st.Setup.Lifted)-1 {
			parts[len(parts)-1] += " open"
		}
	}
	for _, f := range st.Setup.Pulled {
		parts = append(parts, l.Feeders[f].Name+" off the supply")
	}
	for _, a := range st.Setup.Unplugged {
		parts = append(parts, l.Accessories[a].Name+" unplugged")
	}
	for _, t := range st.Setup.Off {
		parts = append(parts, l.Toggles[t].Name+" off")
	}
	for _, x := range st.Setup.Loads {
		parts = append(parts, fmt.Sprintf("%s across %s and %s", what(x.Ohms), d.Network().Points[x.From].Name,
			d.Network().Points[x.To].Name))
	}
	return strings.Join(parts, ", ")
}

// supplies says what is on, by name where there is more than one.
func (s *Sitting) supplies(set *conductor.Setup) string {
	t := map[conductor.SourceKind]string{conductor.SourceNone: "supply off", conductor.SourceVolts: "supply ON",
		conductor.SourceLamp: "supply ON through the lamp"}[set.Source.Kind]
	var names []string
	for _, x := range set.Sources() {
		names = append(names, s.Drill.SupplyName(x))
	}
	if len(names) > 0 && len(s.Drill.Layout().Supplies) > 1 {
		t += " (" + strings.Join(names, " and ") + ")"
	}
	return t
}

// what says what a load is: a lamp has some ohm, a clip lead none.
func what(ohms float64) string {
	if ohms < 1 {
		return "a clip lead"
	}
	return "a lamp"
}

// Log lists what was done.
func (s *Sitting) Log() []Line {
	var out []Line
	for i, e := range s.Drill.Log() {
		t := display(&e)
		if e.Stopped != "" {
			t = "stopped"
		} else if t == "" {
			t = e.Says
		}
		out = append(out, Line{Info, fmt.Sprintf("%d. %.1f min: %s: %s", i+1, e.Clock, e.Act, t)})
	}
	return out
}
