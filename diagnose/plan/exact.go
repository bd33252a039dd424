package plan

import "math"

// Optimal finds a tree of least expected cost by dynamic programming over
// subsets of states. Among equals the test with the lowest index wins. The
// time grows with the number of subsets that tests can leave, at most 2 to
// the number of states.
//
// Source: M. R. Garey, "Optimal binary identification procedures", SIAM J.
// Appl. Math. 23(2), 1972 (the recursion), here for tests of many outcomes.
func (s *Sequencing) Optimal() (*Tree, error) { return s.exact(false) }

// Minimax finds a tree whose dearest path is as cheap as possible, by the same
// recursion.
func (s *Sequencing) Minimax() (*Tree, error) { return s.exact(true) }

// FirstTestCosts gives, for every test, the least expected cost of a tree that
// begins with it; +Inf for a test that tells nothing apart.
func (s *Sequencing) FirstTestCosts() ([]float64, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	x := &exact{s: s, memo: map[states]choice{}}
	out := make([]float64, len(s.Tests))
	sum := s.mass(s.all())
	for t := range s.Tests {
		out[t] = x.with(s.all(), t) / sum
	}
	return out, nil
}

func (s *Sequencing) exact(worst bool) (*Tree, error) {
	if err := s.Check(); err != nil {
		return nil, err
	}
	x := &exact{s: s, worst: worst, memo: map[states]choice{}}
	return s.tree(s.all(), func(set states) int { return x.best(set).test }), nil
}

type choice struct {
	test int
	cost float64 // times the mass of the set, unless for the worst case
}

type exact struct {
	s     *Sequencing
	worst bool
	memo  map[states]choice // looked up only, never walked
}

func (x *exact) best(set states) choice {
	if set&(set-1) == 0 {
		return choice{-1, 0}
	}
	if c, ok := x.memo[set]; ok {
		return c
	}
	c := choice{-1, math.Inf(1)}
	for t := range x.s.Tests {
		if v := x.with(set, t); v < c.cost-1e-12*math.Abs(v) {
			c = choice{t, v}
		}
	}
	if c.test < 0 {
		c.cost = 0 // nothing tells these states apart: a leaf
	}
	x.memo[set] = c
	return c
}

// with is the cost of running t first.
func (x *exact) with(set states, t int) float64 {
	_, part, ok := x.s.split(set, t)
	if !ok {
		return math.Inf(1)
	}
	if x.worst {
		v := 0.0
		for _, p := range part {
			v = math.Max(v, x.best(p).cost)
		}
		return v + x.s.Tests[t].Cost
	}
	v := x.s.mass(set) * x.s.Tests[t].Cost
	for _, p := range part {
		v += x.best(p).cost
	}
	return v
}
