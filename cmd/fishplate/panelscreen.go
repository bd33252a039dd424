package main

import (
	"os"

	"fishplate/diagnose/panel"
	"fishplate/tui"
	block "fishplate/tui/panel"
)

// blocks shows panels on the screen.
type blocks struct{ *world }

// screens shows a panel, and goes on from there to a hunt at its block.
func (w blocks) screens(s *stay, a *panelArgs, src *source) tui.Options {
	o := tui.Options{Layout: src.layout, LayoutPath: src.path(), Demo: src.demo}
	s.look.into(&o, os.Getenv)
	said := "Nothing was put into a file."
	o.Panel = &block.Options{Layout: src.layout.Name, Metric: src.layout.Metric, Pairs: a.pairs, Reads: len(src.layout.Terminals) > 0,
		Plan: func(pairs int) (*panel.Plan, error) {
			return panel.Make(src.layout, panel.Options{Pairs: pairs, FeederEnds: a.ends, Seed: 1})
		}}
	if !src.demo {
		o.Panel.Write = func(p *panel.Plan) (string, error) {
			says, err := addTerminals(src, p)
			if err == nil {
				said = says
			}
			return says, err
		}
	}
	o.Onward = func() (tui.Options, error) {
		return s.aside(func(w *world) (tui.Options, error) {
			kit := newKit()
			kit.kit.Block = true
			o, err := s.hunting(w, screenArgs{name: src.name, kit: kit, config: w.settle(w.now.Flags(), kit), fresh: true})
			o.Greeting = "All that the block tells is read first."
			return o, err
		})
	}
	s.rounds = func() []string { return []string{said} }
	return o
}
