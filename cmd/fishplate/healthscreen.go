package main

import (
	"os"

	"fishplate/tui"
	screen "fishplate/tui/health"
)

// onScreen says whether an evening is taken on the screen: by whoever sits at a terminal
// and asked for nothing else.
func (e *evening) onScreen(a *healthArgs) bool {
	_, _, ok := e.w.terminal()
	return ok && !a.plain && !a.json && !a.show && !a.hunt && a.readings == "" && a.out == ""
}

// screens takes an evening on the screen, and goes on from there to its hunt.
func (e *evening) screens(s *stay, a *healthArgs, config *config) tui.Options {
	o := tui.Options{Layout: e.src.layout, LayoutPath: e.src.path(), Demo: e.src.demo, Kit: a.kit.kit}
	s.look.into(&o, os.Getenv)
	h := &screen.Options{Check: e.check, Last: e.book.last, Keep: e.sat}
	if !e.book.fresh {
		h.Held, h.N = e.book.when(0), len(e.book.Evenings)+1
	}
	o.Onward = func() (tui.Options, error) {
		kit, symptom := e.doubts(a)
		return s.aside(func(w *world) (tui.Options, error) {
			return s.hunting(w, screenArgs{name: e.src.name, kit: kit, config: config, symptom: &symptom})
		})
	}
	o.Health = h
	s.rounds = func() []string {
		if e.past == nil {
			return []string{"Nothing was kept of this evening.", e.check.After()}
		}
		return []string{e.kept()}
	}
	return o
}

// sat keeps an evening that was read on the screen, and judges it.
func (e *evening) sat(showed []string) (*screen.Evening, error) {
	if err := e.keep(showed); err != nil {
		return nil, err
	}
	if err := e.judge(); err != nil {
		return nil, err
	}
	v := e.past.Last()
	return &screen.Evening{Says: e.check.Say(v, len(e.past.Verdicts), e.book.when), Chart: e.chart, Kept: e.kept(),
		Worse: !v.Quiet && !v.Better && len(e.past.Verdicts) > 1}, nil
}
