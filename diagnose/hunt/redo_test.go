package hunt_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
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
