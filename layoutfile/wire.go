package layoutfile

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fishplate/layoutfile/sheet"
)

// CopperOhmMM2PerMeter is the resistivity of standard annealed copper at
// 20 degrees C, ohm mm2/m (IEC 60028:1925; NBS Handbook 100, 1966).
const CopperOhmMM2PerMeter = 0.017241

// AWGDiameterMM is the diameter of solid wire of an American wire gauge:
// 0.127 mm * 92^((36-n)/39), the rule of ASTM B258.
func AWGDiameterMM(gauge int) float64 {
	return 0.127 * math.Pow(92, float64(36-gauge)/39)
}

// AWGOhmsPerMeter is one solid annealed copper wire of that gauge at 20
// degrees C, from AWGDiameterMM and CopperOhmMM2PerMeter.
func AWGOhmsPerMeter(gauge int) float64 {
	d := AWGDiameterMM(gauge)
	return CopperOhmMM2PerMeter / (math.Pi / 4 * d * d)
}

// AreaOhmsPerMeter is one annealed copper wire of a cross-section in mm2.
func AreaOhmsPerMeter(mm2 float64) float64 { return CopperOhmMM2PerMeter / mm2 }

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
		return AWGOhmsPerMeter(g), nil
	case "mm2", "mm²", "mm^2", "sqmm":
		a, err := sheet.Decimal(n)
		if err != nil {
			return 0, err
		}
		if a < minMM2 || a > maxMM2 {
			return 0, fmt.Errorf("a cross-section is from %g to %g mm2: \"0.75 mm2\"", minMM2, maxMM2)
		}
		return AreaOhmsPerMeter(a), nil
	}
	return 0, fmt.Errorf("write a gauge or a cross-section: \"16 AWG\" or \"0.75 mm2\"")
}

// CheckWire says why a wire's size is not known; nil when it is.
func CheckWire(wire string) error {
	_, err := wireOhms(wire)
	return err
}
