// Package unit reads what a person types from a meter and prints quantities
// the way a meter shows them. It takes for granted that the caller knows what
// the meter was set to (a Setting); it knows nothing of tracks, probes or how
// likely a reading is.
//
// Inside the program every quantity is in SI units (ohm, volt, ampere) and
// times are minutes.
package unit

import (
	"math"
	"strconv"
)

// Unit is what a number measures.
type Unit string

// The units of readings. None belongs to beeps and to yes/no answers.
const (
	None   Unit = "none"
	Ohm    Unit = "ohm"
	Volt   Unit = "volt"
	Ampere Unit = "ampere"
)

// Setting is what the meter is set to, or Look or Lamp for a question that is
// answered by looking (a breaker tripped; how brightly a lamp burns).
type Setting string

// The settings.
const (
	Beeper     Setting = "beeper"
	Ohms       Setting = "ohms"
	Volts      Setting = "volts"
	Millivolts Setting = "millivolts"
	Amps       Setting = "amps"
	Look       Setting = "look"
	// Lamp is the light of the lamp in series with the supply, by eye.
	Lamp Setting = "lamp"
)

// Unit gives the unit of the numbers shown on this setting; None for the
// beeper and for what is seen.
func (s Setting) Unit() Unit { return settings[s].unit }

// Known says whether s is one of the settings above.
func (s Setting) Known() bool {
	_, ok := settings[s]
	return ok
}

// settings holds, for each setting, the unit, the power of ten of a bare
// number, and examples for messages.
var settings = map[Setting]struct {
	unit    Unit
	exp     int
	symbol  string // of a bare number
	example string
}{
	Beeper:     {None, 0, "", "beep or no"},
	Look:       {None, 0, "", "yes or no"},
	Lamp:       {None, 0, "", "bright, glowing or dark"},
	Ohms:       {Ohm, 0, "ohm", "0.4, 1.2k or OL"},
	Volts:      {Volt, 0, "V", "14.2 or 212 mV"},
	Millivolts: {Volt, -3, "mV", "212 or 12.3"},
	Amps:       {Ampere, 0, "A", "0.95 or 950 mA"},
}

// Kind is the kind of a reading.
type Kind string

// The kinds of readings.
const (
	Beep      Kind = "beep"       // a tone; also "yes" when the question is answered by looking
	Silent    Kind = "silent"     // no tone; also "no"
	OverLimit Kind = "over-limit" // the display shows that the reading is too large for the range
	Value     Kind = "value"      // a number
	// What a lamp in series with the supply does, by eye.
	Bright  Kind = "bright"  // as bright as across the supply itself
	Glowing Kind = "glowing" // lit, and clearly less than that
	Dark    Kind = "dark"    // no light at all
)

// Reading is one reading, as typed and as understood.
type Reading struct {
	Kind Kind
	// Value is in SI units (ohm, volt, ampere); 0 unless Kind is Value.
	Value float64
	// Unit is the unit of Value, also for OverLimit; None for beeps and for
	// what is seen.
	Unit Unit
	// Decimals is how many digits were typed after the point.
	Decimals int
	// Step is the resolution of the display as typed, in SI units: 0.0001 for
	// "212.3 mV". 0 unless Kind is Value.
	Step float64
	// Typed is the text as the user wrote it, without spaces around it.
	Typed string
}

// String prints the reading with the digits that were typed: "0.40 ohm",
// "212.3 mV", "beep", "silent", "OL".
func (r Reading) String() string {
	switch r.Kind {
	case Beep, Silent, Bright, Glowing, Dark:
		return string(r.Kind)
	case OverLimit:
		return "OL"
	case Value:
		sc := scaleFor(r.Value, r.Unit)
		dec := 0
		if r.Step > 0 {
			dec = int(math.Round(math.Log10(sc.factor / r.Step)))
		}
		if dec < 0 || dec > 12 {
			return Format(r.Value, r.Unit)
		}
		return strconv.FormatFloat(noMinusZero(r.Value/sc.factor), 'f', dec, 64) + " " + sc.symbol
	}
	return ""
}

// Error says why a text is no reading: what is wrong and what to write
// instead. It is written for the person who typed it.
type Error struct {
	Typed string // the text, shortened when very long
	What  string // what is wrong with it
	Write string // what to write instead
}

// Error gives the whole message.
func (e *Error) Error() string {
	s := strconv.Quote(e.Typed) + ": " + e.What
	if e.Write != "" {
		s += "; " + e.Write
	}
	return s
}
