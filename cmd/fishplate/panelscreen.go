package main

import (
	"os"

	"fishplate/diagnose/panel"
	"fishplate/tui"
	block "fishplate/tui/panel"
)

// screens shows a panel, and goes on from there to a hunt at its block.
func (b *blocks) screens(s *stay, pairs int) tui.Options {
	src := b.src
	o := tui.Options{Layout: src.layout, LayoutPath: src.path(), Demo: src.demo}
	s.look.into(&o, os.Getenv)
	said, written, joined := "No terminal was put into the layout's file.", false, false
	o.Panel = &block.Options{Layout: src.layout.Name, Metric: src.layout.Metric, Pairs: pairs, Begun: b.ticks.Pairs,
		Reads: len(src.layout.Terminals) > 0, Plan: b.plan}
	if !src.demo {
		o.Panel.Write = func(p *panel.Plan) (string, error) {
			says, err := b.addTerminals(p)
			if err == nil {
				said, written = says, true
			}
			return says, err
		}
		o.Panel.Keep = func(pairs int, w *panel.Wire, step *panel.Step, done bool) error {
			if written {
				pairs = 0
			}
			err := b.keep(pairs, w, step, done)
			joined = joined || err == nil
			return err
		}
	}
	o.Onward = func() (tui.Options, error) {
		return s.aside(func(w *world) (tui.Options, error) {
			kit := newKit()
			kit.kit.Block = true
			o, err := s.hunting(w, screenArgs{name: src.name, kit: kit, config: w.settle(w.now.Flags(), kit),
				fresh: true})
			o.Greeting = "All that the block tells is read first."
			return o, err
		})
	}
	s.rounds = func() []string {
		if !joined {
			return []string{said}
		}
		return []string{said, keptTicks("panel", src.name)}
	}
	return o
}
