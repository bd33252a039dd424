package wire

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

// A published table of solid copper wire at 20 degrees C (ohm per km, to the
// last digit that it shows), after NBS Handbook 100 (1966) and ASTM B258.
var publishedWire = map[int]string{
	10: "3.277", 11: "4.132", 12: "5.211", 13: "6.571", 14: "8.285", 15: "10.45", 16: "13.17", 17: "16.61", 18: "20.95",
	19: "26.42",
	20: "33.31", 21: "42.00", 22: "52.96", 23: "66.78", 24: "84.21", 25: "106.2", 26: "133.9", 27: "168.9", 28: "212.9",
	29: "268.5", 30: "338.6",
}

// Its diameters in mm.
var publishedDiameter = map[int]string{10: "2.588", 12: "2.053", 14: "1.628", 16: "1.291", 18: "1.024", 20: "0.812",
	22: "0.644", 24: "0.511", 26: "0.405", 28: "0.321", 30: "0.255"}

func digitsBehindPoint(s string) int {
	_, behind, _ := strings.Cut(s, ".")
	return len(behind)
}

func TestWireTableToTheLastDigit(t *testing.T) {
	// The resistivity is published with five digits, so it is itself uncertain
	// by 0.5e-6 in 0.017241: no single value of it gives every digit of the
	// table. Allowed is half of the last digit and that.
	for gauge, want := range publishedWire {
		v, err := strconv.ParseFloat(want, 64)
		require.NoError(t, err)
		half := 0.5 * math.Pow10(-digitsBehindPoint(want))
		require.InDelta(t, v, OhmsPerMeter(AreaMM2(gauge))*1000, half+v*0.5e-6/0.017241, "AWG %d", gauge)
	}
	for gauge, want := range publishedDiameter {
		require.Equal(t, want, strconv.FormatFloat(DiameterMM(gauge), 'f', 3, 64), "AWG %d", gauge)
	}
}

// IEC 60228:2004 gives the largest resistance that solid wire (classes 1 and
// 2) of a nominal size may have, ohm per km. Its sizes are names: the metal
// may be less than the name says, so the figure from the area lies below the
// limit and within 10 % of it.
func TestAreaAgainstLimits(t *testing.T) {
	for mm2, limit := range map[float64]float64{0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41,
		4: 4.61, 6: 3.08} {
		got := OhmsPerMeter(mm2) * 1000
		require.Less(t, got, limit, "%g mm2", mm2)
		require.Greater(t, got, limit*0.90, "%g mm2", mm2)
	}
}

// The known pair gives itself. Scaled by equal heat, the smaller sizes come
// out close to what the overcurrent rule for small conductors of the US code
// allows (NEC 240.4(D), from memory: 18 AWG 7 A, 16 AWG 10 A, 12 AWG 20 A,
// 10 AWG 30 A): within a tenth.
func TestAmps(t *testing.T) {
	require.InDelta(t, 15, Amps(AreaMM2(14)), 1e-9)
	require.InDelta(t, 2.081, AreaMM2(14), 0.001) // table of AWG sizes
	for gauge, code := range map[int]float64{18: 7, 16: 10, 12: 20, 10: 30} {
		require.InEpsilon(t, code, Amps(AreaMM2(gauge)), 0.1, "%d AWG", gauge)
	}
	// The heat of a meter over its surface is the same for all sizes.
	heat := func(gauge int) float64 {
		i := Amps(AreaMM2(gauge))
		return i * i * Copper / AreaMM2(gauge) / (math.Pi * DiameterMM(gauge))
	}
	for gauge := 10; gauge <= 30; gauge++ {
		require.InEpsilon(t, heat(14), heat(gauge), 1e-12)
	}
}

func TestGaugeFor(t *testing.T) {
	for amps, gauge := range map[float64]int{1: 24, 3: 22, 5: 20, 7: 18, 10: 16, 15: 14, 20: 12, 1000: 4} {
		require.Equal(t, gauge, GaugeFor(amps), "%g A", amps)
	}
}
