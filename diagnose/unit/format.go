package unit

import (
	"math"
	"strconv"
	"strings"
)

// scale is a unit with its prefix.
type scale struct {
	factor float64
	symbol string
}

// scaleFor picks the prefix that people use for a value of this size: volts
// and amperes turn to thousandths below 1, ohms only below 0.1, since meters
// show 0.35 ohm and not 350 mohm.
func scaleFor(v float64, u Unit) scale {
	a := math.Abs(v)
	switch u {
	case Ohm:
		switch {
		case a >= 999.5e3:
			return scale{1e6, "Mohm"}
		case a >= 999.5:
			return scale{1e3, "kohm"}
		case a >= 0.09995 || a == 0:
			return scale{1, "ohm"}
		}
		return scale{1e-3, "mohm"}
	case Volt:
		if a >= 0.9995 || a == 0 {
			return scale{1, "V"}
		}
		return scale{1e-3, "mV"}
	case Ampere:
		if a >= 0.9995 || a == 0 {
			return scale{1, "A"}
		}
		return scale{1e-3, "mA"}
	}
	return scale{1, ""}
}

// Format prints a value (SI units) with up to three digits that count:
// "212 mV", "0.35 ohm", "1.2 kohm".
func Format(v float64, u Unit) string { return FormatDigits(v, u, 3) }

// FormatDigits is Format with another number of digits that count (at least
// 1); zeros at the end after the point are left out.
func FormatDigits(v float64, u Unit, digits int) string {
	if math.IsNaN(v) {
		return "unknown"
	}
	if math.IsInf(v, 0) {
		return "OL"
	}
	v = roundDigits(v, max(digits, 1))
	sc := scaleFor(v, u)
	x := v / sc.factor
	dec := 0
	if x != 0 {
		dec = max(0, digits-1-int(math.Floor(math.Log10(math.Abs(x))+1e-12)))
	}
	// Below a thousandth of the smallest prefix nothing can be seen.
	s := trimZeros(strconv.FormatFloat(x, 'f', min(dec, 6), 64))
	return strings.TrimSpace(s + " " + sc.symbol)
}

// FormatMinutes prints a time in minutes: "1.5 min", "12 min", "2 h 5 min".
// Below 10 minutes it shows a tenth, above whole minutes.
func FormatMinutes(m float64) string {
	if math.IsNaN(m) || math.IsInf(m, 0) {
		return "unknown time"
	}
	a := math.Abs(m)
	switch {
	case a < 9.95:
		return trimZeros(strconv.FormatFloat(m, 'f', 1, 64)) + " min"
	case a < 119.5 || a > 1e9:
		return strconv.FormatFloat(m, 'f', 0, 64) + " min"
	}
	t := int64(math.Round(a))
	s := strconv.FormatInt(t/60, 10) + " h"
	if t%60 != 0 {
		s += " " + strconv.FormatInt(t%60, 10) + " min"
	}
	if m < 0 {
		s = "-" + s
	}
	return s
}

// roundDigits rounds to a number of digits that count.
func roundDigits(v float64, digits int) float64 {
	s := strconv.FormatFloat(v, 'e', digits-1, 64)
	r, err := strconv.ParseFloat(s, 64)
	if err != nil { // only past the largest number there is
		return v
	}
	return r
}

func trimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

func noMinusZero(v float64) float64 {
	if v == 0 {
		return 0
	}
	return v
}
