package tui

import (
	tea "github.com/charmbracelet/bubbletea"

	"fishplate/tui/scene"
	"fishplate/tui/sheet"
	"fishplate/tui/walk"
)

// walkKey gives a message to the walk, which has nearly all keys, or to the
// check that stands over it.
func (a *app) walkKey(msg tea.Msg) tea.Cmd {
	c := a.tell(a.at, msg)
	if a.walk == nil { // it led to the hunt
		return c
	}
	return tea.Batch(c, a.walk.keep())
}

// putBy takes the answer of a Keep.
func (a *app) putBy(k kept) tea.Cmd {
	if a.walk == nil {
		a.ended = append(a.ended, k.err)
		return nil
	}
	return a.walk.putBy(k.err)
}

// leave goes where the walk leads. What there is no way to here ends the
// program, and whoever runs it goes on.
func (a *app) leave(goal walk.Goal) tea.Cmd {
	switch {
	case goal == walk.Check && a.walk.o.Check != nil:
		check, path := a.walk.o.Check, a.walk.Path()
		c := read(a, scene.Check, "back to the walk, where it is mended", func(width int) (string, error) {
			return check(path, width)
		})
		a.say = a.walk.farewell()
		return c
	case goal == walk.Hunt && a.walk.o.Hunt != nil:
		o, err := a.walk.o.Hunt(a.walk.Path())
		if err != nil {
			a.say = err.Error()
			return nil
		}
		if s := a.walk.farewell(); s != "" {
			o.Greeting = s
		}
		return a.become(o)
	}
	return tea.Quit
}

// pages are the screens that are read, by their titles.
var pages = map[scene.ID]string{scene.Check: "check of the design", scene.Wiring: "wiring", scene.Odds: "odds"}

// read opens a page, which may take a while to be made.
func read(a *app, id scene.ID, back string, make func(width int) (string, error)) tea.Cmd {
	a.screens[id] = sheet.New(pages[id], back)
	a.open(id)
	width := min(a.w, sheet.Width)
	return work(id, scene.Work{Do: func() tea.Msg {
		text, err := make(width)
		return sheet.Is{Text: text, Err: err}
	}})
}

// huntFrom goes to the screens that others lead to.
func (a *app) huntFrom(hunt func() (Options, error)) tea.Cmd {
	o, err := hunt()
	if err != nil {
		a.say = err.Error()
		return nil
	}
	return a.become(o)
}

// toWalk goes from the hunt to the walk of its layout: once the hunt has answered,
// where it is at work; any other key calls it off.
func (a *app) toWalk() tea.Cmd {
	switch {
	case a.o.ToWalk == nil:
		a.say = "there is no walk to go to here"
		return nil
	case a.busy:
		a.say, a.toGo = "one moment: the walk comes as soon as this is worked out", a.toWalk
		return nil
	}
	o, err := a.o.ToWalk()
	if err != nil {
		a.say = err.Error()
		return nil
	}
	return a.become(o)
}

// become shows other screens in the place of these, in the same window.
func (a *app) become(o Options) tea.Cmd {
	a.close()
	o.Input, o.Output, o.FPS = a.o.Input, a.o.Output, a.o.FPS
	o.defaults()
	next := newApp(o)
	next.w, next.h, next.cursor, next.ended = a.w, a.h, a.cursor, a.ended
	*a = *next
	return a.Init()
}

// goTo makes other screens, which may take a while, and shows them: once the hunt has
// answered, where it is at work; any other key calls it off.
func (a *app) goTo(what string, to func() (Options, error)) tea.Cmd {
	switch {
	case to == nil:
		a.say = "there is no way to that from here"
		return nil
	case a.busy:
		a.say = "one moment: " + what + " comes as soon as this is worked out"
		a.toGo = func() tea.Cmd { return a.goTo(what, to) }
		return nil
	}
	a.going = true
	a.say = "one moment: " + what + " is made ready"
	return func() tea.Msg {
		o, err := to()
		return gone{o, err}
	}
}

// with is a way to other screens with its question answered; nil where there is no way.
func with[T any](to func(T) (Options, error), what T) func() (Options, error) {
	if to == nil {
		return nil
	}
	return func() (Options, error) { return to(what) }
}

// gone is where a way that takes a while leads to.
type gone struct {
	o   Options
	err error
}

func (a *app) gone(g gone) tea.Cmd {
	a.going = false
	if g.err != nil {
		a.say = g.err.Error()
		return nil
	}
	return a.become(g.o)
}

// close ends what these screens hold: the walk is put by, the hunt let go.
func (a *app) close() {
	if a.walk != nil {
		a.ended = append(a.ended, a.walk.keepLast())
		if c := a.walk.Course(); c != nil && a.walk.o.KeepSizes != nil {
			a.walk.o.KeepSizes(c.Sizes, c.State().Metric)
		}
	}
	if a.o.Close != nil {
		a.ended = append(a.ended, a.o.Close())
	}
}
