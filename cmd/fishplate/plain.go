package main

import (
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/unit"
)

// huntPlain runs a hunt line by line: no boxes, no cursor tricks, nothing that
// a screen reader or a pipe would stumble over.
func huntPlain(w *world, a huntArgs) int {
	src, err := w.load(a.name)
	if err != nil {
		return w.refused(err)
	}
	s := &plainSession{src: src, in: newLines(w.in), out: w.out, echo: !typedAt(w.in),
		again: "fishplate hunt --plain --resume " + a.name}
	if a.save != "" {
		s.again = fmt.Sprintf("fishplate hunt --plain --resume --save %s %s", a.save, a.name)
	}
	defer s.in.hearStop()()
	st, err := keep(src, a.save)
	if err != nil {
		fmt.Fprintf(w.err, "fishplate: %v; this hunt will not be saved\n", err)
	} else {
		st.by(a.config)
		s.keep = st
	}
	if err := s.begin(a); err != nil {
		return w.fail(err)
	}
	if a.symptom != nil {
		s.apply(hunt.Event{Symptom: a.symptom})
	}
	err = s.run(!a.kit.silent())
	if s.keep != nil {
		v := s.hunt.View()
		s.keep.see(s.hunt, &v)
		err = errors.Join(err, s.keep.close())
	}
	if err != nil {
		return w.fail(err)
	}
	return exitOK
}

// plainSession is one hunt with a person at the other end.
type plainSession struct {
	src      *source
	kit      hunt.Kit // what the hunt was begun with
	hunt     *hunt.Hunt
	keep     *store
	in       *lines
	out      io.Writer
	echo     bool   // what is read is written out: no terminal shows it
	again    string // the command that goes on with this hunt
	cautions map[string]bool
	// full says that all of every reading is said, not only what is new.
	full bool
	// What was said last: a reason, a supply, trains. told says that it was said what to type.
	reason, supply, trains string
	told                   bool
	failed                 error // from writing
}

// say writes one line.
func (s *plainSession) say(format string, args ...any) {
	if s.failed == nil {
		_, s.failed = io.WriteString(s.out, spoken(fmt.Sprintf(format, args...))+"\n")
	}
}

// spoken takes out what a screen reader would stumble over and what could move
// the cursor: names in a layout may hold anything.
func spoken(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t' || outside.Unseen(r),
			r >= 0x2500 && r <= 0x259f, r >= 0x2800 && r <= 0x28ff: // boxes, blocks, braille
			return ' '
		}
		return r
	}, s)
}

// begin greets, and takes up the hunt that was left when that was asked for.
func (s *plainSession) begin(a huntArgs) error {
	s.cautions = map[string]bool{}
	kit := a.kit.kit
	kit.Track = s.keep.learned()
	s.kit, s.hunt = kit, hunt.New(s.src.layout, kit)
	s.say("%s: %s, %s.", s.src.layout.Name, unit.Count(len(s.src.layout.Pieces), "piece"),
		unit.Count(len(s.src.layout.Feeders), "feeder"))
	if s.src.demo {
		s.say("This is the demo, an invented layout; open your own with: fishplate hunt --plain FILE")
	}
	if s.keep == nil {
		return nil
	}
	moved := ""
	err := s.keep.migrateInto(&moved)
	if moved != "" {
		s.say("%s", moved)
	}
	if err != nil && a.resume {
		return err
	}
	if err != nil {
		s.say("Warning: %v.", err)
	}
	s.keep.strict = a.resume
	e, err := s.keep.wanted(a.record)
	if err != nil && !a.resume {
		s.say("Warning: %v. This hunt will not be saved.", err)
		s.keep = nil
		return nil
	}
	if err != nil {
		return err
	}
	if s.keep.note != "" {
		s.say("%s.", s.keep.note)
	}
	if e == nil {
		if a.resume {
			return s.keep.nothing()
		}
		return nil
	}
	old, err := resume(s.src, a.kit, e)
	if a.resume {
		if err != nil {
			return fmt.Errorf("the hunt kept in %s cannot be gone on with: %w; %s", e.path, err, anew(s.keep, a.name))
		}
		if err := s.keep.goOn(e); err != nil {
			return err
		}
		s.hunt, s.kit = old.hunt, old.kit
		s.say("Going on with the hunt begun %s.", e.begun())
		return nil
	}
	s.keep.aside = s.keep.archive == nil
	if err != nil || old.open {
		s.say("An unfinished hunt is kept in %s. To go on with it, type quit and then: %s", e.path, s.again)
		if s.keep.aside {
			s.say("If you begin a new one here, the old one is kept as %s.old (or .old2 and so on).", e.path)
		} else {
			s.say("If you begin a new one here, it is kept beside the old one.")
		}
	}
	return nil
}

// run asks and answers until the person leaves.
func (s *plainSession) run(told bool) error {
	if v := s.hunt.View(); !told && len(v.Evidence) == 0 && v.Step.Done == nil {
		s.assumed()
	}
	s.say("Type help for what you can type.")
	show := true
	for s.failed == nil {
		v := s.hunt.View()
		if show {
			s.show(&v, s.full)
		}
		text, err := s.prompt(s.promptOf(&v))
		switch {
		case errors.Is(err, io.EOF), errors.Is(err, errStopped):
			s.say("")
			s.leave()
			return s.failed
		case errors.Is(err, errLongLine):
			s.say("%v", err)
			show = false
			continue
		case err != nil:
			return fmt.Errorf("could not read the next line: %w", err)
		}
		var done bool
		if show, done = s.line(&v, text); done {
			return s.failed
		}
	}
	return s.failed
}

// prompt asks for a line. One that no terminal has shown is written out, so that
// what comes out can be read as what was said.
func (s *plainSession) prompt(p string) (string, error) {
	if s.failed == nil {
		_, s.failed = io.WriteString(s.out, spoken(p)+"> ")
	}
	line, err := s.in.next()
	if err == nil && s.echo {
		s.say("%s", line)
	}
	return line, err
}

func (s *plainSession) promptOf(v *hunt.View) string {
	switch {
	case v.Step.Ask != nil:
		return fmt.Sprintf("reading %d", v.Step.Ask.N)
	case v.Step.Inspect != nil:
		return "found or notfound"
	case v.Step.Done != nil && v.Step.Done.Prove != nil && !v.Step.Done.Proven:
		return "proof"
	case v.Step.Done != nil:
		return "done"
	}
	return "symptom"
}

// leave says where the hunt is.
func (s *plainSession) leave() {
	v := s.hunt.View()
	if s.keep == nil || v.Symptom == nil {
		for _, l := range append(parting(v.Off), "Nothing was saved.") {
			s.say("%s", l)
		}
		return
	}
	s.keep.see(s.hunt, &v)
	proven := v.Step.Done != nil && v.Step.Done.Proven
	for _, l := range s.keep.goodbye(s.src, s.again, proven) {
		s.say("%s", l)
	}
}

// line takes what was typed. show says whether the step is to be shown (again).
func (s *plainSession) line(v *hunt.View, text string) (show, done bool) {
	if text == "" {
		return false, false
	}
	word, rest, _ := strings.Cut(text, " ")
	rest = strings.TrimSpace(rest)
	switch strings.ToLower(word) {
	case "quit", "q", "exit":
		s.leave()
		return false, true
	case "help", "h", "?":
		s.help(v)
		return false, false
	case "again":
		clear(s.cautions) // they are said in full once more
		s.show(v, true)
		return false, false
	case "steps", "red", "black":
		asker{s}.part(v, strings.ToLower(word))
		return false, false
	case "full", "brief":
		s.full = strings.ToLower(word) == "full"
		s.say("%s", saysOf[s.full])
		return false, false
	case "kit":
		return s.askKit()
	case "why":
		s.why(v)
		return false, false
	case "evidence":
		all := s.hunt.Told()
		s.evidence(&all)
		return false, false
	case "suspects":
		s.suspects(v)
		return false, false
	case "undo", "redo":
		return s.undo(strings.ToLower(word), rest), false
	case "without":
		s.without(rest)
		return false, false
	case "note", "set":
		s.remark(strings.ToLower(word), rest)
		return false, false
	case "found", "notfound", "not_found":
		return s.looked(v, strings.ToLower(word) == "found", rest), false
	case "skip", "change":
		return s.correct(strings.ToLower(word), rest), false
	}
	if v.Symptom == nil {
		return s.symptom(text)
	}
	if v.Step.Inspect != nil {
		s.say("No reading is asked for now. Look at the pieces, then say what you saw.")
		s.which(v)
		return false, false
	}
	return s.apply(hunt.Event{Reading: padAnswer(v, text)}), false
}

// saysOf tells how much is said from now on: all, or what is new.
var saysOf = map[bool]string{true: "From now on all of every reading is said.",
	false: "From now on what is new is said; again says all of one."}

// wanted is the reading that is asked for, a proof's too; nil for none.
func wanted(v *hunt.View) *hunt.Ask {
	if v.Step.Ask == nil && v.Step.Done != nil {
		return v.Step.Done.Prove
	}
	return v.Step.Ask
}

// padAnswer is what a lone digit of the number pad says, as on the screens.
func padAnswer(v *hunt.View, text string) string {
	a := wanted(v)
	if a != nil && a.Digit(text) != "" {
		return a.Digit(text)
	}
	return text
}

// save keeps the hunt, and says where that failed.
func (s *plainSession) save() {
	if s.keep == nil {
		return
	}
	var moved *errMoved
	switch err := save(s.hunt, s.keep); {
	case errors.As(err, &moved):
		s.say("Warning: %v.", moved)
	case err != nil:
		s.say("Warning: %v. The hunt goes on, but it is not saved.", err)
	}
}

// apply hands an event to the hunt and keeps it.
func (s *plainSession) apply(e hunt.Event) bool {
	before := s.hunt.View()
	if err := s.hunt.Apply(e); err != nil {
		s.say("%v", err)
		return false
	}
	s.save()
	asker{s}.took(&before, &e)
	return true
}

func (s *plainSession) undo(word, rest string) bool {
	n := 1
	if rest != "" {
		var err error
		if n, err = strconv.Atoi(rest); err != nil || n < 1 {
			s.say("%s alone stands for the last answer; %s 2 for the last two.", word, word)
			return false
		}
	}
	if word == "redo" {
		return s.apply(hunt.Event{Redo: n})
	}
	return s.apply(hunt.Event{Undo: n})
}

func (s *plainSession) correct(word, rest string) bool {
	if word == "skip" {
		if rest == "" {
			rest = "cannot be taken"
		}
		e := hunt.Event{Skip: rest}
		if first, _, _ := strings.Cut(strings.ToLower(rest), " "); first == "red" || first == "black" {
			e.Probe = hunt.Probe(first)
		}
		return s.apply(e)
	}
	number, value, _ := strings.Cut(rest, " ")
	n, err := strconv.Atoi(number)
	if err != nil {
		s.say("Write change, the number of the reading and what the meter showed, as in: change 2 0.4 (nothing " +
			"behind the number removes it).")
		return false
	}
	return s.apply(hunt.Event{Change: &hunt.Change{N: n, Reading: strings.TrimSpace(value)}})
}

// looked takes a piece that was looked at, by its name or by its number in the
// list.
func (s *plainSession) looked(v *hunt.View, found bool, name string) bool {
	if it := strings.ToLower(name); it == "" || it == "it" || it == "this" {
		if name = onlyOne(v); name == "" {
			s.which(v)
			return false
		}
	}
	if n, err := strconv.Atoi(name); err == nil && v.Step.Inspect != nil {
		if n < 1 || n > len(v.Step.Inspect.Pieces) {
			s.say("The list has the numbers 1 to %d.", len(v.Step.Inspect.Pieces))
			return false
		}
		name = v.Step.Inspect.Pieces[n-1].Piece
	}
	if found {
		return s.apply(hunt.Event{Found: name})
	}
	return s.apply(hunt.Event{NotFound: name})
}

// surely is how likely a piece of a list must be that "it" means it.
const surely = 0.9

// onlyOne is the piece that "it" means, "" where several may be meant.
func onlyOne(v *hunt.View) string {
	if in := v.Step.Inspect; in != nil && (len(in.Pieces) == 1 || in.Pieces[0].P >= surely) {
		return in.Pieces[0].Piece
	}
	return ""
}

// which says how a piece that was looked at is named.
func (s *plainSession) which(v *hunt.View) {
	if v.Step.Inspect == nil {
		s.say("Say which piece, as in: found main 31")
		return
	}
	var list []string
	for i, c := range v.Step.Inspect.Pieces {
		list = append(list, fmt.Sprintf("found %d: %s was bad", i+1, c.Title()))
	}
	s.say("Type %s; notfound and the number: it is good.", strings.Join(list, "; "))
}
