package health

import (
	"errors"

	"fishplate/diagnose/unit"
)

// Sitting is an evening's check while it is taken: what was typed so far.
type Sitting struct {
	check  *Check
	last   func(k int) *Shown // what a reading showed on the evening before, nil: nothing
	showed []string
	odd    string
}

// Sit begins an evening.
func (c *Check) Sit(last func(k int) *Shown) *Sitting { return &Sitting{check: c, last: last} }

// Next is the reading that comes next, -1 when all are taken.
func (s *Sitting) Next() int {
	if k := len(s.showed); k < len(s.check.Plan.Readings) {
		return k
	}
	return -1
}

// Take takes what was typed for the next reading, or says why it does not count yet; an
// odd one counts when it is typed twice.
func (s *Sitting) Take(text string) (again string) {
	got, err := Read(text)
	if err != nil {
		return err.Error()
	}
	k := len(s.showed)
	if doubt := s.check.Odd(k, got.Volts, s.last(k)); doubt != "" && s.odd != text {
		s.odd = text
		return doubt + " Read it again; what you type twice counts."
	}
	s.showed, s.odd = append(s.showed, text), ""
	return ""
}

// Back takes the last one back; false where there is none.
func (s *Sitting) Back() bool {
	n := len(s.showed)
	if n > 0 {
		s.showed = s.showed[:n-1]
	}
	s.odd = ""
	return n > 0
}

// Showed is what was typed, reading by reading.
func (s *Sitting) Showed() []string { return s.showed }

// Read reads what a meter shows on its millivolt range, or with V behind it what it shows
// on volts.
func Read(text string) (Shown, error) {
	r, err := unit.Parse(text, unit.Millivolts)
	if err != nil {
		return Shown{}, err
	}
	if r.Kind != unit.Value {
		return Shown{}, errors.New("over the range: turn the dial one range up, and type it with its V, as 0.23 V")
	}
	return Shown{Volts: r.Value, Step: r.Step}, nil
}
