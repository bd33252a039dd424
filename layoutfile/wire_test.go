package layoutfile

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
	10: "3.277", 11: "4.132", 12: "5.211", 13: "6.571", 14: "8.285", 15: "10.45", 16: "13.17", 17: "16.61", 18: "20.95", 19: "26.42",
	20: "33.31", 21: "42.00", 22: "52.96", 23: "66.78", 24: "84.21", 25: "106.2", 26: "133.9", 27: "168.9", 28: "212.9", 29: "268.5", 30: "338.6",
}

// Its diameters in mm.
var publishedDiameter = map[int]string{10: "2.588", 12: "2.053", 14: "1.628", 16: "1.291", 18: "1.024", 20: "0.812", 22: "0.644", 24: "0.511", 26: "0.405", 28: "0.321", 30: "0.255"}

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
		require.InDelta(t, v, AWGOhmsPerMeter(gauge)*1000, half+v*0.5e-6/0.017241, "AWG %d", gauge)
	}
	for gauge, want := range publishedDiameter {
		require.Equal(t, want, strconv.FormatFloat(AWGDiameterMM(gauge), 'f', 3, 64), "AWG %d", gauge)
	}
}

// IEC 60228:2004 gives the largest resistance that solid wire (classes 1 and
// 2) of a nominal size may have, ohm per km. Its sizes are names: the metal
// may be less than the name says, so the figure from the area lies below the
// limit and within 10 % of it.
func TestAreaAgainstLimits(t *testing.T) {
	for mm2, limit := range map[float64]float64{0.5: 36.0, 0.75: 24.5, 1.0: 18.1, 1.5: 12.1, 2.5: 7.41, 4: 4.61, 6: 3.08} {
		got := AreaOhmsPerMeter(mm2) * 1000
		require.Less(t, got, limit, "%g mm2", mm2)
		require.Greater(t, got, limit*0.90, "%g mm2", mm2)
	}
}

func TestWireAsWritten(t *testing.T) {
	for _, s := range []string{"16 AWG", "16AWG", " 16 awg "} {
		v, err := wireOhms(s)
		require.NoError(t, err, s)
		require.InDelta(t, 0.01317, v, 0.000005, s)
	}
	for _, s := range []string{"0.75 mm2", "0.75mm²", "0.75 mm^2"} {
		v, err := wireOhms(s)
		require.NoError(t, err, s)
		require.InDelta(t, 0.017241/0.75, v, 1e-9, s)
	}
	for _, s := range []string{"", "AWG 16", "16", "16.5 AWG", "0,75 mm2", "0 mm2", "-1 AWG", "1e9 mm2"} {
		_, err := wireOhms(s)
		require.Error(t, err, s)
	}
}

// 6 ft of 16 AWG: 4.015 ohm per 1000 ft by the same table, so 24.09 mohm.
func TestFeederOhms(t *testing.T) {
	f := mustRead(t, "x.hcl", small)
	require.InDelta(t, 0.02409, f.Layout.Feeders[0].OhmsPerWire, 0.000005)
	require.InDelta(t, 1828.8, f.Layout.Feeders[0].LengthMM, 1e-9)
}

const small = `name = "Small" # say hello
units = "in"
construction = "metal-tie"
# the only run
run "main" {
  closes = true # round and round
  pieces = [
    "straight 10", # first
    # above the second
    "turnout left diameter 31 angle 45 through 10 as W1",
    "2 x straight 10",
    "4 x curve left diameter 31 angle 45", # the door side
    "4 x straight 10",
    "4 x curve left diameter 31 angle 45",
    # nothing more
  ] # done
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
} # posts A and U
feeder "F1" {
  at     = "main 1/2" # left of the lamp
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}
# the end
`
