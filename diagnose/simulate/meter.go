package simulate

import (
	"math"
	"math/rand/v2"
	"strconv"
)

// Function is a setting of the dial, in the words that a hunt asks with.
type Function string

// The settings that show something.
const (
	Beeper     Function = "beeper"
	Ohms       Function = "ohms"
	Volts      Function = "volts"
	Millivolts Function = "millivolts"
	Amps       Function = "amps"
	Lamp       Function = "lamp" // the light of the lamp in series, by eye
)

// Over is what a display shows above its range.
const Over = "OL"

// Scale is one range of a meter.
type Scale struct {
	// Full is the first value that is shown as over the limit and Step the
	// value of the last digit, both in volt, ohm or ampere.
	Full, Step float64
	// Percent (of the reading) and Digits (of the last place) are the limits
	// of the error as a data sheet states them: +-(Percent % + Digits).
	Percent, Digits float64
	// Unit is shown behind the number ("" for ohms, where meters have only a
	// small mark), and one of it is Per volt, ohm or ampere.
	Unit string
	Per  float64
}

// Meter turns exact values into what a display shows. Its figures are the
// model's; Draw makes one instrument of that model, with its own leads and its
// own scale errors.
type Meter struct {
	Name string
	// BeepBelow is the resistance, leads included, below which it beeps.
	BeepBelow float64
	// LeadMin and LeadMax bound the leads' resistance, Contact what the tips
	// add to it afresh at each reading (uniform from 0).
	LeadMin, LeadMax, Contact float64
	// Scales are the ranges of each function, finest first. A reading is
	// shown on the first that holds it.
	Ohms, Volts, Millivolts, Amps []Scale
	// ACVolts and ACMillivolts are those for AC; without one the function
	// shows nothing of use on AC, and Has says so.
	ACVolts, ACMillivolts []Scale

	lead  float64
	gains map[Function]float64 // of the stated percentage, -1 to 1
}

// CheapMeter is a 3 1/2 digit handheld. From manuals and data sheets of several
// instruments, sources not named: 200 ohm range, 0.1 ohm +-(0.8 % + 2 digits) of a kit
// meter, +-(0.8 % + 5) of another (taken here); 200 mV DC range 0.1 mV, +-0.7 %
// of a pen meter, and its AC 0.8 %; leads 0.1 to 0.5 ohm; beeper below 40, 50 or
// 100 ohm by model (50 taken). From memory: the last digits of the volt and
// ampere ranges and the errors of the latter. What the tips add: assumed.
func CheapMeter() Meter {
	return Meter{
		Name: "cheap", BeepBelow: 50, LeadMin: 0.1, LeadMax: 0.5, Contact: 0.1,
		Ohms:         []Scale{{Full: 200, Step: 0.1, Percent: 0.8, Digits: 5, Per: 1}},
		Millivolts:   []Scale{{Full: 0.2, Step: 1e-4, Percent: 0.7, Digits: 2, Unit: "mV", Per: 1e-3}},
		ACMillivolts: []Scale{{Full: 0.2, Step: 1e-4, Percent: 0.8, Digits: 5, Unit: "mV", Per: 1e-3}},
		Volts:        volts(0.7, 2),
		ACVolts:      []Scale{{Full: 200, Step: 0.1, Percent: 1.2, Digits: 5, Unit: "V", Per: 1}},
		Amps:         []Scale{{Full: 10, Step: 0.01, Percent: 2, Digits: 5, Unit: "A", Per: 1}},
	}
}

// GoodMeter is a better handheld: basic accuracy 0.1 % + 1 digit (the better
// end of what an instrument seller calls typical), leads 0.1 to 0.2 ohm, beeper
// below 40 ohm. The split into ranges is from memory.
func GoodMeter() Meter {
	return Meter{
		Name: "good", BeepBelow: 40, LeadMin: 0.1, LeadMax: 0.2, Contact: 0.03,
		Ohms: []Scale{{Full: 400, Step: 0.1, Percent: 0.3, Digits: 2, Per: 1},
			{Full: 4e3, Step: 1, Percent: 0.3, Digits: 1, Unit: "k", Per: 1e3},
			{Full: 4e4, Step: 10, Percent: 0.3, Digits: 1, Unit: "k", Per: 1e3},
			{Full: 4e5, Step: 100, Percent: 0.3, Digits: 1, Unit: "k", Per: 1e3},
			{Full: 4e6, Step: 1e3, Percent: 0.5, Digits: 1, Unit: "M", Per: 1e6},
			{Full: 4e7, Step: 1e4, Percent: 1, Digits: 2, Unit: "M", Per: 1e6}},
		Millivolts: []Scale{{Full: 0.04, Step: 1e-5, Percent: 0.1, Digits: 3, Unit: "mV", Per: 1e-3},
			{Full: 0.4, Step: 1e-4, Percent: 0.1, Digits: 1, Unit: "mV", Per: 1e-3}},
		ACMillivolts: []Scale{{Full: 0.4, Step: 1e-4, Percent: 0.7, Digits: 3, Unit: "mV", Per: 1e-3}},
		Volts:        volts(0.1, 1),
		ACVolts:      volts(0.7, 3),
		Amps:         []Scale{{Full: 10, Step: 1e-3, Percent: 0.4, Digits: 3, Unit: "A", Per: 1}},
	}
}

// volts are the usual four ranges of a volt setting.
func volts(percent, digits float64) []Scale {
	var out []Scale
	for _, full := range []float64{2, 20, 200, 2000} {
		out = append(out, Scale{Full: full, Step: full / 2000, Percent: percent, Digits: digits, Unit: "V", Per: 1})
	}
	return out
}

// Draw makes one instrument of the model: leads uniform between their bounds,
// a scale error of its own in each function, uniform within the stated
// percentage. A Meter that was not drawn has middling leads and no scale error.
func (m Meter) Draw(rng *rand.Rand) Meter {
	m.lead = m.LeadMin + rng.Float64()*(m.LeadMax-m.LeadMin)
	m.gains = map[Function]float64{}
	for _, f := range []Function{Ohms, Volts, Millivolts, Amps} {
		m.gains[f] = 2*rng.Float64() - 1
	}
	return m
}

// LeadOhms is the resistance of the two leads.
func (m *Meter) LeadOhms() float64 {
	if m.lead == 0 {
		return (m.LeadMin + m.LeadMax) / 2
	}
	return m.lead
}

func (m *Meter) scales(f Function, ac bool) []Scale {
	switch {
	case f == Ohms:
		return m.Ohms
	case f == Amps:
		return m.Amps
	case f == Volts && ac:
		return m.ACVolts
	case f == Volts:
		return m.Volts
	case f == Millivolts && ac:
		return m.ACMillivolts
	case f == Millivolts:
		return m.Millivolts
	}
	return nil
}

// Has says whether the meter has this function (for AC or DC).
func (m *Meter) Has(f Function, ac bool) bool {
	return f == Lamp || f == Beeper && m.BeepBelow > 0 || len(m.scales(f, ac)) > 0
}

// Show gives the display for an exact value in ohm, volt or ampere: "212.4 mV",
// "0.4", "1.234 k", "OL", "beep" or "silent". On AC it shows magnitudes. Ohms
// and the beeper see the leads and the tips too. A function that the meter
// does not have shows "".
func (m *Meter) Show(f Function, exact float64, ac bool, rng *rand.Rand) string {
	if f == Lamp {
		return light(exact)
	}
	tips, last := rng.Float64()*m.Contact, 2*rng.Float64()-1
	if f == Ohms || f == Beeper {
		exact += m.LeadOhms() + tips
	}
	if f == Beeper {
		if exact < m.BeepBelow {
			return "beep"
		}
		return "silent"
	}
	if ac {
		exact = math.Abs(exact)
	}
	for _, s := range m.scales(f, ac) {
		shown := exact*(1+m.gains[f]*s.Percent/100) + last*s.Digits*s.Step
		if (ac || f == Ohms) && shown < 0 {
			shown = 0
		}
		if text, ok := s.text(shown); ok {
			return text
		}
	}
	if m.Has(f, ac) {
		return Over
	}
	return ""
}

// lampPower is that of its volts with which a lamp's current goes (see light).
const lampPower = 0.55

// LampPart is the part of its full current that a lamp takes with a part of its volts.
func LampPart(volts float64) float64 { return math.Pow(math.Abs(volts), lampPower) }

// light is what a lamp does that takes a part of its full current: its light
// goes with the 3.4th power of its volts and its current with the 0.55th (the
// usual rules of thumb), so with about the sixth of its current. Who has seen it
// in full calls a third of that no longer bright; under a thousandth nothing is
// seen in a lit room (both assumed).
func light(part float64) string {
	switch x := math.Pow(part, 3.4/lampPower); {
	case x > 1.0/3:
		return "bright"
	case x > 1e-3:
		return "glowing"
	}
	return "dark"
}

// text rounds to the last digit; false when that is over the limit.
func (s *Scale) text(shown float64) (string, bool) {
	steps := math.Round(shown / s.Step)
	if !(math.Abs(steps)*s.Step < s.Full-s.Step/2) {
		return "", false
	}
	decimals := max(0, int(math.Round(math.Log10(s.Per/s.Step))))
	if steps == 0 {
		steps = 0 // no minus
	}
	text := strconv.FormatFloat(steps*s.Step/s.Per, 'f', decimals, 64)
	if s.Unit != "" {
		text += " " + s.Unit
	}
	return text, true
}
