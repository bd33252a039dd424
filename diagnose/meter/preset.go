package meter

import (
	"errors"
	"fmt"
)

// Preset is an instrument by plain description.
type Preset struct {
	Name  string // as written behind --meter: "cheap"
	About string // one line for a list
	make  func(ac bool) Meter
}

const (
	aboutDC   = "the same, but no AC range below 200 V: millivolts on DC only"
	aboutGood = "4,000 counts or more, finds its range: 0.1 mV and 0.1 ohm steps, 0.3 to 0.7 %"
)

// presets are sorted from the most common to the best.
var presets = []Preset{
	{"cheap", "3 1/2 digits: 0.1 ohm steps, a 200 mV range with 0.1 mV steps", Cheap},
	{"dc-millivolts", aboutDC, noACMillivolts},
	{"good", aboutGood, Good},
}

// Presets lists the instruments that are known by name.
func Presets() []Preset { return append([]Preset(nil), presets...) }

// ByName gives the model of a preset for AC or DC layouts; the empty name is
// the first preset. False when there is none of that name.
func ByName(name string, ac bool) (Meter, bool) {
	if name == "" {
		name = presets[0].Name
	}
	for _, p := range presets {
		if p.Name == name {
			return p.make(ac), true
		}
	}
	return Meter{}, false
}

// noACMillivolts is the cheap handheld as many are: on AC only a 200 V and a
// 600 V range, 0.1 V steps +-(1.2 % + 10 digits) (manuals of several instruments,
// sources not named).
func noACMillivolts(ac bool) Meter {
	m := Cheap(ac)
	m.About = aboutDC
	m.NoMillivoltAC = true
	if ac {
		m.Volts = Range{Step: 0.1, Percent: 1.2, Digits: 10, Over: [2]float64{590, 1000}, Scatter: 0.01}
	}
	return m
}

// Good is a better handheld: 0.3 % + 2 digits on ohms, 0.1 % + 3 on DC
// millivolts with 0.01 mV steps, 0.7 % + 3 on AC with 0.1 mV steps, beeper
// below 20 to 60 ohm, leads of 0.1 to 0.2 ohm. An instrument seller's typical
// figures, source not named; the split by range is from memory.
func Good(ac bool) Meter {
	m := Meter{
		About:      aboutGood,
		Beeper:     [2]float64{20, 60},
		Ohms:       Range{Step: 0.1, Percent: 0.3, Digits: 2, Over: [2]float64{4e7, 1e8}, Scatter: 0.03},
		Volts:      Range{Step: 1e-3, Percent: 0.1, Digits: 2, Over: [2]float64{600, 1000}, Scatter: 1e-3},
		Millivolts: Range{Step: 1e-5, Percent: 0.1, Digits: 3, Over: [2]float64{0.38, 0.65}, Scatter: 5e-5},
		Amps:       Range{Step: 1e-3, Percent: 0.4, Digits: 3, Over: [2]float64{9.5, 20}, Scatter: 0.002},
		LeadOhms:   0.15, LeadSD: 0.03,
	}
	if ac {
		m.Volts.Percent, m.Volts.Digits = 0.7, 3
		m.Millivolts.Step, m.Millivolts.Percent = 1e-4, 0.7
	}
	return m
}

// Has says whether the meter has this function at all.
func (m *Meter) Has(f Function, ac bool) bool {
	return f != Millivolts || !ac || !m.NoMillivoltAC
}

// Check says what is wrong with figures that were written by hand.
func (m *Meter) Check() error {
	for _, r := range []struct {
		name string
		r    Range
	}{{"Ohms", m.Ohms}, {"Volts", m.Volts}, {"Millivolts", m.Millivolts}, {"Amps", m.Amps}} {
		switch {
		case !(r.r.Step > 0 && r.r.Step <= 1000):
			return fmt.Errorf("%s: Step, the last digit in ohm, volt or ampere, must be above 0, at most 1000", r.name)
		case !(r.r.Percent >= 0 && r.r.Percent <= 20):
			return fmt.Errorf("%s: Percent, the stated accuracy, is 0 to 20", r.name)
		case !(r.r.Digits >= 0 && r.r.Digits <= 100):
			return fmt.Errorf("%s: Digits, the stated last digits, is 0 to 100", r.name)
		case !(r.r.Over[0] > 0 && r.r.Over[1] >= r.r.Over[0] && r.r.Over[1] <= 1e12):
			return fmt.Errorf("%s: Over is where the display goes over its limit, two values, the smaller first, at "+
				"most 1e12", r.name)
		case !(r.r.Scatter >= 0 && r.r.Scatter <= 1000):
			return fmt.Errorf("%s: Scatter is 0 to 1000", r.name)
		}
	}
	if !(m.Beeper[0] > 0 && m.Beeper[1] >= m.Beeper[0] && m.Beeper[1] <= 1e6) {
		return errors.New("Beeper is the resistance below which it beeps, two values in ohm, the smaller first")
	}
	if !(m.LeadOhms >= 0 && m.LeadOhms <= 100 && m.LeadSD > 0 && m.LeadSD <= 100) {
		return errors.New("LeadOhms is what the leads add, LeadSD how far that may be off, above 0; both at most 100")
	}
	return nil
}
