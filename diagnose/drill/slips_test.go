package drill_test

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// lies counts the readings of one pair that an honest drill with the same fault and meter does
// not show, as a share.
func lies(t *testing.T, line string) float64 {
	t.Helper()
	src, err := os.ReadFile("lesson/files/club.layout.hcl")
	require.NoError(t, err)
	f, probs := layoutfile.Read("club", src)
	require.NotNil(t, f, "%v", probs)
	kit := hunt.Kit{Beeper: true, Volts: true, Millivolts: true, Lamp: true}
	n, lied := 0.0, 0.0
	for seed := range uint64(10) {
		table := func(slips float64) *drill.Drill {
			d, err := drill.New(f.Layout, drill.Options{Fault: drill.KindShort, Kit: kit, Slips: slips,
				Hide: []drill.Hide{{Mode: "bridged", Part: "piece", Run: "main"}}}, rand.New(rand.NewPCG(seed, 0)))
			require.NoError(t, err)
			do(t, d, "train off", "supply lamp")
			return d
		}
		honest, lying := table(0), table(0.12)
		for range 60 {
			was, is := do(t, honest, line).Shows, do(t, lying, line).Shows
			n++
			if far(t, was, is) {
				lied++
			}
		}
	}
	return lied / n
}

// far says that two readings differ by more than a meter's scatter.
func far(t *testing.T, a, b string) bool {
	t.Helper()
	x, err := unit.Parse(a, unit.Millivolts)
	require.NoError(t, err)
	y, err := unit.Parse(b, unit.Millivolts)
	require.NoError(t, err)
	return math.Abs(x.Value-y.Value) > math.Max(0.06*math.Abs(x.Value), 0.0004)
}

// Of readings one in eight lies where a lesson says so, wherever the pair begins and whatever it
// lies across, as long as there is something to read.
func TestOneInEightLies(t *testing.T) {
	for _, line := range []string{"mv F1 hot to main 9 center", "mv F1 hot to F1 common", "mv F1 to main 5",
		"mv main 9 to main 14", "mv main 6 center to main 6 left", "v main 9 center to main 9 left"} {
		share := lies(t, line)
		t.Log(line, share)
		assert.InDelta(t, 0.12, share, 0.05, line)
	}
}
