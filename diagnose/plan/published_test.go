package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sixStates is the 6-state, 5-test example of K. R. Pattipati, M. G.
// Alexandridis, "Application of heuristic search and information theory to
// sequential fault diagnosis", IEEE Trans. SMC 20(4), 1990. Matrix, priors and
// the optimum 2.18 are from memory; the other figures were computed from them
// with an independent exact program.
func sixStates(costs ...float64) *Sequencing {
	rows := [][]int{{0, 0, 0, 0, 0}, {0, 1, 0, 0, 1}, {0, 0, 1, 1, 0}, {1, 0, 0, 1, 1}, {1, 1, 0, 0, 0}, {1, 1, 1, 1, 0}}
	s := &Sequencing{Prior: []float64{.70, .01, .02, .10, .05, .12}}
	for t := range 5 {
		test := Test{Cost: 1}
		if costs != nil {
			test.Cost = costs[t]
		}
		for _, r := range rows {
			test.Outcome = append(test.Outcome, r[t])
		}
		s.Tests = append(s.Tests, test)
	}
	return s
}

func optimum(t *testing.T, s *Sequencing) float64 {
	tree, err := s.Optimal()
	require.NoError(t, err)
	return s.ExpectedCost(tree)
}

func greedy(t *testing.T, s *Sequencing) float64 {
	tree, err := s.Greedy()
	require.NoError(t, err)
	return s.ExpectedCost(tree)
}

func TestSixStates(t *testing.T) {
	s := sixStates()
	tree, err := s.Optimal()
	require.NoError(t, err)
	assert.InDelta(t, 2.18, s.ExpectedCost(tree), 1e-12)
	assert.Equal(t, 1, tree.Test, "t2 and t4 tie, the first of them wins")
	assert.Equal(t, 3, tree.Next[0].Test)
	assert.Equal(t, 2, tree.Next[1].Test)
	first, err := s.FirstTestCosts()
	require.NoError(t, err)
	assert.InDeltaSlice(t, []float64{2.86, 2.18, 2.82, 2.18, 2.89}, first, 1e-12)
	assert.InDelta(t, 2.86, greedy(t, s), 1e-12)
	assert.InDelta(t, 1.4549, Entropy(s.Prior), 5e-5)
	assert.InDelta(t, 1.59, s.Floor(), 1e-12)
	worst, err := s.Minimax()
	require.NoError(t, err)
	assert.InDelta(t, 3, s.WorstCost(worst), 1e-12)
	two, err := s.LookAhead(2)
	require.NoError(t, err)
	assert.InDelta(t, 2.18, s.ExpectedCost(two), 1e-12, "two steps of look-ahead see what one does not")
}

func TestSixStatesVariants(t *testing.T) {
	s := sixStates()
	s.Prior = []float64{1, 1, 1, 1, 1, 1}
	assert.InDelta(t, 8./3, optimum(t, s), 1e-12)
	assert.InDelta(t, 8./3, greedy(t, s), 1e-12)
	assert.InDelta(t, 8./3, s.Floor(), 1e-12)

	s = sixStates()
	s.Prior[0] = 0
	for i := range s.Tests {
		s.Tests[i].Outcome = s.Tests[i].Outcome[1:]
	}
	s.Prior = s.Prior[1:]
	assert.InDelta(t, 2.2, optimum(t, s), 1e-12)
	assert.InDelta(t, 2.2, greedy(t, s), 1e-12)
	assert.InDelta(t, 59./30, s.Floor(), 1e-12)

	assert.InDelta(t, 2.86, optimum(t, sixStates(1, 2, 1, 2, 1)), 1e-12)
	assert.InDelta(t, 2.18, optimum(t, sixStates(3, 1, 1, 1, 1)), 1e-12)
}

// The 14-row weather table of J. R. Quinlan, "Induction of decision trees",
// Machine Learning 1, 1986 (rows from memory).
func TestWeatherTable(t *testing.T) {
	const rows = `sunny hot high weak no
sunny hot high strong no
overcast hot high weak yes
rain mild high weak yes
rain cool normal weak yes
rain cool normal strong no
overcast cool normal strong yes
sunny mild high weak no
sunny cool normal weak yes
rain mild normal weak yes
sunny mild normal strong yes
overcast mild high strong yes
overcast hot normal weak yes
rain mild high strong no`
	columns := labels(rows)
	weight := make([]float64, 14)
	for i := range weight {
		weight[i] = 1
	}
	play := columns[4]
	assert.InDelta(t, .9403, Entropy(massByLabel(weight, play)), 5e-5)
	var work Scratch
	for c, want := range []float64{.2467, .0292, .1518, .0481} {
		got := MutualInformationDiscrete(play, weight, certain(columns[c]), 2, &work)
		assert.InDelta(t, want, got, 5e-5)
	}
	assert.InDelta(t, Entropy([]float64{5, 4, 5}), InformationGain(weight, columns[0]), 1e-12)
	assert.InDelta(t, .5, GainPerMinute(1, 2), 1e-12)
}

// English letter frequencies (space, A..Z). Gilbert and Moore 1959, table I:
// costs 4.1978 and 4.1195 from memory. The second list is Knuth's (TAOCP 3,
// 6.2.2, from memory).
var (
	gilbertMoore = []float64{1859, 642, 127, 218, 317, 1031, 208, 152, 467, 575, 8, 49, 321, 198, 574, 632, 152, 8, 484, 514, 796, 228, 83, 175, 13, 164, 5}
	knuthLetters = []float64{186, 64, 13, 22, 32, 103, 21, 15, 47, 57, 1, 5, 32, 20, 57, 63, 15, 1, 48, 51, 80, 23, 8, 18, 1, 16, 1}
)

func TestAlphabeticPublished(t *testing.T) {
	ones := func(n int) []float64 {
		w := make([]float64, n)
		for i := range w {
			w[i] = 1
		}
		return w
	}
	for _, c := range []struct {
		name                       string
		w                          []float64
		optimum, huffman, balanced float64
	}{
		// AtCoder Typical Contest 002 C, the sample.
		{"contest sample", []float64{1, 2, 3, 4, 9, 3}, 53, 51, 53},
		{"Gilbert and Moore", gilbertMoore, 41978, 41195, 42840},
		{"Knuth", knuthLetters, 4200, 4124, 4286},
		{"greedy trap", []float64{10, 1, 1, 1, 1, 1, 1, 10}, 58, -1, 62},
		{"uniform 8", ones(8), 24, 24, 24},
		{"uniform 10", ones(10), 34, 34, 34},
		{"uniform 40", ones(40), 216, 216, -1},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.InDelta(t, c.optimum, Alphabetic(c.w, nil).Cost(c.w, nil), 1e-9)
			assert.InDelta(t, c.optimum, GarsiaWachs(c.w).Cost(c.w, nil), 1e-9)
			if c.huffman >= 0 {
				assert.InDelta(t, c.huffman, Huffman(c.w, 2), 1e-9)
			}
			if c.balanced >= 0 {
				assert.InDelta(t, c.balanced, Balanced(c.w).Cost(c.w, nil), .5)
			}
		})
	}
	assert.Equal(t, []int{4, 4, 3, 2, 2, 2}, GarsiaWachs([]float64{1, 2, 3, 4, 9, 3}).Depths())
	assert.InDelta(t, 4.0799, Entropy(gilbertMoore), 5e-5)
	assert.InDelta(t, 4.0843, Entropy(knuthLetters), 5e-5)
	assert.InDelta(t, 41, Alphabetic(ones(8), []float64{1, 1, 1, 9, 1, 1, 1}).Cost(ones(8), []float64{1, 1, 1, 9, 1, 1, 1}), 1e-12)
}

// T. H. Cormen et al., Introduction to Algorithms, section 15.5: 2.75 found as
// an option of an exam question, 3.12 (exercise 15.5-2) from memory.
func TestSearchTreePublished(t *testing.T) {
	assert.InDelta(t, 2.75, SearchTree([]float64{.15, .10, .05, .10, .20}, []float64{.05, .10, .05, .05, .05, .10}), 1e-12)
	assert.InDelta(t, 3.12, SearchTree([]float64{.04, .06, .08, .02, .10, .12, .14}, []float64{.06, .06, .06, .06, .05, .05, .05, .05}), 1e-12)
}

// Closed form of the external path length (Knuth, TAOCP 3, 6.2.1, from memory).
func TestUniformCuts(t *testing.T) {
	for n, want := range map[int]float64{8: 3, 10: 3.4, 16: 4, 24: 14. / 3, 40: 5.4, 80: 6.4, 1: 0, 0: 0} {
		got, _ := UniformCuts(n)
		assert.InDelta(t, want, got, 1e-12)
	}
	_, worst := UniformCuts(40)
	assert.Equal(t, 6, worst)
	_, worst = UniformCuts(8)
	assert.Equal(t, 3, worst)
	for n := 1; n <= 100; n++ {
		w := make([]float64, n)
		for i := range w {
			w[i] = 1
		}
		want, worst := UniformCuts(n)
		tree := GarsiaWachs(w)
		assert.InDelta(t, want*float64(n), tree.Cost(w, nil), 1e-9)
		deepest := 0
		for _, d := range tree.Depths() {
			deepest = max(deepest, d)
		}
		assert.Equal(t, worst, deepest)
	}
}

// Self-computed examples, checked against all permutations by an independent
// program; the rule is Kadane and Simon's, the clusters Ottosen's.
func TestLooksPublished(t *testing.T) {
	p, c := []float64{.4, .3, .2, .1}, []float64{8, 3, 1, 2}
	assert.Equal(t, []int{2, 1, 0, 3}, LookOrder(p, c))
	assert.InDelta(t, 7.6, ExpectedCost(LookOrder(p, c), p, c), 1e-12)
	assert.InDelta(t, 7.6, ExpectedInspection(p, c), 1e-12)
	assert.InDelta(t, 7.6, ExpectedCost([]int{2, 1, 0, 3}, p, c), 1e-12)
	assert.InDelta(t, 10.3, ExpectedCost([]int{0, 1, 2, 3}, p, c), 1e-12, "by probability alone")
	assert.InDelta(t, 7.9, ExpectedCost([]int{2, 3, 1, 0}, p, c), 1e-12, "by cost alone")

	p, c = []float64{.30, .25, .25, .20}, []float64{1, 1, 1, 1}
	cl := []Cluster{{Open: 3, Items: []int{0, 1}}}
	order := ClusterOrder(p, c, cl)
	assert.Equal(t, []int{2, 3, 0, 1}, order)
	assert.InDelta(t, 4.2, ClusterCost(order, p, c, cl), 1e-12)
	assert.InDelta(t, 5.35, ClusterCost(LookOrder(p, c), p, c, cl), 1e-12)
}

// Blackwell's rule (M. C. Chew, 1967); the figures computed independently.
func TestLooksThatMissPublished(t *testing.T) {
	p, seen, c := []float64{.6, .4}, []float64{.5, .8}, []float64{1, 1}
	order, found := LooksThatMiss(p, seen, c, 12)
	assert.Equal(t, []int{1, 0, 0, 0, 1, 0, 0, 1, 0, 0, 1, 0}, order)
	assert.InDelta(t, 169./200, found[3], 1e-12)
	assert.InDelta(t, 2.67986, ExpectedLooks(p, seen, c), 5e-6)
}

// OEIS A325908 (left/right questions, one wrong answer) and A. Pelc 1987 (any
// question; OEIS A286496).
func TestOneWrongAnswer(t *testing.T) {
	l := NewLiar()
	most := func(q int) int {
		n := 1
		for n < MaxLiarSlots && l.Tests(n+1) <= q {
			n++
		}
		return n
	}
	for q, want := range []int{1, 1, 1, 2, 2, 4, 7, 12, 22, 40, 76} {
		assert.Equal(t, want, most(q), "%d questions", q)
	}
	for n, want := range map[int]int{12: 7, 22: 8, 40: 9, 76: 10} {
		assert.Equal(t, want, l.Tests(n))
	}
	assert.Equal(t, 25, PelcTests(1_000_000))
	n := 1
	for i, want := range []int{1, 1, 2, 2, 4, 8, 16, 28, 50, 92, 170, 314} {
		q := i + 1 // the list of the sequence begins at one question
		for PelcTests(n+1) <= q {
			n++
		}
		assert.Equal(t, want, n, "%d questions", q)
	}
}

// labels turns columns of words into numbers, by first appearance.
func labels(table string) [][]int {
	var out [][]int
	seen := map[[2]any]int{}
	count := map[int]int{}
	for line := range strings.Lines(table) {
		for c, w := range strings.Fields(line) {
			if c == len(out) {
				out = append(out, nil)
			}
			k, ok := seen[[2]any{c, w}]
			if !ok {
				k = count[c]
				count[c]++
				seen[[2]any{c, w}] = k
			}
			out[c] = append(out[c], k)
		}
	}
	return out
}

// certain turns outcomes into probabilities of 0 and 1, one row an outcome.
func certain(outcome []int) [][]float64 {
	var rows [][]float64
	for h, o := range outcome {
		for len(rows) <= o {
			rows = append(rows, make([]float64, len(outcome)))
		}
		rows[o][h] = 1
	}
	return rows
}
