package hunt

import (
	"math"
	"strings"
	"unicode"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// digit is an answer that a lone key of the number pad stands for.
type digit struct{ key, says, words string }

// digits of a beeper and of the lamp; a figure has none.
var digits = map[string][]digit{
	string(meter.Beeper): {{"1", "beep", "it beeps"}, {"0", "no", "silent"}},
	string(meter.Lamp):   {{"1", "bright", "bright"}, {"2", "glowing", "glowing"}, {"3", "dark", "dark"}},
}

// Digit is the answer that a lone digit stands for, empty for none.
func (a *Ask) Digit(typed string) string {
	for _, d := range digits[a.Meter] {
		if d.key == strings.TrimSpace(typed) {
			return d.says
		}
	}
	return ""
}

// Digits says what the digits stand for ("1 = bright, 2 = glowing, 3 = dark"),
// empty where a figure is wanted.
func (a *Ask) Digits() string {
	var out []string
	for _, d := range digits[a.Meter] {
		out = append(out, d.key+" = "+d.words)
	}
	return strings.Join(out, ", ")
}

// tooMany is the part of all the volts that feed a reading above which a figure is none
// of them: a small transformer stands a fifth above its own with nothing on it (assumed).
const tooMany = 1.5

// Parse reads an answer as it was typed. A bare figure of more volts than there are is
// refused: the lowest range of volts is a millivolt one, which shows no unit.
func (a *Ask) Parse(typed string) (unit.Reading, error) {
	r, err := unit.Parse(typed, unit.Setting(a.Meter))
	if err != nil || a.Meter != string(meter.Volts) || r.Kind != unit.Value || hasUnit(typed) {
		return r, err
	}
	most := a.Setup.Source.Volts
	for i := range a.Setup.Also {
		most += a.Setup.Also[i].Volts
	}
	if most > 0 && math.Abs(r.Value) > tooMany*most {
		return unit.Reading{}, &unit.Error{Typed: r.Typed, What: "more volts than feed the track",
			Write: "write " + r.Typed + " mV if the dial is on millivolts"}
	}
	return r, nil
}

func hasUnit(typed string) bool { return strings.ContainsFunc(typed, unicode.IsLetter) }

// TipToTip is where black goes when the leads alone are read.
const TipToTip = "tip to tip with the red one: the leads alone are read"

// OfLeads says whether the leads alone are read, held together.
func (a *Ask) OfLeads() bool { return a.Red == a.Black && a.Red != "" }

// withoutEyes is what a look at the lamp can be replaced by.
const (
	askSomeone   = "Without eyes for it: ask someone"
	voltsInstead = askSomeone + "; or type skip, and volts tell it."
	warmInstead  = askSomeone + "; or after a minute feel its warmth from a hand's breadth, and never touch it: " +
		"warm, it burns (bright); cold, it is dark."
)

// WithoutEyes says how a look at the lamp is taken by someone who does not see it: by
// the volts that a hunt with such a dial asks for where the look is skipped, else by
// the lamp's warmth. Common practice, no source.
func (k *Kit) WithoutEyes(v *View) string {
	if v.Step.Ask != nil && v.Symptom != nil && !v.Symptom.Sometimes && k.Volts {
		return voltsInstead
	}
	return warmInstead
}

// OfLamp says whether the reading is a look at the lamp: no probe goes anywhere.
func (a *Ask) OfLamp() bool { return a.Meter == string(meter.Lamp) }

// OfTestLamp says whether that lamp lies across the rails where the ask has its points,
// and is not the one in series.
func (a *Ask) OfTestLamp() bool {
	return a.OfLamp() && a.Setup.Source.Kind == string(conductor.SourceVolts)
}
