package plan

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"fishplate/diagnose/internal/exact"
)

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
	assert.InDelta(t, .9403, Entropy([]float64{9, 5}), 5e-5)
	var work Scratch
	for c, want := range []float64{.2467, .0292, .1518, .0481} {
		got := MutualInformationDiscrete(play, weight, certain(columns[c]), 2, &work)
		assert.InDelta(t, want, got, 5e-5)
	}
}

// English letter frequencies (space, A..Z). E. N. Gilbert, E. F. Moore,
// "Variable-length binary encodings", Bell System Technical Journal 38, 1959,
// table I: cost 4.1978 from memory. The second list is Knuth's (TAOCP 3,
// 6.2.2, from memory).
var (
	gilbertMoore = []float64{1859, 642, 127, 218, 317, 1031, 208, 152, 467, 575, 8, 49, 321, 198, 574, 632, 152, 8, 484,
		514, 796, 228, 83, 175, 13, 164, 5}
	knuthLetters = []float64{186, 64, 13, 22, 32, 103, 21, 15, 47, 57, 1, 5, 32, 20, 57, 63, 15, 1, 48, 51, 80, 23, 8,
		18, 1, 16, 1}
)

func TestAlphabeticPublished(t *testing.T) {
	for _, c := range []struct {
		name    string
		w       []float64
		optimum float64
	}{
		// A public programming contest's sample, source not named.
		{"contest sample", []float64{1, 2, 3, 4, 9, 3}, 53},
		{"Gilbert and Moore", gilbertMoore, 41978},
		{"Knuth", knuthLetters, 4200},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.InDelta(t, c.optimum, alphabetic(c.w).Cost(c.w, nil), 1e-9)
			assert.InDelta(t, c.optimum, GarsiaWachs(c.w).Cost(c.w, nil), 1e-9)
		})
	}
	assert.Equal(t, []int{4, 4, 3, 2, 2, 2}, depths(GarsiaWachs([]float64{1, 2, 3, 4, 9, 3})))
	assert.InDelta(t, 4.0799, Entropy(gilbertMoore), 5e-5)
	assert.InDelta(t, 4.0843, Entropy(knuthLetters), 5e-5)
}

// Our own figure: the most even first cut is not the best one.
func TestAlphabeticTrap(t *testing.T) {
	trap := []float64{10, 1, 1, 1, 1, 1, 1, 10}
	assert.InDelta(t, 58, alphabetic(trap).Cost(trap, nil), 1e-9)
	assert.InDelta(t, 58, GarsiaWachs(trap).Cost(trap, nil), 1e-9)
}

// Closed form of the external path length (Knuth, TAOCP 3, 6.2.1, from memory).
func TestUniformCuts(t *testing.T) {
	for n, want := range map[int]float64{8: 3, 10: 3.4, 16: 4, 24: 14. / 3, 40: 5.4, 80: 6.4, 1: 0, 0: 0} {
		got, _ := exact.Cuts(n)
		assert.InDelta(t, want, got, 1e-12)
	}
	_, worst := exact.Cuts(40)
	assert.Equal(t, 6, worst)
	_, worst = exact.Cuts(8)
	assert.Equal(t, 3, worst)
	for n := 1; n <= 100; n++ {
		w := make([]float64, n)
		for i := range w {
			w[i] = 1
		}
		want, worst := exact.Cuts(n)
		tree := GarsiaWachs(w)
		assert.InDelta(t, want*float64(n), tree.Cost(w, nil), 1e-9)
		deepest := 0
		for _, d := range depths(tree) {
			deepest = max(deepest, d)
		}
		assert.Equal(t, worst, deepest)
	}
}

// Our own figures, checked against all permutations by hand: the rule is J. B.
// Kadane and H. A. Simon's ("Optimal strategies for a class of constrained
// sequential problems", Annals of Statistics 5, 1977, from memory).
func TestLooksByHand(t *testing.T) {
	p, c := []float64{.4, .3, .2, .1}, []float64{8, 3, 1, 2}
	var work Scratch
	assert.InDelta(t, 7.6, ExpectedInspectionNear(p, c, &Near{Beside: make([][]int, 4), Cost: c}, &work), 1e-12)
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
