package hunt_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
)

// A history holds what stands after undo and corrections, and says what a bad
// proof put aside. The readings the belief rests on are those of the view.
func TestHistoryAgreesWithTheView(t *testing.T) {
	h := hunt.New(load(t, "dead-end"), hunt.Kit{Beeper: true})
	do := func(e hunt.Event) {
		t.Helper()
		require.NoError(t, h.Apply(e))
		checkHistory(t, h)
	}
	do(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
	do(hunt.Event{Reading: "beep"})
	do(hunt.Event{Skip: "cannot reach"})
	do(hunt.Event{Reading: "no"})
	do(hunt.Event{Undo: 1})
	do(hunt.Event{Reading: "beep"})
	do(hunt.Event{Change: &hunt.Change{N: 2, Reading: "no"}})
	do(hunt.Event{NotFound: h.View().Ranked[0].Piece})
	piece := h.View().Ranked[1].Piece
	do(hunt.Event{Found: piece})
	do(hunt.Event{Reading: "beep"}) // the proof is bad: something else is wrong too
	past := h.History()
	kinds := []hunt.PastKind{}
	for _, p := range past {
		kinds = append(kinds, p.Kind)
		assert.Equal(t, p.Kind != hunt.PastProof, p.Aside) // the proof itself counts on
	}
	assert.Equal(t, []hunt.PastKind{hunt.PastReading, hunt.PastSkip, hunt.PastReading, hunt.PastGood, hunt.PastBad, hunt.PastProof}, kinds)
	assert.Equal(t, "no", past[2].Text)
	assert.Equal(t, piece, past[4].Text)
	assert.False(t, past[5].Good)
	if h.View().Step.Ask != nil {
		do(hunt.Event{Reading: "no"})
		assert.False(t, h.History()[6].Aside)
	}
	do(hunt.Event{Found: h.View().Ranked[0].Piece})
	do(hunt.Event{Reading: "no"})
	past = h.History()
	assert.True(t, past[len(past)-1].Good)
	assert.True(t, h.View().Step.Done.Proven)
}

func checkHistory(t *testing.T, h *hunt.Hunt) {
	t.Helper()
	var read []string
	for _, p := range h.History() {
		if (p.Kind == hunt.PastReading || p.Counts) && !p.Aside {
			read = append(read, p.Ask.Red+"="+p.Text)
		}
	}
	var believed []string
	for _, e := range h.View().Evidence {
		believed = append(believed, e.Ask.Red+"="+e.Reading)
	}
	assert.Equal(t, believed, read)
}
