// Package wire is copper: what a gauge or a cross-section is, its resistance,
// and the current that it carries. Diameters are mm, cross-sections mm2.
package wire

import "math"

// Copper is the resistivity of standard annealed copper at 20 degrees C, ohm
// mm2/m (IEC 60028:1925; NBS Handbook 100, 1966).
const Copper = 0.017241

// DiameterMM is the diameter of solid wire of an American wire gauge: 0.127 mm *
// 92^((36-n)/39), the rule of ASTM B258.
func DiameterMM(gauge int) float64 { return 0.127 * math.Pow(92, float64(36-gauge)/39) }

// AreaMM2 is the cross-section of solid wire of an American wire gauge.
func AreaMM2(gauge int) float64 {
	d := DiameterMM(gauge)
	return math.Pi / 4 * d * d
}

// OhmsPerMeter is one annealed copper wire of a cross-section at 20 degrees C.
func OhmsPerMeter(mm2 float64) float64 { return Copper / mm2 }

// One pair of wire and current is published for the hobby: 14 AWG with 15 A
// (NMRA MRP-1, section 3, the mains extension of a module). Other sizes follow
// from it by a balance of heat: a meter of wire makes I^2 * rho / (pi d^2 / 4)
// and gives off heat in proportion to its surface pi d, so at equal warmth I
// goes with d^1.5. That is arithmetic and no code table: local codes rule.
const (
	knownAmps  = 15.0
	knownGauge = 14
	// Basis says where Amps comes from.
	Basis = "NMRA MRP-1 sect. 3 (14 AWG with 15 A, said there of a mains extension cord), other sizes by equal heat " +
		"(current goes with diameter^1.5); NEM 609 (2010) 8.1: a section that does not suit is a fire risk; local " +
		"codes rule"
)

// Amps is the current at which a copper wire of a cross-section (mm2) gets as
// warm as the known pair.
func Amps(mm2 float64) float64 {
	d := math.Sqrt(4 * mm2 / math.Pi)
	return knownAmps * math.Pow(d/DiameterMM(knownGauge), 1.5)
}

// GaugeFor is the thinnest even gauge that carries a current, from 24 AWG down
// to 4 AWG.
func GaugeFor(amps float64) int {
	for g := 24; g > 4; g -= 2 {
		if Amps(AreaMM2(g)) >= amps {
			return g
		}
	}
	return 4
}

// Soldering is said wherever a repair or a wire may want an iron, by its first
// sentence alone where all was said before (common practice, no source).
const Soldering = "Solder only with everything unplugged. " +
	"The iron on its stand, eyes covered, fresh air for its fumes, hands washed after it. " +
	"Plastic ties melt: clamp something cold on the rail on both sides, and be quick."
