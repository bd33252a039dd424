package plan

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
)

// MaxStates is the largest number of states that the exact sequencing takes:
// it works on subsets of them.
const MaxStates = 20

// Test is a test without noise.
type Test struct {
	// Outcome is what the test shows in each state, numbered from 0.
	Outcome []int
	Cost    float64 // not negative
}

// Sequencing is a test sequencing problem: states, one of which is true, and
// tests that tell some of them apart.
//
// Source of the problem statement: V. Raghavan, M. Shakeri, K. R. Pattipati,
// "Test sequencing problems arising in test planning and design for
// testability", IEEE Trans. SMC-A 29(2), 1999, section I; here with tests of
// more than two outcomes.
type Sequencing struct {
	Prior []float64 // need not sum to 1
	Tests []Test
}

// Tree is a strategy: run Test, go to Next[outcome]. A leaf has Test -1; its
// States cannot, or need not, be told apart any further.
type Tree struct {
	Test   int
	Next   []*Tree // nil where an outcome cannot come up
	States []int   // still possible when the tree is entered here
}

// Check says what is wrong with the problem, nil when it is sound.
func (s *Sequencing) Check() error {
	n := len(s.Prior)
	if n == 0 || n > MaxStates {
		return fmt.Errorf("%d states: the exact sequencing takes 1 to %d", n, MaxStates)
	}
	for i, p := range s.Prior {
		if !(p >= 0) || math.IsInf(p, 1) {
			return fmt.Errorf("prior %d is %g: it must be finite and not negative", i, p)
		}
	}
	if total(s.Prior) == 0 {
		return errors.New("all priors are 0: at least one state must be possible")
	}
	for i, t := range s.Tests {
		if len(t.Outcome) != n {
			return fmt.Errorf("test %d has %d outcomes for %d states", i, len(t.Outcome), n)
		}
		if !(t.Cost >= 0) || math.IsInf(t.Cost, 1) {
			return fmt.Errorf("test %d costs %g: a cost must be finite and not negative", i, t.Cost)
		}
		for st, o := range t.Outcome {
			if o < 0 || o >= 1<<16 {
				return fmt.Errorf("test %d shows outcome %d in state %d: outcomes are numbered from 0", i, o, st)
			}
		}
	}
	return nil
}

// states is a set of states, one bit each.
type states uint32

func (s *Sequencing) all() states { return states(1)<<len(s.Prior) - 1 }

func (s *Sequencing) mass(set states) float64 {
	m := 0.0
	for b := set; b != 0; b &= b - 1 {
		m += s.Prior[bits.TrailingZeros32(uint32(b))]
	}
	return m
}

// split parts a set by the outcomes of test t, in the order of outcomes. ok is
// false when the test tells nothing apart here.
func (s *Sequencing) split(set states, t int) (outcome []int, part []states, ok bool) {
	for b := set; b != 0; b &= b - 1 {
		st := bits.TrailingZeros32(uint32(b))
		o := s.Tests[t].Outcome[st]
		k := 0
		for k < len(outcome) && outcome[k] < o {
			k++
		}
		if k == len(outcome) || outcome[k] != o {
			outcome = append(outcome[:k], append([]int{o}, outcome[k:]...)...)
			part = append(part[:k], append([]states{0}, part[k:]...)...)
		}
		part[k] |= 1 << st
	}
	return outcome, part, len(part) > 1
}

// chooser gives the test to run on a set of at least two states, -1 for none.
type chooser func(set states) int

// tree follows a chooser.
func (s *Sequencing) tree(set states, choose chooser) *Tree {
	t := &Tree{Test: -1}
	for b := set; b != 0; b &= b - 1 {
		t.States = append(t.States, bits.TrailingZeros32(uint32(b)))
	}
	if len(t.States) < 2 {
		return t
	}
	if t.Test = choose(set); t.Test < 0 {
		return t
	}
	outcome, part, _ := s.split(set, t.Test)
	t.Next = make([]*Tree, outcome[len(outcome)-1]+1)
	for k, o := range outcome {
		t.Next[o] = s.tree(part[k], choose)
	}
	return t
}

// ExpectedCost is the mean cost of following the tree, under the prior made to
// sum to 1.
func (s *Sequencing) ExpectedCost(t *Tree) float64 {
	all := 0.0
	for _, st := range t.States {
		all += s.Prior[st]
	}
	if all == 0 {
		return 0
	}
	return s.weighted(t) / all
}

func (s *Sequencing) weighted(t *Tree) float64 {
	if t == nil || t.Test < 0 {
		return 0
	}
	m := 0.0
	for _, st := range t.States {
		m += s.Prior[st]
	}
	cost := m * s.Tests[t.Test].Cost
	for _, n := range t.Next {
		cost += s.weighted(n)
	}
	return cost
}

// WorstCost is the cost of the dearest path through the tree.
func (s *Sequencing) WorstCost(t *Tree) float64 {
	if t == nil || t.Test < 0 {
		return 0
	}
	worst := 0.0
	for _, n := range t.Next {
		worst = math.Max(worst, s.WorstCost(n))
	}
	return s.Tests[t.Test].Cost + worst
}

// Floor is a lower bound on the expected cost of any tree: the Huffman tree of
// the groups of states that the tests together can tell apart, with as many
// branches as the richest test has outcomes, every test at the least cost.
func (s *Sequencing) Floor() float64 {
	sum := s.mass(s.all())
	if sum == 0 || len(s.Tests) == 0 {
		return 0
	}
	cheapest, arity := math.Inf(1), 2
	for i, t := range s.Tests {
		cheapest = math.Min(cheapest, t.Cost)
		outcome, _, _ := s.split(s.all(), i)
		arity = max(arity, len(outcome))
	}
	groups := []states{s.all()}
	for i := range s.Tests {
		var next []states
		for _, g := range groups {
			_, part, _ := s.split(g, i)
			next = append(next, part...)
		}
		groups = next
	}
	w := make([]float64, len(groups))
	for i, g := range groups {
		w[i] = s.mass(g)
	}
	return Huffman(w, arity) * cheapest / sum
}
