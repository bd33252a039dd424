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

// A hunt on track twice as bad as the file says learns so, within what it
// states, and the next hunt begins with it.
func TestTrackIsLearned(t *testing.T) {
	if testing.Short() {
		t.Skip("a few hunts")
	}
	l := load(t, "loop")
	n, err := conductor.Build(l)
	require.NoError(t, err)
	list := shorting(t, n, pick(l, t, track.Bridged, true))
	within, told := 0, 0
	var last *hunt.Track
	for seed := range uint64(8) {
		rng := rand.New(rand.NewPCG(seed, 8))
		b := simulate.NewBench(n, simulate.DrawOhms(n, rng, 2, 2), []simulate.Fault{simulate.DrawFault(list, rng)})
		m := simulate.GoodMeter().Draw(rng)
		h := hunt.New(l, allMeters)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
		for v := h.View(); v.Step.Ask != nil; v = h.View() {
			require.NoError(t, h.Apply(hunt.Event{Reading: answer(t, n, b, &m, v.Step.Ask, true, rng)}))
		}
		k := h.View().Learned
		if k == nil {
			continue
		}
		told, last = told+1, k
		t.Logf("rails %.2f +- %.2f, joints %.2f +- %.2f (true 0.69)", k.Rail, k.RailSD, k.Joint, k.JointSD)
		if math.Abs(k.Rail-math.Log(2)) < 2*k.RailSD {
			within++
		}
	}
	require.GreaterOrEqual(t, told, 5)
	require.GreaterOrEqual(t, within, told-2)
	kit := allMeters
	kit.Track = last
	h := hunt.New(l, kit)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	saved, err := h.Save()
	require.NoError(t, err)
	again, err := hunt.Resume(l, kit, saved)
	require.NoError(t, err)
	require.Equal(t, h.View().Step.Ask, again.View().Step.Ask)
}

// Before the first reading in ohms the leads are touched together, and what
// they show is taken off the ones that follow.
func TestLeadsAreTouchedFirst(t *testing.T) {
	l := load(t, "dead-end")
	h := hunt.New(l, hunt.Kit{Ohms: true})
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	a := h.View().Step.Ask
	require.NotNil(t, a)
	require.Equal(t, a.Red, a.Black)
	require.NoError(t, h.Apply(hunt.Event{Reading: "0.4"}))
	a = h.View().Step.Ask
	require.NotNil(t, a)
	require.NotEqual(t, a.Red, a.Black)
}
