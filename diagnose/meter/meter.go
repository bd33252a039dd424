// Package meter models what an ordinary instrument shows: its steps, its
// limits, and how far a shown value may be from the true one. It knows no
// networks and no tracks.
package meter

import (
	"math"
)

// Function is a setting of the dial.
type Function string

// The settings that a hunt asks for. Look and Lamp are the eye.
const (
	Beeper     Function = "beeper"
	Ohms       Function = "ohms"
	Volts      Function = "volts"
	Millivolts Function = "millivolts"
	Amps       Function = "amps"
	Look       Function = "look"
	// Lamp is the light of the lamp in series with the supply, by eye.
	Lamp Function = "lamp"
)

// Range is one measuring function with its errors.
type Range struct {
	Step float64 // the last digit, in volt, ohm or ampere
	// Percent is the stated accuracy in percent of the reading; Digits in
	// units of the last digit. Both are limits, not standard deviations.
	Percent, Digits float64
	// Over bounds where the display goes over its limit: below the first it
	// never does, above the second always, between it depends on the meter.
	Over [2]float64
	// Scatter is the standard deviation of what contacts and hands add.
	Scatter float64
}

// Meter is an instrument with its leads.
type Meter struct {
	About      string
	Beeper     [2]float64 // the threshold lies between these, ohm
	Ohms       Range
	Volts      Range
	Millivolts Range
	Amps       Range
	// LeadOhms is what the leads add to every ohms reading, with its
	// standard deviation.
	LeadOhms, LeadSD float64
	// NoMillivoltAC says that the meter has no AC range below 200 V.
	NoMillivoltAC bool
}

// Cheap is a 3 1/2 digit handheld: 200 ohm range 0.1 ohm +-(0.8 % + 5
// digits), 200 mV range 0.1 mV +-(0.8 % + 2), leads 0.1 to 0.5 ohm, beeper
// below 40 to 100 ohm by model. Figures: manuals and data sheets of several
// instruments, sources not named; five digits on AC ranges, and scatter, are
// assumed. The bench's instrument (simulate.CheapMeter) was put together apart from
// this one and is not the same: narrower on DC volts, wider on AC volts and on
// amperes. A hunt must bear a meter that is not the one it believes in.
func Cheap(ac bool) Meter {
	m := Meter{
		About:      "3 1/2 digits, 0.1 ohm and 0.1 mV steps",
		Beeper:     [2]float64{40, 100},
		Ohms:       Range{Step: 0.1, Percent: 0.8, Digits: 5, Over: [2]float64{150, 4e7}, Scatter: 0.1},
		Volts:      Range{Step: 0.01, Percent: 0.8, Digits: 5, Over: [2]float64{190, 1000}, Scatter: 0.01},
		Millivolts: Range{Step: 1e-4, Percent: 0.8, Digits: 2, Over: [2]float64{0.18, 0.6}, Scatter: 1e-4},
		Amps:       Range{Step: 0.01, Percent: 1.2, Digits: 3, Over: [2]float64{9.5, 20}, Scatter: 0.005},
		LeadOhms:   0.25, LeadSD: 0.12,
	}
	if ac {
		m.Millivolts.Digits = 5
	}
	return m
}

// Of is the range of a function; a beeper has none.
func (m *Meter) Of(f Function) Range {
	switch f {
	case Ohms:
		return m.Ohms
	case Millivolts:
		return m.Millivolts
	case Amps:
		return m.Amps
	}
	return m.Volts
}

// Gain is the standard deviation of a range's scale error, as a fraction: the
// same for every reading on it. A uniform error within the stated limit.
func (r Range) Gain() float64 { return r.Percent / 100 / math.Sqrt(3) }

// Bends is the standard deviation that hands, temperature and a range's own
// bends add to a value, as a part of it (assumed).
const Bends = 0.002

// SD is the standard deviation of one shown value about the true one, the
// scale error left out: digits uniform within their limit, rounding, and
// scatter. shown is the step of the display for this value when known, else 0.
func (r Range) SD(value, shown float64) float64 {
	step := math.Max(r.StepAt(value), shown)
	digits := step * r.Digits / math.Sqrt(3)
	round := step / math.Sqrt(12)
	own := Bends * math.Abs(value)
	return math.Sqrt(digits*digits + round*round + r.Scatter*r.Scatter + own*own)
}

// Flat is the half-width of the part of that which is uniform: the last digits
// within their limit, and rounding. A little of its variance is left out and
// taken as a Gaussian's, so that a limit is not quite a wall: what contacts and
// hands scatter softens it besides.
func (r Range) Flat(value, shown float64) float64 {
	step := math.Max(r.StepAt(value), shown)
	return math.Sqrt((1-softEdge)*(r.Digits*r.Digits+0.25)) * step
}

// softEdge is the part of the variance of a stated limit that is taken to lie
// beyond all walls (assumed).
const softEdge = 0.02

// StepAt is the last digit when a value is shown: a range of 2000 counts, ten
// times coarser for each decade above its first.
func (r Range) StepAt(value float64) float64 {
	step := r.Step
	for v := math.Abs(value); v >= 2000*step && v < r.Over[1]; {
		step *= 10
	}
	return step
}

// BeepOdds is the probability that a beeper sounds on a resistance: one below
// the lowest threshold, zero above the highest, straight in the logarithm
// between.
func (m *Meter) BeepOdds(ohms float64) float64 { return below(ohms, m.Beeper) }

// OverOdds is the probability that a value shows as over the limit.
func (r Range) OverOdds(value float64) float64 { return 1 - below(math.Abs(value), r.Over) }

// below is the probability that x lies below a threshold that is known only
// to lie between two values, straight in the logarithm.
func below(x float64, threshold [2]float64) float64 {
	switch {
	case x <= threshold[0]:
		return 1
	case x >= threshold[1]:
		return 0
	}
	return math.Log(threshold[1]/x) / math.Log(threshold[1]/threshold[0])
}
