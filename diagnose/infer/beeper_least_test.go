package infer_test

import (
	"fmt"
	"math"
	"math/bits"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// hiddenFault is a fault with the piece to lift for it and its odds.
type hiddenFault struct {
	bench *simulate.Bench
	piece string
	odds  float64
}

// leastTests is the least expected number of tests that leave one piece, by the
// recursion over all subsets of faults (M. R. Garey, "Optimal binary identification
// procedures", SIAM J. Appl. Math. 23(2), 1972), on answers of the bench.
func leastTests(hidden []hiddenFault, qs []infer.Question) float64 {
	beep := map[uint32]bool{} // the faults with which a question beeps
	for _, q := range qs {
		var m uint32
		for k, h := range hidden {
			if h.bench.Ohms(q.Setup, q.Red, q.Black) < 40 {
				m |= 1 << k
			}
		}
		beep[m] = true
	}
	memo := map[uint32]float64{}
	var least func(set uint32) float64
	least = func(set uint32) float64 {
		one, mass := true, 0.0
		for k := range hidden {
			if set>>k&1 == 1 {
				one = one && hidden[k].piece == hidden[bits.TrailingZeros32(set)].piece
				mass += hidden[k].odds
			}
		}
		if one {
			return 0
		}
		if v, ok := memo[set]; ok {
			return v
		}
		best := math.Inf(1)
		for m := range beep {
			if a, b := set&m, set&^m; a != 0 && b != 0 {
				best = min(best, mass+least(a)+least(b))
			}
		}
		memo[set] = best
		return best
	}
	return least(1<<len(hidden) - 1)
}

// An open joint in a dead end of two rails that are not tied: which rail it is
// tells nothing yet of which piece, and is worth a beep all the same.
func TestBeeperFindsTheOpenRail(t *testing.T) {
	for _, n := range []int{4, 6, 8, 10} {
		l, net := built(t, "two-rail", fmt.Sprintf("run \"main\" { pieces = [\"%d x straight 10\"] }", n))
		e := onlyThese(net, func(s *fault.Suspect) float64 {
			if s.Mode == track.Open && s.PieceIndex >= 0 && strings.Contains(s.Place, "/") {
				return 1
			}
			return 1e-15
		})
		var qs []infer.Question
		off := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceNone}}
		for i := range l.Pieces {
			for side, r := range []track.Rail{l.Pieces[i].Construction.Hot, l.Pieces[i].Construction.Common} {
				qs = append(qs, infer.Question{Setup: off, Func: meter.Beeper, Red: net.Posts[0][side],
					Black: net.At(track.EndRef{Piece: i, End: 1}, r), Minutes: 1})
			}
		}
		var hidden []hiddenFault
		for i := range e.Hypos {
			if h := &e.Hypos[i]; h.Prior == 1 {
				s := e.Suspects[h.Suspect]
				hidden = append(hidden, hiddenFault{simulate.NewBench(net, nil, []simulate.Fault{{Suspect: s}}),
					s.Piece, 1 / float64(2*n-2)})
			}
		}
		require.Len(t, hidden, 2*(n-1))
		requireNearLeast(t, e, qs, hidden)
	}
}

// twoTurnouts is a lead with two turnouts in a row.
const twoTurnouts = `run "lead" {
  pieces = ["2 x straight 10", "turnout left diameter 31 angle 45 as W1", "straight 10",
    "turnout left diameter 31 angle 45 as W2", "3 x straight 10"]
}
run "one" { 
  from = "W1 diverging"
  pieces = ["4 x straight 10"] 
}
run "two" { 
  from = "W2 diverging"
  pieces = ["3 x straight 10"] 
}`

// A short on a lead with a ladder of turnouts, one joint lifted a test.
func TestBeeperHalvingOnBranches(t *testing.T) {
	l, net := built(t, "metal-tie", twoTurnouts)
	e := onlyThese(net, insidePieces(even(l)))
	qs := atPosts(net, lifted(l, false))
	requireNearLeast(t, e, qs, bridges(l, e, even(l)))
}

// The same on a loop with a siding, up to three joints lifted a test.
func TestBeeperHalvingOnASiding(t *testing.T) {
	if testing.Short() {
		t.Skip("a short run halves on branches")
	}
	l, net := built(t, "metal-tie", `run "main" {
  closes = true
  pieces = ["2 x straight 10", "turnout left diameter 31 angle 45 as W1", "2 x straight 10",
    "turnout right trailing diameter 31 angle 45 as W2", "2 x straight 10"]
}
run "siding" {
  from = "W1 diverging"
  to = "W2 diverging"
  pieces = ["3 x straight 10"]
}`)
	var setups []conductor.Setup
	for set := range 1 << len(l.Joints) {
		s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceNone}}
		for j := range l.Joints {
			if set>>j&1 == 1 {
				s.Lift(j)
			}
		}
		if len(s.Lifted) <= 3 {
			setups = append(setups, s)
		}
	}
	e := onlyThese(net, insidePieces(even(l)))
	requireNearLeast(t, e, atPosts(net, setups), bridges(l, e, even(l)))
}

func requireNearLeast(t *testing.T, e *infer.Engine, qs []infer.Question, hidden []hiddenFault) {
	requireNearLeastBy(t, e, qs, hidden, planned)
}

func requireNearLeastBy(t *testing.T, e *infer.Engine, qs []infer.Question, hidden []hiddenFault, pick chooser) {
	mean := 0.0
	for _, h := range hidden {
		mean += h.odds * float64(beepsBy(t, e, qs, h.bench, h.piece, pick))
	}
	least := leastTests(hidden, qs)
	t.Logf("%d faults: %.4f tests, the least is %.4f", len(hidden), mean, least)
	require.GreaterOrEqual(t, mean, least-1e-9)
	require.LessOrEqual(t, mean, 1.02*least)
}

// built is an invented layout of one construction with a feeder at its start.
func built(t *testing.T, construction, runs string) (*track.Layout, *conductor.Network) {
	f, probs := layoutfile.Read("built", []byte(fmt.Sprintf(`name = "built, invented"
units = "in"
construction = %q
%s
supply "T1" {
  current = "ac"
  volts = 18
  breaker = 10
}
feeder "F1" {
  at = "%s 1"
  supply = "T1"
  wire = "16 AWG"
  length = "4 ft"
}
`, construction, runs, strings.Split(runs, `"`)[1])))
	require.NotNil(t, f, "%v", probs)
	require.False(t, probs.Errors(), "%v", probs)
	net, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	return f.Layout, net
}
