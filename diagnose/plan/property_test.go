package plan

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func drawSequencing(t *rapid.T) *Sequencing {
	n := rapid.IntRange(1, 7).Draw(t, "states")
	s := &Sequencing{}
	for range n {
		s.Prior = append(s.Prior, rapid.Float64Range(.001, 1).Draw(t, "prior"))
	}
	for range rapid.IntRange(1, 7).Draw(t, "tests") {
		test := Test{Cost: rapid.Float64Range(.1, 5).Draw(t, "cost")}
		for range n {
			test.Outcome = append(test.Outcome, rapid.IntRange(0, 2).Draw(t, "outcome"))
		}
		s.Tests = append(s.Tests, test)
	}
	return s
}

// Exact is never dearer than greedy or look-ahead, never below the floor.
func TestSequencingProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := drawSequencing(t)
		best, err := s.Optimal()
		require.NoError(t, err)
		cost := s.ExpectedCost(best)
		for _, other := range []func() (*Tree, error){s.Greedy, s.Minimax, func() (*Tree, error) { return s.LookAhead(2) }} {
			tree, err := other()
			require.NoError(t, err)
			require.LessOrEqual(t, cost, s.ExpectedCost(tree)+1e-9)
		}
		// The floor holds where the tests tell something apart everywhere.
		require.GreaterOrEqual(t, cost, s.Floor()-1e-9)
		worst, err := s.Minimax()
		require.NoError(t, err)
		require.LessOrEqual(t, s.WorstCost(worst), s.WorstCost(best)+1e-9)
		require.LessOrEqual(t, cost, s.WorstCost(worst)+1e-9)
	})
}

func TestSequencingRefusesBadProblems(t *testing.T) {
	for _, s := range []*Sequencing{
		{}, {Prior: make([]float64, MaxStates+1)}, {Prior: []float64{-1}}, {Prior: []float64{0, 0}},
		{Prior: []float64{1, 1}, Tests: []Test{{Outcome: []int{0}, Cost: 1}}},
		{Prior: []float64{1, 1}, Tests: []Test{{Outcome: []int{0, -1}, Cost: 1}}},
		{Prior: []float64{1, 1}, Tests: []Test{{Outcome: []int{0, 1}, Cost: math.NaN()}}},
	} {
		_, err := s.Optimal()
		assert.Error(t, err)
		_, err = s.Greedy()
		assert.Error(t, err)
	}
}

// Huffman lies between the entropy and the entropy plus one (Huffman 1952).
func TestHuffmanBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.SliceOfN(rapid.Float64Range(.01, 1), 2, 30).Draw(t, "weights")
		h, sum := Entropy(w), total(w)
		require.GreaterOrEqual(t, Huffman(w, 2)/sum, h-1e-9)
		require.Less(t, Huffman(w, 2)/sum, h+1)
		require.GreaterOrEqual(t, Huffman(w, 3)/sum*math.Log2(3), h-1e-9)
	})
}

// Garsia-Wachs equals the interval programme; both lie between Huffman and
// halving by probability, and halving within the entropy plus two tests.
func TestCutsProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		ints := rapid.SliceOfN(rapid.IntRange(0, 20), 1, 40).Draw(t, "weights")
		w := make([]float64, len(ints))
		for i, x := range ints {
			w[i] = float64(x)
		}
		best, sum := Alphabetic(w, nil), total(w)
		cost := best.Cost(w, nil)
		require.Equal(t, cost, GarsiaWachs(w).Cost(w, nil))
		require.Len(t, best.Depths(), len(w))
		require.GreaterOrEqual(t, cost, Huffman(w, 2))
		half := Balanced(w).Cost(w, nil)
		require.GreaterOrEqual(t, half, cost)
		require.LessOrEqual(t, half, sum*(Entropy(w)+2)+1e-9)
		ones := make([]float64, len(w)-1)
		for i := range ones {
			ones[i] = 1
		}
		require.Equal(t, cost, Alphabetic(w, ones).Cost(w, ones), "the narrowed range of roots loses nothing")
	})
	assert.Equal(t, 1.0, Balanced([]float64{0, 0, 0, 1}).Cost([]float64{0, 0, 0, 1}, nil), "slots ruled out cost no cuts")
	assert.Equal(t, 1.0, Balanced([]float64{1, 0, 0, 0}).Cost([]float64{1, 0, 0, 0}, nil))
	assert.Nil(t, Alphabetic(nil, nil))
	assert.Nil(t, GarsiaWachs(nil))
	assert.Nil(t, Balanced(nil))
}

// A run with equal cuts is a sequencing problem whose tests are the cuts.
func TestCutsAreASequencingProblem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 9).Draw(t, "slots")
		s := &Sequencing{}
		for range n {
			s.Prior = append(s.Prior, rapid.Float64Range(.01, 1).Draw(t, "weight"))
		}
		var costs []float64
		for at := 1; at < n; at++ {
			costs = append(costs, rapid.Float64Range(.5, 9).Draw(t, "cut"))
			test := Test{Cost: costs[at-1], Outcome: make([]int, n)}
			for i := at; i < n; i++ {
				test.Outcome[i] = 1
			}
			s.Tests = append(s.Tests, test)
		}
		best, err := s.Optimal()
		require.NoError(t, err)
		want := Alphabetic(s.Prior, costs).Cost(s.Prior, costs) / total(s.Prior)
		require.InDelta(t, want, s.ExpectedCost(best), 1e-9)
	})
}

// permutations calls f with every order of 0..n-1.
func permutations(n int, f func([]int)) {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	var walk func(int)
	walk = func(k int) {
		if k == n {
			f(order)
			return
		}
		for i := k; i < n; i++ {
			order[k], order[i] = order[i], order[k]
			walk(k + 1)
			order[k], order[i] = order[i], order[k]
		}
	}
	walk(0)
}

func TestLookOrderIsTheBestOfAllOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 6).Draw(t, "places")
		p, c := make([]float64, n), make([]float64, n)
		for i := range n {
			p[i] = float64(rapid.IntRange(0, 9).Draw(t, "p")) / float64(9*n)
			c[i] = float64(rapid.IntRange(0, 9).Draw(t, "cost"))
		}
		var clusters []Cluster
		k := rapid.IntRange(0, n).Draw(t, "first cluster ends")
		m := rapid.IntRange(k, n).Draw(t, "second cluster ends")
		for _, r := range [][2]int{{0, k}, {k, m}} {
			cl := Cluster{Open: rapid.Float64Range(0, 10).Draw(t, "open")}
			for i := r[0]; i < r[1]; i++ {
				cl.Items = append(cl.Items, i)
			}
			clusters = append(clusters, cl)
		}
		plain, behind := math.Inf(1), math.Inf(1)
		permutations(n, func(o []int) {
			plain = min(plain, ExpectedCost(o, p, c))
			behind = min(behind, ClusterCost(o, p, c, clusters))
		})
		require.InDelta(t, plain, ExpectedCost(LookOrder(p, c), p, c), 1e-9)
		require.InDelta(t, behind, ClusterCost(ClusterOrder(p, c, clusters), p, c, clusters), 1e-9)
	})
}

// Blackwell's rule finds at least as much as any other sequence of looks at
// every horizon, when all looks cost the same.
func TestLooksThatMissAreTheBestOfAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 3).Draw(t, "places")
		p, seen, c := make([]float64, n), make([]float64, n), make([]float64, n)
		for i := range n {
			p[i], seen[i], c[i] = rapid.Float64Range(.01, 1).Draw(t, "p"), rapid.Float64Range(.05, 1).Draw(t, "seen"), 1
		}
		const horizon = 5
		_, found := LooksThatMiss(p, seen, c, horizon)
		best := make([]float64, horizon)
		var walk func(q []float64, k int, hit float64)
		walk = func(q []float64, k int, hit float64) {
			if k == horizon {
				return
			}
			for i := range n {
				h := hit + q[i]*seen[i]
				best[k] = max(best[k], h)
				was := q[i]
				q[i] *= 1 - seen[i]
				walk(q, k+1, h)
				q[i] = was
			}
		}
		walk(append([]float64(nil), p...), 0, 0)
		for k, f := range found {
			require.InDelta(t, best[k]/total(p), f, 1e-9)
		}
	})
	assert.True(t, math.IsInf(ExpectedLooks([]float64{1, 1}, []float64{1, 0}, []float64{1, 1}), 1))
	assert.InDelta(t, 4, ExpectedLooks([]float64{1}, []float64{.25}, []float64{1}), 1e-9, "one look in four shows it")
}

// The means and error rates of a probabilistic bisection, computed with an
// independent program (40 000 trials each); bands are four standard errors of
// our trials, and a little for the scatter and rounding of the figures.
func TestBisectionTable(t *testing.T) {
	for _, c := range []struct {
		n           int
		wrong, stop float64
		mean, miss  float64
	}{
		{16, .05, .95, 6.80, .012}, {16, .05, .99, 7.28, .007}, {40, .02, .95, 6.47, .031}, {40, .02, .99, 7.85, .003},
		{40, .05, .95, 8.71, .013}, {40, .05, .99, 9.41, .006}, {40, .10, .95, 11.10, .028}, {40, .10, .99, 13.37, .005},
		{40, .20, .95, 21.46, .038}, {40, .20, .99, 26.16, .007}, {80, .05, .95, 10.06, .015}, {80, .05, .99, 10.89, .006},
	} {
		const trials = 20000
		r := rand.New(rand.NewPCG(uint64(c.n), uint64(1000*c.wrong)))
		prior := make([]float64, c.n)
		for i := range prior {
			prior[i] = 1
		}
		sum, square, missed := 0.0, 0.0, 0.0
		for range trials {
			b, truth, asked := NewBisection(prior, c.wrong), r.IntN(c.n), 0.0
			slot, p := b.Best()
			for ; p < c.stop; slot, p = b.Best() {
				at := b.Cut()
				require.True(t, b.Answer(at, (truth < at) != (r.Float64() < c.wrong)))
				asked++
			}
			sum += asked
			square += asked * asked
			if slot != truth {
				missed++
			}
		}
		mean := sum / trials
		se := math.Sqrt((square/trials - mean*mean) / trials)
		t.Logf("n %d, wrong %.2f, stop %.2f: %.2f readings (%.2f), error %.4f (%.3f)", c.n, c.wrong, c.stop, mean, c.mean, missed/trials, c.miss)
		assert.InDelta(t, c.mean, mean, 4*se+.05)
		assert.InDelta(t, c.miss, missed/trials, 4*math.Sqrt(c.miss/trials)+.0005)
		assert.Less(t, missed/trials, 1-c.stop, "stops no more often wrongly than it says")
		assert.Greater(t, mean, math.Log2(float64(c.n))*.95-.5)
	}
	assert.InDelta(t, .53100, Capacity(.1), 5e-6)
	assert.InDelta(t, .71360, Capacity(.05), 5e-6)
	b := NewBisection([]float64{1, 1}, 0)
	require.True(t, b.Answer(1, true))
	assert.False(t, b.Answer(1, false), "answers that contradict each other")
	assert.Equal(t, []float64{1, 0}, b.Belief())
}

// Every slot and every place for the one lie: the search ends on the slot
// within the number of tests it promised.
func TestLiarSearchAlwaysEnds(t *testing.T) {
	for _, n := range []int{1, 2, 5, 12, 22, 40} {
		promised := NewLiar().Tests(n)
		for truth := range n {
			for lie := -1; lie < promised; lie++ {
				s, asked := NewLiarSearch(n), 0
				for {
					at, tests := s.Cut()
					if tests == 0 {
						break
					}
					require.LessOrEqual(t, tests, promised-asked)
					require.True(t, s.Answer(at, (truth < at) != (asked == lie)))
					asked++
				}
				require.Equal(t, []int{truth}, s.Possible(), "n %d, lie at %d", n, lie)
				require.LessOrEqual(t, asked, promised)
			}
		}
	}
	s := NewLiarSearch(2)
	require.True(t, s.Answer(1, true))
	require.True(t, s.Answer(1, false))
	require.True(t, s.Answer(1, true))
	assert.Equal(t, []int{0}, s.Possible())
	assert.False(t, s.Answer(1, false), "two answers of each kind: more than one was wrong")
	assert.Equal(t, []int{0}, s.Possible())
}

// Golovin, Krause, Ray 2010: pairs inside a class carry no weight.
func TestDecisionValue(t *testing.T) {
	classes, p := []int{0, 0, 1}, []float64{.25, .25, .5}
	assert.InDelta(t, .5*(1-.5), DecisionWeight(classes, p), 1e-12)
	assert.Zero(t, DecisionWeight([]int{2, 2, 2}, p))
	// A noisy reading that tells apart the two hypotheses of class 0 only.
	inside := [][]float64{{.9, .1, .5}, {.1, .9, .5}}
	assert.InDelta(t, 0, DecisionValue(classes, p, inside), 1e-12)
	assert.InDelta(t, .25, DecisionValue(classes, p, certain(classes)), 1e-12, "all is decided")
	assert.InDelta(t, .25, EdgesCut(classes, p, classes), 1e-12)
	assert.Zero(t, EdgesCut([]int{0, 0}, []float64{1, 2}, []int{0, 1}))
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "hypotheses")
		var cl, out []int
		var w []float64
		for range n {
			cl = append(cl, rapid.IntRange(0, 3).Draw(t, "class"))
			out = append(out, rapid.IntRange(0, 2).Draw(t, "outcome"))
			w = append(w, rapid.Float64Range(.01, 1).Draw(t, "weight"))
		}
		all := DecisionWeight(cl, w) / (total(w) * total(w))
		for _, v := range []float64{EdgesCut(cl, w, out), DecisionValue(cl, w, certain(out))} {
			require.GreaterOrEqual(t, v, 0.0)
			require.LessOrEqual(t, v, all+1e-12)
		}
		one := make([]int, n)
		require.InDelta(t, 0, EdgesCut(one, w, out), 1e-12)
		require.InDelta(t, 0, DecisionValue(one, w, certain(out)), 1e-12)
		var work Scratch
		require.InDelta(t, 0, MutualInformationDiscrete(one, w, certain(out), 1, &work), 1e-12)
		require.LessOrEqual(t, MutualInformationDiscrete(cl, w, certain(out), 4, &work), InformationGain(w, out)+1e-9)
	})
}

// Weights that are equal but for rounding, in any order: the tree is still one,
// and as good as that of the interval programme.
func TestGarsiaWachsWithRounding(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		of := rapid.SliceOfN(rapid.Float64Range(1e-5, 1), 1, 3).Draw(t, "values")
		w := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) float64 {
			x := rapid.SampledFrom(of).Draw(t, "value") / 3
			return x * float64(rapid.IntRange(1, 3).Draw(t, "times"))
		}), 1, 40).Draw(t, "weights")
		tree := GarsiaWachs(w)
		require.Len(t, tree.Depths(), len(w))
		require.InEpsilon(t, 1+Alphabetic(w, nil).Cost(w, nil), 1+tree.Cost(w, nil), 1e-12)
	})
	// Found in a hunt for an open joint: 18 of 200,000 rows such as these made no tree.
	a, b, c := 0.0001634299610416464, 0.0031865865306701553, 0.027013656995278763
	w := []float64{a, a, b, c, a, a, 2 * b, c, b, b, a, a, c, c, b, b, b, c, c, 2 * a, 2 * c, 2 * c, c, c, c, c}
	require.InEpsilon(t, Alphabetic(w, nil).Cost(w, nil), GarsiaWachs(w).Cost(w, nil), 1e-12)
}

// Cuts with a look at every single slot for nothing are the alphabetic tree; a
// look that costs less than any cut comes at once; and the plan is never dearer
// than either alone.
func TestCutsThenLook(t *testing.T) {
	never := func(lo, hi int) (float64, bool) { return 0, hi-lo == 1 }
	rapid.Check(t, func(t *rapid.T) {
		w := rapid.SliceOfN(rapid.Float64Range(.01, 1), 1, 24).Draw(t, "weights")
		cut := rapid.Float64Range(.1, 5).Draw(t, "cut")
		price := rapid.Float64Range(.1, 5).Draw(t, "look")
		require.InDelta(t, cut*Alphabetic(w, nil).Cost(w, nil), CutsThenLook(w, cut, never), 1e-9)
		look := func(lo, hi int) (float64, bool) { return inOrder(w[lo:hi], price), true }
		plan := CutsThenLook(w, cut, look)
		require.LessOrEqual(t, plan, inOrder(w, price)+1e-9)
		require.LessOrEqual(t, plan, cut*Alphabetic(w, nil).Cost(w, nil)+price*total(w)+1e-9)
		require.InDelta(t, inOrder(w, price), CutsThenLook(w, 1e6, look), 1e-6, "cuts too dear")
	})
	require.Zero(t, CutsThenLook(nil, 1, never))
	// By hand: cut once (2) and look at the right slot (1) for 3, or look at two
	// in a row for 1 + 1/2.
	two := func(lo, hi int) (float64, bool) { return inOrder([]float64{.5, .5}[lo:hi], 1), true }
	require.InDelta(t, 1.5, CutsThenLook([]float64{.5, .5}, 2, two), 1e-12)
	require.InDelta(t, 1.2, CutsThenLook([]float64{.5, .5}, .2, two), 1e-12)
}

// inOrder is the cost of looking at slots from the first to the last, times
// their weight.
func inOrder(w []float64, price float64) float64 {
	sum := 0.0
	for i, x := range w {
		sum += x * price * float64(i+1)
	}
	return sum
}
