package fault

import (
	"fmt"
	"math"

	"fishplate/diagnose/track"
)

// Thing is what stands across the rails.
type Thing int

// The things that ohms tell apart.
const (
	Untold Thing = iota // the ohms are known too badly, or tell nothing
	Metal
	Motor // an engine, or a lit car
	Lamps // several lit cars, damp ballast, carbon
)

// Ohms are the bounds within which a thing's resistance lies: bare metal has next
// to none, an engine's motor and a lit car a few, damp ballast or a carbon trace
// more (common practice, no source).
func (t Thing) Ohms() (lo, hi float64) {
	switch t {
	case Metal:
		return 1e-4, 0.35
	case Motor:
		return 0.8, 3.5
	case Lamps:
		return 3.5, 100
	}
	return 0, 0
}

// Things are those that ohms tell apart.
func Things() []Thing { return []Thing{Metal, Motor, Lamps} }

// Name is the thing in a few words, "" for Untold.
func (t Thing) Name() string {
	return [...]string{"", "bare metal", "an engine or a lit car", "an engine or lit cars"}[t]
}

// Describe puts a thing and its ohms into words, "" for Untold. No ohms: they are
// known too badly for a figure.
func (t Thing) Describe(ohms float64) string {
	switch t {
	case Metal:
		return "next to no ohms: bare metal touches metal"
	case Motor:
		return roughly(ohms) + ": " + t.Name() + " stands there rather than a bare piece of metal"
	case Lamps:
		return roughly(ohms) + ": " + t.Name() +
			", or damp ballast or a carbon trace across the rails, rather than metal"
	}
	return ""
}

// Maybe names a thing that stands on the rails where that is in doubt.
func (t Thing) Maybe(ohms float64) string { return t.Name() + " (" + roughly(ohms) + ")" }

// roughly is ohms to one figure.
func roughly(ohms float64) string {
	if ohms <= 0 {
		return "some ohms"
	}
	tenth := math.Pow10(int(math.Floor(math.Log10(ohms))))
	return fmt.Sprintf("about %.4g ohm", math.Round(ohms/tenth)*tenth)
}

// EyesFirst puts what is seen at a glance before what is found by lifting: most
// bridges between rails lie on top of them (common practice, no source).
func (s *Suspect) EyesFirst(t Thing) string {
	if s.Mode != track.Bridged || s.PieceIndex < 0 || s.Place != s.Piece {
		return s.Look
	}
	things := "a coin, a tool, a coupler, a car or an engine across the rails"
	if t == Motor || t == Lamps {
		things = "a forgotten engine or a lit car, then a coin, a tool or a coupler across the rails"
	}
	return "eyes first, along the rails there and to both sides: " + things + "; then " + s.Look
}
