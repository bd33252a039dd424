package hunt_test

import (
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// shelf is a layout with one turnout that switches current, W2, before a stub.
const shelf = "shelf-two-rail"

func begun(t *testing.T, name string, sym hunt.Symptom) *hunt.Hunt {
	h := hunt.New(load(t, name), allMeters)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &sym}))
	return h
}

// stub is the belief that the fault is beyond W2.
func stub(h *hunt.Hunt) float64 {
	sum := 0.0
	v := h.View()
	for i, p := range v.Pieces {
		if v.LayoutRef.Pieces[i].Run == "stub" {
			sum += p
		}
	}
	return sum
}

// How the points stood moves the belief, softly: to what hangs on them so, and
// away from what does not.
func TestThrownMovesTheBelief(t *testing.T) {
	said := func(stood map[string]string) float64 {
		return stub(begun(t, shelf, hunt.Symptom{Kind: hunt.SymptomShort, Thrown: stood}))
	}
	unknown, there, elsewhere := said(nil), said(map[string]string{"W2": "diverging"}),
		said(map[string]string{"W2": "through"})
	assert.Greater(t, there, 1.3*unknown)
	assert.Less(t, elsewhere, 0.2*unknown)
	assert.Greater(t, elsewhere, 0.0, "somebody may be mistaken")
}

// Every ask names how the turnouts that matter stand: at first as they stood.
func TestAskNamesThrown(t *testing.T) {
	for _, route := range []string{"through", "diverging"} {
		a := begun(t, shelf, hunt.Symptom{Kind: hunt.SymptomShort,
			Thrown: map[string]string{"W2": route}}).View().Step.Ask
		require.NotNil(t, a)
		assert.Equal(t, map[string]string{"W2": route}, a.Setup.Thrown)
		assert.Equal(t, route == "diverging", slices.Contains(a.Steps, "throw W2 to diverging"), "%v", a.Steps)
	}
	a := begun(t, "loop", hunt.Symptom{Kind: hunt.SymptomShort}).View().Step.Ask
	assert.Empty(t, a.Setup.Thrown, "no points that matter")
	// Three-rail points switch no current, and their moving rails may touch all the same.
	for route, want := range map[string]map[string]string{"through": {}, "diverging": {"W1": "diverging"}} {
		a := begun(t, "loop-siding", hunt.Symptom{Kind: hunt.SymptomShort,
			Thrown: map[string]string{"W1": route}}).View().Step.Ask
		assert.Equal(t, want, a.Setup.Thrown)
		assert.Equal(t, route == "diverging", slices.Contains(a.Steps, "throw W1 to diverging"), "%v", a.Steps)
	}
	assert.Equal(t, []string{"W2"}, hunt.Points(load(t, shelf)))
}

func TestThrownMustBe(t *testing.T) {
	for _, c := range []struct {
		sym  hunt.Symptom
		want []string
	}{
		{hunt.Symptom{Kind: hunt.SymptomShort, Thrown: map[string]string{"W9": "through"}}, []string{"W9", "W1, W2"}},
		{hunt.Symptom{Kind: hunt.SymptomShort, Thrown: map[string]string{"W2": "left"}},
			[]string{"left", "through or diverging"}},
		{hunt.Symptom{Kind: hunt.SymptomShort, Thrown: map[string]string{"main 3": "through"}},
			[]string{"main 3", "cannot be thrown"}},
		{hunt.Symptom{Kind: hunt.SymptomDead, At: "main 3", Thrown: map[string]string{"W2": "through"}},
			[]string{"short"}},
	} {
		err := hunt.New(load(t, shelf), allMeters).Apply(hunt.Event{Symptom: &c.sym})
		require.Error(t, err)
		for _, w := range c.want {
			assert.Contains(t, err.Error(), w)
		}
	}
}

// A short beyond W2 is found whether somebody noticed how W2 stood or not, and a
// saved hunt still knows it.
func TestShortBeyondPoints(t *testing.T) {
	n, err := conductor.Build(load(t, shelf))
	require.NoError(t, err)
	list := fault.List(n)
	at := slices.IndexFunc(list, func(s fault.Suspect) bool { return s.Mode == track.Bridged && s.Piece == "stub 1" })
	require.GreaterOrEqual(t, at, 0)
	bad := simulate.Fault{Suspect: list[at], Ohms: 0.2}
	for _, stood := range []map[string]string{nil, {"W2": "diverging"}} {
		looks, transcript := chase(t, shelf, hunt.Symptom{Kind: hunt.SymptomShort, Thrown: stood},
			[]simulate.Fault{bad}, 4)
		require.NotEmpty(t, looks, transcript)
		assert.Contains(t, looks[:min(2, len(looks))], "stub 1", transcript)
		assert.LessOrEqual(t, strings.Count(transcript, "bits"), 8, transcript)
	}
	h := begun(t, shelf, hunt.Symptom{Kind: hunt.SymptomShort, Thrown: map[string]string{"W2": "diverging"}})
	saved, err := h.Save()
	require.NoError(t, err)
	again, err := hunt.Resume(load(t, shelf), allMeters, saved)
	require.NoError(t, err)
	assert.Equal(t, h.View().Pieces, again.View().Pieces)
}

// The first reading on a live track says the handle, from the first ask on.
func TestHandleSaidAtFirst(t *testing.T) {
	for _, kind := range []hunt.SymptomKind{hunt.SymptomDead, hunt.SymptomWeak} {
		h := begun(t, "loop", hunt.Symptom{Kind: kind, At: "main 7"})
		a := h.View().Step.Ask
		require.NotNil(t, a, kind)
		require.Equal(t, "volts", a.Setup.Source.Kind, kind)
		assert.True(t, slices.ContainsFunc(a.Steps, func(s string) bool {
			return strings.HasSuffix(s, "full up")
		}), "%s: %v", kind, a.Steps)
	}
}
