package gear

import (
	"fmt"
	"strconv"
	"strings"

	"fishplate/diagnose/hunt"
)

// The bounds of what can be told.
const (
	minDC, maxDC     = 3, 30   // volt
	minLead, maxLead = 0.2, 30 // metre
)

// ReadDC reads the volts of a DC supply or battery.
func ReadDC(s string) (float64, error) {
	number := strings.TrimRight(strings.ToLower(strings.TrimSpace(strings.ReplaceAll(s, ",", "."))), "volts ")
	volts, err := strconv.ParseFloat(number, 64)
	if err != nil {
		volts = 0
	}
	return volts, CheckDC(volts, s)
}

// CheckDC says what is wrong with such volts; shown is how they were written.
func CheckDC(volts float64, shown string) error {
	if volts >= minDC && volts <= maxDC {
		return nil
	}
	return fmt.Errorf("%q is no DC supply for this; write its volts, %d to %d, for example %d", shown, minDC,
		maxDC, UsualDC)
}

// ReadLead reads the length of one lead of the meter: "1.2", "1.2 m", "120 cm",
// "4 ft", "48 in"; metre.
func ReadLead(s string) (float64, error) {
	text := strings.ToLower(strings.TrimSpace(strings.ReplaceAll(s, ",", ".")))
	number := strings.TrimRight(text, "abcdefghijklmnopqrstuvwxyz'\" ")
	metres, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return 0, CheckLead(0, s)
	}
	switch strings.TrimSpace(text[len(number):]) {
	case "", "m", "metre", "metres", "meter", "meters":
	case "cm":
		metres /= 100
	case "mm":
		metres /= 1000
	case "ft", "feet", "foot", "'":
		metres *= 0.3048
	case "in", "inch", "inches", "\"":
		metres *= 0.0254
	default:
		metres = 0
	}
	return metres, CheckLead(metres, s)
}

// CheckLead says what is wrong with such a length; shown is how it was written.
func CheckLead(metres float64, shown string) error {
	if metres >= minLead && metres <= maxLead {
		return nil
	}
	return fmt.Errorf("%q is no length of a lead; write how far one lead reaches, %g to %d m, for example %g (or 4 ft)",
		shown, minLead, maxLead, hunt.UsualLead)
}
