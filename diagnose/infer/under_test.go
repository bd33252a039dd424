package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What was read of AC stays without a sign when a battery stands in later.
func TestReadingKeepsItsCurrent(t *testing.T) {
	e, obs, there := awayAt(t, "main 11")
	of := func(ac bool, under Current) float64 {
		e.Model.AC = ac
		sum := 0.0
		for i := range obs {
			obs[i].Under = under
		}
		p := e.Update(obs)
		for h := range e.Hypos {
			if e.Hypos[h].Class == e.Hypos[there].Class {
				sum += p.Hypo[h]
			}
		}
		return sum
	}
	signed := of(false, AsModel)
	turned := 0
	for i := range obs { // the probes the other way round: AC shows the same
		obs[i].Red, obs[i].Black = obs[i].Black, obs[i].Red
		if obs[i].Shown.Value > 0 {
			turned++
		}
		obs[i].Shown.Value = math.Abs(obs[i].Shown.Value)
	}
	require.Positive(t, turned)
	was := of(true, AsModel)
	assert.Greater(t, was, 0.3)
	assert.Greater(t, signed, 0.3)
	assert.InDelta(t, was, of(false, Alternating), 1e-12)
	assert.Less(t, of(false, Direct), was/2, "read as signed they say something else")
	assert.InDelta(t, of(false, AsModel), of(true, Direct), 1e-12)
}
