package hunt_test

import (
	"bytes"
	"fmt"
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
)

// A hunt that goes on for thousands of events, readings changed and taken back
// over and over, keeps its memory; and what it says is what a hunt says that
// remembers nothing.
func TestMemoryIsBounded(t *testing.T) {
	l := load(t, "loop-siding")
	kit := hunt.Kit{Ohms: true}
	h := hunt.New(l, kit)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	for range 3 {
		require.NoError(t, h.Apply(hunt.Event{Reading: "0.9"}))
	}
	heap := func() int64 {
		runtime.GC()
		var m runtime.MemStats
		runtime.ReadMemStats(&m)
		return int64(m.HeapAlloc)
	}
	const events = 40
	before := heap()
	for n := range events {
		require.NoError(t, h.Apply(hunt.Event{Change: &hunt.Change{N: 3,
			Reading: fmt.Sprintf("%.3f", 0.5+0.001*float64(n))}}))
		h.View()
	}
	grown := heap() - before
	t.Logf("%d events: %d kB", events, grown>>10)
	assert.Less(t, grown, int64(900<<10)) // 0.5 MB; 1.3 MB where all beliefs are kept whole
	saved, err := h.Save()
	require.NoError(t, err)
	again, err := hunt.Resume(l, kit, saved)
	require.NoError(t, err)
	assert.True(t, again.View().Evidence[0].Untold,
		"a hunt that is taken up works out what it believes now, and no more")
	assert.Equal(t, again.Told(), h.Told())
	require.NoError(t, h.Apply(hunt.Event{Undo: 2})) // one that may be forgotten by now
	saved, err = h.Save()
	require.NoError(t, err)
	again, err = hunt.Resume(l, kit, saved)
	require.NoError(t, err)
	assert.Equal(t, again.Told(), h.Told())
}

// Of beliefs that nothing stands on any more few are kept whole, and of the others
// no more than 32 MB.
func TestOldBeliefsAreForgotten(t *testing.T) {
	weights, whole := hunt.Remembered(600, 10_000)
	assert.Equal(t, 12, whole)
	assert.LessOrEqual(t, weights, 4<<20+10_000) // and the newest
	assert.Greater(t, weights, 3<<20, "what may be needed again is kept")
}

// What no resume would take is not taken in the first place: nothing is kept that
// could not be gone on with.
func TestNoMoreThanCanBeKept(t *testing.T) {
	l := load(t, "dead-end")
	short := hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}
	h := hunt.New(l, hunt.Kit{Beeper: true})
	require.NoError(t, h.Apply(short))
	require.NoError(t, h.Apply(hunt.Event{Undo: 1}))
	one, err := h.Save()
	require.NoError(t, err)
	turn := string(one[bytes.IndexByte(one, '[')+1:bytes.LastIndexByte(one, ']')]) + ","
	h, err = hunt.Resume(l, hunt.Kit{}, []byte(`{"fishplate_hunt":1,"kit":{"Beeper":true},"journal":[`+
		strings.TrimSuffix(strings.Repeat(turn, 2499), ",")+`]}`))
	require.NoError(t, err)
	require.NoError(t, h.Apply(short))
	require.NoError(t, h.Apply(hunt.Event{Undo: 1}))
	require.ErrorContains(t, h.Apply(short), "begin a new one")
	saved, err := h.Save()
	require.NoError(t, err)
	_, err = hunt.Resume(l, hunt.Kit{}, saved)
	require.NoError(t, err)
}
