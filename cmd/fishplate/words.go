package main

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/report"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/tui/spot"
)

// show says what the hunt wants now; all of it where that was asked for.
func (s *plainSession) show(v *hunt.View, all bool) {
	for _, w := range v.Warnings {
		s.say("Warning: %s", w)
	}
	switch {
	case v.Step.Ask != nil:
		asker{s}.ask(v.Step.Ask, all)
	case v.Step.Inspect != nil:
		s.inspect(v.Step.Inspect)
	case v.Step.Done != nil:
		s.ended(v.Step.Done, all)
	default:
		s.symptoms()
	}
}

// caution warns of everything: in full once, and in short when the danger comes
// again.
func (s *plainSession) caution(list []string) {
	v := s.hunt.View()
	for _, c := range list {
		switch {
		case !s.cautions[c]:
			s.cautions[c] = true
			s.say("Caution: %s", c)
		case v.DangerReturns():
			s.say("Caution: %s", hunt.Brief(c))
		}
	}
}

// steps says what hands do, in order.
func (s *plainSession) steps(list, lifted []string) {
	for i, step := range list {
		s.say("  Step %d: %s%s", i+1, step, s.lifting(step, lifted))
	}
}

// lifting says where on the table the joint is that a step opens.
func (s *plainSession) lifting(step string, lifted []string) string {
	for _, j := range lifted {
		i := strings.Index(step, j)
		if i < 0 {
			continue
		}
		rest := step[i+len(j):]
		if rest != "" && rest[0] >= '0' && rest[0] <= '9' { // main 2/3 is not in main 2/30
			continue
		}
		if at, ok := spot.FindPlace(s.src.layout, j); ok {
			if near := spot.Near(s.src.layout, at); near != "" {
				return ": " + near
			}
		}
	}
	return ""
}

// pointWords says where a point is, once: its name is in the words.
func pointWords(l *track.Layout, name string) string {
	w := spot.Describe(l, spot.Parse(l, name))
	return joined(w.What, w.Where, w.Side, w.Near)
}

// joined puts what is not empty behind one another.
func joined(parts ...string) string {
	return strings.Join(slices.DeleteFunc(parts, func(p string) bool { return p == "" }), ", ")
}

func (s *plainSession) inspect(in *hunt.Inspect) {
	s.say("")
	s.caution(in.Cautions)
	s.say("Time to look: %s.", strings.TrimSuffix(in.Why, "."))
	s.steps(in.Steps, nil)
	said := map[string]int{} // what was said already, for which piece: nobody listens to it twice
	how := func(i int, word, text string) {
		switch first, ok := said[word+text]; {
		case text == "":
		case ok:
			s.say("     %s: as for %d", word, first)
		default:
			said[word+text] = i
			s.say("     %s: %s", word, text)
		}
	}
	for i, c := range in.Pieces {
		s.say("  %d. %s, %s: %s", i+1, c.Piece, c.Share(), c.What)
		if where := spot.ToLook(s.src.layout, c.Piece, c.Joint); where != "" {
			s.say("     Where: %s", where)
		}
		how(i+1, "Look", c.Look)
		how(i+1, "Lift", c.Lift)
	}
	s.say("Type found or notfound and the piece (its name or its number here).")
}

func (s *plainSession) ended(d *hunt.Done, all bool) {
	s.say("")
	s.say("%s", d.Verdict)
	v := s.hunt.View()
	s.say("%s. Pieces and joints lifted: %d. About %s.", v.Counted(), d.Lifts, unit.FormatMinutes(d.Minutes))
	switch {
	case d.Proven:
		s.back(d)
		s.say("The repair is proven. Type quit, or undo to go back.")
	case d.Prove != nil:
		s.say("Repair it, put everything back, and prove it:")
		asker{s}.ask(d.Prove, all)
	default:
		s.back(d)
		s.say("Type quit, or undo to go back.")
	}
}

// back says how everything is put back.
func (s *plainSession) back(d *hunt.Done) {
	if len(d.Steps) > 0 {
		s.say("Put everything back:")
		s.steps(d.Steps, nil)
	}
}

func (s *plainSession) why(v *hunt.View) {
	switch {
	case v.Step.Ask != nil:
		s.say("%s", v.Step.Ask.Reasons())
		asker{s}.outcomes(v.Step.Ask)
		s.say("In question now: %s.", unit.Count(v.Hidden95, "piece"))
	case v.Step.Inspect != nil:
		s.say("%s", v.Step.Inspect.Why)
	case v.Step.Done != nil && v.Step.Done.Prove != nil:
		s.say("%s", v.Step.Done.Prove.Why)
		asker{s}.outcomes(v.Step.Done.Prove)
	default:
		s.say("What you saw decides what can be wrong at all.")
	}
}

func (s *plainSession) evidence(v *hunt.View) {
	if len(v.Evidence) == 0 {
		s.say("No readings yet.")
	}
	for _, e := range v.Evidence {
		odd := ""
		if e.Odd {
			odd = " It fits badly with the rest: take it again."
		}
		at := e.Ask.Meter
		if !e.Ask.OfLamp() {
			at += ", red " + e.Ask.Red + ", black " + e.Ask.Black
		}
		s.say("  %d. %s: %s. Expected: %s. %s. In question: %s before, %d after.%s",
			e.N, at, shown(&e.Ask, e.Reading), e.Expected, strings.TrimSuffix(e.Said, "."),
			unit.Count(e.Before, "piece"), e.After, odd)
	}
}

func (s *plainSession) suspects(v *hunt.View) {
	if len(v.Ranked) == 0 {
		s.say("No suspects yet: say first what is wrong.")
	}
	s.ranked(v)
}

func (s *plainSession) ranked(v *hunt.View) {
	const most = 10
	for i, c := range v.Ranked {
		if i == most {
			s.say("  and %d more", len(v.Ranked)-most)
			break
		}
		s.say("  %d. %s, %.1f %%: %s", i+1, c.Piece, 100*c.P, c.What)
	}
	if v.NotOnMap > 0 {
		s.say("  Nothing on the map explains it: %.1f %%", 100*v.NotOnMap)
	}
}

// without says what would be believed without one of the readings.
func (s *plainSession) without(rest string) {
	n, err := strconv.Atoi(rest)
	if err != nil {
		s.say("Write without and the number of a reading, as in: without 2 (evidence lists them).")
		return
	}
	v, err := s.hunt.Without(n)
	if err != nil {
		s.say("%v", err)
		return
	}
	s.say("Without reading %d:", n)
	s.ranked(&v)
	s.say("The reading stays: change %d removes it.", n)
}

// remark adds to the record of this hunt.
func (s *plainSession) remark(word, rest string) {
	if s.keep == nil {
		s.say("This hunt is not saved, so there is no record to add to.")
		return
	}
	change := func(r *record) {
		r.Notes = append(r.Notes, report.Note{At: s.keep.now().Round(time.Second), Text: rest})
	}
	if word == "set" {
		name, text, _ := strings.Cut(rest, " ")
		var set setFlag
		if err := set.Set(name + "=" + text); err != nil {
			s.say("%v. Write for example: set repair new insulating strip", err)
			return
		}
		change = func(r *record) { *r.field(set[0][0]) = set[0][1] }
	} else if rest == "" {
		s.say("Write note and the text, as in: note the tunnel was open")
		return
	}
	if err := s.keep.change(change); err != nil {
		s.say("Warning: could not save it: %v", err)
		return
	}
	s.say("Noted.")
}

func (s *plainSession) help(v *hunt.View) {
	if v.Symptom == nil {
		s.say("Type the number of what you see. kit says what you own: meter, lamp, battery. quit leaves.")
		return
	}
	for _, l := range []string{
		"What the meter shows, as it shows it: 0.4, 212 mV, 1.2k, OL, beep, no",
		"why               why this reading, and what each answer would mean",
		"again             say it once more, all of it",
		"steps, red, black say that part alone once more",
		"full, brief       say all of every reading from now on, or what is new",
		"skip REASON       this reading cannot be taken: ask for another",
		"skip red, skip black   that probe cannot get there: keep away from the place",
		"undo              take back the last answer (undo 2: the last two)",
		"redo              bring back what was undone",
		"change N VALUE    correct reading N; without a value it is removed",
		"found PIECE       this piece was bad",
		"notfound PIECE    this piece was looked at and is good",
		"evidence          the readings so far, and what they said",
		"suspects          the likeliest pieces",
		"without N         what would be likeliest without reading N",
		"note TEXT         add a note to this hunt's record",
		"set FIELD TEXT    name, finder, changed, leads, conditions, repair, open",
		"quit              leave; the hunt is saved",
	} {
		s.say("  %s", l)
	}
}
