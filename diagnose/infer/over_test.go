package infer

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/meter"
)

// Several readings over the limit of one function say no more than the least of
// them: the limit is not known well, but it is one limit. What is left without
// one of them is what the others say.
func TestOneLimitForAllReadings(t *testing.T) {
	g := &given{pos: []int{-1, -1, -1, -1}, disc: []float64{0, 0, 0, -0.7},
		over: []overLog{{0, meter.Millivolts, -2}, {1, meter.Millivolts, -0.5}, {2, meter.Volts, -1}}}
	require.InDelta(t, -3, g.overAll(-1, -1), 1e-12)
	require.InDelta(t, -1.5, g.overAll(0, -1), 1e-12)
	require.InDelta(t, -3, g.overAll(1, -1), 1e-12)
	require.InDelta(t, -1.5, g.one(0), 1e-12)
	require.InDelta(t, 0, g.one(1), 1e-12)
	require.InDelta(t, -2, g.two(0, 1), 1e-12)
	require.InDelta(t, -2.2, g.two(0, 3), 1e-12)
	same := &given{pos: []int{-1, -1}, disc: []float64{0, 0}, over: []overLog{{0, meter.Ohms, -1}, {1, meter.Ohms, -1}}}
	require.InDelta(t, -1, same.overAll(-1, -1), 1e-12)
	require.InDelta(t, -1, same.two(0, 1), 1e-12)
}
