package simulate_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/simulate"
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

func point(t testing.TB, n *conductor.Network, name string) int {
	t.Helper()
	i := n.Find(name)
	require.GreaterOrEqual(t, i, 0, name)
	return i
}

// suspect finds the one with this mode, place and rail.
func suspect(t testing.TB, n *conductor.Network, mode track.FaultMode, place, rail string) fault.Suspect {
	t.Helper()
	for _, s := range fault.List(n) {
		if s.Mode == mode && s.Place == place && s.Rail == rail {
			return s
		}
	}
	require.Fail(t, "no such suspect", "%s %s %s", mode, place, rail)
	return fault.Suspect{}
}

func lamp(n *conductor.Network) conductor.Setup {
	return conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 18, Amps: 1}}
}

// even makes every rail half .002, joint .001, wire .05, clip .003 and jumper
// .005 ohm, so that readings can be worked out by hand.
func even(n *conductor.Network) []float64 {
	out := make([]float64, len(n.Links))
	for i, k := range n.Links {
		out[i] = map[conductor.LinkKind]float64{conductor.KindRail: .002, conductor.KindJoint: .001,
			conductor.KindFeeder: .05, conductor.KindClip: .003, conductor.KindJumper: .005,
			conductor.KindSwitch: .005}[k.Kind]
	}
	return out
}

// Two-rail line of 6 pieces fed at main 1/2, a bridge in the middle of main 4:
// each rail from the feeder on has the joint 1/2, pieces 2 and 3 whole, joints
// 2/3 and 3/4, half of piece 4: .001 + 4*.002 + 2*.001 + .002 = .013 ohm.
func TestShortByHand(t *testing.T) {
	n := network(t, invent.Line("two-rail", 6))
	b := simulate.NewBench(n, even(n), []simulate.Fault{{Suspect: suspect(t, n, track.Bridged, "main 4", "left-right"),
		Ohms: .5, Position: .5}})
	at := func(name string) int { return point(t, n, name) }
	var off conductor.Setup
	feed := 2 * (.05 + .003)
	require.InDelta(t, .526, b.Ohms(off, at("main 1/2 right"), at("main 1/2 left")), 1e-12)
	require.InDelta(t, .526+feed, b.Ohms(off, at("T1 hot"), at("T1 common")), 1e-12)
	// From the middle of main 6 back to the short: half of 6, joint, 5, joint,
	// half of 4; then half of 4 and a joint on the other rail.
	require.InDelta(t, .010+.5+.003, b.Ohms(off, at("main 6 right"), at("main 5/4 left")), 1e-12)

	amps := 18 / (18 + .526 + feed)
	require.InDelta(t, amps, b.Amps(lamp(n)), 1e-12)
	v, joined := b.Volts(lamp(n), at("main 1/2 right"), at("main 1/2 left"))
	require.True(t, joined)
	require.InDelta(t, amps*.526, v, 1e-12)
	v, _ = b.Volts(lamp(n), at("main 6 left"), at("main 6 right"))
	require.InDelta(t, -amps*.5, v, 1e-12, "beyond the short nothing is lost; the sign is kept")
	v, _ = b.Volts(lamp(n), at("main 2/3 right"), at("main 3/2 right"))
	require.InDelta(t, amps*.001, v, 1e-12, "one joint")

	bare := lamp(n)
	bare.Source.Kind = conductor.SourceVolts
	require.InDelta(t, 18/(.526+feed), b.Amps(bare), 1e-9)
	v, _ = b.Volts(bare, at("T1 hot"), at("T1 common"))
	require.InDelta(t, 18, v, 1e-12)
}

// A bridge a quarter of the way along main 4 is half way along its first half.
func TestPositionOfABridge(t *testing.T) {
	n := network(t, invent.Line("two-rail", 6))
	s := suspect(t, n, track.Bridged, "main 4", "left-right")
	ohms := func(position float64) float64 {
		b := simulate.NewBench(n, even(n), []simulate.Fault{{Suspect: s, Ohms: .5, Position: position}})
		return b.Ohms(conductor.Setup{}, point(t, n, "main 1/2 right"), point(t, n, "main 1/2 left"))
	}
	for position, want := range map[float64]float64{0: .522, .25: .524, .5: .526, .75: .528, 1: .530} {
		require.InDelta(t, want, ohms(position), 1e-12, "position %v", position)
	}
	two := simulate.NewBench(n, even(n), []simulate.Fault{{Suspect: s, Ohms: .5, Position: .1},
		{Suspect: s, Ohms: .5, Position: .3}})
	// Two in one piece: the second lies .4 of a half further on both rails.
	far := .5 + 2*.4*.002
	want := 2*(.011+.2*.002) + 1/(1/.5+1/far)
	require.InDelta(t, want, two.Ohms(conductor.Setup{}, point(t, n, "main 1/2 right"), point(t, n, "main 1/2 left")),
		1e-12)
}

func TestOpenWeakAndLifted(t *testing.T) {
	n := network(t, invent.Line("two-rail", 6))
	at := func(name string) int { return point(t, n, name) }
	open := simulate.NewBench(n, even(n), []simulate.Fault{{Suspect: suspect(t, n, track.Open, "main 3/4", "left")}})
	s := lamp(n)
	v, joined := open.Volts(s, at("main 3 right"), at("main 3 left"))
	require.True(t, joined)
	require.InDelta(t, 18, v, 1e-12, "no current, no loss")
	_, joined = open.Volts(s, at("main 5 right"), at("main 5 left"))
	require.False(t, joined)
	require.Zero(t, open.MeterVolts(s, at("main 5 right"), at("main 5 left"), simulate.MeterOhms))
	require.True(t, math.IsInf(open.Ohms(s, at("main 3 left"), at("main 4 left")), 1))

	// A lamp laid across the far end: 10 ohm, through 1 ohm of a weak joint.
	weak := simulate.NewBench(n, even(n),
		[]simulate.Fault{{Suspect: suspect(t, n, track.Weak, "main 3/4", "left"), Ohms: 1}})
	s.Loads = []conductor.Load{{From: at("main 6 right"), To: at("main 6 left"), Ohms: 10}}
	path := 2*(.05+.003) + 2*(5*.001+9*.002) // joints 1/2 to 5/6, pieces 2 to 5 and half of 6
	amps := 18 / (18 + 10 + 1 + path)
	require.InDelta(t, amps, weak.Amps(s), 1e-12)
	v, _ = weak.Volts(s, at("main 4/3 left"), at("main 3/4 left"))
	require.InDelta(t, amps*1.001, v, 1e-12, "1 ohm more than the good joint")

	s.Lift(n.Layout.FindJoint("main 4/5"))
	require.Zero(t, weak.Amps(s))
	require.True(t, math.IsInf(weak.Ohms(s, at("main 4 left"), at("main 5 left")), 1))
	require.InDelta(t, 10+4*.002+2*.001, weak.Ohms(s, at("main 5 left"), at("main 5 right")), 1e-12,
		"the load stays when the source goes")
}

func TestBridgedGap(t *testing.T) {
	n := network(t, invent.Line("two-rail", 6)+"insulated \"main 3/4\" { rails = [\"left\"] }\n")
	at := func(name string) int { return point(t, n, name) }
	var s conductor.Setup
	sound := simulate.NewBench(n, even(n), nil)
	require.True(t, math.IsInf(sound.Ohms(s, at("main 3/4 left"), at("main 4/3 left")), 1))
	b := simulate.NewBench(n, even(n), []simulate.Fault{{Suspect: suspect(t, n, track.Bridged, "main 3/4", "left"),
		Ohms: .7, Position: .2}})
	require.InDelta(t, .7, b.Ohms(s, at("main 3/4 left"), at("main 4/3 left")), 1e-12)
	s.Lift(n.Layout.FindJoint("main 3/4"))
	require.True(t, math.IsInf(b.Ohms(s, at("main 3/4 left"), at("main 4/3 left")), 1), "lifting takes the bridge away")
}

// A swapped feeder shorts nothing alone: it turns the track over. A second
// feeder the right way round then makes a short through both.
func TestSwappedFeeder(t *testing.T) {
	one := network(t, invent.Line("two-rail", 6))
	b := simulate.NewBench(one, even(one),
		[]simulate.Fault{{Suspect: suspect(t, one, track.Swapped, "F1", "hot-common")}})
	v, joined := b.Volts(lamp(one), point(t, one, "main 3 right"), point(t, one, "main 3 left"))
	require.True(t, joined)
	require.InDelta(t, -18, v, 1e-9)

	two := network(t, invent.Line("two-rail", 6)+
		"feeder \"F2\" {\n  at = \"main 4/5\"\n  supply = \"T1\"\n  wire = \"16 AWG\"\n  length = \"6 ft\"\n}\n")
	b = simulate.NewBench(two, even(two),
		[]simulate.Fault{{Suspect: suspect(t, two, track.Swapped, "F2", "hot-common")}})
	// Hot post to common post: by F1's wire and clip, along the right rail to F2
	// (joints 1/2, 2/3, 3/4, pieces 2, 3, 4), and by F2's clip and wire; beside
	// it the same along the left rail.
	way := 2*(.05+.003) + 3*.001 + 6*.002
	require.InDelta(t, way/2, b.Ohms(conductor.Setup{}, two.Posts[0][0], two.Posts[0][1]), 1e-12)
	s := conductor.Setup{}
	s.Pull(1)
	require.True(t, math.IsInf(b.Ohms(s, two.Posts[0][0], two.Posts[0][1]), 1))
}

// A source of no resistance across nothing but zero ohm: an error and a current
// without bound, never a panic or a made-up voltage.
func TestIdealSourceShorted(t *testing.T) {
	n := network(t, invent.Line("two-rail", 3))
	b := simulate.NewBench(n, nil, nil)
	s := lamp(n)
	s.Loads = []conductor.Load{{From: n.Posts[0][0], To: n.Posts[0][1], Ohms: 0}}
	require.InDelta(t, 1, b.Amps(s), 1e-12, "the lamp takes it all")
	v, joined := b.Volts(s, n.Posts[0][0], n.Posts[0][1])
	require.True(t, joined)
	require.Zero(t, v)
	s.Source.Kind = conductor.SourceVolts
	require.True(t, math.IsInf(b.Amps(s), 1))
	_, err := b.Circuit(s)
	require.ErrorIs(t, err, simulate.ErrShorted)
	_, joined = b.Volts(s, n.Posts[0][0], n.Posts[0][1])
	require.False(t, joined)
	require.Zero(t, b.Ohms(s, n.Posts[0][0], n.Posts[0][1]))
	s.Loads, s.Source.To = nil, s.Source.From
	require.True(t, math.IsInf(b.Amps(s), 1), "both ends on one point")
}

// An ideal source that alone joins two islands sets them apart by its volts.
func TestIdealSourceBetweenIslands(t *testing.T) {
	n := network(t, invent.Line("two-rail", 3))
	b := simulate.NewBench(n, nil, nil)
	s := lamp(n)
	s.Source.Kind = conductor.SourceVolts
	require.Zero(t, b.Amps(s))
	v, joined := b.Volts(s, point(t, n, "main 3 left"), point(t, n, "main 3 right"))
	require.True(t, joined)
	require.Equal(t, -18., v, "left is the common rail")
	s.Pull(0)
	_, joined = b.Volts(s, point(t, n, "main 3 left"), point(t, n, "main 3 right"))
	require.False(t, joined)
	s.Source.Kind = conductor.SourceNone
	v, joined = b.Volts(s, point(t, n, "main 3 left"), point(t, n, "main 1 left"))
	require.True(t, joined)
	require.Zero(t, v)
}

// A voltmeter of 10 Mohm behind 1 Mohm reads 10/11 of the volts.
func TestMeterLoadsTheCircuit(t *testing.T) {
	n := network(t, invent.Line("two-rail", 6))
	b := simulate.NewBench(n, even(n), []simulate.Fault{{Suspect: suspect(t, n, track.Weak, "main 3/4", "left"),
		Ohms: 1e6}})
	s := lamp(n)
	require.InEpsilon(t, 18*10./11, b.MeterVolts(s, point(t, n, "main 5 right"), point(t, n, "main 5 left"),
		simulate.MeterOhms), 1e-5)
	v, _ := b.Volts(s, point(t, n, "main 5 right"), point(t, n, "main 5 left"))
	require.InDelta(t, 18, v, 1e-9)
	require.Empty(t, s.Loads, "the set-up is left alone")
}

func TestBadResistancesAreErrors(t *testing.T) {
	n := network(t, invent.Line("two-rail", 3))
	_, err := simulate.NewBench(n, []float64{1}, nil).Circuit(conductor.Setup{})
	require.ErrorContains(t, err, "1 resistances")
	bad := even(n)
	joint := slices.IndexFunc(n.Links, func(k conductor.Link) bool { return k.Kind == conductor.KindJoint })
	bad[joint] = -1
	_, err = simulate.NewBench(n, bad, nil).Circuit(conductor.Setup{})
	require.ErrorContains(t, err, n.Links[joint].ID+" (main 1/2 left)")
	s := lamp(n)
	s.Loads = []conductor.Load{{From: 0, To: 1, Ohms: math.NaN()}}
	b := simulate.NewBench(n, nil, nil)
	_, err = b.Circuit(s)
	require.ErrorContains(t, err, "load")
	require.True(t, math.IsNaN(b.Amps(s)))
	_, joined := b.Volts(s, 0, 1)
	require.False(t, joined)
}

// Currents add up at every point but the source's, and a link's current is its
// drop over its resistance.
func TestLinkAmps(t *testing.T) {
	n := network(t, invent.Oval("roadbed", false))
	rng := rand.New(rand.NewPCG(1, 1))
	b := simulate.NewBench(n, simulate.DrawOhms(n, rng, 1, 1),
		[]simulate.Fault{{Suspect: suspect(t, n, track.Bridged, "main 9", "center-right"), Ohms: .2, Position: .5}})
	c, err := b.Circuit(lamp(n))
	require.NoError(t, err)
	sum := make([]float64, n.Nodes)
	for i, k := range n.Links {
		sum[n.NodeOf(k.A)] -= c.LinkAmps(i)
		sum[n.NodeOf(k.B)] += c.LinkAmps(i)
	}
	source := c.Amps()
	require.Greater(t, source, .9)
	want := map[int]float64{n.NodeOf(n.Posts[0][0]): -source, n.NodeOf(n.Posts[0][1]): source,
		n.NodeOf(n.Middle(n.Layout.FindPiece("main 9"), track.Center)): source,
		n.NodeOf(n.Middle(n.Layout.FindPiece("main 9"), track.Right)):  -source}
	for node, got := range sum {
		require.InDelta(t, want[node], got, 1e-9, "node %d", node)
	}
}

func TestDrawOhms(t *testing.T) {
	n := network(t, invent.Loop("two-rail", 400))
	rng := rand.New(rand.NewPCG(3, 3))
	ohms := simulate.DrawOhms(n, rng, 2, 5)
	logs := map[conductor.LinkKind][]float64{}
	for i, k := range n.Links {
		if k.NormallyOpen {
			require.Zero(t, ohms[i])
			continue
		}
		logs[k.Kind] = append(logs[k.Kind], math.Log(ohms[i]/k.Ohms))
	}
	for kind, want := range map[conductor.LinkKind][2]float64{conductor.KindRail: {math.Log(2), .08},
		conductor.KindJoint: {math.Log(5), .6}} {
		mean, square := 0.0, 0.0
		for _, x := range logs[kind] {
			mean += x / float64(len(logs[kind]))
		}
		for _, x := range logs[kind] {
			square += (x - mean) * (x - mean) / float64(len(logs[kind]))
		}
		require.InDelta(t, want[0], mean, 4*want[1]/math.Sqrt(float64(len(logs[kind]))), kind)
		require.InEpsilon(t, want[1], math.Sqrt(square), .1, kind)
	}
	require.Equal(t, ohms, simulate.DrawOhms(n, rand.New(rand.NewPCG(3, 3)), 2, 5), "same seed, same track")
}

// Drawn faults follow the odds (by kind and within four standard deviations),
// lie between the bounds and along the piece.
func TestDrawFault(t *testing.T) {
	n := network(t, invent.Oval("metal-tie", false))
	list := fault.List(n)
	want := map[track.FaultMode]float64{}
	for _, s := range list {
		want[s.Mode] += s.Odds
	}
	rng := rand.New(rand.NewPCG(8, 8))
	const draws = 5000
	got := map[track.FaultMode]float64{}
	below := 0
	for range draws {
		f := simulate.DrawFault(list, rng)
		got[f.Suspect.Mode] += 1. / draws
		require.True(t, f.Position >= 0 && f.Position < 1)
		if f.Suspect.Mode == track.Bridged || f.Suspect.Mode == track.Weak {
			require.True(t, f.Ohms >= f.Suspect.MinOhms*(1-1e-12) && f.Ohms <= f.Suspect.MaxOhms*(1+1e-12))
			if f.Ohms < math.Sqrt(f.Suspect.MinOhms*f.Suspect.MaxOhms) {
				below++
			}
		} else {
			require.Zero(t, f.Ohms)
		}
	}
	for mode, p := range want {
		require.InDelta(t, p, got[mode], 4*math.Sqrt(p*(1-p)/draws), mode)
	}
	p := want[track.Bridged] + want[track.Weak]
	require.InDelta(t, p/2, float64(below)/draws, 4*math.Sqrt(p/4/draws), "half of them below the geometric mean")
}

func BenchmarkReading(b *testing.B) {
	n := network(b, invent.Loop("metal-tie", 200))
	s := lamp(n)
	bench := simulate.NewBench(n, nil, nil)
	k := 0
	b.ReportAllocs()
	for b.Loop() {
		s.Source.Volts = 18 + float64(k%2) // a new circuit every time
		k++
		bench.Volts(s, 0, len(n.Points)/2)
	}
}
