package hunt

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/infer"
)

// TestRoughBeliefIsTold: what could not be worked out is said beside the odds and in
// the why of the ask, and only then.
func TestRoughBeliefIsTold(t *testing.T) {
	h := New(loadInside(t, "dead-end"), Kit{Beeper: true, Volts: true})
	require.NoError(t, h.Apply(Event{Symptom: &Symptom{Kind: SymptomShort}}))
	te, p := h.sit.teller(), h.sit.posteriors[len(h.sit.posteriors)-1]
	require.NotContains(t, te.warnings(p, nil), roughBelief)
	q := h.View().Step.Ask.at.q
	look := h.sit.engine.Score(p, nil, []infer.Question{q})[0]
	require.NotContains(t, h.sit.scribe().ask(&q, &look, h.sit.now()).Why, roughAsk)

	bad := *p
	bad.Failed.Cells = 1
	assert.Contains(t, te.warnings(&bad, nil), roughBelief)
	look.Failed.Cells = 1
	assert.Contains(t, h.sit.scribe().ask(&q, &look, h.sit.now()).Why, roughAsk)
}
