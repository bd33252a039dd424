package conflict

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/diagnose/plan"
)

// The polybox of de Kleer and Williams 1987: M1: X=A*C, M2: Y=B*D, M3: Z=C*E,
// A1: F=X+Y, A2: G=Y+Z with A=3 B=2 C=2 D=3 E=3, seen F=10 and G=12. Inputs and
// readings found in course notes of B. C. Williams (2004); minimal conflicts
// and candidates as in the paper, from memory; the figures below computed with
// an independent program (equal priors, a candidate counts when consistent).
const (
	a1 = iota
	a2
	m1
	m2
	m3
)

// values holds what the sound parts force by local propagation. Points that
// nothing forces are not known.
type values struct {
	known [5]bool // X, Y, Z, F, G
	v     [5]int
}

const (
	x = iota
	y
	z
	f
	g
)

func (b *values) set(at, v int) (fits bool) {
	if b.known[at] {
		return b.v[at] == v
	}
	b.known[at], b.v[at] = true, v
	return true
}

// sum propagates a+b=c in all three directions.
func (b *values) sum(p, q, r int) bool {
	switch {
	case b.known[p] && b.known[q]:
		return b.set(r, b.v[p]+b.v[q])
	case b.known[p] && b.known[r]:
		return b.set(q, b.v[r]-b.v[p])
	case b.known[q] && b.known[r]:
		return b.set(p, b.v[r]-b.v[q])
	}
	return true
}

func polybox(sound Set, seenF, seenG bool) (values, bool) {
	var b values
	ok := true
	if seenF {
		ok = ok && b.set(f, 10)
	}
	if seenG {
		ok = ok && b.set(g, 12)
	}
	for range 4 {
		for part, product := range map[int][2]int{m1: {x, 6}, m2: {y, 6}, m3: {z, 6}} {
			if sound.Has(part) {
				ok = b.set(product[0], product[1]) && ok
			}
		}
		if sound.Has(a1) {
			ok = b.sum(x, y, f) && ok
		}
		if sound.Has(a2) {
			ok = b.sum(y, z, g) && ok
		}
	}
	return b, ok
}

func fits(seenG bool) func(Set) bool {
	return func(s Set) bool {
		_, ok := polybox(s, true, seenG)
		return ok
	}
}

func TestPolybox(t *testing.T) {
	conflicts := Conflicts(5, fits(true))
	assert.ElementsMatch(t, []Set{Of(a1, m1, m2), Of(a1, a2, m1, m3)}, conflicts)
	assert.ElementsMatch(t, []Set{Of(a1), Of(m1), Of(a2, m2), Of(m2, m3)}, Candidates(5, conflicts))
	onlyF := Conflicts(5, fits(false))
	assert.Equal(t, []Set{Of(a1, m1, m2)}, onlyF)
	assert.ElementsMatch(t, []Set{Of(a1), Of(m1), Of(m2)}, Candidates(5, onlyF))
	consistent := func(c []Set) (n int) {
		for s := range Set(32) {
			if Explains(s, c) {
				n++
			}
		}
		return n
	}
	assert.Equal(t, 28, consistent(onlyF))
	assert.Equal(t, 27, consistent(conflicts))
}

// probe is the expected entropy over the hypotheses after reading a point: a
// hypothesis that predicts nothing there keeps its weight in a group apart.
func probe(sets []Set, weight []float64, at int) float64 {
	group := map[int][]float64{}
	sum, after := 0.0, 0.0
	for i, s := range sets {
		b, _ := polybox(31&^s, true, true)
		key := -1
		if b.known[at] {
			key = b.v[at]
		}
		group[key] = append(group[key], weight[i])
		sum += weight[i]
	}
	for _, w := range group {
		m := 0.0
		for _, x := range w {
			m += x
		}
		after += m / sum * plan.Entropy(w)
	}
	return after
}

func TestPolyboxProbes(t *testing.T) {
	minimal := Candidates(5, Conflicts(5, fits(true)))
	for _, c := range []struct {
		p, entropy float64
		after      [3]float64 // X, Y, Z
	}{
		{.01, 1.08079, [3]float64{.08087, 1, 1.03538}},
		{.001, 1.01141, [3]float64{.01141, 1, 1.00520}},
	} {
		p := []float64{c.p, c.p, c.p, c.p, c.p}
		var w []float64
		for _, s := range minimal {
			w = append(w, Prior(s, p))
		}
		assert.InDelta(t, c.entropy, plan.Entropy(w), 5e-6)
		for at, want := range c.after {
			assert.InDelta(t, want, probe(minimal, w, at), 5e-6)
		}
	}
}

func TestPolyboxAllSets(t *testing.T) {
	conflicts := Conflicts(5, fits(true))
	p := []float64{.01, .01, .01, .01, .01}
	var w []float64
	marginal := make([]float64, 5)
	sum := 0.0
	for s := range Set(32) {
		if Explains(s, conflicts) {
			v := Prior(s, p)
			w, sum = append(w, v), sum+v
			for i := range 5 {
				if s.Has(i) {
					marginal[i] += v
				}
			}
		}
	}
	assert.InDelta(t, 1.35945, plan.Entropy(w), 5e-6)
	for part, want := range map[int]float64{a1: .497635, m1: .497635, m2: .019609, a2: .014780, m3: .014780} {
		assert.InDelta(t, want, marginal[part]/sum, 5e-7)
	}
	assert.InDelta(t, .478026, Prior(Of(a1), p)/sum, 5e-7)
	assert.InDelta(t, .0048285, Prior(Of(a2, m2), p)/sum, 5e-8)
}

// Candidates hit every conflict, lose that when any part is taken away, and
// every set that hits all holds one of them.
func TestCandidatesProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 7).Draw(t, "parts")
		var conflicts []Set
		for range rapid.IntRange(0, 5).Draw(t, "conflicts") {
			conflicts = append(conflicts, Set(rapid.IntRange(1, 1<<n-1).Draw(t, "conflict")))
		}
		out := Candidates(n, conflicts)
		for _, s := range out {
			require.True(t, Explains(s, conflicts))
			for i := range n {
				require.False(t, s.Has(i) && Explains(s&^Of(i), conflicts))
			}
		}
		for s := range Set(1 << n) {
			require.Equal(t, Explains(s, conflicts), containsAny(s, out))
		}
	})
}
