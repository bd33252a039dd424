package hunt_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
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
	do(hunt.Event{Reading: "beep"}) // the proof is bad: it is asked for once more
	assert.NotNil(t, h.View().Step.Done.Prove)
	do(hunt.Event{Reading: "beep"}) // bad again: something else is wrong too
	past := h.History()
	kinds := []hunt.PastKind{}
	for _, p := range past {
		kinds = append(kinds, p.Kind)
		assert.Equal(t, p.Kind != hunt.PastProof, p.Aside) // the proof itself counts on
	}
	assert.Equal(t, []hunt.PastKind{hunt.PastReading, hunt.PastSkip, hunt.PastReading, hunt.PastGood, hunt.PastBad,
		hunt.PastProof, hunt.PastProof}, kinds)
	assert.Equal(t, "no", past[2].Text)
	assert.Equal(t, piece, past[4].Text)
	assert.False(t, past[5].Good)
	if h.View().Step.Ask != nil {
		do(hunt.Event{Reading: "no"})
		assert.False(t, h.History()[7].Aside)
	}
	do(hunt.Event{Found: h.View().Ranked[0].Piece})
	do(hunt.Event{Reading: "no"})
	past = h.History()
	assert.True(t, past[len(past)-1].Good)
	assert.True(t, h.View().Step.Done.Proven)
}

// A bad proof may be a slip with the probes: the best of three counts.
func TestBadProofIsTakenAgain(t *testing.T) {
	h := hunt.New(load(t, "dead-end"), hunt.Kit{Beeper: true})
	do := func(e hunt.Event) {
		t.Helper()
		require.NoError(t, h.Apply(e))
	}
	do(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
	do(hunt.Event{Found: "main 4"})
	do(hunt.Event{Reading: "beep"})
	assert.Contains(t, h.View().Step.Done.Prove.Again, "bad the first time")
	do(hunt.Event{Reading: "no"})
	assert.False(t, h.View().Step.Done.Proven)
	assert.Empty(t, h.View().Step.Done.Proves)
	do(hunt.Event{Reading: "no"})
	assert.True(t, h.View().Step.Done.Proven)
	assert.Equal(t, []hunt.Proved{hunt.ProvedNoShort}, h.View().Step.Done.Proves)
	assert.Contains(t, h.View().Step.Done.Verdict, string(hunt.ProvedNoShort))
	do(hunt.Event{Undo: 2})
	do(hunt.Event{Reading: "beep"})
	assert.Nil(t, h.View().Step.Done)
}

// A dead place is proven where current gets to with the points as they are, and
// a weak one by what is lost on the way there and back: two weak joints are two.
func TestProofsOfDeadAndWeak(t *testing.T) {
	c := newCustomer(t, "shelf-two-rail", 1)
	c.left = []simulate.Fault{{Suspect: find(t, c.n, track.Open, "back 7/8")}}
	require.Less(t, c.volts(c.l.FindPiece("back 9")), 0.1, "else nobody would call it dead")
	d := c.hunt(hunt.Kit{Beeper: true}, hunt.Symptom{Kind: hunt.SymptomDead, At: "back 9"})
	assert.True(t, d.Proven, c.log)
	assert.Equal(t, []hunt.Proved{hunt.ProvedPath}, d.Proves, "a beep carries no load")
	for seed := range uint64(first(1, 3)) {
		c = newCustomer(t, "dead-end", seed)
		for k, at := range []string{"main 6/7", "main 12/13"} {
			s := find(t, c.n, track.Weak, at)
			for _, x := range fault.List(c.n) {
				if x.Mode == track.Weak && x.Place == at && x.Rail == "center" {
					s = x
				}
			}
			c.left = append(c.left, simulate.Fault{Suspect: s, Ohms: []float64{3, 0.8}[k]})
		}
		d = c.hunt(allMeters, hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 20"})
		assert.True(t, d.Proven, c.log)
		assert.Equal(t, []hunt.Proved{hunt.ProvedCarries}, d.Proves)
		assert.Empty(t, c.left, c.log)
	}
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
