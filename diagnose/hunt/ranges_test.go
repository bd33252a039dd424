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
			row := Outcome{From: bound(from), To: bound(to)}
			require.NotEmpty(t, row.words(unit.Volt))
			sum += part
			from = to
		}
		require.InDelta(t, m.all, sum, 1e-6*m.all)
	})
}

// words are those of a row of numbers.
func words(from, to float64, kinds ...unit.Kind) string {
	row := Outcome{From: bound(from), To: bound(to), Kinds: kinds}
	return row.words(unit.Volt)
}

// By hand: two places told apart have a border between them, two that read alike
// have none, a border is a number to read, and where nothing lies between two
// places for long it lies in the middle.
func TestRangesByHand(t *testing.T) {
	two := &mixture{least: 0, step: 1e-4, all: 1, rows: []int{0, 1}, class: []int{0, 1}, mass: []float64{.5, .5},
		mean: []float64{.010, .020}, sd: []float64{.002, .002}}
	b := two.borders()
	require.Len(t, b, 1)
	require.InDelta(t, .015, b[0], .001, "half way, where both are as likely")

	alike := *two
	alike.mean = []float64{.010, .010}
	require.Empty(t, alike.borders())
	require.Equal(t, "6.7 to 13 mV", about(alike.inner(.05), alike.inner(.95), unit.Volt))

	far := *two
	far.mean, far.sd, far.step = []float64{.01, 18}, []float64{.005, .2}, .01
	b = far.borders()
	require.Len(t, b, 1)
	require.InDelta(t, 9, b[0], 1, "in the middle of what never comes up")
}

func TestWordsOfRows(t *testing.T) {
	least, most := math.Inf(-1), math.Inf(1)
	require.Equal(t, "under 15 mV", words(least, .015))
	require.Equal(t, "15 to under 20 mV", words(.015, .020))
	require.Equal(t, "600 mV to under 1.2 V", words(.6, 1.2))
	require.Equal(t, "20 mV or more", words(.020, most, unit.Value))
	require.Equal(t, "20 mV or more, or OL", words(.020, most, unit.Value, unit.OverLimit))
	require.Equal(t, "any number", words(least, most, unit.Value))
	require.Equal(t, "whatever it shows", words(least, most, unit.Value, unit.OverLimit))
	require.Equal(t, "about 18 V", about(17.8, 18.3, unit.Volt))
	require.Equal(t, "under 20 mV", about(0, .02, unit.Volt))
}
