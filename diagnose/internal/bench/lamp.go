package bench

import "math"

// filamentPower says how the current of a filament goes with its volts. The
// usual rule for re-rating a lamp has 0.55 (D. G. Fink, H. W. Beaty, "Standard
// Handbook for Electrical Engineers", 11th edition, 1978, page 22-8, as quoted
// by a page on re-rating lamps; the page was read, the handbook was not).
const filamentPower = 0.55

// coldShare is a filament's cold resistance as a part of its hot one. Pages on
// car lamps give a tenth to a fifteenth (the same figure that the layout's own
// lamps have).
const coldShare = 1.0 / 12

// Filament is a lamp by what is written on it.
type Filament struct{ Volts, Amps float64 }

// Ohms is its resistance with so many volts across it, once it has settled.
func (f Filament) Ohms(volts float64) float64 {
	hot := f.Volts / f.Amps
	return hot * math.Max(coldShare, math.Pow(math.Abs(volts)/f.Volts, 1-filamentPower))
}

// AmpsAt is what it takes at so many volts.
func (f Filament) AmpsAt(volts float64) float64 { return volts / f.Ohms(volts) }

// Light is what a lamp does, by eye.
type Light string

// What is seen of a lamp.
const (
	Bright  Light = "bright"
	Glowing Light = "glowing"
	Dark    Light = "dark"
)

// A filament is seen to glow from about a tenth of its volts on, in a lit room:
// its temperature goes with the 0.42th power of the volts (the same page), so
// that it has some 1000 K there. It is called bright where it gets nearly all
// the volts there are. The figures are assumed, and each pair of eyes has its own
// within these bounds.
var (
	seenFrom   = [2]float64{0.08, 0.15} // of the volts written on it
	brightFrom = [2]float64{0.75, 0.92} // of the volts of what feeds it
)
