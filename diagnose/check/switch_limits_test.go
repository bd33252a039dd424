package check_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/check"
)

// A lamp of 14 V on 18 V keeps 1/20 of its life (volts to the power -12) and is
// told; on 16 V it keeps a fifth and is not. A motor of 14 V stands 18 V.
func TestLampVolts(t *testing.T) {
	for _, c := range []struct {
		kind  string
		volts float64
		told  bool
	}{{"lamp", 14, true}, {"lamp", 16, false}, {"lamp", 18, false}, {"motor", 14, false}, {"motor", 13, true}} {
		text := head("metal-tie") + oval + ac + feeder("F1", "main 2", "T1") + fmt.Sprintf(`accessory "lamp post" {
  kind   = %q
  volts  = %g
  amps   = 0.3
  supply = "T1"
}
`, c.kind, c.volts)
		f := find(t, run(t, read(t, text), check.Options{}), "accessory-volts")
		require.Equal(t, c.told, f != nil, "%+v", c)
	}
}

// A block no longer than the engine's pickups reach is no block; the train with
// the longest reach counts.
func TestBlockShorterThanPickups(t *testing.T) {
	text := func(pickups string) string {
		return head("metal-tie") + oval + ac + "toggle \"S1\" { supply = \"T1\" }\n" +
			feeder("F1", "main 2", "T1") + `feeder "F2" {
  at     = "main 5"
  toggle = "S1"
  wire   = "16 AWG"
  length = "6 ft"
}
block "stop" {
  from   = "main 5"
  to     = "main 5"
  toggle = "S1"
}
train "short" {
  axles   = "4 in"
  pickups = "3 in"
  amps    = 2
}
train "long" {
  axles   = "4 in"
  pickups = "` + pickups + `"
  amps    = 2
}
` + gap("main 4/5", "center") + gap("main 5/6", "center")
	}
	f := find(t, run(t, read(t, text("12 in")), check.Options{}), "block-short")
	require.NotNil(t, f)
	require.Equal(t, []string{"main 5"}, f.Pieces)
	require.Contains(t, f.What, "10 in long, and the pickups of the long reach over")
	require.Nil(t, find(t, run(t, read(t, text("9 in")), check.Options{}), "block-short"))
}

// A wire too thin for its breaker can start a fire: such a layout does not pass.
func TestThinWireIsNotSafe(t *testing.T) {
	text := head("metal-tie") + oval + ac + `feeder "F1" {
  at     = "main 2"
  supply = "T1"
  wire   = "22 AWG"
  length = "6 ft"
}
`
	r := run(t, read(t, text), check.Options{})
	require.Equal(t, check.NotSafe, find(t, r, "wire-thin").Severity)
	require.False(t, r.Works())
	require.Equal(t, check.NotSafe, r.Findings[0].Severity, "the worst first")
	require.True(t, r.Volts[0].ShortTrips)
	require.Equal(t, 10., r.Volts[0].Breaker)
}
