package main

import (
	"errors"
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	classroom "fishplate/diagnose/drill/quiz"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/track"
	"fishplate/tui"
	large "fishplate/tui/quiz"
)

func (w commands) quizCommand() *cobra.Command {
	a, fresh := &drillArgs{kit: newKit()}, false
	c := w.does(&cobra.Command{
		Use:   "quiz [LAYOUT]",
		Short: "a drill before a class, large: who calls the best reading?",
		Long: "Hides a fault for a whole class; no real layout is touched. The class calls what to read next, " +
			"the teacher types it (red: mv T1 hot to main 12 center), Enter shows every call beside what the program " +
			"would do, and the best of them is done. " +
			"One thing a screen, in large letters, for a projector; the keys are the teacher's alone. " +
			"The same number is the fault of the sheet that drill --paper prints. " +
			"It is kept after every call: the same number goes on where the class was.",
		Example: "fishplate quiz demo --class 8\nfishplate quiz shelf.hcl --fault short --difficulty easy",
	}, func(words []string) int { return drilling{w.world}.quiz(a, words, fresh) })
	fs := c.Flags()
	fs.BoolVar(&fresh, "new", false, "not the one of that number that was left, but from its beginning")
	fs.IntVar(&a.class, "class", 0, "the same `NUMBER` and layout: the same fault, as on paper (else any)")
	fs.StringVar(&a.fault, "fault", "", "`KIND` is "+strings.Join(onClass, ", ")+" (else by the number)")
	fs.StringVar(&a.difficulty, "difficulty", drill.Usual, "`HOW` hard: "+strings.Join(drill.Difficulties, ", "))
	fs.BoolVar(&a.plain, "plain", false, "line by line")
	a.look = lookFlags(fs)
	offer(c, "class", cobra.NoFileCompletions)
	offer(c, "fault", choices(onClass...))
	offer(c, "difficulty", choices(drill.Difficulties...))
	return w.onLayout(c, false)
}

// onClass are the kinds of faults that a class hunts, on paper and before a projector.
var onClass = []string{drill.KindShort, drill.KindDead, drill.KindWeak}

// forClass hides the fault of a class; the number is chosen where none was asked for, and
// tells the kind where none was.
func (a *drillArgs) forClass(l *track.Layout) (*drill.Drill, error) {
	n, err := conductor.Build(l)
	if err != nil {
		return nil, err
	}
	if a.class == 0 {
		a.class = 1 + generator().IntN(9999)
	}
	if a.fault == drill.KindAny {
		a.fault = onClass[a.class%len(onClass)]
	}
	o := drill.Options{Fault: a.fault, Difficulty: a.difficulty, Class: a.class,
		Kit: hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}}
	return drill.New(l, o, drill.ClassGenerator(n, a.class))
}

// again is how the same fault is hidden by a command.
func (a *drillArgs) again(command string) string {
	return fmt.Sprintf("fishplate %s %s --class %d --fault %s --difficulty %s",
		command, asTyped(a.name), a.class, a.fault, a.difficulty)
}

// quiz runs a drill before a class.
func (w drilling) quiz(a *drillArgs, words []string, fresh bool) int {
	var err error
	if a.name, err = one(words, demoName); err == nil {
		a.level = string(coach.Silent)
		err = a.check(false)
	}
	if err == nil && a.fault != "" && !slices.Contains(onClass, a.fault) {
		err = fmt.Errorf("--fault %s is none of %s", a.fault, strings.Join(onClass, ", "))
	}
	if err != nil {
		return w.usage(err.Error(), "")
	}
	src, err := w.load(a.name)
	if err != nil {
		return w.refused(err)
	}
	d, err := a.forClass(src.layout)
	if err != nil {
		return w.fail(err)
	}
	k, err := a.keepQuiz(src, fresh)
	if err != nil {
		return w.fail(err)
	}
	defer k.lock.free()
	q, err := k.left(src.layout)
	if err != nil {
		return w.fail(fmt.Errorf("%w\nto begin anew: %s --new", err, a.again("quiz")))
	}
	begin := func() *classroom.Quiz {
		if q != nil {
			return q
		}
		return classroom.New(sitting.New(d, coach.Silent, nil, drill.Salt(generator())))
	}
	if a.plain {
		p := &quizmaster{w: w.world, q: begin(), in: newLines(w.in), words: k.words, keep: k.keep}
		defer p.in.hearStop()()
		return p.run()
	}
	if _, _, ok := w.terminal(); !ok {
		if code := w.noTerminal(a.name); code != exitOK {
			return w.usage("for a quiz line by line add --plain", "fishplate quiz --plain "+a.name)
		}
	}
	o := tui.Options{Layout: src.layout, LayoutPath: src.path(), Demo: src.demo,
		Quiz: &large.Options{Number: a.class, Begin: begin, Keep: k.keep}}
	a.look.into(&o, os.Getenv)
	s := &stay{w: w.world, look: a.look}
	s.rounds = func() []string { return []string{k.words()} }
	return s.run(o)
}

// quizmaster holds a quiz line by line.
type quizmaster struct {
	w     *world
	q     *classroom.Quiz
	in    *lines
	words func() string // at the end
	keep  func(*classroom.Quiz) error
}

func (p *quizmaster) run() int {
	p.w.say(p.q.Opening()...)
	if p.q.Begun() {
		p.w.say("It goes on where the class was: " + p.q.Stands())
	} else {
		p.w.say(p.q.Rules()...)
	}
	p.w.say(classroom.Enter + " help lists what can be typed, drop takes the last call back, quit ends.")
	for !p.q.Over() {
		p.w.say(classroom.Asks)
		text, err := p.in.next()
		switch {
		case errors.Is(err, io.EOF), errors.Is(err, errStopped), text == "quit", text == "q":
			return p.w.print(p.words() + "\n")
		case errors.Is(err, errLongLine):
			p.w.say(err.Error())
		case err != nil:
			return p.w.fail(err)
		case text == "help", text == "?":
			p.w.say(p.q.Help()...)
		case text == "drop":
			p.q.Drop()
		case text == "":
			p.beside()
		default:
			p.take(text)
		}
		if err := p.keep(p.q); err != nil {
			p.w.say("could not save the quiz: " + err.Error())
		}
	}
	p.w.say(p.q.End()...)
	return p.w.print(p.words() + "\n")
}

// take takes a call.
func (p *quizmaster) take(text string) {
	before := len(p.q.Calls())
	switch err := p.q.Type(outside.Line(text)); {
	case err != nil:
		p.w.say(err.Error())
	case len(p.q.Calls()) > before:
		p.w.say(fmt.Sprintf("Call %d taken.", before+1))
	default:
		p.shown()
	}
}

// beside puts the calls beside the best, and does the one that is worth most.
func (p *quizmaster) beside() {
	calls := p.q.Calls()
	if len(calls) == 0 {
		p.w.say(p.q.NoCall())
		return
	}
	best := p.q.Best()
	for i := range calls {
		p.w.say(fmt.Sprintf("%d %% of the best: %s: %s", classroom.Share(&calls[i], &best), calls[i].Says(),
			calls[i].Worth()))
	}
	p.w.say("The best: "+best.Says()+": "+best.Worth(), "Done: "+calls[p.q.Winner()].Says())
	p.q.Do()
	p.shown()
	if points := p.q.Points(); points != "" {
		p.w.say("Points: " + points)
	}
}

func (p *quizmaster) shown() {
	for _, l := range p.q.Shown() {
		p.w.say(l.Text)
	}
}
