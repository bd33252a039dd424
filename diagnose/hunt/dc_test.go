package hunt_test

import (
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// A meter without an AC millivolt range hunts an AC layout's short with a DC
// supply behind the lamp; without one it is left with beeps.
func TestDCStandsIn(t *testing.T) {
	l := load(t, "loop")
	n, err := conductor.Build(l)
	require.NoError(t, err)
	kit := allMeters
	kit.Meter = "dc-millivolts"
	h := hunt.New(l, kit)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	require.NotEqual(t, "millivolts", h.View().Step.Ask.Meter)
	kit.DCVolts = 12
	list := shorting(t, n, pick(l, t, track.Bridged, true))
	right := 0
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 12))
		f := simulate.DrawFault(list, rng)
		b := simulate.NewBench(n, simulate.DrawOhms(n, rng, 1, 1), []simulate.Fault{f})
		m := simulate.CheapMeter().Draw(rng)
		h := hunt.New(l, kit)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
		for v := h.View(); v.Step.Ask != nil; v = h.View() {
			require.Contains(t, []string{"lamp", "millivolts", "beeper", "volts"}, v.Step.Ask.Meter)
			if v.Step.Ask.Meter == "millivolts" {
				require.Contains(t, v.Step.Ask.Dial, "DC")
				require.Equal(t, 12.0, v.Step.Ask.Setup.Source.Volts)
			}
			require.NoError(t, h.Apply(hunt.Event{Reading: answer(t, n, b, &m, v.Step.Ask, false, rng)}))
		}
		for i, c := range h.View().Step.Inspect.Pieces {
			if i < 3 && c.Piece == f.Suspect.Piece {
				right++
			}
		}
	}
	require.GreaterOrEqual(t, right, 5)
}
