package main

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
)

// What a hunt learned of the track is kept with its record, and the next hunt
// on the layout begins with it.
func TestLearnedTrackIsKept(t *testing.T) {
	path := filepath.Join(t.TempDir(), "oval.hcl")
	text, err := os.ReadFile("../../testdata/layouts/loop.hcl")
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(path, text, 0o600))
	src, err := newWorld(nil, nil, nil).load(path)
	require.NoError(t, err)
	st, err := keep(src, "")
	require.NoError(t, err)
	require.Nil(t, st.learned())
	kit := newKit().kit
	kit.LampAmps, kit.LampSpread = 1, 0.04 // of a lamp that nobody knows they say little of the track
	h := &watched{hunt.New(src.layout, kit), st}
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	for _, reading := range []string{"bright", "0.1", "14", "52", "71"} {
		require.NotNil(t, h.View().Step.Ask)
		require.NoError(t, h.Apply(hunt.Event{Reading: reading}))
		data, err := h.Save()
		require.NoError(t, err)
		require.NoError(t, st.write(data))
	}
	want := h.View().Learned
	require.NotNil(t, want)
	require.NoError(t, st.close())
	again, err := keep(src, "")
	require.NoError(t, err)
	require.Equal(t, want, again.learned())
}
