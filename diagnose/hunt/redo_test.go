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

// Undo and redo go as deep as the journal, survive saving, and a new answer
// ends what can be brought back.
func TestRedo(t *testing.T) {
	l := load(t, "dead-end")
	h := hunt.New(l, hunt.Kit{Beeper: true})
	require.Error(t, h.Apply(hunt.Event{Redo: 1}))
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	before := h.View()
	require.NoError(t, h.Apply(hunt.Event{Undo: 2}))
	require.Equal(t, 0, h.View().Readings)
	require.True(t, h.View().CanRedo)
	require.NoError(t, h.Apply(hunt.Event{Redo: 1}))
	require.Equal(t, 1, h.View().Readings)
	saved, err := h.Save()
	require.NoError(t, err)
	h, err = hunt.Resume(l, hunt.Kit{Beeper: true}, saved)
	require.NoError(t, err)
	require.NoError(t, h.Apply(hunt.Event{Redo: 5}))
	require.Equal(t, before.Pieces, h.View().Pieces)
	require.False(t, h.View().CanRedo)
	require.NoError(t, h.Apply(hunt.Event{Undo: 1}))
	require.NoError(t, h.Apply(hunt.Event{Reading: "silent"}))
	require.Error(t, h.Apply(hunt.Event{Redo: 1}), "a new answer ends what can be brought back")
}

// Leaving a reading out believes what a hunt without it would.
func TestWithout(t *testing.T) {
	l := load(t, "dead-end")
	h := hunt.New(l, hunt.Kit{Beeper: true})
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	one := h.View()
	require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	v, err := h.Without(2)
	require.NoError(t, err)
	require.InDeltaSlice(t, one.Pieces, v.Pieces, 1e-9)
	_, err = h.Without(3)
	require.Error(t, err)
}

// A fault that comes and goes: one reading meets the sound layout, and the
// hunt still names the piece among the first three.
func TestSometimes(t *testing.T) {
	l := load(t, few([]string{"dead-end"}, []string{"loop"})[0])
	n, err := conductor.Build(l)
	require.NoError(t, err)
	right, hunts := 0, first(2, 6)
	for seed := range uint64(hunts) {
		rng := rand.New(rand.NewPCG(seed, 3))
		f := simulate.DrawFault(shorting(t, n, pick(l, t, track.Bridged, true)), rng)
		ohms := simulate.DrawOhms(n, rng, 1, 1)
		there := simulate.NewBench(n, ohms, []simulate.Fault{f})
		away := simulate.NewBench(n, ohms, nil)
		m := simulate.CheapMeter().Draw(rng)
		h := hunt.New(l, allMeters)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort, Sometimes: true}}))
		gone := false
		for v := h.View(); v.Step.Ask != nil; v = h.View() {
			b := there
			if v.Readings == 1 && !gone { // away once: the lamp shows it, and it is made to show again
				b, gone = away, true
			}
			require.NoError(t, h.Apply(hunt.Event{Reading: answer(t, n, b, &m, v.Step.Ask, true, rng)}))
		}
		in := h.View().Step.Inspect
		if in == nil {
			continue
		}
		for i, c := range in.Pieces {
			if i < 3 && c.Piece == f.Suspect.Piece {
				right++
			}
		}
	}
	t.Logf("%d of %d in the first three", right, hunts)
	require.GreaterOrEqual(t, right, hunts-1)
}
