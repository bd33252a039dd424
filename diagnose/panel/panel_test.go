package panel

import (
	"math"
	"math/rand/v2"
	"testing"

	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func read(t testing.TB, text string) *track.Layout {
	t.Helper()
	f, problems := layoutfile.Read("panel", []byte(text))
	require.NotNil(t, f, "%v", problems)
	return f.Layout
}

// TestGreedyAgainstAll compares the greedy choice with every choice of two pairs on
// small layouts, and with pairs that are spread evenly: it is never worse than even
// spacing, and leaves hardly more than the best.
func TestGreedyAgainstAll(t *testing.T) {
	for name, text := range map[string]string{"loop": invent.Loop("metal-tie", 24), "line": invent.Line("roadbed", 16),
		"two rails": invent.Loop("two-rail", 20)} {
		m, err := newMaker(read(t, text), Options{Seed: 3})
		require.NoError(t, err)
		set := m.better([]int{m.next(nil)})
		set = m.better(append(set, m.next(set)))
		greedy := m.left(m.columns(set), final)
		best := math.Inf(1)
		for a := range m.spots {
			for b := range a {
				best = min(best, m.left(m.columns([]int{a, b}), search))
			}
		}
		quick := m.left(m.columns(set), search)
		n := len(m.spots)
		even := m.left(m.columns([]int{n / 3, 2 * n / 3}), final)
		before := m.left(m.free, final)
		t.Logf("%s: %.1f before; two pairs: %.2f chosen, %.2f evenly; by the quick look %.2f chosen, %.2f best of all",
			name, before, greedy, even, quick, best)
		assert.LessOrEqual(t, greedy, even*1.05, name)
		assert.GreaterOrEqual(t, before-quick, (1-1/math.E)*(before-best), name)
	}
}

// TestLeftHoldsTheBadPiece: the pieces that are said to hold 90 % of the belief have
// the bad one among them that often, on draws that nothing was fitted to.
func TestLeftHoldsTheBadPiece(t *testing.T) {
	const seeds = 6
	right := map[int]float64{}
	places := [][]int{nil, {15}, {8, 22}, {6, 15, 24}}
	for seed := range uint64(seeds) {
		m, err := newMaker(read(t, invent.Loop("metal-tie", 30)), Options{Seed: seed})
		require.NoError(t, err)
		for _, spots := range places {
			_, in := m.scenes[0].count(m.columns(spots), [][]int{nil}, final)
			right[len(spots)] += in[0] / seeds
		}
	}
	t.Log(right)
	for k, x := range right { // all faults of a draw share its layout: so many draws, three standard deviations
		assert.InDelta(t, held, x, 3*math.Sqrt(held*(1-held)/(seeds*(draws-fits))), "%d pairs", k)
	}
}

// TestWiresAreWorthLess: each pair leaves fewer pieces than those before it, what is
// there already counts, and nothing is named twice.
func TestWiresAreWorthLess(t *testing.T) {
	text := invent.Loop("metal-tie", 24)
	p, err := Make(read(t, text), Options{Pairs: 2, Seed: 1})
	require.NoError(t, err)
	require.Len(t, p.Wires, 2)
	require.Len(t, p.Left, 3)
	for i, x := range p.Left[1:] {
		assert.Less(t, x, p.Left[i])
	}
	assert.LessOrEqual(t, p.After, p.Left[2]*(1+2*commonWorth))
	for _, w := range p.Wires {
		assert.Greater(t, w.Without, p.After, w.Name)
		assert.Greater(t, w.LengthMM, float64(slackMM)-1)
	}
	with := text
	for _, w := range p.Wires {
		with += "terminal \"" + w.Name + "\" {\n  at     = \"" + w.Place +
			"\"\n  wire   = \"22 AWG\"\n  length = \"9 ft\"\n}\n"
	}
	q, err := Make(read(t, with), Options{Pairs: 1, Seed: 1})
	require.NoError(t, err)
	assert.InDelta(t, p.Left[2], q.Left[0], 0.25*p.Left[2], "a terminal of the file is a free test point")
	assert.Equal(t, "A3", q.Wires[0].Name)
	again, err := Make(read(t, text), Options{Pairs: 2, Seed: 1})
	require.NoError(t, err)
	assert.Equal(t, p, again)
}

// TestStopsWhereNothingIsWon: with nobody saying how many, the last pair saves what it
// is worth, and one more would not.
func TestStopsWhereNothingIsWon(t *testing.T) {
	p, err := Make(read(t, invent.Loop("metal-tie", 20)), Options{Seed: 2})
	require.NoError(t, err)
	n := len(p.Wires)
	require.NotZero(t, n)
	require.Less(t, n, Most)
	require.Len(t, p.Left, n+2)
	assert.Equal(t, n, p.Worth)
	assert.GreaterOrEqual(t, p.Left[n-1]-p.Left[n], Worth)
	assert.Less(t, p.Left[n]-p.Left[n+1], Worth)
}

// TestOddLayouts: nothing to feed, nothing to solder to, one piece.
func TestOddLayouts(t *testing.T) {
	for _, text := range []string{
		"name = \"a\"\nunits = \"in\"\nconstruction = \"metal-tie\"\nrun \"main\" { pieces = [\"3 x straight 10\"] }\n",
		invent.Line("metal-tie", 2),
		invent.Wired(rand.New(rand.NewPCG(1, 2))),
	} {
		p, err := Make(read(t, text), Options{Pairs: 1, Seed: 1})
		require.NoError(t, err)
		require.Len(t, p.Wires, 1)
		require.Len(t, p.Left, 2)
		require.LessOrEqual(t, p.After, p.Left[0])
	}
}
