package nodal_test

import (
	"math"
	"testing"

	"fishplate/diagnose/nodal"

	"github.com/stretchr/testify/require"
)

// The graphs that published values exist for, every edge 1 ohm.

func ring(n int) (int, []nodal.Edge) {
	var e []nodal.Edge
	for i := range n {
		e = append(e, nodal.Edge{U: i, V: (i + 1) % n, Ohms: 1})
	}
	return n, e
}

func complete(n int) (int, []nodal.Edge) {
	var e []nodal.Edge
	for i := range n {
		for j := range i {
			e = append(e, nodal.Edge{U: i, V: j, Ohms: 1})
		}
	}
	return n, e
}

func bipartite(m, n int) (int, []nodal.Edge) {
	var e []nodal.Edge
	for i := range m {
		for j := range n {
			e = append(e, nodal.Edge{U: i, V: m + j, Ohms: 1})
		}
	}
	return m + n, e
}

func hypercube(dim int) (int, []nodal.Edge) {
	var e []nodal.Edge
	for i := range 1 << dim {
		for d := range dim {
			if j := i ^ 1<<d; i < j {
				e = append(e, nodal.Edge{U: i, V: j, Ohms: 1})
			}
		}
	}
	return 1 << dim, e
}

func grid(side int) (int, []nodal.Edge) {
	var e []nodal.Edge
	for y := range side {
		for x := range side {
			if x+1 < side {
				e = append(e, nodal.Edge{U: y*side + x, V: y*side + x + 1, Ohms: 1})
			}
			if y+1 < side {
				e = append(e, nodal.Edge{U: y*side + x, V: (y+1)*side + x, Ohms: 1})
			}
		}
	}
	return side * side, e
}

// solid joins the corners of a body that are as near to each other as any
// two, which are the ends of its edges when all its edges are alike.
func solid(corners [][3]float64) (int, []nodal.Edge) {
	dist := func(a, b [3]float64) float64 {
		return math.Hypot(math.Hypot(a[0]-b[0], a[1]-b[1]), a[2]-b[2])
	}
	least := math.Inf(1)
	for i := range corners {
		for j := range i {
			least = min(least, dist(corners[i], corners[j]))
		}
	}
	var e []nodal.Edge
	for i := range corners {
		for j := range i {
			if dist(corners[i], corners[j]) < least*1.01 {
				e = append(e, nodal.Edge{U: i, V: j, Ohms: 1})
			}
		}
	}
	return len(corners), e
}

func signs(x, y, z float64) [][3]float64 {
	var out [][3]float64
	seen := map[[3]float64]bool{}
	for k := range 8 {
		p := [3]float64{x, y, z}
		for d := range 3 {
			if k>>d&1 == 1 {
				p[d] = 0 - p[d] // 0-0 is +0, so that a corner comes once
			}
		}
		if !seen[p] {
			seen[p] = true
			out = append(out, p)
		}
	}
	return out
}

// turned gives a corner and its signs in the three cyclic orders of the axes.
func turned(x, y, z float64) [][3]float64 {
	out := signs(x, y, z)
	out = append(out, signs(y, z, x)...)
	return append(out, signs(z, x, y)...)
}

var golden = (1 + math.Sqrt(5)) / 2

func octahedron() (int, []nodal.Edge)  { return solid(turned(1, 0, 0)) }
func icosahedron() (int, []nodal.Edge) { return solid(turned(0, 1, golden)) }
func dodecahedron() (int, []nodal.Edge) {
	return solid(append(signs(1, 1, 1), turned(0, 1/golden, golden)...))
}

// hops counts the edges on the shortest way from a node to every other.
func hops(n int, edges []nodal.Edge, from int) []int {
	far := make([]int, n)
	for i := range far {
		far[i] = n
	}
	far[from] = 0
	for range n {
		for _, e := range edges {
			far[e.U] = min(far[e.U], far[e.V]+1)
			far[e.V] = min(far[e.V], far[e.U]+1)
		}
	}
	return far
}

func factor(t testing.TB, n int, edges []nodal.Edge, ties ...[2]int) *nodal.Factor {
	t.Helper()
	f, err := nodal.NewFactor(n, edges, ties)
	require.NoError(t, err)
	return f
}

// near asks for agreement to 1e-12 of the value.
func near(t *testing.T, want, got float64, what ...any) {
	t.Helper()
	require.InDelta(t, want, got, 1e-12*math.Abs(want), what...)
}
