package nodal_test

import (
	"fmt"
	"math"
	"math/big"
	"math/rand/v2"
	"testing"

	"fishplate/diagnose/nodal"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// digits is the precision of the reference in bits; resistances 1e13 apart
// squared leave it more than 150 bits to spare.
const digits = 300

// reference solves a small network by dense Gaussian elimination with partial
// pivoting in multiple precision: node voltages for one ampere in at a and out
// at b, relative to b. It shares nothing with the code under test; ties are
// written in as equations. It fails when b is not joined to a.
func reference(n int, edges []nodal.Edge, ties [][2]int, a, b int) ([]float64, error) {
	class, m := merge(n, ties)
	num := func(x float64) *big.Float { return new(big.Float).SetPrec(digits).SetFloat64(x) }
	mat := make([][]*big.Float, m)
	for i := range mat {
		mat[i] = make([]*big.Float, m+1)
		for j := range mat[i] {
			mat[i][j] = num(0)
		}
	}
	add := func(i, j int, x *big.Float) { mat[i][j].Add(mat[i][j], x) }
	for _, e := range edges {
		u, v := class[e.U], class[e.V]
		if u == v {
			continue
		}
		g := num(1)
		g.Quo(g, num(e.Ohms))
		minus := new(big.Float).Neg(g)
		add(u, u, g)
		add(v, v, g)
		add(u, v, minus)
		add(v, u, minus)
	}
	add(class[a], m, num(1))
	add(class[b], m, num(-1))
	joined := reach(class, m, edges, class[a])
	if !joined[class[b]] {
		return nil, fmt.Errorf("open")
	}
	// b is at zero volts; what hangs on neither is put at zero as well.
	for i := range m {
		if i == class[b] || !joined[i] {
			for j := range mat[i] {
				mat[i][j] = num(0)
			}
			mat[i][i] = num(1)
		}
	}
	x := gauss(mat)
	out := make([]float64, n)
	for i := range out {
		out[i], _ = x[class[i]].Float64()
	}
	return out, nil
}

func merge(n int, ties [][2]int) ([]int, int) {
	lead := make([]int, n)
	for i := range lead {
		lead[i] = i
	}
	for range n {
		for _, t := range ties {
			low := min(lead[t[0]], lead[t[1]])
			lead[t[0]], lead[t[1]] = low, low
		}
	}
	class, m := make([]int, n), 0
	for i := range n {
		if lead[i] == i {
			class[i] = m
			m++
		} else {
			class[i] = class[lead[i]]
		}
	}
	return class, m
}

func reach(class []int, m int, edges []nodal.Edge, from int) []bool {
	got := make([]bool, m)
	got[from] = true
	for range m {
		for _, e := range edges {
			if u, v := class[e.U], class[e.V]; got[u] || got[v] {
				got[u], got[v] = true, true
			}
		}
	}
	return got
}

func gauss(mat [][]*big.Float) []*big.Float {
	m := len(mat)
	tmp := new(big.Float).SetPrec(digits)
	for c := range m {
		best := c
		for r := c; r < m; r++ {
			if new(big.Float).Abs(mat[r][c]).Cmp(new(big.Float).Abs(mat[best][c])) > 0 {
				best = r
			}
		}
		mat[c], mat[best] = mat[best], mat[c]
		for r := c + 1; r < m; r++ {
			if mat[r][c].Sign() == 0 {
				continue
			}
			q := new(big.Float).SetPrec(digits).Quo(mat[r][c], mat[c][c])
			for k := c; k <= m; k++ {
				mat[r][k].Sub(mat[r][k], tmp.Mul(q, mat[c][k]))
			}
		}
	}
	x := make([]*big.Float, m)
	for r := m - 1; r >= 0; r-- {
		x[r] = new(big.Float).SetPrec(digits).Set(mat[r][m])
		for k := r + 1; k < m; k++ {
			x[r].Sub(x[r], tmp.Mul(mat[r][k], x[k]))
		}
		x[r].Quo(x[r], mat[r][r])
	}
	return x
}

// network is a random one: a few nodes, resistances from 1e-4 to 1e9 ohm,
// parallel edges, self-loops, ties, islands.
type network struct {
	n     int
	edges []nodal.Edge
	ties  [][2]int
	a, b  int
}

func drawNetwork(rt *rapid.T) network {
	n := rapid.IntRange(2, 9).Draw(rt, "nodes")
	node := rapid.IntRange(0, n-1)
	var w network
	w.n = n
	for range rapid.IntRange(0, 2*n).Draw(rt, "edges") {
		ohms := math.Pow(10, rapid.Float64Range(-4, 9).Draw(rt, "log ohms"))
		w.edges = append(w.edges, nodal.Edge{U: node.Draw(rt, "u"), V: node.Draw(rt, "v"), Ohms: ohms})
	}
	for range rapid.IntRange(0, 2).Draw(rt, "ties") {
		w.ties = append(w.ties, [2]int{node.Draw(rt, "tie"), node.Draw(rt, "tie")})
	}
	w.a, w.b = node.Draw(rt, "a"), node.Draw(rt, "b")
	return w
}

// Every resistance to 1e-13 of itself, whatever the mixture of 1e-4 and 1e9
// ohm. A voltage is as good as the currents, which cancel to 1e-16 ampere, and
// the resistance in their way allow: 1e-14 of the resistance from there to
// where the current leaves.
func TestAgainstDenseReference(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := drawNetwork(rt)
		f, err := nodal.NewFactor(w.n, w.edges, w.ties)
		require.NoError(rt, err)
		want, err := reference(w.n, w.edges, w.ties, w.a, w.b)
		if err != nil {
			require.True(rt, math.IsInf(f.Resistance(w.a, w.b), 1), "no way from a to b")
			require.NotEqual(rt, f.Island(w.a), f.Island(w.b))
			return
		}
		require.Equal(rt, f.Island(w.a), f.Island(w.b))
		require.InDelta(rt, want[w.a], f.Resistance(w.a, w.b), 1e-13*want[w.a])
		inject := make([]float64, w.n)
		inject[w.a]++
		inject[w.b]--
		v := f.Solve(nil, inject)
		for i := range w.n {
			if f.Island(i) == f.Island(w.a) {
				allowed := 1e-14 * (f.Resistance(i, w.b) + want[w.a])
				require.InDelta(rt, want[i], v[i]-v[w.b], allowed)
			}
		}
	})
}

// A drop across a small resistance in a network of large voltages keeps its
// own digits: two pieces of 3.5 mohm beside a leak of 1e9 ohm.
func TestSmallDropBesideLargeResistances(t *testing.T) {
	edges := []nodal.Edge{{U: 0, V: 1, Ohms: .0035}, {U: 1, V: 2, Ohms: .0015}, {U: 2, V: 0, Ohms: 1e9},
		{U: 2, V: 3, Ohms: 1e9}, {U: 3, V: 4, Ohms: 1e-4}, {U: 4, V: 0, Ohms: 1e9}}
	f := factor(t, 5, edges)
	for a := range 5 {
		for b := range 5 {
			if a != b {
				want, err := reference(5, edges, nil, a, b)
				require.NoError(t, err)
				near(t, want[a], f.Resistance(a, b))
			}
		}
	}
}

// Foster: the sum of R/r over all edges is the number of nodes less one.
// Named in Markowsky, Palacios, arXiv 1602.06002 (formula from memory). With
// islands, less one for each.
func TestFoster(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := drawNetwork(rt)
		f, err := nodal.NewFactor(w.n, w.edges, nil)
		require.NoError(rt, err)
		sum := 0.0
		for _, e := range w.edges {
			sum += f.Resistance(e.U, e.V) / e.Ohms
		}
		require.InDelta(rt, float64(w.n-f.Islands()), sum, 1e-11)
	})
}

// R'_ab = R_ab - dg w^2/(1 + dg R_uv), w = V_u - V_v per ampere from a to b
// (J. Sherman, W. J. Morrison, 1950, from memory), for a branch added and for
// one taken out; the one taken out is the only way exactly when g R_uv = 1.
func TestOneBranchChanged(t *testing.T) {
	rng := rand.New(rand.NewPCG(7, 7))
	for trial := range 40 {
		n := 4 + rng.IntN(6)
		_, edges := ring(n)
		for range n {
			if u, v := rng.IntN(n), rng.IntN(n); u != v {
				edges = append(edges, nodal.Edge{U: u, V: v, Ohms: math.Exp(2 * rng.NormFloat64())})
			}
		}
		f := factor(t, n, edges)
		a, b := 0, n-1
		inject := make([]float64, n)
		inject[a], inject[b] = 1, -1
		v := f.Solve(nil, inject)
		changed := func(u, w int, dg float64) float64 {
			drop := v[u] - v[w]
			return f.Resistance(a, b) - dg*drop*drop/(1+dg*f.Resistance(u, w))
		}
		more := nodal.Edge{U: rng.IntN(n - 1), V: n - 1, Ohms: math.Exp(rng.NormFloat64())}
		added := factor(t, n, append(edges[:len(edges):len(edges)], more))
		require.InDelta(t, changed(more.U, more.V, 1/more.Ohms), added.Resistance(a, b), 1e-11, "trial %d", trial)
		last := edges[len(edges)-1]
		removed := factor(t, n, edges[:len(edges)-1])
		require.InDelta(t, changed(last.U, last.V, -1/last.Ohms), removed.Resistance(a, b), 1e-10, "trial %d", trial)
	}
	f := factor(t, 4, []nodal.Edge{{U: 0, V: 1, Ohms: 2}, {U: 1, V: 2, Ohms: 3}, {U: 2, V: 0, Ohms: 4},
		{U: 2, V: 3, Ohms: .7}})
	near(t, .7, f.Resistance(2, 3), "the only way to node 3")
	require.Less(t, f.Resistance(0, 1), 2., "on a ring there is another way")
}

// A resistance is a distance (symmetric, triangle inequality: Klein, Randic,
// "Resistance distance", J. Math. Chem. 12, 1993, from memory), and adding a
// resistor raises none (Rayleigh's law of monotonicity, from memory).
func TestResistanceIsADistance(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		w := drawNetwork(rt)
		f, err := nodal.NewFactor(w.n, w.edges, w.ties)
		require.NoError(rt, err)
		c := rapid.IntRange(0, w.n-1).Draw(rt, "c")
		ab, bc, ac := f.Resistance(w.a, w.b), f.Resistance(w.b, c), f.Resistance(w.a, c)
		if !math.IsInf(ab, 1) {
			require.InDelta(rt, ab, f.Resistance(w.b, w.a), 1e-12*ab)
		}
		require.LessOrEqual(rt, ac, (ab+bc)*(1+1e-12))
		more := append(w.edges[:len(w.edges):len(w.edges)], nodal.Edge{U: w.b, V: c, Ohms: 1})
		g, err := nodal.NewFactor(w.n, more, w.ties)
		require.NoError(rt, err)
		require.LessOrEqual(rt, g.Resistance(w.a, c), ac*(1+1e-12))
	})
}

// The same network gives the same bits, in whatever order its edges are named
// it gives the same value.
func TestSameNetworkSameAnswer(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	n, edges := grid(12)
	for i := range edges {
		edges[i].Ohms = math.Exp(rng.NormFloat64())
	}
	r := factor(t, n, edges).Resistance(3, 140)
	require.Equal(t, r, factor(t, n, edges).Resistance(3, 140))
	rng.Shuffle(len(edges), func(i, j int) { edges[i], edges[j] = edges[j], edges[i] })
	near(t, r, factor(t, n, edges).Resistance(3, 140))
}
