package plan

import "math"

// Greedy builds the tree that always takes the test with the most information
// per cost; among equals the one with the lowest index.
//
// It is not optimal and can be worse by any factor: M. R. Garey, R. L. Graham,
// "Performance bounds on the splitting algorithm for binary testing", Acta
// Informatica 3, 1974.
func (s *Sequencing) Greedy() (*Tree, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	return s.tree(s.all(), func(set states) int {
		best, top := -1, 0.0
		for t := range s.Tests {
			_, part, ok := s.split(set, t)
			if !ok {
				continue
			}
			w := make([]float64, len(part))
			for i, p := range part {
				w[i] = s.mass(p)
			}
			v := GainPerMinute(Entropy(w), s.Tests[t].Cost)
			if best < 0 || v > top*(1+1e-12) {
				best, top = t, v
			}
		}
		return best
	}), nil
}

// LookAhead builds the tree that, at every node, takes the test whose cost,
// plus the cost of the best tests up to depth steps from here, plus the
// entropy then left (a bit is counted as one test of the least cost) is
// smallest. Depth 1 is close to Greedy at unit cost; depth 2 looks at what the
// first test leaves for a second.
//
// Source: own form of the look-ahead of K. R. Pattipati, M. G. Alexandridis,
// "Application of heuristic search and information theory to sequential fault
// diagnosis", IEEE Trans. SMC 20(4), 1990 (abstract read only).
func (s *Sequencing) LookAhead(depth int) (*Tree, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	cheapest := math.Inf(1)
	for _, t := range s.Tests {
		cheapest = math.Min(cheapest, t.Cost)
	}
	l := lookAhead{s, cheapest}
	return s.tree(s.all(), func(set states) int {
		t, _ := l.best(set, max(depth, 1))
		return t
	}), nil
}

type lookAhead struct {
	s      *Sequencing
	perBit float64
}

// best gives the test and its estimated cost times the mass of the set.
func (l lookAhead) best(set states, depth int) (test int, cost float64) {
	if set&(set-1) == 0 {
		return -1, 0
	}
	if depth == 0 {
		var w []float64
		for b := set; b != 0; b &= b - 1 {
			w = append(w, l.s.mass(b&-b))
		}
		return -1, l.perBit * l.s.mass(set) * Entropy(w)
	}
	test, cost = -1, math.Inf(1)
	for t := range l.s.Tests {
		_, part, ok := l.s.split(set, t)
		if !ok {
			continue
		}
		v := l.s.mass(set) * l.s.Tests[t].Cost
		for _, p := range part {
			_, c := l.best(p, depth-1)
			v += c
		}
		if test < 0 || v < cost-1e-12*math.Abs(v) {
			test, cost = t, v
		}
	}
	if test < 0 {
		return -1, 0
	}
	return test, cost
}
