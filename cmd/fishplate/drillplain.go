package main

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"fishplate/diagnose/drill/sitting"
)

// drillPlain runs a drill line by line.
func drillPlain(w *world, a *drillArgs) int {
	keep := &drillStore{a: a}
	defer keep.close()
	var left []byte
	var err error
	if a.resume {
		if left, err = keep.takeUp(); err != nil {
			return w.fail(err)
		}
		a.follow(left)
	}
	t, err := drilling{w}.lay(a)
	if err != nil {
		return w.refused(err)
	}
	s, err := drilling{w}.sit(t, a, left)
	if err != nil {
		return w.fail(err)
	}
	p := &drillSession{w: w, t: t, s: s, keeper: keep, in: newLines(w.in)}
	defer p.in.hearStop()()
	p.begin()
	if err := p.run(); err != nil {
		return w.fail(err)
	}
	return exitOK
}

// drillSession is one drill with a person at the other end.
type drillSession struct {
	w      *world
	t      *table
	s      *sitting.Sitting
	in     *lines
	keeper *drillStore
	lost   error // why the drill is not saved, nil where it is
	failed error // from writing
}

func (p *drillSession) say(format string, args ...any) {
	if p.failed == nil {
		_, p.failed = fmt.Fprintf(p.w.out, format+"\n", args...)
	}
}

func (p *drillSession) begin() {
	d := p.s.Drill
	if l := p.t.lesson; l != nil {
		p.say("Lesson %d: %s", l.Number, l.Title)
		for _, t := range l.Teaches {
			p.say("%s", t)
		}
		p.say("To do: %s", l.Goal)
	}
	p.say("%s", strings.Join(sitting.Opening(d), "\n"))
	p.say("Type help for what you can do.")
	if len(d.Log()) == 0 {
		return
	}
	for _, l := range append(p.s.Log(), p.s.Status()...) {
		p.say("%s", l.Text)
	}
}

func (p *drillSession) run() error {
	for p.failed == nil {
		if over, _ := p.s.Drill.Over(); over {
			return p.end()
		}
		if _, err := io.WriteString(p.w.out, fmt.Sprintf("%.1f min> ", p.s.Drill.Clock())); err != nil {
			return err
		}
		text, err := p.in.next()
		switch {
		case errors.Is(err, io.EOF), errors.Is(err, errStopped):
			p.say("")
			p.leave()
			return p.failed
		case errors.Is(err, errLongLine):
			p.say("%v", err)
			continue
		case err != nil:
			return fmt.Errorf("could not read the next line: %w", err)
		}
		if p.line(text) {
			return p.failed
		}
	}
	return p.failed
}

// line takes what was typed; done says that the person leaves.
func (p *drillSession) line(text string) (done bool) {
	switch strings.ToLower(text) {
	case "quit", "q", "exit":
		p.leave()
		return true
	case "help", "h", "?":
		for _, l := range sitting.Help(p.s.Drill) {
			p.say("%s", l)
		}
		return false
	}
	out, changed := p.s.Type(text)
	for _, l := range out {
		p.say("%s", l.Text)
	}
	if changed {
		p.keep()
	}
	return false
}

// keep saves the drill after every act. Where that fails it is said once, and
// tried again at the next.
func (p *drillSession) keep() {
	first := p.keeper.path == ""
	err := p.keeper.save(p.s)
	if err != nil && p.lost == nil {
		p.say("Warning: %v. The drill goes on, but it is not saved.", err)
	}
	if p.lost = err; err == nil && first && p.keeper.aside != "" {
		p.say("The drill from before is kept in %s.", p.keeper.aside)
	}
}

func (p *drillSession) leave() {
	switch {
	case p.lost != nil:
		p.say("This drill is not saved as it stands: %v.", p.lost)
		return
	case p.keeper.path == "":
		p.say("Nothing to save.")
		return
	}
	again := "fishplate drill --plain --resume"
	if p.t.lesson != nil {
		again += " --lesson " + p.t.name
	} else {
		again += " " + p.t.name
	}
	p.say("The drill is saved in %s, the fault in it sealed. Go on with it: %s%s", p.keeper.path, again,
		p.keeper.words())
}

// end shows the debrief and keeps the record; the saved drill is done with.
func (p *drillSession) end() error {
	p.debrief()
	return p.failed
}
