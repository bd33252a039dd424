package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// drawBoxed is an invented case of three readings that share a good deal, with
// what their displays are off by: a box, a tent, a Gaussian.
func drawBoxed(rng *rand.Rand) (cov []float64, b *boxes) {
	a := make([]float64, 9)
	for i := range a {
		a[i] = rng.NormFloat64()
	}
	cov = make([]float64, 9)
	for i := range 3 {
		for k := range 3 {
			for l := range 3 {
				cov[i*3+k] += a[i*3+l] * a[k*3+l]
			}
		}
		cov[i*3+i] += 0.05
	}
	j := &joint{n: 3, noise: []float64{1e-3, 1e-3, 1e-3},
		flat: []flat{{half: 0.3 + 2*rng.Float64()}, {half: 0.3 + 2*rng.Float64(), tent: true}, {}}}
	b = &boxes{}
	b.start(j, []int{0, 1, 2})
	for i, v := range b.own {
		cov[i*3+i] += v
	}
	return cov, b
}

// boxedByDraws is the density of the readings by plain draws of the first two
// values, the third given them being a Gaussian.
func boxedByDraws(cov, resid []float64, b *boxes, rng *rand.Rand, draws int) float64 {
	c := append([]float64(nil), cov...)
	for i, v := range b.own {
		c[i*3+i] -= v
	}
	if _, ok := cholesky(c, 3); !ok {
		panic("no covariance")
	}
	sum := 0.0
	for range draws {
		z0, z1 := rng.NormFloat64(), rng.NormFloat64()
		x0, x1 := z0/c[0], c[3]*z0+z1/c[4]
		box, tent := math.Abs(resid[0]-x0), math.Abs(resid[1]-x1)
		if box > b.half[0] || tent > b.half[1] {
			continue
		}
		third := (resid[2] - c[6]*z0 - c[7]*z1) * c[8]
		sum += 1 / (2 * b.half[0]) * (b.half[1] - tent) / (b.half[1] * b.half[1]) * math.Exp(-third*third/2) *
			c[8] / math.Sqrt(2*math.Pi)
	}
	return math.Log(sum / float64(draws))
}

// Readings with uniform errors, by expectation propagation against plain draws,
// and the Gaussian of the same variances beside it.
func TestBoxesAgainstDraws(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 20))
	var off, offFlat float64
	const cases = 40
	for i := range cases {
		cov, b := drawBoxed(rng)
		g, ok := newGauss(append([]float64(nil), cov...), make([]float64, 3), 3)
		require.True(t, ok)
		c := append([]float64(nil), cov...)
		_, ok = cholesky(c, 3)
		require.True(t, ok)
		resid := make([]float64, 3)
		z := [3]float64{1.2 * rng.NormFloat64(), 1.2 * rng.NormFloat64(), 1.2 * rng.NormFloat64()}
		for k := range 3 {
			resid[k] = z[k] / c[k*3+k]
			for l := range k {
				resid[k] += c[k*3+l] * z[l]
			}
		}
		g.set(resid)
		log, ok := b.settle(cov, resid)
		want := boxedByDraws(cov, resid, b, rng, 1000000)
		if math.IsInf(want, -1) {
			continue
		}
		require.True(t, ok)
		got := log + b.g.logDensity()
		require.InDelta(t, want, got, 0.2, "case %d", i)
		off += math.Abs(got-want) / cases
		offFlat += math.Abs(g.logDensity()-want) / cases
	}
	t.Logf("mean error %.4f, Gaussian %.4f", off, offFlat)
	require.Less(t, off, 0.04, "mean error, natural logarithm")
	require.Greater(t, offFlat, 4*off, "the Gaussian with the same variances")
}
