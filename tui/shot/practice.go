package main

import (
	"errors"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	practice "fishplate/tui/drill"
)

// classroom gives drills by a class number, so that a picture can be made again;
// nothing is kept.
type classroom struct {
	layout *track.Layout
	kit    hunt.Kit
}

func (classroom) Lessons() ([]practice.Lesson, error) { return nil, nil }

func (k classroom) Begin(c practice.Choice) (*sitting.Sitting, error) {
	if c.Class <= 0 {
		return nil, errors.New("a picture of a drill needs a class number")
	}
	n, err := conductor.Build(k.layout)
	if err != nil {
		return nil, err
	}
	o := drill.Options{Fault: c.Fault, Difficulty: c.Difficulty, Class: c.Class, Minutes: c.Minutes,
		Kit: k.kit}.OfLength()
	d, err := drill.New(k.layout, o, drill.ClassGenerator(n, c.Class))
	if err != nil {
		return nil, err
	}
	return sitting.New(d, coach.Level(c.Coach), nil, [16]byte{}), nil
}

func (classroom) Kept() (*sitting.Sitting, error) { return nil, nil }

func (classroom) Save(*sitting.Sitting) error { return nil }

func (classroom) Done(s *sitting.Sitting) (*debrief.Debrief, error) { return debrief.Make(s), nil }

func (classroom) Progress() ([]string, error) { return nil, nil }
