package hunt_test

import (
	"runtime"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// line is an invented dead end of n pieces of two-rail track, in hundreds.
func line(t *testing.T, n int) *track.Layout {
	rows := strings.Repeat(`"100 x straight 10", `, n/100)
	f, problems := layoutfile.Read("line", []byte(`name = "line, invented"
units = "in"
construction = "two-rail"
run "main" { pieces = [`+strings.TrimSuffix(rows, ", ")+`] }
supply "T1" {
  current = "dc"
  volts = 12
  breaker = 3
}
feeder "F1" {
  at = "main 1"
  supply = "T1"
  wire = "16 AWG"
  length = "4 ft"
}
`))
	require.False(t, problems.Errors(), "%v", problems)
	return f.Layout
}

// On a big layout no single place holds much of the belief: there is something
// to ask all the same.
func TestBigHuntsBegin(t *testing.T) {
	l := line(t, 2000)
	for _, c := range []struct {
		kit  hunt.Kit
		seen hunt.Symptom
		bits float64 // that the first reading tells at least
	}{
		{hunt.Kit{Beeper: true}, hunt.Symptom{Kind: hunt.SymptomShort}, 0.8},
		{hunt.Kit{Beeper: true}, hunt.Symptom{Kind: hunt.SymptomDead, At: "main 1990"}, 0.1},
		{hunt.Kit{Volts: true}, hunt.Symptom{Kind: hunt.SymptomDead, At: "main 1990"}, 1},
		{hunt.Kit{Volts: true}, hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 1990"}, 0.01},
	} {
		h := hunt.New(l, c.kit)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &c.seen}))
		v := h.View()
		require.NotNil(t, v.Step.Ask, "%v", c)
		assert.Greater(t, v.Step.Ask.Bits, c.bits)
	}
}

// A first reading on 5,000 pieces of three-rail track weighs some twenty set-ups: they
// do not each keep hundreds of columns of their circuits (1,300 MB in all, and 770 at once).
func TestSetUpsShareTheMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("some seconds")
	}
	f, problems := layoutfile.Read("line", []byte(`name = "line, invented"
units = "in"
construction = "metal-tie"
run "main" { pieces = [`+strings.TrimSuffix(strings.Repeat(`"1000 x straight 10", `, 5), ", ")+`] }
supply "T1" {
  current = "ac"
  volts = 18
  breaker = 10
}
feeder "F1" {
  at = "main 3/4"
  supply = "T1"
  wire = "16 AWG"
  length = "6 ft"
}
`))
	require.False(t, problems.Errors(), "%v", problems)
	h := hunt.New(f.Layout, hunt.Kit{Beeper: true})
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	require.NotNil(t, h.View().Step.Ask)
	runtime.ReadMemStats(&after)
	took := (after.TotalAlloc - before.TotalAlloc) >> 20
	t.Logf("%d MB", took)
	assert.Less(t, took, uint64(650))
}

// One place that is likely and hundreds that are faint: the reading after that
// comes at once (it took 20 s when the faint ones were all ordered by what lies
// beside them, and the test would run into its time limit on more).
func TestManyFaintPlaces(t *testing.T) {
	h := hunt.New(ring(t, 900), hunt.Kit{Beeper: true})
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	require.NoError(t, h.Apply(hunt.Event{Reading: "no"}))
	v := h.View()
	require.True(t, v.Step.Ask != nil || v.Step.Inspect != nil || v.Step.Done != nil)
}

// A journal in which something is answered before anything was asked is refused.
func TestResumeRefusesAnswersWithoutASymptom(t *testing.T) {
	for _, event := range []string{`{"found":"main 3"}`, `{"not_found":"main 3"}`, `{"skip":"cannot reach"}`} {
		_, err := hunt.Resume(ring(t, 60), hunt.Kit{Beeper: true},
			[]byte(`{"fishplate_hunt":1,"layout":"ring","kit":{"Beeper":true},"journal":[{"event":`+event+`}]}`))
		require.Error(t, err, event)
		assert.True(t, strings.Contains(err.Error(), "damaged"), err)
	}
}
