package hunt_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
)

// On a big layout no single place holds much of the belief: there is something
// to ask all the same.
func TestBigHuntsBegin(t *testing.T) {
	l := ring(t, 3000)
	for _, k := range []hunt.Kit{{Beeper: true}, {Volts: true}} {
		for _, s := range []hunt.SymptomKind{hunt.SymptomShort, hunt.SymptomWeak, hunt.SymptomDead} {
			if s == hunt.SymptomShort && !k.Beeper || s == hunt.SymptomWeak && k.Beeper {
				continue // volts alone find no short; a beeper sounds through a weak contact, and on a ring past an open one
			}
			h := hunt.New(l, k)
			require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: s, At: map[bool]string{true: "main 2500"}[s != hunt.SymptomShort]}}))
			v := h.View()
			require.NotNil(t, v.Step.Ask, "%s, %+v", s, k)
			assert.Positive(t, v.Step.Ask.Bits)
		}
	}
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
		_, err := hunt.Resume(ring(t, 60), hunt.Kit{Beeper: true}, []byte(`{"fishplate_hunt":1,"layout":"ring","kit":{"Beeper":true},"journal":[{"event":`+event+`}]}`))
		require.Error(t, err, event)
		assert.True(t, strings.Contains(err.Error(), "damaged"), err)
	}
}
