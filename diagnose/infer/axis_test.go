package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"
)

// The cells together are as wide as the distribution that they stand for: a
// normal one, and a share of one three times as wide (cut at 6.5 standard
// deviations, or four cells).
func TestAxisIsAsWideAsItsDistribution(t *testing.T) {
	for _, sd := range []float64{0.15, 0.21, 0.25, 0.3, 0.4, 0.5} {
		for _, tail := range []float64{0, 0.15} {
			at, weight, within := axis(0.1, sd, tail, 0.6)
			sum, mean, square := 0.0, 0.0, 0.0
			for i, x := range at {
				sum += weight[i]
				mean += weight[i] * x
				square += weight[i] * (x*x + within*within)
			}
			require.InDelta(t, 1, sum, 1e-12)
			require.InDelta(t, 0.1, mean, 1e-9)
			want, off := sd, 0.04
			if len(at) > 1 && tail > 0 {
				want, off = sd*math.Sqrt(1+8*tail), 0.1 // the wide one is cut
			}
			require.InDelta(t, want, math.Sqrt(square-mean*mean), off*want, "sd %g, tail %g: %d cells", sd, tail,
				len(at))
		}
	}
}
