package infer_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/plan"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// A short in a run of N equal pieces, hunted with a beeper alone, every test
// costing the same: the chooser must need no more tests on average than the
// exact optimum and 2 %, k + 2 - 2^(k+1)/N with k = floor(log2 N) (the uniform
// case of the optimal alphabetic tree, E. N. Gilbert, E. F. Moore, BSTJ 38,
// 1959; closed form derived). On a dead-end run one joint is lifted per test;
// on a loop two, which take any arc away that does not hold the feeder: every
// number of pieces can be split off there too, so that the optimum is the same.
func TestBeeperHalvingIsOptimal(t *testing.T) {
	for _, x := range []struct {
		closes bool
		sizes  []int
	}{{false, []int{8, 10, 16, 24, 40, 64}}, {true, []int{8, 10, 16}}} {
		for _, n := range x.sizes {
			l, net := equalPieces(t, n, x.closes)
			setups := lifted(l, x.closes)
			sum, worst := 0, 0
			for hidden := range n {
				tests := beepHunt(t, l, net, hidden, setups, nil)
				sum += tests
				worst = max(worst, tests)
			}
			mean, most := plan.UniformCuts(n)
			t.Logf("closes %v, %d pieces: %.4f tests, the optimum is %.4f", x.closes, n, float64(sum)/float64(n), mean)
			require.LessOrEqual(t, float64(sum)/float64(n), 1.02*mean, "%d pieces", n)
			require.GreaterOrEqual(t, float64(sum)/float64(n), mean-1e-9, "nothing beats the optimum: %d pieces", n)
			require.LessOrEqual(t, worst, most+1, "%d pieces", n)
		}
	}
}

// lifted are the set-ups of the tests: one joint lifted, or on a loop two.
func lifted(l *track.Layout, closes bool) []conductor.Setup {
	var out []conductor.Setup
	for a := range l.Joints {
		s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceNone}}
		s.Lift(a)
		if !closes {
			out = append(out, s)
			continue
		}
		for b := range a {
			two := s.Clone()
			two.Lift(b)
			out = append(out, two)
		}
	}
	return out
}

func equalPieces(t *testing.T, n int, closes bool) (*track.Layout, *conductor.Network) {
	f, probs := layoutfile.Read("equal pieces", []byte(fmt.Sprintf(`name = "equal pieces, invented"
units = "in"
construction = "metal-tie"
run "main" {
  closes = %v
  pieces = ["%d x straight 10"]
}
supply "T1" {
  current = "ac"
  volts = 18
  breaker = 10
}
feeder "F1" {
  at = "main 1"
  supply = "T1"
  wire = "16 AWG"
  length = "4 ft"
}
`, closes, n)))
	require.NotNil(t, f, "%v", probs)
	net, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	return f.Layout, net
}

// beepHunt counts tests until one piece is left.
func beepHunt(t *testing.T, l *track.Layout, net *conductor.Network, hidden int, setups []conductor.Setup, odds []float64) int {
	m := infer.DefaultModel(net, meter.Cheap(true), true)
	m.Misread, m.NotOnMap, m.OffTrack = 0, 1e-12, 1e-12
	e := infer.NewEngine(net, m)
	for i := range e.Hypos { // bridges inside pieces, all alike
		h := &e.Hypos[i]
		if h.Suspect < 0 {
			continue
		}
		s := &e.Suspects[h.Suspect]
		if s.Mode != track.Bridged || s.PieceIndex < 0 {
			h.Prior = 1e-15
		} else if odds != nil {
			h.Prior = odds[s.PieceIndex]
		}
	}
	var fault simulate.Fault
	for _, s := range e.Suspects {
		if s.Mode == track.Bridged && s.PieceIndex == hidden {
			fault = simulate.Fault{Suspect: s, Ohms: 0.1, Position: 0.5}
		}
	}
	bench := simulate.NewBench(net, nil, []simulate.Fault{fault})
	var obs []infer.Observation
	for tests := 0; ; tests++ {
		require.Less(t, tests, len(l.Pieces))
		p := e.Update(obs)
		for c, x := range p.Class {
			if x > 0.99 {
				require.Equal(t, hidden, e.ClassPiece[c])
				return tests
			}
		}
		var qs []infer.Question
		for _, s := range setups {
			qs = append(qs, infer.Question{Setup: s, Func: meter.Beeper, Red: net.Posts[0][0], Black: net.Posts[0][1], Minutes: 1})
		}
		best := 0
		out := e.Score(p, obs, qs)
		for i := range out {
			if out[i].Bits > out[best].Bits {
				best = i
			}
		}
		q := qs[best]
		shown := unit.Reading{Kind: unit.Silent}
		if bench.Ohms(q.Setup, q.Red, q.Black) < 40 {
			shown.Kind = unit.Beep
		}
		obs = append(obs, infer.Observation{Setup: q.Setup, Func: q.Func, Red: q.Red, Black: q.Black, Shown: shown})
	}
}

// With odds that differ from piece to piece, on a dead-end run: the optimum is
// the cost of the best alphabetic tree (A. M. Garsia, M. L. Wachs, SIAM J.
// Comput. 6, 1977).
func TestBeeperHalvingWithOdds(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 3))
	const n = 16
	l, net := equalPieces(t, n, false)
	setups := lifted(l, false)
	ours, best := 0.0, 0.0
	for range 4 {
		odds, sum := make([]float64, n), 0.0
		for i := range odds {
			odds[i] = 0.1 + rng.ExpFloat64()
			sum += odds[i]
		}
		mean := 0.0
		for i := range odds {
			odds[i] /= sum
		}
		for hidden := range n {
			mean += odds[hidden] * float64(beepHunt(t, l, net, hidden, setups, odds))
		}
		optimum := plan.GarsiaWachs(odds).Cost(odds, nil)
		t.Logf("%.4f tests, the optimum is %.4f", mean, optimum)
		ours, best = ours+mean, best+optimum
	}
	require.LessOrEqual(t, ours, 1.02*best)
}
