package nodal_test

import (
	"math"
	"testing"

	"fishplate/diagnose/nodal"

	"github.com/stretchr/testify/require"
)

// Ring of N, n apart: n(N-n)/N. F. Y. Wu, "Theory of resistor networks: the
// two-point resistance", J. Phys. A 37, 2004 (formula from memory).
func TestRing(t *testing.T) {
	for _, size := range []int{2, 5, 8, 12, 200} {
		n, e := ring(size)
		f := factor(t, n, e)
		for k := range size {
			near(t, float64(k*(size-k))/float64(size), f.Resistance(0, k), "N=%d n=%d", size, k)
		}
	}
}

// Complete graph: 2/n. Wu 2004, from memory.
func TestComplete(t *testing.T) {
	for _, size := range []int{2, 3, 5, 7, 20} {
		n, e := complete(size)
		f := factor(t, n, e)
		for i := 1; i < n; i++ {
			near(t, 2/float64(size), f.Resistance(0, i), "K_%d", size)
		}
	}
}

// Complete bipartite graph: across (m+n-1)/(mn), within the side of m 2/n.
// From memory; worked values 2/3, 2/3 for (2,3) and 1/2, 1/2 for (3,4).
func TestCompleteBipartite(t *testing.T) {
	for _, c := range []struct {
		m, n         int
		across, same float64
	}{{2, 3, 2. / 3, 2. / 3}, {3, 4, 1. / 2, 1. / 2}, {5, 9, 13. / 45, 2. / 9}} {
		n, e := bipartite(c.m, c.n)
		f := factor(t, n, e)
		near(t, c.across, f.Resistance(0, c.m), "K_%d,%d across", c.m, c.n)
		near(t, c.same, f.Resistance(0, 1), "K_%d,%d same side", c.m, c.n)
	}
}

// By number of edges between the two corners. Cube: F. J. van Steenwijk,
// "Equivalent resistors of polyhedral resistive structures", Am. J. Phys. 66,
// 1998, reproduced in Moody, WPI project 2013 (values from memory). The other
// solids: values from memory.
func TestPlatonicSolids(t *testing.T) {
	build := func(n int, e []nodal.Edge) func() (int, []nodal.Edge) {
		return func() (int, []nodal.Edge) { return n, e }
	}
	for _, c := range []struct {
		name           string
		make           func() (int, []nodal.Edge)
		corners, edges int
		want           []float64
	}{
		{"tetrahedron", build(complete(4)), 4, 6, []float64{1. / 2}},
		{"cube", build(hypercube(3)), 8, 12, []float64{7. / 12, 3. / 4, 5. / 6}},
		{"octahedron", octahedron, 6, 12, []float64{5. / 12, 1. / 2}},
		{"icosahedron", icosahedron, 12, 30, []float64{11. / 30, 7. / 15, 1. / 2}},
		{"dodecahedron", dodecahedron, 20, 30, []float64{19. / 30, 9. / 10, 16. / 15, 17. / 15, 7. / 6}},
	} {
		t.Run(c.name, func(t *testing.T) {
			n, e := c.make()
			require.Equal(t, c.corners, n)
			require.Len(t, e, c.edges)
			f := factor(t, n, e)
			for a := range n {
				for b, far := range hops(n, e, a) {
					if far > 0 {
						near(t, c.want[far-1], f.Resistance(a, b), "%d-%d", a, b)
					}
				}
			}
		})
	}
}

// Body diagonal of the n-cube: A. Zatsman, net.math, 30 Oct 1985, a table to
// six digits that follows from sum k!(n-1-k)!/n!. (Its n=20 prints .105993,
// the sum gives .105994.)
func TestHypercubeDiagonal(t *testing.T) {
	table := []float64{1, 1, .833333, .666667, .533333, .433333, .359524, .304762, .263492, .231746}
	for i, want := range table[:9] { // the tenth takes seconds: a cube fills in like a full matrix
		n, e := hypercube(i + 1)
		got := factor(t, n, e).Resistance(0, n-1)
		require.InDelta(t, want, got, 6e-7, "dimension %d", i+1)
	}
}

// Ladder of n sections, 1 ohm in series and 1 across: 2, 5/3, 13/8, ...,
// ratios of Fibonacci numbers, towards the golden ratio; limit
// R/2 (1+sqrt(4x+1)): Math StackExchange, question 4824174.
func TestLadder(t *testing.T) {
	want := []float64{2, 5. / 3, 13. / 8, 34. / 21, 89. / 55}
	for sections := 1; sections <= 30; sections++ {
		var e []nodal.Edge
		for i := range sections {
			e = append(e, nodal.Edge{U: i + 1, V: i + 2, Ohms: 1}, nodal.Edge{U: i + 2, V: 0, Ohms: 1})
		}
		got := factor(t, sections+2, e).Resistance(1, 0)
		if sections <= len(want) {
			near(t, want[sections-1], got)
		}
		if sections == 30 {
			near(t, golden, got)
		}
	}
}

// Ladder with resistors in both sides: 3, then Q' = (3Q+2)/(Q+1), limit
// 1+sqrt 3. Perplexus puzzle 5169.
func TestTwoSidedLadder(t *testing.T) {
	q := 3.0
	for sections := 1; sections <= 30; sections++ {
		var e []nodal.Edge
		for i := range sections {
			e = append(e, nodal.Edge{U: 2 * i, V: 2*i + 2, Ohms: 1}, nodal.Edge{U: 2*i + 1, V: 2*i + 3, Ohms: 1},
				nodal.Edge{U: 2*i + 2, V: 2*i + 3, Ohms: 1})
		}
		got := factor(t, 2*sections+2, e).Resistance(0, 1)
		near(t, q, got, "%d sections", sections)
		q = (3*q + 2) / (q + 1)
	}
	near(t, 1+math.Sqrt(3), q)
}

// Infinite square grid: (1,0) 1/2, (1,1) 2/pi, (2,1) 4/pi-1/2. D. Atkinson,
// F. J. van Steenwijk, Am. J. Phys. 67, 1999, 486-492; OEIS A355565. A finite
// grid comes near from above (cutting edges away only raises a resistance),
// nearer with its size: .50008, .63679, .77366 at 81 by 81, our own
// figures, worked out once in exact fractions; that program is lost.
func TestSquareGrid(t *testing.T) {
	limit := []float64{1. / 2, 2 / math.Pi, 4/math.Pi - 1./2}
	at81 := []float64{.50008, .63679, .77366}
	excess := []float64{1, 1, 1}
	for _, side := range []int{11, 21, 41, 81} {
		n, e := grid(side)
		f := factor(t, n, e)
		c := n / 2
		for i, to := range []int{c + 1, c + side + 1, c + side + 2} {
			got := f.Resistance(c, to)
			require.Greater(t, got, limit[i])
			require.Less(t, got-limit[i], excess[i]/3, "twice the side, less than a third of the excess")
			excess[i] = got - limit[i]
			if side == 81 {
				require.InDelta(t, at81[i], got, 5.1e-6)
			}
		}
	}
}

// A chord between points of equal voltage changes nothing (symmetry).
func TestBalancedBridge(t *testing.T) {
	n, e := ring(12)
	for _, chord := range []float64{1e-4, 1, 1e9} {
		f := factor(t, n, append(e[:12:12], nodal.Edge{U: 3, V: 9, Ohms: chord}))
		near(t, 3, f.Resistance(0, 6), "chord %g", chord)
	}
	f := factor(t, n, append(e[:12:12], nodal.Edge{U: 3, V: 9, Ohms: 1}))
	near(t, 3./4, f.Resistance(3, 9))
	f = factor(t, n, e, [2]int{3, 9})
	near(t, 3, f.Resistance(0, 6))
	require.Zero(t, f.Resistance(3, 9))
}

// Cube without one edge: 7/5 across the gap, 11/10 over the body diagonal
// that the gap's corner is an end of. Computed once in exact fractions.
func TestCubeWithoutAnEdge(t *testing.T) {
	n, e := hypercube(3)
	require.Equal(t, nodal.Edge{U: 0, V: 1, Ohms: 1}, e[0])
	f := factor(t, n, e[1:])
	near(t, 7./5, f.Resistance(0, 1))
	near(t, 11./10, f.Resistance(0, 7))
}

// Two-rail loop of 10 pieces, .024 and .012 ohm a piece, short .05 ohm at
// node s, ohms at the feed: Rs + (ra+rb) s(N-s)/N (derived from the ring). s
// and N-s read alike: one ohms reading cannot tell the side.
func TestTwoRailLoop(t *testing.T) {
	const size, ra, rb, rs = 10, .024, .012, .05
	want := map[int]float64{0: .05, 1: .0824, 3: .1256, 5: .14, 7: .1256, 9: .0824}
	for s := range size {
		var e []nodal.Edge
		for i := range size {
			j := (i + 1) % size
			e = append(e, nodal.Edge{U: i, V: j, Ohms: ra}, nodal.Edge{U: size + i, V: size + j, Ohms: rb})
		}
		e = append(e, nodal.Edge{U: s, V: size + s, Ohms: rs})
		got := factor(t, 2*size, e).Resistance(0, size)
		near(t, rs+(ra+rb)*float64(s*(size-s))/size, got, "s=%d", s)
		if w, ok := want[s]; ok {
			near(t, w, got, "s=%d", s)
		}
	}
}
