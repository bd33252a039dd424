package main

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/unit"
	"fishplate/tui/spot"
)

// asker says the reading that a plain hunt asks for, and what its answer was taken for.
type asker struct{ *plainSession }

// ask says a reading that is wanted. All of it where that was asked for; else what
// was not just said: steps name the set-up, an answer is told what it means once it is
// there, and a reason is said where it is another one than the last.
func (s asker) ask(a *hunt.Ask, all bool) {
	s.say("")
	if a.Aside != nil {
		s.say("Not counted: %s: %s.", a.Aside.Reading, strings.TrimSuffix(a.Aside.Says, "."))
	}
	if a.Again != "" {
		s.say("The same once more: %s.", a.Again)
	}
	s.caution(a.Cautions)
	name := fmt.Sprintf("Reading %d", a.N)
	if v := s.hunt.View(); v.Step.Ask == nil { // what proves a repair is no reading of the list
		name = fmt.Sprintf("Proof %d", v.Proofs+1)
	}
	s.say("%s, about %s.", name, unit.FormatMinutes(a.Minutes))
	s.steps(a.Steps, a.Setup.Lifted)
	s.hookup(a)
	s.setup(a, all)
	s.probes(a, all)
	if !a.OfLamp() {
		s.say("  Dial: %s", a.Dial)
	}
	if reason := reasonKey(a); a.Aside == nil && (all || reason != s.reason) { // else it says what was said above
		s.reason = reason
		why := a.Why
		if all {
			why = a.Reasons()
		}
		s.say("  Why: %s", why)
	}
	if all {
		s.outcomes(a)
	}
	switch {
	case a.OfLamp():
		s.say("Type what the lamp is: %s.", a.Digits())
	case all || !s.told:
		s.say("Type what the meter shows.")
		s.told = true
	}
}

// reasonKey tells one reason from another: its figures are none.
func reasonKey(a *hunt.Ask) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) {
			return -1
		}
		return r
	}, a.Why)
}

// outcomes says what each thing that the meter may show would mean.
func (s asker) outcomes(a *hunt.Ask) {
	for _, o := range a.Expect {
		s.say("  If it shows %s (%.0f %%): %s", o.Shows, 100*o.P, o.Means)
	}
}

// probes says where they go; what both places have in common is said once.
func (s asker) probes(a *hunt.Ask, all bool) {
	switch {
	case a.OfLamp():
		if a.OfTestLamp() {
			s.say("  Lamp across: %s", pointWords(s.src.layout, a.Red))
			s.say("  and: %s", s.otherEnd(a, all))
		}
		v := s.hunt.View()
		s.say("  Look: is the lamp bright, glowing or dark? %s", s.kit.WithoutEyes(&v))
	case a.Red != "" || a.Black != "":
		s.red(a)
		s.black(a, all)
	}
}

func (s asker) red(a *hunt.Ask) {
	s.say("  Red probe: %s", pointWords(s.src.layout, a.Red))
}

func (s asker) black(a *hunt.Ask, all bool) { s.say("  Black probe: %s", s.otherEnd(a, all)) }

// otherEnd says where the second end goes, of the meter's leads or of a lamp.
func (s asker) otherEnd(a *hunt.Ask, all bool) string {
	l := s.src.layout
	red, black := spot.Describe(l, spot.Parse(l, a.Red)), spot.Describe(l, spot.Parse(l, a.Black))
	words := pointWords(l, a.Black)
	switch {
	case a.OfLeads():
		words = hunt.TipToTip
	case !all && red.Near == black.Near && red.SamePlace(black):
		words = joined(black.What, black.Side, "at the same place")
	case !all && red.Near == black.Near: // across a joint from it: counted from the same thing
		words = joined(black.What, black.Where, black.Side)
	}
	return words
}

// hookup says how the lamp is hooked up, where a step does that.
func (s asker) hookup(a *hunt.Ask) {
	v := s.hunt.View()
	if h, ok := gear.HookupFor(&s.kit, s.src.layout, &a.Setup.Source); ok && v.HooksUp() {
		circuit, side := h.Words()
		s.say("  Lamp: %s.", circuit)
		s.say("  %s.", side)
	}
}

// setup says what must be true while reading, so that nobody has to add up the steps
// of the readings before: what no step of this one says, and of supply and trains what
// has changed; all of it where that was asked for.
func (s asker) setup(a *hunt.Ask, all bool) {
	v := s.hunt.View()
	said := func(act hunt.Act, name string) bool {
		return !all && slices.ContainsFunc(v.Moves, func(m hunt.Move) bool {
			return m.Act == act && (name == "" || s.moved(&m) == name)
		})
	}
	var parts []string
	supply, trains := s.supplyOf(a), "trains "+a.Setup.Trains
	if all || supply != s.supply && !said(hunt.ActOn, "") && !said(hunt.ActOff, "") {
		parts = append(parts, supply)
	}
	if all || trains != s.trains && !said(hunt.ActClear, "") {
		parts = append(parts, trains)
	}
	s.supply, s.trains = supply, trains
	list := func(what string, act hunt.Act, names []string) {
		left := slices.DeleteFunc(slices.Clone(names), func(n string) bool { return said(act, n) })
		if len(left) > 0 {
			parts = append(parts, what+": "+strings.Join(left, ", "))
		}
	}
	list("joints open", hunt.ActLift, a.Setup.Lifted)
	list("feeders off", hunt.ActPull, a.Setup.Pulled)
	list("toggles in their second position", hunt.ActSecond, a.Setup.Off)
	list("accessories off their wires", hunt.ActUnplug, a.Setup.Unplugged)
	if !said(hunt.ActLay, "") {
		parts = append(parts, s.loads(a)...)
	}
	for _, t := range a.Setup.Diverted() {
		if !said(hunt.ActThrow, t) {
			parts = append(parts, t+" thrown to "+a.Setup.Thrown[t])
		}
	}
	if len(parts) > 0 {
		s.say("  While reading: %s.", strings.Join(parts, "; "))
	}
}

// moved names what an act is done to, as a set-up names it.
func (s asker) moved(m *hunt.Move) string {
	l := s.src.layout
	switch m.Act {
	case hunt.ActLift:
		return l.Joints[m.Of].Name
	case hunt.ActPull:
		return l.Feeders[m.Of].Name
	case hunt.ActSecond:
		return l.Toggles[m.Of].Name
	case hunt.ActUnplug:
		return l.Accessories[m.Of].Name
	case hunt.ActThrow:
		if p := &l.Pieces[m.Of]; p.Name == "" {
			return p.ID()
		}
		return l.Pieces[m.Of].Name
	}
	return ""
}

// supplyOf says what feeds the track while reading.
func (s asker) supplyOf(a *hunt.Ask) string {
	out := "supply on"
	switch {
	case a.Setup.Source.Kind == "none" || a.Setup.Source.Kind == "":
		out = "supply off"
	case a.Setup.Source.Kind == "lamp":
		out = "supply on, with the lamp in series"
	case a.Current == hunt.DC && gear.AC(s.src.layout):
		out = gear.FeedSays(&s.kit, s.src.layout) + " on, the supply's wires off its posts"
	}
	for _, also := range a.Setup.Also {
		out += "; also on: " + also.From + " to " + also.To
	}
	return out
}

// loads says what lies across the rails.
func (s asker) loads(a *hunt.Ask) []string {
	var out []string
	for _, l := range a.Setup.Loads {
		what := unit.Format(l.Ohms, unit.Ohm)
		switch {
		case l.Ohms < 1:
			what = "a clip lead"
		case s.kit.Lamp:
			what = "the lamp"
		}
		out = append(out, what+" from "+l.From+" to "+l.To)
	}
	return out
}

// part says one part of the reading that is wanted.
func (s asker) part(v *hunt.View, word string) {
	a := wanted(v)
	switch {
	case word == "steps" && v.Step.Inspect != nil:
		s.steps(v.Step.Inspect.Steps, nil)
	case word == "steps" && a == nil && v.Step.Done != nil:
		s.back(v.Step.Done)
	case a == nil:
		s.say("No reading is asked for now.")
	case word == "steps":
		s.caution(a.Cautions)
		s.steps(a.Steps, a.Setup.Lifted)
	case a.OfLamp() && !a.OfTestLamp():
		s.say("No probe goes anywhere: look at the lamp.")
	case word == "red":
		s.red(a)
	default:
		s.black(a, true)
	}
}

// shown is what was typed as it was understood, with its unit.
func shown(a *hunt.Ask, typed string) string {
	r, err := unit.Parse(typed, unit.Setting(a.Meter))
	if err != nil {
		return typed
	}
	return r.String()
}

// took says what was understood, so that nobody has to look whether it was.
func (s asker) took(before *hunt.View, e *hunt.Event) {
	now := s.hunt.View()
	switch a := wanted(&now); {
	case e.Reading != "":
		if a == nil || a.Aside == nil { // else it is said that it is not counted
			s.meant(wanted(before), e.Reading)
		}
	case e.Skip != "" && e.Probe != "":
		s.say("Skipped: nothing is asked for at the %s probe's place again.", e.Probe)
	case e.Skip != "":
		s.say("Skipped.")
	case e.Undo > 0:
		s.say("Taken back.")
	case e.Redo > 0:
		s.say("Brought back.")
	case e.Change != nil && e.Change.Reading == "":
		s.say("Reading %d is removed.", e.Change.N)
	case e.Change != nil && e.Change.N <= len(now.Evidence):
		s.say("Reading %d is now %s.", e.Change.N, shown(&now.Evidence[e.Change.N-1].Ask, e.Change.Reading))
	case e.NotFound != "":
		s.say("Taken: %s was looked at and is good.", e.NotFound)
	}
}

// meant says an answer as it was taken, and what it means.
func (s asker) meant(a *hunt.Ask, typed string) {
	if a == nil {
		return
	}
	r, err := unit.Parse(typed, unit.Setting(a.Meter))
	if err != nil {
		return
	}
	means := ""
	if row, ok := a.Outcome(r); ok && row.Means != "" {
		means = ": " + strings.TrimSuffix(row.Means, ".")
	}
	s.say("Taken: %s%s.", r, means)
}
