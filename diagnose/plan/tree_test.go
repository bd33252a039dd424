package plan

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func equal(n int) []float64 {
	w := make([]float64, n)
	for i := range w {
		w[i] = 1
	}
	return w
}

// Worst and expected numbers for equal weights, computed by an independent
// program.
func TestEdgeSearch(t *testing.T) {
	path := func(n int) (e [][2]int) {
		for i := 1; i < n; i++ {
			e = append(e, [2]int{i - 1, i})
		}
		return e
	}
	parents := func(parent ...int) (e [][2]int) {
		for i, p := range parent {
			e = append(e, [2]int{i + 1, p})
		}
		return e
	}
	for _, c := range []struct {
		name     string
		edges    [][2]int
		worst    int
		expected float64
	}{
		{"path 8", path(8), 3, 3},
		{"path 10", path(10), 4, 17. / 5},
		{"star of 8", parents(0, 0, 0, 0, 0, 0, 0, 0), 8, 44. / 9},
		{"4 legs of 3", parents(0, 1, 2, 0, 4, 5, 0, 7, 8, 0, 10, 11), 5, 53. / 13},
		{"binary tree of 15", parents(0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 5, 5, 6, 6), 5, 61. / 15},
	} {
		worst, expected := EdgeSearch(c.edges, equal(len(c.edges)+1))
		assert.Equal(t, c.worst, worst, c.name)
		assert.InDelta(t, c.expected, expected, 1e-12, c.name)
	}
	assert.Panics(t, func() { EdgeSearch([][2]int{{0, 1}, {1, 0}}, equal(3)) })
	assert.Panics(t, func() { EdgeSearch(nil, nil) })
}

// A path is a run of cuts; no tree does better than Huffman or the logarithm.
func TestEdgeSearchProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 10).Draw(t, "nodes")
		var edges, row [][2]int
		w := []float64{rapid.Float64Range(.01, 1).Draw(t, "weight")}
		for i := 1; i < n; i++ {
			edges = append(edges, [2]int{rapid.IntRange(0, i-1).Draw(t, "parent"), i})
			row = append(row, [2]int{i, i - 1})
			w = append(w, rapid.Float64Range(.01, 1).Draw(t, "weight"))
		}
		worst, expected := EdgeSearch(edges, w)
		require.GreaterOrEqual(t, expected, Huffman(w, 2)/total(w)-1e-9)
		require.GreaterOrEqual(t, float64(worst), math.Log2(float64(n))-1e-9)
		_, expected = EdgeSearch(row, w)
		require.InDelta(t, Alphabetic(w, nil).Cost(w, nil)/total(w), expected, 1e-9)
	})
}
