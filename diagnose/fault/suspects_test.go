package fault_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/require"
)

func network(t testing.TB, text string) *conductor.Network {
	t.Helper()
	f, problems := layoutfile.Read("invented", []byte(text))
	require.False(t, problems.Errors(), "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	return n
}

func sum(list []fault.Suspect, keep func(*fault.Suspect) bool) float64 {
	total := 0.0
	for i := range list {
		if keep(&list[i]) {
			total += list[i].Odds
		}
	}
	return total
}

// What holds for the suspects of any layout.
func check(t *testing.T, n *conductor.Network, list []fault.Suspect) {
	t.Helper()
	require.InDelta(t, 1, sum(list, func(*fault.Suspect) bool { return true }), 1e-12)
	ids := map[string]bool{}
	for i := range list {
		s := &list[i]
		require.False(t, ids[s.ID], "%s comes twice", s.ID)
		ids[s.ID] = true
		require.True(t, strings.HasPrefix(s.ID, string(s.Mode)+" "+s.Place), s.ID)
		require.Greater(t, s.Odds, 0., s.ID)
		require.NotEmpty(t, s.What, s.ID)
		require.NotEmpty(t, s.Look, s.ID)
		want, moves := 1, 0
		if s.Mode == track.Swapped || s.Mode == track.Misplaced {
			want, moves = 2, 2
		}
		if s.Burnt(n, n.Links[s.Links[0]].Accessory) { // cold and hot, the LED kind hot alone
			want = len(s.Links)
			require.Contains(t, []int{1, 2}, want, s.ID)
		}
		require.Len(t, s.Moves, moves, s.ID)
		require.Len(t, s.Links, want, s.ID)
		for _, k := range s.Links {
			require.Equal(t, s.Mode == track.Bridged, n.Links[k].NormallyOpen,
				"%s: only what is open can be bridged, only what is closed can open", s.ID)
		}
		if s.Mode == track.Bridged || s.Mode == track.Weak {
			require.Greater(t, s.MinOhms, 0., s.ID)
			require.GreaterOrEqual(t, s.MaxOhms, s.MinOhms, s.ID)
		} else {
			require.Zero(t, s.MinOhms, s.ID)
			require.Zero(t, s.MaxOhms, s.ID)
		}
		if s.PieceIndex >= 0 {
			require.Equal(t, s.Piece, n.Layout.Pieces[s.PieceIndex].ID(), s.ID)
			require.Equal(t, -1, s.Feeder, s.ID)
		} else if s.Feeder >= 0 {
			require.Equal(t, s.Piece, n.Layout.Feeders[s.Feeder].Name, s.ID)
		} else {
			// both sides of a toggle are one thing
			require.Equal(t, s.Piece, strings.TrimSuffix(s.Place, " side"), s.ID)
		}
		require.NotEmpty(t, s.Part, s.ID)
	}
}

func TestSuspectsOfAnyLayout(t *testing.T) {
	for _, c := range invent.Constructions {
		for _, text := range []string{invent.Oval(c, false), invent.Oval(c, true), invent.Figure(c),
			invent.ReversingLoop(c)} {
			n := network(t, text)
			check(t, n, fault.List(n))
		}
	}
	for seed := range uint64(30) {
		n := network(t, invent.Random(rand.New(rand.NewPCG(seed, 2))))
		check(t, n, fault.List(n))
		n = network(t, invent.Wired(rand.New(rand.NewPCG(seed, 2))))
		check(t, n, fault.List(n))
	}
}

// Every kind of fault that the constructions speak of is somebody's suspect:
// every insulated joint, every piece's insulation, every joint's contact.
func TestEveryLinkOfAKindIsSuspected(t *testing.T) {
	n := network(t, invent.Oval("roadbed", false)+"insulated \"main 1/2\" { rails = [\"left\"] }\n")
	modes := map[int]map[track.FaultMode]bool{}
	for _, s := range fault.List(n) {
		for _, k := range s.Links {
			if modes[k] == nil {
				modes[k] = map[track.FaultMode]bool{}
			}
			modes[k][s.Mode] = true
		}
	}
	gaps := 0
	for i, k := range n.Links {
		switch k.Kind {
		case conductor.KindJoint, conductor.KindJumper, conductor.KindClip:
			require.True(t, modes[i][track.Open] && modes[i][track.Weak], "%s %s %s", k.Kind, k.Place, k.Rail)
		case conductor.KindFeeder:
			require.True(t, modes[i][track.Open] && modes[i][track.Weak] && modes[i][track.Swapped], "%s %s", k.Place,
				k.Rail)
		case conductor.KindInsulation, conductor.KindGap:
			require.True(t, modes[i][track.Bridged], "%s %s %s", k.Kind, k.Place, k.Rail)
		case conductor.KindRail:
			require.Equal(t, n.Layout.Pieces[k.Piece].Kind != track.Turnout, modes[i][track.Open],
				"no flaw is stated for a turnout's rails: %s", k.Place)
		}
		if k.Kind == conductor.KindGap {
			gaps++
		}
	}
	require.Equal(t, 1, gaps)
}

// Odds follow the flaws: in a line of metal-tie track the ratio of all bridged
// pieces to all weak joints is that of the stated odds times the numbers of
// items, and a piece's history multiplies what is its own.
func TestOdds(t *testing.T) {
	n := network(t, invent.Line("metal-tie", 10))
	list := fault.List(n)
	bridged := sum(list, func(s *fault.Suspect) bool { return s.Mode == track.Bridged && s.PieceIndex >= 0 })
	weak := sum(list, func(s *fault.Suspect) bool { return s.Mode == track.Weak && s.PieceIndex >= 0 })
	broken := sum(list, func(s *fault.Suspect) bool { return s.Mode == track.Open && s.Place == "main 4" })
	wires := sum(list, func(s *fault.Suspect) bool { return s.Mode == track.Open && s.PieceIndex < 0 })
	swapped := sum(list, func(s *fault.Suspect) bool { return s.Mode == track.Swapped })
	require.InDelta(t, 3.*10/(2.*9*3), bridged/weak, 1e-12, "10 pieces of odds 3, 9 joints of 3 rails of odds 2")
	require.InDelta(t, .1*3/(3.*10), broken/bridged, 1e-12, "three rails of odds .1, in halves")
	require.InDelta(t, 2., wires/swapped, 1e-12, "odds 2 for an open feeder, 1 for a swapped one")

	marked := network(t, invent.Line("metal-tie", 10)+
		"history \"main 4\" {\n  odds = 0.2\n  why  = \"bench check\"\n}\n")
	of := func(list []fault.Suspect, place string) float64 {
		return sum(list, func(s *fault.Suspect) bool { return s.Place == place && s.Mode == track.Bridged })
	}
	after := fault.List(marked)
	require.InDelta(t, .2, of(after, "main 4")/of(after, "main 5"), 1e-12)
	require.InDelta(t, 1, of(list, "main 4")/of(list, "main 5"), 1e-12)
	check(t, marked, after)
}

// A crossing that keeps its ways apart can be bridged on each of them, and is
// no likelier to be bad for that.
func TestCrossingIsOneItem(t *testing.T) {
	n := network(t, invent.Figure("two-rail"))
	list := fault.List(n)
	count, crossing, piece := 0, 0., 0.
	for _, s := range list {
		if s.Mode != track.Bridged || s.PieceIndex < 0 {
			continue
		}
		switch n.Layout.Pieces[s.PieceIndex].Kind {
		case track.Crossing:
			count++
			crossing += s.Odds
		default:
			piece = s.Odds
		}
	}
	require.Equal(t, 2, count)
	require.InDelta(t, 8/.5, crossing/piece, 1e-9, "stated odds 8 and .5")
}

func TestOrderAndPieces(t *testing.T) {
	n := network(t, invent.Oval("metal-tie", false))
	list := fault.List(n)
	require.Equal(t, list, fault.List(n), "the same list every time")
	sorted := fault.MostLikely(list)
	require.Len(t, sorted, len(list))
	for i := 1; i < len(sorted); i++ {
		a, b := sorted[i-1], sorted[i]
		require.True(t, a.Odds > b.Odds || a.Odds == b.Odds && a.ID < b.ID)
	}
	pieces := fault.Pieces(list)
	require.Len(t, pieces, len(n.Layout.Pieces)+len(n.Layout.Feeders))
	require.Contains(t, pieces, "F1")
	require.Contains(t, pieces, "mine 3")
}

func TestDescribe(t *testing.T) {
	s := fault.Suspect{Place: "main 31", Rail: "center-left", Mode: track.Bridged, MinOhms: .002, MaxOhms: 2}
	require.Equal(t, "main 31 center-left bridged (0.002 to 2 ohm)", s.Describe())
	s = fault.Suspect{Place: "main 7/8", Rail: "left", Mode: track.Open}
	require.Equal(t, "main 7/8 left open", s.Describe())
}
