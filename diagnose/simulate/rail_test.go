package simulate_test

import (
	"strings"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"

	"github.com/stretchr/testify/require"
)

// bellLine is five pieces of tied track, the third and the fourth without ties, with
// the left rail cut at both their ends. Invented.
const bellLine = `name = "bell line"
units = "mm"
construction = "metal-tie"
run "main" { pieces = ["2 x straight 250", "2 x straight 250 untied", "straight 250"] }
supply "T1" {
  current = "ac"
  volts   = 14
  breaker = 5
}
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "1 mm2"
  length = "1 m"
}
accessory "bell" {
  kind   = "relay"
  volts  = 14
  amps   = 0.7
  supply = "T1"
}
insulated "main 2/3" { rails = ["left"] }
insulated "main 4/5" { rails = ["left"] }
insulated_rail "bell rail" {
  rail  = "left"
  from  = "main 2/3"
  to    = "main 4/5"
  tap   = "main 3"
  works = "bell"
}
`

// An insulated rail in its four states, worked by hand. In milliohm:
//
//	rail 12.3 a meter, so half a piece of 250 mm is 1.5375; a joint 1.5
//	lead of the bell 20; the bell 14 V / 0.7 A = 20000; its tap 1 + 3 (wire, clip)
//	wheels 50; a bridged gap 100
//	feeder: clip 3, 1 m of 1 mm2 copper 17.241
//
// From the tied middle of main 2 (both rails) to the tied middle of main 1 two
// rails lie side by side: (1.5375 + 1.5 + 1.5375) / 2 = 2.2875. So all states have
// in common 20 + 20000 + 4 + 2.2875 + 3 + 17.241 = 20046.5285, and between the tap and
// the middle of main 2 they have
//
//	train: wheels, then half, joint, half of the right rail: 50 + 4.575 = 54.575
//	bridged gap: half, bridge, half of the left rail: 1.5375 + 100 + 1.5375 = 103.075
//	both: 54.575 * 103.075 / 157.65 = 35.6825
//	neither: nothing, and no current
//
// The current is 14 V over the sum:
//
//	off, good     none
//	on,  good     14 / 20.1011035 = 0.696479 A: the bell rings
//	off, bridged  14 / 20.1496035 = 0.694803 A: always on
//	on,  bridged  14 / 20.0822110 = 0.697134 A: no way to tell by the bell
//
// The train's pair of wheels stands on main 3. Piece 5 and the far ends carry
// nothing.
func TestInsulatedRailInItsFourStates(t *testing.T) {
	n := network(t, bellLine)
	gap := suspect(t, n, track.Bridged, "main 2/3", "left")
	load := -1
	for i, k := range n.Links {
		if k.Kind == conductor.KindLoad && k.When == conductor.WhenHot {
			load = i
		}
	}
	hot, rail := point(t, n, "bell hot"), point(t, n, "main 3 left")
	for _, c := range []struct {
		train, bridged bool
		amps           float64
	}{{false, false, 0}, {true, false, 0.696479}, {false, true, 0.694803}, {true, true, 0.697134}} {
		var faults []simulate.Fault
		if c.bridged {
			faults = []simulate.Fault{{Suspect: gap, Ohms: 0.1}}
		}
		b := simulate.NewBench(n, nil, faults)
		s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceVolts, From: n.Posts[0][0],
			To: n.Posts[0][1], Volts: 14}}
		if c.train {
			s.Trains = []conductor.TrainAt{{Pieces: []int{2}, Wheels: 0.05}}
		}
		cir, err := b.Circuit(s)
		require.NoError(t, err)
		require.InDelta(t, c.amps, cir.LinkAmps(load), 5e-7, "%+v", c)
		require.InDelta(t, c.amps, b.Amps(s), 5e-7, "%+v", c)
		v, joined := b.Volts(s, hot, rail)
		require.True(t, joined, "the rail hangs on the bell even when nothing else touches it")
		require.InDelta(t, c.amps*20.004, v, 2e-5, "the bell and its tap, %+v", c)
	}
}

// A rail that is cut off and a train on it, with the tap off: the bell is silent,
// and the rail is where a volt meter finds nothing against hot.
func TestTapOpen(t *testing.T) {
	n := network(t, bellLine)
	b := simulate.NewBench(n, nil, []simulate.Fault{{Suspect: suspect(t, n, track.Open, "bell rail", "left")}})
	s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceVolts, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 14},
		Trains: []conductor.TrainAt{{Pieces: []int{2}}}}
	require.InDelta(t, 0, b.Amps(s), 1e-12)
	v, joined := b.Volts(s, n.Posts[0][0], point(t, n, "main 3 left"))
	require.True(t, joined)
	require.InDelta(t, 14, v, 1e-9, "the wheels put the rail on common")
}

// Wheels over the gap put the rail on common while the train is still outside:
// it fires at the wrong place.
func TestWheelsOverTheGap(t *testing.T) {
	n := network(t, bellLine)
	b := simulate.NewBench(n, nil, nil)
	s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceVolts, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 14}}
	s.Trains = []conductor.TrainAt{{Pieces: []int{1}}}
	require.InDelta(t, 0, b.Amps(s), 1e-12, "before the gap")
	s.Trains = []conductor.TrainAt{{Pieces: []int{1, 2}}}
	require.Greater(t, b.Amps(s), 0.69)
}

// A turnout that senses: a train on the piece behind the frog passes the coil's
// current, 16 V / 1.2 A, to common over its own wheels.
func TestSensingTurnout(t *testing.T) {
	n := network(t, `name = "spur"
units = "mm"
construction = "metal-tie"
run "main" { pieces = ["straight 250", "turnout left radius 400 angle 30 sensing as W1", "straight 250"] }
run "side" {
  from   = "W1 diverging"
  pieces = ["straight 250"]
}
supply "T1" {
  current = "ac"
  volts   = 16
  breaker = 5
}
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "1 mm2"
  length = "1 m"
}
insulated "W1 through" { rails = ["left"] }
insulated "W1 diverging" { rails = ["right"] }
`)
	s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceVolts, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 16}}
	b := simulate.NewBench(n, nil, nil)
	require.InDelta(t, 0, b.Amps(s), 1e-12)
	w1, side := n.Layout.FindPiece("W1"), n.Layout.FindPiece("side 1")
	for _, c := range []struct {
		name  string
		piece int
	}{{"W1 through coil", n.Layout.FindPiece("main 3")}, {"W1 diverging coil", side}} {
		s.Trains = []conductor.TrainAt{{Pieces: []int{w1, c.piece}}}
		cir, err := b.Circuit(s)
		require.NoError(t, err)
		for i, k := range n.Links {
			if k.Kind == conductor.KindLoad && k.When == conductor.WhenHot {
				amps := 0.0
				if k.Place == c.name {
					amps = 1.2
				}
				require.InDelta(t, amps, cir.LinkAmps(i), 0.02, "%s while a train is over %s", k.Place, c.name)
			}
		}
	}
	// The gap bridged: the coil is on with no train near.
	s.Trains = nil
	b = simulate.NewBench(n, nil, []simulate.Fault{{Suspect: suspect(t, n, track.Bridged, n.Layout.Joints[1].Name,
		"left"), Ohms: 0.01}})
	require.InDelta(t, 1.2, b.Amps(s), 0.02)
}

// Two supplies with their commons joined by the track: between the hots the
// volts cancel in phase and add up out of phase, each supply idle.
func TestPhaseOfTwoSupplies(t *testing.T) {
	const text = `name = "two"
units = "mm"
construction = "roadbed"
run "main" { pieces = ["4 x straight 250"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 5
}
supply "T2" {
  current = "ac"
  volts   = 17.5
  breaker = 5
  %s
}
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "1 mm2"
  length = "1 m"
}
feeder "F2" {
  at     = "main 4"
  supply = "T2"
  wire   = "1 mm2"
  length = "1 m"
}
insulated "main 2/3" { rails = ["center"] }
`
	for _, c := range []struct {
		line    string
		swapped bool
		volts   float64
	}{{"", false, 0.5}, {"", true, 35.5}, {`phase = "reversed"`, false, 35.5}, {`phase = "reversed"`, true, 0.5}} {
		n := network(t, replaced(text, c.line))
		var faults []simulate.Fault
		if c.swapped {
			faults = []simulate.Fault{{Suspect: suspect(t, n, track.Swapped, "T2", "hot-common")}}
		}
		b := simulate.NewBench(n, nil, faults)
		s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceVolts, From: n.Windings[0][0],
			To: n.Windings[0][1], Volts: 18},
			Also: []conductor.Source{{Kind: conductor.SourceVolts, From: n.Windings[1][0], To: n.Windings[1][1],
				Volts: 17.5}}}
		v, joined := b.Volts(s, point(t, n, "main 2/3 center"), point(t, n, "main 3/2 center"))
		require.True(t, joined)
		require.InDelta(t, c.volts, v, 1e-9, "%+v", c)
		require.InDelta(t, 0, b.Amps(s), 1e-9)
	}
}

// Two ideal sources across the same points hold nothing: an error, no number.
func TestSourcesAgainstEachOther(t *testing.T) {
	n := network(t, bellLine)
	x := conductor.Source{Kind: conductor.SourceVolts, From: n.Posts[0][0], To: n.Posts[0][1], Volts: 14}
	b := simulate.NewBench(n, nil, nil)
	_, err := b.Circuit(conductor.Setup{Source: x, Also: []conductor.Source{x}})
	require.ErrorIs(t, err, simulate.ErrAgainst)
	_, joined := b.Volts(conductor.Setup{Source: x, Also: []conductor.Source{x}}, n.Posts[0][0], n.Posts[0][1])
	require.False(t, joined)
}

// A feeder on the wrong side of its gap feeds the block next door.
func TestMisplacedFeeder(t *testing.T) {
	n := network(t, `name = "blocks"
units = "mm"
construction = "roadbed"
run "main" { pieces = ["6 x straight 250"] }
supply "T1" {
  current = "ac"
  volts   = 16
  breaker = 5
}
toggle "S1" { supply = "T1" }
feeder "F1" {
  at     = "main 3/4"
  toggle = "S1"
  wire   = "1 mm2"
  length = "1 m"
}
insulated "main 3/4" { rails = ["center"] }
`)
	s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceVolts, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 16}}
	near, far, common := point(t, n, "main 2 center"), point(t, n, "main 5 center"), point(t, n, "main 5 right")
	look := func(b *simulate.Bench, s conductor.Setup) [2]bool {
		_, a := b.Volts(s, near, common)
		_, c := b.Volts(s, far, common)
		return [2]bool{a, c}
	}
	require.Equal(t, [2]bool{true, false}, look(simulate.NewBench(n, nil, nil), s))
	wrong := simulate.Fault{Suspect: suspect(t, n, track.Misplaced, "F1", "hot-common")}
	require.Equal(t, [2]bool{false, true}, look(simulate.NewBench(n, nil, []simulate.Fault{wrong}), s))
	s.TurnOff(0)
	require.Equal(t, [2]bool{false, false}, look(simulate.NewBench(n, nil, nil), s))
	stuck := simulate.Fault{Suspect: suspect(t, n, track.Bridged, "S1", "hot-hot"), Ohms: 0.01}
	require.Equal(t, [2]bool{true, false}, look(simulate.NewBench(n, nil, []simulate.Fault{stuck}), s))
}

// An ohmmeter finds a cold lamp where a supply sees a hot one.
func TestLampColdAndHot(t *testing.T) {
	n := network(t, bellLine+`accessory "lamp" {
  kind  = "lamp"
  volts = 14
  amps  = 0.2
  at    = "main 1"
}
`)
	b := simulate.NewBench(n, nil, nil)
	hot, common := point(t, n, "main 1 center"), point(t, n, "main 1 left")
	// 70 ohm lit, a twelfth of it cold, and two leads of 0.02.
	require.InDelta(t, 70./12+0.04, b.Ohms(conductor.Setup{}, hot, common), 1e-9)
	s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceVolts, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 14}}
	require.InDelta(t, 0.2, b.Amps(s), 0.0005)
	s.Unplug(1)
	require.InDelta(t, 0, b.Amps(s), 1e-12)
	short := simulate.NewBench(n, nil, []simulate.Fault{{Suspect: suspect(t, n, track.Bridged, "lamp", "hot-common"),
		Ohms: 0.5}})
	require.Less(t, short.Ohms(conductor.Setup{}, hot, common), 0.6)
	gone := conductor.Setup{}
	gone.Unplug(1)
	require.Greater(t, short.Ohms(gone, hot, common), 1e9, "unplugged, its short is gone with it")
	require.NotEmpty(t, fault.List(n))
}

func replaced(text, line string) string { return strings.Replace(text, "%s", line, 1) }

// Two supplies behind lamps on one load, by Millman's theorem: (18/18 + 12/6) /
// (1/18 + 1/6 + 1/9) = 9 V; the first delivers (18 - 9) / 18 A. One of the
// two ideal instead: the load sees its volts, and the other feeds (18 - 12) / 18 A
// into it.
func TestTwoSuppliesOnOneLoad(t *testing.T) {
	n := network(t, bellLine)
	p, q := n.Posts[0][0], n.Posts[0][1]
	b := simulate.NewBench(n, nil, nil)
	s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: p, To: q, Volts: 18, Amps: 1},
		Also:  []conductor.Source{{Kind: conductor.SourceLamp, From: p, To: q, Volts: 12, Amps: 2}},
		Loads: []conductor.Load{{From: p, To: q, Ohms: 9}}}
	v, joined := b.Volts(s, p, q)
	require.True(t, joined)
	require.InDelta(t, 9, v, 1e-12)
	require.InDelta(t, 0.5, b.Amps(s), 1e-12)
	s.Also[0] = conductor.Source{Kind: conductor.SourceVolts, From: p, To: q, Volts: 12}
	v, _ = b.Volts(s, p, q)
	require.InDelta(t, 12, v, 1e-12)
	require.InDelta(t, 6./18, b.Amps(s), 1e-12)
	require.InDelta(t, 9, b.Ohms(s, p, q), 1e-12, "ohms are read with every source away")
}
