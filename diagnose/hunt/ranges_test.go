package hunt

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/diagnose/unit"
)

func drawMixture(t *rapid.T) *mixture {
	m := &mixture{least: rapid.SampledFrom([]float64{0, math.Inf(-1)}).Draw(t, "least"), step: 1e-4}
	for i := range rapid.IntRange(1, 20).Draw(t, "predictions") {
		m.rows, m.class = append(m.rows, i), append(m.class, rapid.IntRange(0, 9).Draw(t, "class"))
		m.mass = append(m.mass, rapid.Float64Range(1e-3, 1).Draw(t, "mass"))
		m.mean = append(m.mean, rapid.Float64Range(0, 0.1).Draw(t, "mean"))
		m.sd = append(m.sd, rapid.Float64Range(1e-4, 0.02).Draw(t, "sd"))
		m.all += m.mass[i]
	}
	return m
}

// The rows of a reading part the whole of what may come up, in order, and each
// has words.
func TestRangesPartTheReadings(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := drawMixture(t)
		from, sum := math.Inf(-1), 0.0
		for _, to := range append(m.borders(), math.Inf(1)) {
			require.Greater(t, to, from)
			inside, part := m.between(from, to)
			require.Len(t, inside, len(m.mass))
			require.NotEmpty(t, m.showing(from, to, unit.Volt))
			sum += part
			from = to
		}
		require.InDelta(t, m.all, sum, 1e-6*m.all)
	})
}

// By hand: two places told apart have a border between them, two that read alike
// have none, and a border is a number to read.
func TestRangesByHand(t *testing.T) {
	two := &mixture{least: 0, step: 1e-4, all: 1, rows: []int{0, 1}, class: []int{0, 1}, mass: []float64{.5, .5}, mean: []float64{.010, .020}, sd: []float64{.002, .002}}
	b := two.borders()
	require.Len(t, b, 1)
	require.InDelta(t, .015, b[0], .001, "half way, where both are as likely")
	require.Equal(t, "under 15 mV", two.showing(math.Inf(-1), .015, unit.Volt))
	require.Equal(t, "over 15 mV", two.showing(.015, math.Inf(1), unit.Volt))
	require.Equal(t, "15 to 20 mV", two.showing(.015, .020, unit.Volt))

	alike := *two
	alike.mean = []float64{.010, .010}
	require.Empty(t, alike.borders())
	require.Equal(t, "6.7 to 13 mV", alike.showing(math.Inf(-1), math.Inf(1), unit.Volt))

	far := *two
	far.mean, far.sd, far.step = []float64{.01, 18}, []float64{.005, .2}, .01
	b = far.borders()
	require.Len(t, b, 1)
	require.Equal(t, "about 18 V", far.showing(b[0], math.Inf(1), unit.Volt))
	require.Greater(t, b[0], 0.02, "between the two")
	require.Less(t, b[0], 17.0)
	require.Regexp(t, "^under [2-9]0 mV$", far.showing(math.Inf(-1), b[0], unit.Volt))
}
