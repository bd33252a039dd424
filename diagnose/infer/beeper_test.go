package infer_test

import (
	"fmt"
	"math/bits"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/internal/exact"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/plan"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
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
	}{{false, []int{8, 10, 16, 24, 40}}, {true, []int{8, 10, 16}}} {
		for _, n := range x.sizes {
			if n > 16 && testing.Short() {
				break
			}
			l, net := equalPieces(t, n, x.closes)
			e, qs := onlyThese(net, insidePieces(even(l))), atPosts(net, lifted(l, x.closes))
			sum, worst := 0, 0
			for _, h := range bridges(l, e, even(l)) {
				tests := beeps(t, e, qs, h.bench, h.piece)
				sum += tests
				worst = max(worst, tests)
			}
			mean, most := exact.Cuts(n)
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

// equalPieces is an invented run of n straights.
func equalPieces(t *testing.T, n int, closes bool) (*track.Layout, *conductor.Network) {
	return built(t, "metal-tie", fmt.Sprintf("run \"main\" {\n  closes = %v\n  pieces = [\"%d x straight 10\"]\n}",
		closes, n))
}

// onlyThese is an engine without misreads that believes in suspects by these
// weights alone.
func onlyThese(net *conductor.Network, weight func(*fault.Suspect) float64) *infer.Engine {
	m := infer.DefaultModel(net, meter.Cheap(true), true)
	m.Misread, m.NotOnMap, m.OffTrack = 0, 1e-12, 1e-12
	e := infer.NewEngine(net, m)
	for i := range e.Hypos {
		if h := &e.Hypos[i]; h.Suspect >= 0 {
			h.Prior = weight(&e.Suspects[h.Suspect])
		}
	}
	return e
}

// insidePieces weighs bridges inside pieces by the odds of the pieces, and
// nothing else.
func insidePieces(odds []float64) func(*fault.Suspect) float64 {
	return func(s *fault.Suspect) float64 {
		if s.Mode == track.Bridged && s.PieceIndex >= 0 && s.Place == s.Piece {
			return odds[s.PieceIndex]
		}
		return 1e-15
	}
}

// even odds of the pieces.
func even(l *track.Layout) []float64 {
	odds := make([]float64, len(l.Pieces))
	for i := range odds {
		odds[i] = 1 / float64(len(odds))
	}
	return odds
}

// bridges hides a bridge in each piece in turn.
func bridges(l *track.Layout, e *infer.Engine, odds []float64) []hiddenFault {
	out := make([]hiddenFault, len(l.Pieces))
	for _, s := range e.Suspects {
		if s.Mode == track.Bridged && s.PieceIndex >= 0 && s.Place == s.Piece && out[s.PieceIndex].bench == nil {
			out[s.PieceIndex] = hiddenFault{simulate.NewBench(e.Net, nil,
				[]simulate.Fault{{Suspect: s, Ohms: 0.1, Position: 0.5}}), s.Piece, odds[s.PieceIndex]}
		}
	}
	return out
}

// chooser picks one of some questions.
type chooser func(looks []infer.Outlook, qs []infer.Question) int

// beeps counts the beeps that the planned hunt takes.
func beeps(t *testing.T, e *infer.Engine, qs []infer.Question, bench *simulate.Bench, want string) int {
	return beepsBy(t, e, qs, bench, want, planned)
}

// planned picks the question with the best plan of cuts after it.
func planned(looks []infer.Outlook, _ []infer.Question) int {
	best, least := -1, 0.0
	for i, o := range looks {
		if o.Told < 1e-6 {
			continue
		}
		if left := o.CutsAfter(meter.Beeper, 1, untilOne); best < 0 || left < least-1e-9 {
			best, least = i, left
		}
	}
	return best
}

// beepsBy counts the beeps asked for until one class is left, which must be want.
func beepsBy(t *testing.T, e *infer.Engine, qs []infer.Question, bench *simulate.Bench, want string, pick chooser) int {
	var obs []infer.Observation
	for tests := 0; ; tests++ {
		require.Less(t, tests, len(e.Net.Layout.Pieces))
		p := e.Update(obs)
		for c, x := range p.Class {
			if x > 0.99 {
				require.Equal(t, want, e.Classes[c])
				return tests
			}
		}
		q := qs[pick(e.Score(p, obs, qs), qs)]
		shown := unit.Reading{Kind: unit.Silent}
		if bench.Ohms(q.Setup, q.Red, q.Black) < 40 {
			shown.Kind = unit.Beep
		}
		obs = append(obs, infer.Observation{Setup: q.Setup, Func: q.Func, Red: q.Red, Black: q.Black, Shown: shown})
	}
}

// untilOne ends a hunt where one piece is left.
func untilOne(classes []int, _ []float64) (float64, bool) { return 0, len(classes) == 1 }

// With odds that differ from piece to piece, on a dead-end run: the optimum is
// the cost of the best alphabetic tree (A. M. Garsia, M. L. Wachs, SIAM J.
// Comput. 6, 1977). The last two have it published: English letters (E. N. Gilbert,
// E. F. Moore, BSTJ 38, 1959, table I, from memory: 4.1978) and the sample of a
// programming contest (source not named: 53 of 22).
func TestBeeperHalvingWithOdds(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 3))
	rows := [][]float64{gilbertMoore, {1, 2, 3, 4, 9, 3}}
	published := []float64{4.1978, 53. / 22}
	for range 4 {
		odds := unevenOdds(rng, 16)
		rows, published = append(rows, odds), append(published, plan.GarsiaWachs(odds).Cost(odds, nil))
	}
	for i, odds := range rows {
		if len(odds) > 16 && testing.Short() {
			continue
		}
		sum, mean := 0.0, 0.0
		for _, x := range odds {
			sum += x
		}
		l, net := equalPieces(t, len(odds), false)
		e, qs := onlyThese(net, insidePieces(odds)), atPosts(net, lifted(l, false))
		for _, h := range bridges(l, e, odds) {
			mean += h.odds / sum * float64(beeps(t, e, qs, h.bench, h.piece))
		}
		t.Logf("%d pieces: %.4f tests, the optimum is %.4f", len(odds), mean, published[i])
		require.LessOrEqual(t, mean, 1.02*published[i])
		require.GreaterOrEqual(t, mean, published[i]-1e-9, "nothing beats the optimum")
	}
}

// Weights of space and A to Z (Gilbert and Moore's table I, from memory).
var gilbertMoore = []float64{1859, 642, 127, 218, 317, 1031, 208, 152, 467, 575, 8, 49, 321, 198, 574, 632, 152, 8,
	484, 514, 796, 228, 83, 175, 13, 164, 5}

func unevenOdds(rng *rand.Rand, n int) []float64 {
	odds, sum := make([]float64, n), 0.0
	for i := range odds {
		odds[i] = 0.1 + rng.ExpFloat64()
		sum += odds[i]
	}
	for i := range odds {
		odds[i] /= sum
	}
	return odds
}

// The same on a loop, two joints lifted a test: any row of pieces away from the
// feeder can be split off, so that the best plan is no alphabetic tree.
func TestBeeperHalvingOnALoopWithOdds(t *testing.T) {
	if testing.Short() {
		t.Skip("a short run halves with odds on a dead end")
	}
	rng := rand.New(rand.NewPCG(7, 3))
	const n = 11
	l, net := equalPieces(t, n, true)
	for range 4 {
		odds := unevenOdds(rng, n)
		e := onlyThese(net, insidePieces(odds))
		requireNearLeast(t, e, atPosts(net, lifted(l, true)), bridges(l, e, odds))
	}
}

// atPosts asks for a beep at the supply in each set-up.
func atPosts(net *conductor.Network, setups []conductor.Setup) []infer.Question {
	var qs []infer.Question
	for _, s := range setups {
		qs = append(qs, infer.Question{Setup: s, Func: meter.Beeper, Red: net.Posts[0][0], Black: net.Posts[0][1],
			Minutes: 1})
	}
	return qs
}

// Bisection as it is asked for by name: of all questions the one nearest to halves,
// and no look ahead. Equal pieces on a dead end and a loop against the least
// external path of n leaves, n(k+2) - 2^(k+1) with k = floor(log2 n) (D. E. Knuth,
// The Art of Computer Programming 3, section 6.2.1 on binary search, from memory),
// and a lead with two turnouts against the recursion over all subsets.
func TestMostEvenIsNearTheLeast(t *testing.T) {
	for _, x := range []struct {
		closes bool
		sizes  []int
	}{{false, []int{3, 5, 8, 11, 16, 24}}, {true, []int{6, 8, 11}}} {
		for _, n := range x.sizes {
			l, net := equalPieces(t, n, x.closes)
			e, qs := onlyThese(net, insidePieces(even(l))), atPosts(net, lifted(l, x.closes))
			path := 0
			for _, h := range bridges(l, e, even(l)) {
				path += beepsBy(t, e, qs, h.bench, h.piece, mostEven)
			}
			k := bits.Len(uint(n)) - 1
			least := n*(k+2) - 1<<(k+1)
			t.Logf("closes %v, %d pieces: %d beeps for all pieces together, the least is %d", x.closes, n, path, least)
			require.GreaterOrEqual(t, path, least)
			require.LessOrEqual(t, float64(path), 1.02*float64(least))
		}
	}
	l, net := built(t, "metal-tie", twoTurnouts)
	e, qs := onlyThese(net, insidePieces(even(l))), atPosts(net, lifted(l, false))
	requireNearLeastBy(t, e, qs, bridges(l, e, even(l)), mostEven)
}

// mostEven picks by halves alone.
func mostEven(looks []infer.Outlook, qs []infer.Question) int {
	told, minutes := make([]float64, len(qs)), make([]float64, len(qs))
	for i := range qs {
		told[i], minutes[i] = looks[i].Bits, qs[i].Minutes
	}
	return infer.MostEven(told, minutes)
}
