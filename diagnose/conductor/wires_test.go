package conductor_test

import (
	"os"
	"path/filepath"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"

	"github.com/stretchr/testify/require"
)

func layoutNetwork(t *testing.T, name string) *conductor.Network {
	t.Helper()
	src, err := os.ReadFile(filepath.Join("..", "..", "testdata", "layouts", name+".hcl"))
	require.NoError(t, err)
	return network(t, string(src))
}

// path says whether links that conduct in a set-up lead from one point to
// another: a search of its own, without resistances.
func path(t *testing.T, n *conductor.Network, s *conductor.Setup, from, to string) bool {
	t.Helper()
	a, b := n.Find(from), n.Find(to)
	require.GreaterOrEqual(t, a, 0, from)
	require.GreaterOrEqual(t, b, 0, to)
	seen := map[int]bool{n.NodeOf(a): true}
	for grown := true; grown; {
		grown = false
		for i := range n.Links {
			k := &n.Links[i]
			x, y := n.NodeOf(k.A), n.NodeOf(k.B)
			if s.Conducts(k) && seen[x] != seen[y] {
				seen[x], seen[y], grown = true, true, true
			}
		}
	}
	return seen[n.NodeOf(b)]
}

// Every toggle feeds its own block and no other, over bus and strip; one that
// switches both wires leaves the common to the other blocks' feeders.
func TestTogglesFeedTheirBlocks(t *testing.T) {
	n := layoutNetwork(t, "blocks")
	all := []string{"main 4", "main 12", "main 20"}
	for off := range n.Layout.Toggles {
		s := conductor.Setup{}
		s.TurnOff(off)
		for b, piece := range all {
			require.Equal(t, b != off, path(t, n, &s, "T1 hot", piece+" center"), "%s while toggle %d is off", piece,
				off)
			require.True(t, path(t, n, &s, "T1 common", piece+" right"), piece)
		}
	}
	require.Len(t, n.Terminals[0], 3)
	require.Len(t, n.Terminals[1], 4)
	require.Equal(t, "B1 2 hot", n.Points[n.Terminals[0][1][0]].Name)
	require.Equal(t, "S1 hot", n.Points[n.Lugs[0][0]].Name)
	require.Equal(t, "B1 1 common", n.Points[n.Lugs[0][1]].Name,
		"S1 leaves the common alone: feeders take it from the terminal")
	require.Equal(t, "S3 common", n.Points[n.Lugs[2][1]].Name)
}

// A toggle that chooses feeds its block from one supply or the other, and the
// common comes back over the wire between the two.
func TestToggleChoosesASupply(t *testing.T) {
	n := layoutNetwork(t, "two-cabs")
	for off, want := range [][2]string{{"T1", "T2"}, {"T2", "T1"}} {
		s := conductor.Setup{}
		if off == 1 {
			s.TurnOff(0)
		}
		require.True(t, path(t, n, &s, want[0]+" hot", "main 5 center"))
		require.False(t, path(t, n, &s, want[1]+" hot", "main 5 center"))
		require.True(t, path(t, n, &s, want[0]+" common", "main 5 left"))
		require.Equal(t, off == 1, !path(t, n, &s, "main 5 center", "main 17 center"), "one cab for both blocks")
	}
}

// A reversing toggle turns the loop over: what was on hot is on common then.
func TestReversingToggle(t *testing.T) {
	for _, name := range []string{"balloon-two-rail", "wye-two-rail"} {
		n := layoutNetwork(t, name)
		on, off := conductor.Setup{}, conductor.Setup{}
		off.TurnOff(0)
		require.True(t, path(t, n, &on, "P1 hot", "F2 hot"), name)
		require.False(t, path(t, n, &on, "P1 common", "F2 hot"), name)
		require.False(t, path(t, n, &off, "P1 hot", "F2 hot"), name)
		require.True(t, path(t, n, &off, "P1 common", "F2 hot"), name)
		require.False(t, path(t, n, &on, "P1 hot", "P1 common"), "%s: the gaps keep the two apart", name)
		// Without its gaps it shorts: that is what they are for.
		l := *n.Layout
		l.Joints = append([]track.Joint(nil), l.Joints...)
		for i := range l.Joints {
			l.Joints[i].Insulated = nil
		}
		bare, err := conductor.Build(&l)
		require.NoError(t, err)
		require.True(t, path(t, bare, &on, "P1 hot", "P1 common"), name)
	}
}

// Three-rail track comes back on itself without harm.
func TestThreeRailIsFreeOfReversing(t *testing.T) {
	n := layoutNetwork(t, "reversing")
	s := conductor.Setup{}
	require.False(t, path(t, n, &s, "T1 hot", "T1 common"))
}

// The slip's and the turnout's dead legs in a power-routing yard, by the given
// name and by the piece alike.
func TestThrownSlipYard(t *testing.T) {
	n := layoutNetwork(t, "slip-yard")
	live := func(s *conductor.Setup, piece, rail string) [2]bool {
		return [2]bool{path(t, n, s, "P1 hot", piece+" "+rail), path(t, n, s, "P1 common", piece+" "+rail)}
	}
	for _, by := range []string{"W1", "lead 8"} {
		s := conductor.Setup{}
		require.NoError(t, n.Throw(&s, by, "through"))
		require.Equal(t, [2]bool{false, false}, live(&s, "yard2 2", "left"),
			"one rail of the leg that is not set is dead")
		require.Equal(t, [2]bool{true, false}, live(&s, "yard2 2", "right"))
		require.NoError(t, n.Throw(&s, by, "diverging"))
		require.Equal(t, [2]bool{true, false}, live(&s, "yard2 2", "right"))
		require.Equal(t, [2]bool{false, true}, live(&s, "yard2 2", "left"))
		require.Equal(t, [2]bool{false, false}, live(&s, "lead 10", "right"))
	}
	for _, route := range []string{"through", "diverging"} {
		s := conductor.Setup{}
		require.NoError(t, n.Throw(&s, "D1", route))
		require.False(t, path(t, n, &s, "P1 hot", "P1 common"), route)
		for _, piece := range []string{"lead 2", "lead 7", "yard1 2"} {
			require.Equal(t, [2]bool{true, false}, live(&s, piece, "right"), "%s %s", piece, route)
			require.Equal(t, [2]bool{false, true}, live(&s, piece, "left"), "%s %s", piece, route)
		}
		require.Equal(t, [2]bool{true, false}, live(&s, "freight 1", "left"),
			"seen from the slip it runs the other way")
	}
	s := conductor.Setup{}
	require.ErrorContains(t, n.Throw(&s, "W9", "through"), "W9")
	require.ErrorContains(t, n.Throw(&s, "lead 2", "through"), "straight")
	require.ErrorContains(t, n.Throw(&s, "W1", "left"), "through or diverging")
}

// An untied piece keeps its outer rails apart; its bridge to the center can be
// on either side.
func TestUntiedPieces(t *testing.T) {
	n := layoutNetwork(t, "rail-tied")
	s := conductor.Setup{}
	require.True(t, path(t, n, &s, "main 12 left", "main 12 right"))
	require.False(t, path(t, n, &s, "main 16 left", "main 16 right"))
	require.True(t, path(t, n, &s, "main 16 left", "T1 hot"), "over the bell")
	s.Unplug(0)
	require.False(t, path(t, n, &s, "main 16 left", "T1 hot"))
	var rails []string
	for _, k := range n.Links {
		if k.Kind == conductor.KindInsulation && k.Place == "main 16" {
			rails = append(rails, k.Rail)
		}
	}
	require.ElementsMatch(t, []string{"center-left", "center-right", "left-right"}, rails)
}

// Keys and clones know the new parts of a set-up.
func TestKeysOfWholeSetups(t *testing.T) {
	base := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceVolts, From: 1, To: 2, Volts: 18}}
	changes := map[string]func(*conductor.Setup){
		"off":       func(s *conductor.Setup) { s.TurnOff(2, 1) },
		"unplugged": func(s *conductor.Setup) { s.Unplug(1, 2) },
		"train":     func(s *conductor.Setup) { s.Trains = []conductor.TrainAt{{Pieces: []int{1, 2}}} },
		"heavier":   func(s *conductor.Setup) { s.Trains = []conductor.TrainAt{{Pieces: []int{1, 2}, Motor: 6}} },
		"also": func(s *conductor.Setup) {
			s.Also = []conductor.Source{{Kind: conductor.SourceVolts, From: 3, To: 4, Volts: 18}}
		},
	}
	keys := map[string]string{base.Key(): "base"}
	for name, change := range changes {
		s := base.Clone()
		change(&s)
		require.Empty(t, keys[s.Key()], name)
		keys[s.Key()] = name
		c := s.Clone()
		require.Equal(t, s.Key(), c.Key())
		require.Equal(t, s.SwitchKey() != base.SwitchKey(), name == "off" || name == "unplugged", name)
		change(&c)
		if len(c.Trains) > 0 {
			c.Trains[0].Pieces[0] = 9
			require.NotEqual(t, s.Key(), c.Key(), "a clone is its own")
		}
	}
	two := base.Clone()
	changes["also"](&two)
	require.Len(t, two.Sources(), 2)
	two.Source.Kind = conductor.SourceNone
	require.Len(t, two.Sources(), 1)
}

// A toggle with three positions feeds its block from either supply on its
// sides, and from none in the middle, whichever side it stood on.
func TestToggleOffInTheMiddle(t *testing.T) {
	n := layoutNetwork(t, "middle-off")
	l := n.Layout
	side := func(name string) int {
		for i := range l.Toggles {
			if l.Toggles[i].Name == name {
				return i
			}
		}
		require.Fail(t, "no toggle", name)
		return -1
	}
	for _, c := range []struct {
		off  []string
		want [2]bool // T1, T2
	}{{nil, [2]bool{true, false}}, {[]string{"S2 side"}, [2]bool{false, true}}, {[]string{"S2"}, [2]bool{}},
		{[]string{"S2", "S2 side"}, [2]bool{}}} {
		var s conductor.Setup
		for _, name := range c.off {
			s.TurnOff(side(name))
		}
		for k, supply := range []string{"T1 hot", "T2 hot"} {
			require.Equal(t, c.want[k], path(t, n, &s, supply, "main 22 center"), "%s with %v off", supply, c.off)
		}
	}
	usual := conductor.Usual(l)
	require.Equal(t, []bool{false, false}, []bool{path(t, n, &usual, "T1 hot", "siding 4 center"),
		path(t, n, &usual, "T2 hot", "siding 4 center")}, "S3 is usually in the middle")
	require.True(t, path(t, n, &usual, "T2 hot", "main 22 center"), "S2 usually stands on its second side")
	require.Equal(t, "S2", l.Toggles[side("S2 side")].Part())
	require.Equal(t, conductor.PointInternal, n.Points[n.Find("S2 side hot")].Kind)
}

// A bus that comes home is fed from both its ends: with a wire out of any one
// terminal the current still gets to all others.
func TestRingBusIsFedFromBothEnds(t *testing.T) {
	n := layoutNetwork(t, "ring-bus")
	var hot []int
	for i := range n.Links {
		if k := &n.Links[i]; k.Kind == conductor.KindBus && k.Rail == "hot" {
			hot = append(hot, i)
		}
	}
	require.Len(t, hot, 5, "four terminals and the way home")
	home := &n.Links[hot[4]]
	require.Equal(t, "B1 ring", home.Place)
	require.InDelta(t, 0.0172413793*2.5+0.002, home.Ohms, 2e-3,
		"2.5 m of 1 mm2 (at most 18.1 mohm/m by IEC 60228) and a screw")
	var s conductor.Setup
	for _, cut := range hot {
		n.Links[cut].NormallyOpen = true
		for _, terminal := range []string{"B1 1 hot", "B1 2 hot", "B1 3 hot", "B1 4 hot"} {
			require.True(t, path(t, n, &s, "P1 hot", terminal), "%s with %s open", terminal, n.Links[cut].Place)
		}
		n.Links[cut].NormallyOpen = false
	}
}

// Loads are cold under an ohmmeter, and warm for a breaker: the platform lamps
// of 14 V and 0.9 A are 1.4 ohm cold, as the file says, and 15.6 ohm lit.
func TestWarmLoads(t *testing.T) {
	n := layoutNetwork(t, "lamps")
	for _, warm := range []bool{false, true} {
		s := conductor.Setup{Warm: warm}
		var ohms []float64
		for i := range n.Links {
			if k := &n.Links[i]; k.Kind == conductor.KindLoad && k.Place == "platform lamps" && s.Conducts(k) {
				ohms = append(ohms, k.Ohms)
			}
		}
		require.Len(t, ohms, 1)
		if warm {
			require.InDelta(t, 14/0.9, ohms[0], 1e-9)
		} else {
			require.InDelta(t, 1.4, ohms[0], 1e-9)
		}
	}
	cold, warm := conductor.Setup{}, conductor.Setup{Warm: true}
	require.NotEqual(t, cold.Key(), warm.Key())
	require.Equal(t, warm.Key(), func() string { c := warm.Clone(); return c.Key() }())
}

// The hot post has a name of its own: with a lamp between it and the hot wires
// it is another point than where they join.
func TestHotPostHasAName(t *testing.T) {
	n := layoutNetwork(t, "blocks")
	require.Equal(t, "T1", n.Layout.Supplies[0].Name)
	require.Equal(t, "T1 hot post", n.HotPost(0))
	require.Equal(t, n.Find("T1 hot"), n.Find("T1 hot post"))
	require.Equal(t, -1, n.Find("T9 hot post"))
}

// TestTerminalsReadTheTrack: the wires of a terminal lead to their rails and to
// nothing else, and a terminal with one wire has one point.
func TestTerminalsReadTheTrack(t *testing.T) {
	n := layoutNetwork(t, "panel-loop")
	s := conductor.Usual(n.Layout)
	require.True(t, path(t, n, &s, "A1 hot", "main 21/22 center"))
	require.True(t, path(t, n, &s, "A1 common", "main 21/22 right"))
	require.False(t, path(t, n, &s, "A1 hot", "A1 common"))
	require.Equal(t, -1, n.Find("A2 common"))
	require.Equal(t, [][2]int{{n.Find("A1 hot"), n.Find("A1 common")}, {n.Find("A2 hot"), -1}}, n.PanelPoints)
	bare := *n.Layout
	bare.Terminals = nil
	m, err := conductor.Build(&bare)
	require.NoError(t, err)
	require.Equal(t, n.Points[:len(m.Points)], m.Points)
	require.Equal(t, n.Links[:len(m.Links)], m.Links)
}
