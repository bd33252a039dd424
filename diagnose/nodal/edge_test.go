package nodal_test

import (
	"math"
	"strconv"
	"testing"

	"fishplate/diagnose/nodal"

	"github.com/stretchr/testify/require"
)

func TestIslands(t *testing.T) {
	f := factor(t, 7, []nodal.Edge{{U: 0, V: 1, Ohms: 1}, {U: 2, V: 3, Ohms: 2}, {U: 3, V: 4, Ohms: 3}}, [2]int{4, 5})
	require.Equal(t, 7, f.Nodes())
	require.Equal(t, 3, f.Islands())
	require.Equal(t, f.Island(0), f.Island(1))
	require.Equal(t, f.Island(2), f.Island(5))
	require.NotEqual(t, f.Island(0), f.Island(2))
	require.NotEqual(t, f.Island(6), f.Island(2))
	require.True(t, math.IsInf(f.Resistance(1, 2), 1))
	require.True(t, math.IsInf(f.Resistance(6, 0), 1))
	near(t, 5, f.Resistance(2, 5))

	// Two islands driven at once do not disturb each other.
	v := f.Solve(nil, []float64{1, -1, 1, 0, -1, 0, 0})
	near(t, 1, v[0]-v[1])
	near(t, 5, v[2]-v[4])
	require.Equal(t, v[4], v[5])
	require.Zero(t, v[6])
}

func TestTies(t *testing.T) {
	edges := []nodal.Edge{{U: 0, V: 1, Ohms: 6}, {U: 2, V: 3, Ohms: 3}, {U: 4, V: 4, Ohms: 1}}
	f := factor(t, 6, edges, [2]int{1, 3}, [2]int{0, 2}, [2]int{3, 5}, [2]int{5, 5})
	near(t, 2, f.Resistance(0, 1), "6 and 3 in parallel")
	require.Zero(t, f.Resistance(1, 5), "tied through 3")
	require.True(t, f.Tied(1, 5))
	require.False(t, f.Tied(0, 1))
	require.Equal(t, 2, f.Islands())

	shorted := factor(t, 2, edges[:1], [2]int{0, 1})
	require.Zero(t, shorted.Resistance(0, 1), "a tie across a resistor")
	require.Equal(t, 1, shorted.Islands())
}

func TestSolveReusesItsSlice(t *testing.T) {
	f := factor(t, 2, []nodal.Edge{{U: 0, V: 1, Ohms: 2}})
	dst := make([]float64, 2, 9)
	dst[0], dst[1] = 77, 78
	got := f.Solve(dst, []float64{1, -1})
	require.Same(t, &dst[0], &got[0])
	near(t, 2, got[0]-got[1])
}

func TestNoNodes(t *testing.T) {
	f := factor(t, 0, nil)
	require.Zero(t, f.Nodes())
	require.Zero(t, f.Islands())
	require.Empty(t, f.Solve(nil, nil))
}

func TestBadInput(t *testing.T) {
	nan := math.NaN()
	for _, ohms := range []float64{0, -1, nan, math.Inf(1), math.Inf(-1), 1e-320} {
		_, err := nodal.NewFactor(2, []nodal.Edge{{U: 0, V: 1, Ohms: 1}, {U: 0, V: 1, Ohms: ohms}}, nil)
		require.ErrorContains(t, err, "edge 1", "%v ohm", ohms)
	}
	for _, e := range []nodal.Edge{{U: -1, V: 0, Ohms: 1}, {U: 0, V: 2, Ohms: 1}, {U: 2, V: 0, Ohms: 1},
		{U: 0, V: -1, Ohms: 1}} {
		_, err := nodal.NewFactor(2, []nodal.Edge{e}, nil)
		require.ErrorContains(t, err, "edge 0: no such node")
	}
	for _, tie := range [][2]int{{0, 2}, {-1, 0}, {2, 0}, {0, -1}} {
		_, err := nodal.NewFactor(2, nil, [][2]int{tie})
		require.ErrorContains(t, err, "no such node")
	}
	_, err := nodal.NewFactor(-1, nil, nil)
	require.ErrorContains(t, err, "below zero")
}

// Resistances at the ends of what a float64 holds neither overflow nor vanish
// on the way.
func TestExtremeResistances(t *testing.T) {
	for _, r := range []float64{1e-300, 1e-160, 1e160, 1e300} {
		n, e := ring(4)
		for i := range e {
			e[i].Ohms = r
		}
		near(t, r, factor(t, n, e).Resistance(0, 2), "%g", r)
	}
}

// twoRails is a closed loop of pieces, two rails of two halves and a joint
// each, with a short: the shape of a layout.
func twoRails(pieces int) (int, []nodal.Edge) {
	n := 4 * pieces
	var e []nodal.Edge
	for i := range 2 * pieces {
		for rail := range 2 {
			ohms := .00175
			if i%2 == 1 {
				ohms = .0032
			}
			e = append(e, nodal.Edge{U: 2*i + rail, V: (2*i + 2 + rail) % n, Ohms: ohms})
		}
	}
	return n, append(e, nodal.Edge{U: 20, V: 21, Ohms: .1})
}

func BenchmarkFactorLoop(b *testing.B) {
	for _, size := range []int{60, 200, 1000, 5000} {
		n, e := twoRails(size)
		b.Run(strconv.Itoa(size)+" pieces", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				factor(b, n, e)
			}
		})
	}
}

func BenchmarkSolveLoop(b *testing.B) {
	for _, size := range []int{60, 200, 1000, 5000} {
		n, e := twoRails(size)
		f := factor(b, n, e)
		inject, dst := make([]float64, n), make([]float64, n)
		inject[0], inject[n/2] = 1, -1
		b.Run(strconv.Itoa(size)+" pieces", func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				dst = f.Solve(dst, inject)
			}
		})
	}
}

// A grid fills in: the worst case that a layout never comes near.
func BenchmarkFactorGrid41(b *testing.B) {
	n, e := grid(41)
	b.ReportAllocs()
	for b.Loop() {
		factor(b, n, e)
	}
}
