package stage

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/piece"
)

// TestProof goes through a plan: a bad reading counts when it comes twice in a row, the
// last good one can be taken back, and what was good before is not asked again.
func TestProof(t *testing.T) {
	open := Reading{Red: "a", Black: "b", Want: piece.Silent}
	way := Reading{Red: "a", Black: "c", Want: piece.Beeps, Most: 0.5}
	plan := &Plan{Stages: []Stage{{N: 1, Readings: []Reading{open, way}},
		{N: 2, Readings: []Reading{{Red: "d", Black: "e", Want: piece.Silent}}}}}
	x := plan.Take(nil)
	require.False(t, x.TakeLeads("7"))
	require.True(t, x.TakeLeads("0.3"))
	answer := func(text string) Outcome {
		_, r := x.Next()
		got, err := r.Parse(text)
		require.NoError(t, err)
		return x.Answer(got)
	}
	assert.False(t, x.Back())
	assert.Equal(t, Dirty, answer("20k"))
	assert.Equal(t, Again, answer("0.4"))
	assert.Equal(t, Ticked, answer("0"))
	assert.Equal(t, Again, answer("0.9"))
	assert.Equal(t, Ticked, answer("0.8"), "0.5 ohm over the leads")
	s, r := x.Next()
	assert.Same(t, &plan.Stages[1], s)
	assert.Equal(t, "d", r.Red)
	assert.True(t, x.Back())
	_, r = x.Next()
	assert.Equal(t, "c", r.Black)
	assert.Equal(t, Again, answer("OL"))
	assert.Equal(t, Failed, answer("OL"))
	good, all := x.Count()
	assert.Equal(t, []int{1, 3}, []int{good, all})
	s, r = plan.Take([]string{open.Key(), way.Key(), "of another plan"}).Next()
	assert.Same(t, &plan.Stages[1], s)
	assert.Equal(t, "d", r.Red)
}
