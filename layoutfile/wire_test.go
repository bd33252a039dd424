package layoutfile

import (
	"testing"

	"github.com/stretchr/testify/require"
)

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
