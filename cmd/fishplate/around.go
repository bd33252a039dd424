package main

import (
	"errors"
	"strings"

	"fishplate/diagnose/check"
	"fishplate/diagnose/odds"
	"fishplate/diagnose/piece"
	"fishplate/diagnose/stage"
	"fishplate/diagnose/wiring"
	"fishplate/tui"
	"fishplate/tui/around"
	"fishplate/tui/scene"
)

// errNeedsFile is said where work around the hunt writes into the layout's file.
var errNeedsFile = errors.New("that writes into a layout's file, and the demo has none: w enters a layout of your own")

// errNoOdds is said where hunts of the demo would be counted.
var errNoOdds = errors.New("hunts of your own layouts are counted, and not the demo's: w enters a layout of your own")

// around offers the work around a hunt on its first screen, and the way back.
func (s *stay) around(o *tui.Options, src *source, a screenArgs) {
	c := commands{s.w}
	for _, x := range []struct {
		id    scene.ID
		short string
	}{{scene.Piece, c.pieceCommand().Short}, {scene.Build, c.buildCommand().Short},
		{scene.Wiring, c.wiringCommand().Short}, {scene.Panel, c.panelCommand().Short},
		{scene.Health, c.healthCommand().Short}, {scene.Odds, c.oddsCommand().Short},
		{scene.Check, c.checkCommand().Short}, {scene.Setup, c.setupCommand().Short}} {
		r := around.Row{ID: x.id, Says: x.short}
		switch {
		case x.id == scene.Piece && src.demo:
			r.Off = errNeedsFile.Error()
		case x.id == scene.Odds && src.demo:
			r.Off = errNoOdds.Error()
		case x.id == scene.Setup && len(src.layout.Modules) == 0:
			r.Off = "the file names no boards: fishplate help setup says how"
		}
		o.Around = append(o.Around, r)
	}
	o.Page = func(id scene.ID, width int) (string, error) { return counting{s.w}.page(src, id, width) }
	o.ToAround = func(id scene.ID) (tui.Options, error) {
		return s.aside(func(w *world) (tui.Options, error) {
			next, err := s.work(w, id, src.name)
			if err != nil {
				return next, err
			}
			again := a // as it was opened; a hunt that was begun is gone on with, another one is not
			again.fresh, again.drill = s.st == nil || !s.st.kept, nil
			if !again.fresh {
				again.symptom = nil
			}
			s.st, s.files, s.after = nil, nil, nil
			next.Home = func() (tui.Options, error) {
				return s.aside(func(w *world) (tui.Options, error) {
					said := strings.Join(s.rounds(), " ")
					back, err := s.hunting(w, again)
					back.Greeting = said
					return back, err
				})
			}
			return next, nil
		})
	}
}

// page is what is read of a layout: its check, its wires, what its hunts say.
func (w counting) page(src *source, id scene.ID, width int) (string, error) {
	switch id {
	case scene.Wiring:
		plan, err := wiring.Make(src.layout, wiring.Options{})
		if err != nil {
			return "", err
		}
		return wrapped(plan.Page(src.layout).Text(), width), nil
	case scene.Odds:
		finds, err := w.proven(src)
		if err != nil {
			return "", err
		}
		tally, err := odds.Of(finds)
		if err != nil {
			return "", err
		}
		c, err := count(src, tally, finds, 1)
		if err != nil {
			return "", err
		}
		return wrapped(c.page(src.layout.Name).Text(), width), nil
	}
	r, err := check.Run(src.layout, check.Options{})
	if err != nil {
		return "", err
	}
	return checkText(r, width, src.warned), nil
}

// work is the screen of work around a hunt on a layout.
func (s *stay) work(w *world, id scene.ID, name string) (tui.Options, error) {
	src, err := w.load(name)
	if err != nil {
		return tui.Options{}, err
	}
	switch id {
	case scene.Piece:
		return s.bench(w, src)
	case scene.Build, scene.Setup:
		a := &buildArgs{within: stage.Within, boards: id == scene.Setup}
		proof, kept, err := a.goneThrough(src)
		if err != nil {
			return tui.Options{}, err
		}
		return proving{w}.screens(s, src, proof, kept), nil
	case scene.Panel:
		if len(src.layout.Feeders) == 0 {
			return tui.Options{}, noFeeder(src)
		}
		kept, err := ticksOf(src)
		if err != nil {
			return tui.Options{}, err
		}
		return (&blocks{world: w, src: src, ticks: kept}).screens(s, 0), nil
	}
	a := &healthArgs{kit: newKit(), look: s.look}
	e := &evening{w: w, src: src}
	if err := e.open(a); err != nil {
		return tui.Options{}, err
	}
	return e.screens(s, a, w.config()), nil
}

// bench is the box of all pieces of a layout.
func (s *stay) bench(w *world, src *source) (tui.Options, error) {
	if src.demo {
		return tui.Options{}, errNeedsFile
	}
	lots, err := piece.Box(src.layout)
	if err != nil {
		return tui.Options{}, err
	}
	only, err := piecesOf(src.layout, nil)
	if err != nil {
		return tui.Options{}, err
	}
	b, err := boxOf(w, src)
	if err != nil {
		return tui.Options{}, err
	}
	return b.screens(s, lots, only), nil
}
