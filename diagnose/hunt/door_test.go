package hunt_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
)

// Without the place where a dead or weak part begins there is nothing to read toward.
func TestDeadAndWeakNeedTheirPlace(t *testing.T) {
	for _, kind := range []hunt.SymptomKind{hunt.SymptomDead, hunt.SymptomWeak} {
		h := hunt.New(load(t, "loop"), allMeters)
		err := h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: kind}})
		require.ErrorContains(t, err, "needs its place")
		require.ErrorContains(t, err, "main 1")
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: kind, At: "main 3"}}))
	}
	h := hunt.New(load(t, "loop"), allMeters)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
}

// Which readings there are is said as it is, from none on.
func TestWhichReadingsThereAre(t *testing.T) {
	h := begun(t, "loop", hunt.Symptom{Kind: hunt.SymptomShort})
	for taken, want := range []string{"none was taken yet", "reading 1 alone was taken", "readings 1 to 2 were taken"} {
		assert.ErrorContains(t, h.Apply(hunt.Event{Change: &hunt.Change{N: 9, Reading: "dark"}}), want)
		_, err := h.Without(9)
		assert.ErrorContains(t, err, want, "%d", taken)
		require.NotNil(t, h.View().Step.Ask)
		answer := map[string]string{"lamp": "bright", "volts": "0.3 V"}[h.View().Step.Ask.Meter]
		if taken < 2 {
			require.NoError(t, h.Apply(hunt.Event{Reading: answer}))
		}
	}
}
