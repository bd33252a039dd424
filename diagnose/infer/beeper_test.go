package infer_test

import (
	"fmt"
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

// A short in a dead-end run of N equal pieces, hunted with a beeper alone, one
// joint lifted per test and every test costing the same: the chooser must need
// no more tests on average than the exact optimum, k + 2 - 2^(k+1)/N with
// k = floor(log2 N) (the uniform case of the optimal alphabetic tree, E. N.
// Gilbert, E. F. Moore, BSTJ 38, 1959; closed form derived).
func TestBeeperHalvingIsOptimal(t *testing.T) {
	for _, n := range []int{8, 10, 16, 24, 40} {
		l, net := deadEnd(t, n)
		sum, worst := 0, 0
		for hidden := range n {
			tests := beepHunt(t, l, net, hidden)
			sum += tests
			worst = max(worst, tests)
		}
		mean, most := plan.UniformCuts(n)
		require.InDelta(t, mean, float64(sum)/float64(n), 0.1, "%d pieces", n)
		require.LessOrEqual(t, worst, most+1, "%d pieces", n)
	}
}

func deadEnd(t *testing.T, n int) (*track.Layout, *conductor.Network) {
	f, probs := layoutfile.Read("dead end", []byte(fmt.Sprintf(`name = "dead end, invented"
units = "in"
construction = "metal-tie"
run "main" {
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
`, n)))
	require.NotNil(t, f, "%v", probs)
	net, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	return f.Layout, net
}

// beepHunt counts tests until one piece is left.
func beepHunt(t *testing.T, l *track.Layout, net *conductor.Network, hidden int) int {
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
		for j := range l.Joints {
			s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceNone}}
			s.Lift(j)
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
