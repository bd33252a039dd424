package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
)

// TestFailuresAreCounted: where a covariance or a network has no factorisation the
// belief and the outlook say so; a sound meter on a sound layout has none to tell.
func TestFailuresAreCounted(t *testing.T) {
	e, obs := contradictions(t, 3, true, 0.02)
	ask := []Question{{Setup: obs[0].Setup, Func: obs[0].Func, Red: obs[1].Red, Black: obs[2].Red}}
	p := e.Update(obs)
	assert.False(t, p.Failed.Any(), "%+v", p.Failed)
	assert.Zero(t, e.Score(p, obs, ask)[0].Failed)

	e.Model.Meter.Millivolts.Scatter = math.NaN()
	bad := e.Update(obs)
	assert.Greater(t, bad.Failed.Cells, 10*len(e.Model.cells(true)), "in every hypothesis, not in the likeliest alone")
	assert.Positive(t, e.Score(p, obs, ask)[0].Failed.Cells)

	none, _ := contradictions(t, 3, true, 0.02)
	for i := range none.Net.Links {
		if none.Net.Links[i].Kind == conductor.KindJoint {
			none.Net.Links[i].Ohms = math.NaN()
		}
	}
	assert.Positive(t, none.Update(obs).Failed.Circuits)
}

// TestBendThatFails: a log-normal term without a covariance keeps its Gaussian, and is
// counted.
func TestBendThatFails(t *testing.T) {
	e, obs := contradictions(t, 3, true, 0.02)
	prior := e.prior()
	all := &pass{obs: obs, prior: prior}
	all.over(prior, deadWeight)
	ev := e.evaluation(all)
	g := &ev.s.f.groups[0]
	h := &e.Hypos[g.hypos[0]]
	fs := ev.s.forecasts(h, h.sevs[0], 1, nil, ev.keys, ev.step)
	sk := ev.s.skew(ev.s.fineJoint(fs, h.sevs[0], 1))
	require.NotEmpty(t, sk.lumps)
	flat := ev.s.likelihood(sk.j, ev.cells, ev.value, ev.logNothing)
	bent := ev.s.likelihoodSkewed(sk, ev.cells, ev.value, ev.logNothing, math.Inf(-1))
	require.NotEqual(t, flat.log, bent.log)
	require.Zero(t, ev.s.failed.sum())
	for c := range sk.kept {
		for i := range sk.kept[c] {
			sk.kept[c][i] = math.NaN()
		}
	}
	kept := ev.s.likelihoodSkewed(sk, ev.cells, ev.value, ev.logNothing, math.Inf(-1))
	assert.Equal(t, flat.log, kept.log)
	assert.Positive(t, ev.s.failed.sum().Bends)
}
