package layoutfile

import (
	"fmt"
	"strconv"
	"strings"

	"fishplate/diagnose/wire"
	"fishplate/layoutfile/sheet"
)

// The wires that a layout can have.
const (
	minAWG, maxAWG = 0, 40
	minMM2, maxMM2 = 0.01, 100.0
)

// wireOhms reads a wire as written ("16 AWG", "0.75 mm2") into ohm per meter.
func wireOhms(s string) (float64, error) {
	n, unit := sheet.SplitNumber(strings.TrimSpace(s))
	unit = strings.ToLower(strings.TrimSpace(unit))
	if strings.HasPrefix(unit, "awg") && n == "" {
		return 0, fmt.Errorf("write the number first: %q", strings.TrimSpace(s[3:])+" AWG")
	}
	switch unit {
	case "awg":
		g, err := strconv.Atoi(n)
		if err != nil || g < minAWG || g > maxAWG {
			return 0, fmt.Errorf("a gauge is a whole number from %d to %d: \"16 AWG\"", minAWG, maxAWG)
		}
		return wire.OhmsPerMeter(wire.AreaMM2(g)), nil
	case "mm2", "mm²", "mm^2", "sqmm":
		a, err := sheet.Decimal(n)
		if err != nil {
			return 0, err
		}
		if a < minMM2 || a > maxMM2 {
			return 0, fmt.Errorf("a cross-section is from %g to %g mm2: \"0.75 mm2\"", minMM2, maxMM2)
		}
		return wire.OhmsPerMeter(a), nil
	}
	return 0, fmt.Errorf("write a gauge or a cross-section: \"16 AWG\" or \"0.75 mm2\"")
}

// CheckWire says why a wire's size is not known; nil when it is.
func CheckWire(written string) error {
	_, err := wireOhms(written)
	return err
}
