package stage

import (
	"math"
	"math/rand/v2"
	"testing"

	"fishplate/diagnose/internal/invent"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/require"
)

// every gives the least cost over all ways to cut, one after the other.
func every(n, most int, forced []bool, cost func(first, last int) float64) float64 {
	best := math.Inf(1)
	for cuts := range 1 << (n - 1) { // bit i: a cut behind i
		sum, first, ok := 0.0, 0, true
		for i := range n {
			cut := i == n-1 || cuts>>i&1 == 1
			if forced[i] && !cut || i-first+1 > most {
				ok = false
				break
			}
			if cut {
				sum += cost(first, i)
				first = i + 1
			}
		}
		if ok {
			best = min(best, sum)
		}
	}
	return best
}

// TestSplitAgainstEveryWay: with drawn costs, no way to cut costs less.
func TestSplitAgainstEveryWay(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 2))
	for range 300 {
		n, most := 1+rng.IntN(12), 1+rng.IntN(6)
		forced := make([]bool, n)
		costs := map[[2]int]float64{}
		for i := range n {
			forced[i] = rng.IntN(5) == 0
			for j := i; j < n; j++ {
				costs[[2]int{i, j}] = rng.Float64()
			}
		}
		cost := func(first, last int) float64 { return costs[[2]int{first, last}] }
		sum, first := 0.0, 0
		for _, last := range split(n, most, forced, cost) {
			require.LessOrEqual(t, last-first+1, most)
			for i := first; i < last; i++ {
				require.False(t, forced[i], "a stop that must be was passed over")
			}
			sum += cost(first, last)
			first = last + 1
		}
		require.Equal(t, n, first, "all is laid")
		require.InDelta(t, every(n, most, forced, cost), sum, 1e-12)
	}
}

// TestPlanAgainstEveryWay: the same on small layouts with their real costs.
func TestPlanAgainstEveryWay(t *testing.T) {
	for _, text := range []string{invent.Line("metal-tie", 12), invent.Loop("two-rail", 14), invent.Figure("roadbed"),
		invent.ReversingLoop("metal-tie")} {
		f, problems := layoutfile.Read("invented", []byte(text))
		require.NotNil(t, f, "%v", problems)
		n := len(f.Layout.Pieces)
		require.LessOrEqual(t, n, 20)
		for _, most := range []int{3, 5, 9} {
			plan, err := Make(f.Layout, Options{Within: most, Seed: 1})
			require.NoError(t, err)
			m, err := newMaker(f.Layout)
			require.NoError(t, err)
			costs := map[[2]int]float64{}
			for first := range n {
				for last := first; last < min(n, first+most); last++ {
					s := m.stage(first, last)
					costs[[2]int{first, last}] = s.Minutes + s.Chance*s.Hunt
				}
			}
			best := every(n, most, m.forced(), func(first, last int) float64 { return costs[[2]int{first, last}] })
			require.InDelta(t, best, plan.Minutes+plan.Hunts, 1e-9)
		}
	}
}
