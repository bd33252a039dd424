package infer

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// fedAt is an invented loop with feeders at these joints, all wires alike.
func fedAt(t *testing.T, pieces int, joints ...int) *conductor.Network {
	t.Helper()
	var b strings.Builder
	fmt.Fprintf(&b, "name = \"invented\"\nconstruction = \"metal-tie\"\nunits = \"in\"\nrun \"main\" {\n  closes = "+
		"true\n  pieces = [\"%d x straight 10\"]\n}\n", pieces)
	for i, j := range joints {
		fmt.Fprintf(&b, "feeder \"F%d\" {\n  at = \"main %d/%d\"\n  supply = \"T1\"\n  wire = \"16 AWG\"\n  length = "+
			"\"6 ft\"\n}\n", i+1, j, j+1)
	}
	b.WriteString("supply \"T1\" {\n  current = \"ac\"\n  volts = 18\n  breaker = 10\n}\n")
	f, problems := layoutfile.Read("invented", []byte(b.String()))
	require.False(t, problems.Errors(), "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	return n
}

// behindOneAmp is the loop behind a lamp, and the same with its first feeder off.
func behindOneAmp(n *conductor.Network) (on, off conductor.Setup) {
	on = conductor.Usual(n.Layout)
	on.Source = conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0], To: n.Posts[0][1], Volts: 18, Amps: 1}
	off = on.Clone()
	off.Pull(0)
	return on, off
}

// What a reading is with a wire more is what the whole circuit of a layout gives that
// has that wire, with the file's feeder on and off.
func TestWireMoreAgainstWholeCircuit(t *testing.T) {
	const pieces, in, out = 24, 17, 5
	file, is := fedAt(t, pieces, 3), fedAt(t, pieces, 3, in)
	e := NewEngine(file, DefaultModel(file, meter.Good(true), true))
	hot := func(n *conductor.Network, piece int) int {
		return n.At(track.EndRef{Piece: piece - 1, End: 1}, n.Layout.Pieces[piece-1].Construction.Hot)
	}
	on, off := behindOneAmp(file)
	for _, s := range []conductor.Setup{on, off} {
		g := entering{e}.feeding([]Observation{{Setup: s, Func: meter.Lamp}}, mostIn, mostOut)
		short := [2]int{file.Middle(out-1, track.Center), file.Middle(out-1, track.Left)}
		o := predict.Options{Points: []int{short[0], short[1], is.Posts[0][0], is.Posts[0][1], hot(is, 9), hot(is, 12),
			hot(is, 20)}, Links: e.cutLinks()}
		for i := range is.Links {
			if is.Links[i].Feeder >= 0 {
				o.Links = append(o.Links, i)
			}
		}
		c, err := predict.NewBasis(is, o).NewCircuit(&s, nil, nil)
		require.NoError(t, err)
		k := c.NewCase(predict.Effect{Kind: predict.EffectBridge, A: short[0], B: short[1], Ohms: 0.1})
		g.wire = 0
		for i := range is.Links {
			if l := &is.Links[i]; l.Feeder == 1 && l.Rail == "hot" && !l.NormallyOpen {
				mean, _ := predict.MeanVar(l.Ohms, l.Spread)
				g.wire += mean
			}
		}
		w := &entryWork{feeding: g}
		for _, x := range [][2]int{{file.Posts[0][0], hot(file, 9)}, {file.Posts[0][0], hot(file, 20)},
			{hot(file, 12), hot(file, 20)}} {
			q, ok := g.loss(&Observation{Setup: s, Func: meter.Millivolts, Red: x[0], Black: x[1]})
			require.True(t, ok)
			w.from(in-1, []loss{q})
			require.True(t, w.spreadOut(out-1))
			v, _ := k.Volts(is.Find(file.Points[x[0]].Name), is.Find(file.Points[x[1]].Name))
			require.InEpsilon(t, math.Abs(v)/k.Amps(), w.mean[0], 1e-6, "%s to %s, %v off", file.Points[x[0]].Name,
				file.Points[x[1]].Name, s.Pulled)
		}
	}
}

// read takes millivolts on the track as it is, a short in one piece, between pairs of
// points, for an engine that knows the file's.
func read(t *testing.T, file, is *conductor.Network, short int, pairs [][2]int,
	point func(n *conductor.Network, at int) int) []Observation {
	t.Helper()
	on, _ := behindOneAmp(file)
	there, _ := behindOneAmp(is)
	bridge := predict.Effect{Kind: predict.EffectBridge, A: is.Middle(short, track.Center),
		B: is.Middle(short, track.Left), Ohms: 0.1}
	o := predict.Options{Points: []int{bridge.A, bridge.B, is.Posts[0][0], is.Posts[0][1]}}
	for _, x := range pairs {
		o.Points = append(o.Points, point(is, x[0]), point(is, x[1]))
	}
	c, err := predict.NewBasis(is, o).NewCircuit(&there, nil, nil)
	require.NoError(t, err)
	var obs []Observation
	for _, x := range pairs {
		v, _ := c.NewCase(bridge).Volts(point(is, x[0]), point(is, x[1]))
		r := unit.Reading{Kind: unit.Value, Unit: unit.Volt, Value: math.Round(math.Abs(v)*1e5) / 1e5, Step: 1e-5}
		obs = append(obs, Observation{Setup: on, Func: meter.Millivolts, Red: point(file, x[0]),
			Black: point(file, x[1]), Shown: r})
	}
	return obs
}

// A feeder two joints from where the file has it is seen to sit there by eight readings
// along the hot rail and from its clip, and one that sits right is not.
func TestFeederElsewhereIsSeen(t *testing.T) {
	const pieces, short = 40, 27
	file := fedAt(t, pieces, 10)
	far := func(n *conductor.Network, piece int) int {
		if piece == 0 {
			return n.FeederPoints[0][0]
		}
		return n.At(track.EndRef{Piece: piece - 1, End: 1}, track.Center)
	}
	pairs := [][2]int{{0, 18}, {0, 5}, {14, 25}, {30, 8}, {0, 15}, {0, 2}, {16, 22}, {0, 20}} // 0: its clip
	for at, sure := range map[int]bool{12: true, 10: false} {
		e := NewEngine(file, DefaultModel(file, meter.Good(true), true))
		e.SetSymptom(Symptom{Kind: Short, Piece: -1, Accessory: -1, Supply: -1})
		m, ok := e.Moved(read(t, file, fedAt(t, pieces, at), short-1, pairs, far), e.Update(nil))
		require.True(t, ok)
		if sure {
			require.Greater(t, m.P, 0.4)
			require.InDelta(t, at, m.At+1, 1)
		} else {
			require.Less(t, m.P, 0.1)
		}
	}
}

// A feeder of the file that feeds nothing is seen to by ten readings along the hot rail,
// wherever the short is drawn, and one that feeds is not doubted.
func TestFeederThatFeedsNothingIsSeen(t *testing.T) {
	const pieces, draws = 40, 12
	file := fedAt(t, pieces, 10, 30)
	e := NewEngine(file, DefaultModel(file, meter.Good(true), true))
	e.SetSymptom(Symptom{Kind: Short, Piece: -1, Accessory: -1, Supply: -1})
	far := func(n *conductor.Network, piece int) int {
		return n.At(track.EndRef{Piece: piece, End: 1}, track.Center)
	}
	rng := rand.New(rand.NewPCG(7, 30))
	seen := 0
	for range draws {
		short := rng.IntN(pieces)
		var pairs [][2]int
		for range 10 {
			pairs = append(pairs, [2]int{rng.IntN(pieces), rng.IntN(pieces)})
		}
		whole, ok := e.Moved(read(t, file, file, short, pairs, far), e.Update(nil))
		require.True(t, ok)
		require.Less(t, whole.Idle, 0.1, "short in piece %d", short+1)
		m, ok := e.Moved(read(t, file, fedAt(t, pieces, 10), short, pairs, far), e.Update(nil))
		require.True(t, ok)
		if m.Feeder == 1 && m.Idle > 0.4 {
			seen++
		}
	}
	require.GreaterOrEqual(t, seen, draws*3/4)
}
