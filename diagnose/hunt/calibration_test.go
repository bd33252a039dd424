package hunt_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// What is stated for the first piece must not be more than what comes true, by
// more than the sampling error of so few hunts (two standard deviations); and the piece
// is among the first three as often as TestShortHunts wants it.
func TestStatedProbabilityHolds(t *testing.T) {
	if testing.Short() {
		t.Skip("drawn hunts")
	}
	hunted := 12 // on each
	if measured {
		hunted = 40
	}
	right, stated, hunts := 0, 0.0, 0
	for _, name := range few([]string{"dead-end"}, []string{"loop", "roadbed-oval", "dead-end"}) {
		l := load(t, name)
		n, err := conductor.Build(l)
		require.NoError(t, err)
		rng := rand.New(rand.NewPCG(77, 8))
		list := shorting(t, n, pick(l, t, track.Bridged, true))
		in3 := 0
		for range hunted {
			f := simulate.Fault{Suspect: list[rng.IntN(len(list))], Position: rng.Float64(),
				Ohms: math.Exp(math.Log(0.005) + rng.Float64()*math.Log(200))}
			r := run(t, l, allMeters, hunt.Symptom{Kind: hunt.SymptomShort}, f, simulate.DrawOhms(n, rng, 1, 1), rng)
			if r.rank == 1 {
				right++
			}
			if r.rank >= 1 && r.rank <= 3 {
				in3++
			}
			stated += r.top
			hunts++
		}
		t.Logf("%s: %d of %d in the first three", name, in3, hunted)
		require.GreaterOrEqual(t, in3, hunted*6/8, name)
	}
	p := stated / float64(hunts)
	got := float64(right) / float64(hunts)
	t.Logf("stated %.3f, right %.3f of %d", p, got, hunts)
	require.GreaterOrEqual(t, got, p-2*math.Sqrt(p*(1-p)/float64(hunts)))
}
