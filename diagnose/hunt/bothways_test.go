package hunt_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// On a loop one bad contact slows nothing: current comes by the other way. A place is
// weak where both of its ways are bad, and mostly one of the two is the first look (Kirchhoff's
// second law: as much is lost along one way as along the other).
func TestBothWaysToAWeakPlaceAreBad(t *testing.T) {
	l := load(t, "loop")
	n, err := conductor.Build(l)
	require.NoError(t, err)
	weak := func(joint string) fault.Suspect {
		list := fault.List(n)
		i := slices.IndexFunc(list, func(s fault.Suspect) bool {
			return s.Mode == track.Weak && s.Part == track.PartJoint && s.Place == joint && s.Rail == "center"
		})
		require.GreaterOrEqual(t, i, 0, joint)
		return list[i]
	}
	found := 0
	pairs := [][2]string{{"main 8/9", "main 30/31"}, {"main 19/20", "main 20/21"}, {"main 14/15", "main 22/23"},
		{"main 3/4", "main 24/25"}, {"main 18/19", "main 37/38"}, {"main 12/13", "main 39/40"}}
	for k, at := range pairs {
		rng := rand.New(rand.NewPCG(uint64(k), 21))
		var fs []simulate.Fault
		for _, joint := range at {
			fs = append(fs, simulate.Fault{Suspect: weak(joint), Ohms: 0.5 + 1.5*rng.Float64()})
		}
		b := simulate.NewBench(n, simulate.DrawOhms(n, rng, 1, 1), fs)
		m := simulate.CheapMeter().Draw(rng)
		h := hunt.New(l, allMeters)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 20"}}))
		v := h.View()
		for ; v.Step.Ask != nil; v = h.View() {
			require.NoError(t, h.Apply(hunt.Event{Reading: answer(t, n, b, &m, v.Step.Ask, true, rng)}))
		}
		if v.Step.Inspect == nil {
			t.Logf("%v: %s", at, v.Step.Done.Verdict)
			continue
		}
		first := v.Step.Inspect.Pieces[0]
		t.Logf("%v: %s %s %.2f after %d readings", at, first.Piece, first.Joint, first.P, v.Readings)
		if first.Joint == at[0] || first.Joint == at[1] {
			found++
		}
	}
	require.GreaterOrEqual(t, found, 4, "of %d", len(pairs))
}
