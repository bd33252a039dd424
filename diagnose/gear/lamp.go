package gear

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// Lamp is what is written on a lamp, or what was measured of it; the zero value
// is a lamp that nobody knows anything of.
type Lamp struct {
	Watts, Volts float64 // rated, both or none
	InSeries     int     // equal lamps in a row, 0 for one
	Amps         float64 // in place of watts: with all of the supply's volts across
	Spread       float64 // of Amps where it was measured (LampSpread of a kit)
}

// Of is what a kit says of its lamp.
func Of(k *hunt.Kit) Lamp {
	return Lamp{k.LampWatts, k.LampVolts, k.LampsInSeries, k.LampAmps, k.LampSpread}
}

// Into puts it into a kit, which has a lamp then.
func (l Lamp) Into(k *hunt.Kit) {
	k.Lamp = true
	k.LampWatts, k.LampVolts, k.LampsInSeries, k.LampAmps, k.LampSpread = l.Watts, l.Volts, l.InSeries, l.Amps, l.Spread
}

// Known says whether anything is known of it.
func (l Lamp) Known() bool { return l.Watts > 0 || l.Amps > 0 }

// Current is its current with so many volts across all of it from what trips at so
// many ampere (+Inf: never), 0 for unknown.
func (l Lamp) Current(volts, trip float64) float64 {
	if !l.Known() {
		return 0
	}
	k := hunt.Kit{}
	l.Into(&k)
	amps, _ := k.LampCurrent(volts, trip)
	return amps
}

// On says what is put in on so many volts from what trips at so many ampere: the
// lamp, or so many of it, and their current; "" for unknown.
func (l Lamp) On(volts, trip float64) string {
	amps := Ampere(l.Current(volts, trip))
	k := hunt.Kit{}
	l.Into(&k)
	switch n := k.LampsFor(volts, trip); {
	case !l.Known():
		return ""
	case n > 1 && l.InSeries == 0:
		return fmt.Sprintf("%d x %s: %s", n, l, amps)
	case l.String() == amps:
		return amps
	}
	return fmt.Sprintf("%s: %s", l, amps)
}

// String says it as ReadLamp reads it.
func (l Lamp) String() string {
	number := func(x float64) string { return strconv.FormatFloat(x, 'g', 4, 64) }
	switch {
	case l.Watts > 0 && l.InSeries > 1:
		return fmt.Sprintf("%d x %s V %s W in series", l.InSeries, number(l.Volts), number(l.Watts))
	case l.Watts > 0:
		return fmt.Sprintf("%s V %s W", number(l.Volts), number(l.Watts))
	case l.Amps > 0 && l.Spread > 0:
		return number(l.Amps) + " A measured"
	case l.Amps > 0:
		return number(l.Amps) + " A"
	}
	return "don't know"
}

// measuredSpread is how far a current that was measured may be off: a meter's
// percent, and what the lamp drifts as it warms (assumed).
const measuredSpread = 0.01

// lampHelp is what to write.
const lampHelp = `write what is written on the lamp, for example "21W 12V" or "1.5A 6V", its current at the supply's ` +
	`volts ("1.75 A"), or unknown`

var (
	lampCount = regexp.MustCompile(`^(\d+) ?(?:x|\*|of|times) ?|^(two|three) (?:x |\* |of |times )?`)
	lampValue = regexp.MustCompile(`([0-9]*\.?[0-9]+) ?(milliamps?|amperes?|amps?|watts?|volts?|ma|w|v|a)\b`)
	lampRest  = regexp.MustCompile(`^(?: |/|;|-|\bat\b|\band\b|\bin series\b|\beach\b|\bbulbs?\b|\blamps?\b)*$`)
)

// ReadLamp reads what is written on a lamp ("21W 12V", "1.5A 6V", "2 x 21W
// 12V", "P21W"), its current at the supply's volts ("1", "1.75 A"), the current
// as measured into the short, which is known better ("0.83 measured";
// "0.42V/0.5ohm": the volts across a known resistor in series), or that nobody
// knows ("unknown", or nothing).
func ReadLamp(s string) (Lamp, error) {
	text := strings.Join(strings.Fields(strings.ReplaceAll(strings.ToLower(s), ",", ".")), " ")
	switch strings.ReplaceAll(text, "’", "'") {
	case "", "?", "unknown", "nobody knows", "don't know", "dont know", "no idea", "nothing":
		return Lamp{}, nil
	}
	if over, under, ok := strings.Cut(text, "/"); ok {
		if ohms, err := unit.Parse(strings.TrimSpace(under), unit.Ohms); err == nil {
			return acrossResistor(over, ohms)
		}
	}
	if number, ok := strings.CutSuffix(text, "measured"); ok {
		amps, err := readAmps(number)
		return Lamp{Amps: amps, Spread: measuredSpread}, err
	}
	if l, ok := rating(text); ok {
		return l.checked()
	}
	amps, err := readAmps(text)
	return Lamp{Amps: amps}, err
}

func acrossResistor(over string, ohms unit.Reading) (Lamp, error) {
	volts, err := unit.Parse(strings.TrimSpace(over), unit.Volts)
	if err != nil || volts.Kind != unit.Value || ohms.Kind != unit.Value || !(ohms.Value > 0) {
		return Lamp{}, fmt.Errorf("write the volts across a known resistor by its ohms, for example 0.42V/0.5ohm")
	}
	amps := volts.Value / ohms.Value
	return Lamp{Amps: amps, Spread: measuredSpread}, fits(amps)
}

// readAmps reads a current alone; a number without a unit is in ampere.
func readAmps(text string) (float64, error) {
	text = strings.TrimSpace(text)
	if plain, err := strconv.ParseFloat(text, 64); err == nil { // a lone 1 is OL to a meter
		return plain, fits(plain)
	}
	r, err := unit.Parse(text, unit.Amps)
	if err != nil || r.Kind != unit.Value {
		return 0, fmt.Errorf("%q is no lamp; %s", text, lampHelp)
	}
	return r.Value, fits(r.Value)
}

// rating reads watts, or ampere, at rated volts; false where it is none.
func rating(text string) (Lamp, bool) {
	l := Lamp{}
	if m := lampCount.FindStringSubmatch(text); m != nil {
		switch n := m[1] + m[2]; n {
		case "two":
			l.InSeries = 2
		case "three":
			l.InSeries = 3
		default:
			l.InSeries, _ = strconv.Atoi(n) // digits; too many are 0, and refused below
		}
		text = text[len(m[0]):]
	}
	text = strings.ReplaceAll(text, strings.ToLower(meter.BulbName),
		fmt.Sprintf("%dw %dv", meter.BulbWatts, meter.BulbVolts))
	amps := 0.0
	for _, m := range lampValue.FindAllStringSubmatch(text, -1) {
		v, err := strconv.ParseFloat(m[1], 64)
		if err != nil {
			return l, false
		}
		switch {
		case m[2][0] == 'w':
			l.Watts = v
		case m[2][0] == 'v':
			l.Volts = v
		case m[2][0] == 'm':
			amps = v / 1000
		default:
			amps = v
		}
	}
	if l.Watts == 0 {
		l.Watts = amps * l.Volts
	}
	return l, (l.Watts > 0 || l.Volts > 0) && lampRest.MatchString(lampValue.ReplaceAllString(text, ""))
}

// checked gives a rating that makes sense.
func (l Lamp) checked() (Lamp, error) {
	switch {
	case l.Watts == 0 || l.Volts == 0:
		return Lamp{}, fmt.Errorf("watts and volts go together; %s", lampHelp)
	case !(l.Volts >= 1 && l.Volts <= 260):
		return Lamp{}, fmt.Errorf("a lamp of %g V is of no use here; %s", l.Volts, lampHelp)
	case l.InSeries < 0 || l.InSeries > 6:
		return Lamp{}, fmt.Errorf("%d lamps in series are not for this; write 1 to 6 of them, for example \"2 x 21W "+
			"12V\"", l.InSeries)
	}
	return l, fits(l.Watts / l.Volts)
}

// fits says what is wrong with a lamp's current, ampere.
func fits(amps float64) error {
	if amps >= 0.05 && amps <= 20 {
		return nil
	}
	return fmt.Errorf("a lamp of %.3g A is of no use here; %s", amps, lampHelp)
}

// Check says what is wrong with a lamp that was put together from figures.
func (l Lamp) Check() error {
	if l.Watts != 0 || l.Volts != 0 {
		_, err := l.checked()
		return err
	}
	if l.Amps != 0 {
		return fits(l.Amps)
	}
	return nil
}
