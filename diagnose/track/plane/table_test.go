package plane

import (
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/diagnose/track"
)

func at(x, y float64) track.Pose { return track.Pose{X: x, Y: y} }

// By hand, on a table of 4 by 2.4 m whose corner is not where all is measured from.
func TestWalkRoundATable(t *testing.T) {
	table := Table{-500, 700, 3500, 3100}
	at := func(x, y float64) track.Pose { return at(x-500, y+700) }
	require.Zero(t, table.Walk(at(1000, 100), at(1500, 300)), "both within an arm's length")
	require.InDelta(t, 2, table.Walk(at(1000, 100), at(3000, 100)), 1e-9, "along one side")
	require.InDelta(t, 4.4, table.Walk(at(1000, 0), at(1000, 2400)), 1e-9, "round the near end: 1 + 2.4 + 1")
	require.InDelta(t, 2.4, table.Walk(at(300, 0), at(300, 2400)), 1e-9, "along the end, which is within reach")
	require.InDelta(t, 1, table.Walk(at(1000, 1200), at(2000, 1200)), 1e-9, "along the middle, from one side")
	require.InDelta(t, 2.2, table.Walk(at(1000, 0), at(0, 1200)), 1e-9, "round the corner that is counted from")
	require.InDelta(t, 2.5, Apart(at(0, 0), at(1500, 2000)), 1e-9)
}

// Walking is no shorter back, and never longer than half way round.
func TestWalkIsFair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := rapid.Float64Range(0, 6000)
		w, h := d.Draw(t, "w"), d.Draw(t, "h")
		table := Table{0, 0, w, h}
		place := func() track.Pose {
			return at(w*rapid.Float64Range(0, 1).Draw(t, "x"), h*rapid.Float64Range(0, 1).Draw(t, "y"))
		}
		a, b := place(), place()
		require.InDelta(t, table.Walk(a, b), table.Walk(b, a), 1e-9)
		require.GreaterOrEqual(t, table.Walk(a, b), 0.0)
		require.LessOrEqual(t, table.Walk(a, b), (w+h)/1000+1e-9)
	})
}
