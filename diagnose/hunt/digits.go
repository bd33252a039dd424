package hunt

import (
	"strings"

	"fishplate/diagnose/meter"
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

// TipToTip is where black goes when the leads alone are read.
const TipToTip = "tip to tip with the red one: the leads alone are read"

// OfLeads says whether the leads alone are read, held together.
func (a *Ask) OfLeads() bool { return a.Red == a.Black && a.Red != "" }

// withoutEyes is what a look at the lamp can be replaced by.
const (
	askSomeone   = "Without eyes for it: ask someone"
	voltsInstead = askSomeone + "; or type skip, and volts tell it."
	warmInstead  = askSomeone + "; or after a minute feel its warmth from a hand's breadth, and never touch it: warm, it burns (bright); cold, it is dark."
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
