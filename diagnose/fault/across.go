package fault

import (
	"fmt"

	"fishplate/diagnose/track"
)

// What stands across the rails, by its ohms: bare metal has next to none, an
// engine's motor and a lit car a few, damp ballast or a carbon trace more (common
// practice, no source).
const (
	metalBelow = 0.3
	motorFrom  = 0.8
	lampsFrom  = 3.5
	// surelyWithin is the log-sd within which ohms must be known to be spoken of.
	surelyWithin = 0.7
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

// Across says what stands across the rails by its ohms and their log-sd.
func Across(ohms, sd float64) Thing {
	switch {
	case sd > surelyWithin:
		return Untold
	case ohms < metalBelow:
		return Metal
	case ohms < motorFrom:
		return Untold
	case ohms < lampsFrom:
		return Motor
	}
	return Lamps
}

// Describe puts a thing and its ohms into words, "" for Untold.
func (t Thing) Describe(ohms float64) string {
	switch t {
	case Metal:
		return "next to no ohms: bare metal touches metal"
	case Motor:
		return fmt.Sprintf("about %.1g ohm: an engine or a lit car stands there rather than a bare piece of metal", ohms)
	case Lamps:
		return fmt.Sprintf("about %.1g ohm: lit cars, or damp ballast or a carbon trace across the rails, rather than metal", ohms)
	}
	return ""
}

// EyesFirst puts what is seen at a glance before what is found by lifting: most
// bridges between rails lie on top of them (common practice, no source).
func (s *Suspect) EyesFirst(t Thing) string {
	if s.Mode != track.Bridged || s.PieceIndex < 0 || s.Place != s.Piece {
		return s.Look
	}
	things := "a coin, a tool, a coupler, a car or an engine across the rails"
	if t == Motor {
		things = "a forgotten engine or a lit car, then a coin, a tool or a coupler across the rails"
	}
	return "eyes first, along the rails there and to both sides: " + things + "; then " + s.Look
}
