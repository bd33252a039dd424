package main

import (
	"os"

	"fishplate/diagnose/stage"
	"fishplate/tui"
	"fishplate/tui/build"
)

// screens goes through a plan on the screen, and on from there to the hunt on what is
// laid.
func (w proving) screens(s *stay, src *source, proof *stage.Proof, kept *ticks) tui.Options {
	o := tui.Options{Layout: src.layout, LayoutPath: src.path(), Demo: src.demo}
	s.look.into(&o, os.Getenv)
	o.Build = w.onScreen(src, proof, kept)
	o.Build.Big = o.Big
	if !src.demo {
		b := &builder{w: w.world, name: src.name, layout: src.layout, proof: proof}
		var onward screenArgs
		o.Build.Fail = func(at *stage.Stage, r *stage.Reading) ([]string, error) {
			path, err := w.halfBuilt(b.name, b.layout, at)
			if err != nil {
				return nil, err
			}
			symptom := failedAs(at, r)
			onward = screenArgs{name: path, symptom: &symptom}
			return failedSays(b.layout, path, at, r), nil
		}
		o.Onward = func() (tui.Options, error) {
			return s.aside(func(w *world) (tui.Options, error) {
				onward.kit = newKit()
				onward.config = w.settle(w.now.Flags(), onward.kit)
				o, err := s.hunting(w, onward)
				o.Greeting, s.after = b.mended(), []string{b.mended()}
				return o, err
			})
		}
	}
	s.rounds = func() []string { return []string{o.Build.Kept} }
	return o
}

// onScreen is what the screen of a plan needs.
func (w proving) onScreen(src *source, proof *stage.Proof, kept *ticks) *build.Options {
	o := &build.Options{Layout: src.layout.Name, Proof: proof, Done: provenPage(proof.Plan, src.name),
		Kept: "The demo, to look at: nothing is kept. A layout of yours: fishplate " + proof.Plan.Command() + " FILE"}
	if src.demo {
		return o
	}
	o.Kept, o.Mind = keptTicks(proof.Plan.Command(), src.name), map[int][]string{}
	if proof.Plan.Portable {
		o.Kept += " (on another evening, set up anew: add --new)"
	}
	for i := range proof.Plan.Stages {
		s := &proof.Plan.Stages[i]
		o.Mind[s.N] = kept.asides(s)
	}
	o.Tick = func(s stage.Stop, r *stage.Reading, showed string) error {
		return kept.tick(src.name, s.Name(), r.Key(), showed)
	}
	o.Untick = func(r *stage.Reading) error { return kept.untick(src.name, r.Key()) }
	return o
}
