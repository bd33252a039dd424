package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// bentByDraws is the density of the readings by plain Monte Carlo.
func bentByDraws(sk *skewed, c *levelCell, railSD float64, resid []float64, rng *rand.Rand, draws int) float64 {
	var w laplace
	idx := make([]int, len(resid))
	for i := range idx {
		idx[i] = i
	}
	w.start(sk, c, idx)
	w.still(railSD, idx)
	if !w.free.fit(w.noise, append([]float64(nil), resid...), w.n) {
		panic("no noise")
	}
	z := make([]float64, w.p)
	sum := 0.0
	for range draws {
		size := 0.0
		for k := range z {
			z[k] = rng.NormFloat64()
			size += z[k] * z[k]
		}
		f := w.cost(z, resid) - 0.5*size // the density of the draw itself taken off
		sum += math.Exp(-f)
	}
	return math.Log(sum/float64(draws)) - 0.5*(float64(w.n)*log2Pi+w.free.logDet)
}

// drawSkewed is an invented case: two readings that feel a stretch each and one
// both, and the levels.
func drawSkewed(rng *rand.Rand) (*skewed, *levelCell) {
	n := 2
	j := &joint{n: n, obs: []int{0, 1}, mean: make([]float64, n), rail: []float64{0.02, 0.05}, jnt: make([]float64, n),
		rest: []float64{1e-6, 0, 0, 1e-6}}
	sk := &skewed{j: j, jnt: []float64{0.001, 0.002}}
	for k := range sk.kept {
		sk.kept[k] = []float64{1e-6, 2e-7, 2e-7, 1e-6}
	}
	for _, by := range [][]float64{{1, 0}, {0.2, 1}, {1, 1}} {
		l := lump{sd: 0.2 + 0.6*rng.Float64()}
		for _, x := range by {
			l.by = append(l.by, x*0.01*(0.5+2*rng.Float64()))
		}
		sk.lumps = append(sk.lumps, l)
	}
	sk.lumps[1].wire = rng.IntN(2) == 0
	c := &levelCell{commonSD: 0.25, jointSD: 0.3, rail: math.Exp(rng.NormFloat64() / 2),
		jnt: math.Exp(rng.NormFloat64() / 2)}
	return sk, c
}

// The density of readings that lie where such readings lie, by Laplace's method
// against plain draws, and the Gaussian that it replaces.
func TestBentDensityAgainstDraws(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 17))
	var w laplace
	var off, offFlat float64
	const cases = 40
	for i := range cases {
		sk, c := drawSkewed(rng)
		idx := []int{0, 1}
		w.start(sk, c, idx)
		w.still(0.1, idx)
		require.True(t, w.free.fit(w.noise, make([]float64, 2), 2))
		z := make([]float64, w.p)
		for k := range z {
			z[k] = rng.NormFloat64()
		}
		w.cost(z, []float64{0, 0})
		resid := []float64{-w.r[0], -w.r[1]}
		bent, flat, ok := w.logDensity(sk, c, 0.1, idx, resid)
		require.True(t, ok)
		want := bentByDraws(sk, c, 0.1, resid, rng, 300000)
		require.InDelta(t, want, bent, 0.25, "case %d", i)
		off += math.Abs(bent-want) / cases
		offFlat += math.Abs(flat-want) / cases
	}
	require.Less(t, off, 0.05, "mean error, natural logarithm")
	require.Greater(t, offFlat, 5*off, "the Gaussian with the same means and variances")
}

// Where readings leave a joint next to nothing, a Gaussian still finds it
// likely: a short must then lie before the joint's far end. 8.3 mV across a
// joint (7.6 mV in the mean) and a whole piece (10 mV).
func TestBentDensityRulesOutJointsOfNothing(t *testing.T) {
	j := &joint{n: 1, obs: []int{0}, mean: []float64{0}, rail: []float64{0}, jnt: []float64{0}, rest: []float64{1e-7}}
	sk := &skewed{j: j, jnt: []float64{0}, lumps: []lump{{by: []float64{.0076}, sd: .7}}}
	for k := range sk.kept {
		sk.kept[k] = []float64{0}
	}
	c := &levelCell{commonSD: .001, jointSD: .001, rail: 1, jnt: 1}
	var w laplace
	bent, flat, ok := w.logDensity(sk, c, .001, []int{0}, []float64{8.3e-3 - 17.6e-3})
	require.True(t, ok)
	usual, _, ok := w.logDensity(sk, c, .001, []int{0}, []float64{0})
	require.True(t, ok)
	require.Less(t, bent, usual-8)
	require.Greater(t, flat, usual-3)
}
