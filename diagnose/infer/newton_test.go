package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
)

// hessian is the second derivatives of cost by differences, at z.
func hessian(w *laplace, z, resid []float64) []float64 {
	const h = 1e-3
	p := len(z)
	at := func(by ...int) float64 {
		x := append([]float64(nil), z...)
		for _, b := range by {
			if b < 0 {
				x[-b-1] -= h
			} else {
				x[b-1] += h
			}
		}
		return w.cost(x, resid)
	}
	out := make([]float64, p*p)
	for i := 1; i <= p; i++ {
		for k := 1; k <= p; k++ {
			out[(i-1)*p+k-1] = (at(i, k) - at(i, -k) - at(-i, k) + at(-i, -k)) / (4 * h * h)
		}
	}
	return out
}

// Where the descent ends nothing slopes, and its determinant is that of the second
// derivatives, by differences of the cost: also where unknowns bend downward by
// themselves, and only the readings hold them.
func TestDescentEndsWhereNothingSlopes(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 23))
	var w laplace
	lacking := 0
	for i := range 200 {
		sk, c := drawSkewed(rng)
		idx := []int{0, 1}
		resid := []float64{0.05 * rng.NormFloat64(), 0.05 * rng.NormFloat64()}
		_, _, ok := w.logDensity(sk, c, 0.1, idx, resid)
		require.True(t, ok)
		f, ok := w.descend(resid) // on from there: to the last digits
		require.True(t, ok)
		logDet, ok := w.curvature()
		require.True(t, ok)
		if len(w.to.bend.lacks) > 0 {
			lacking++
		}
		logDet -= w.free.logDet
		z := append([]float64(nil), w.z...)
		for k := range z {
			const h = 1e-4
			up, down := append([]float64(nil), z...), append([]float64(nil), z...)
			up[k], down[k] = up[k]+h, down[k]-h
			require.InDelta(t, 0, (w.cost(up, resid)-w.cost(down, resid))/(2*h), 1e-3, "case %d, unknown %d, cost %g",
				i, k, f)
		}
		want, ok := cholesky(hessian(&w, z, resid), w.p)
		require.True(t, ok, "case %d", i)
		require.InDelta(t, want, logDet, 1e-3+1e-4*math.Abs(want), "case %d", i)
	}
	require.Greater(t, lacking, 20)
}
