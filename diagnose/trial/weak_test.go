package trial_test

import (
	"math"
	"math/rand/v2"
	"regexp"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/trial"
	"fishplate/layoutfile"
)

// tiredLoop is an evening on a loop of 100 with one feeder, joints of eight times
// what they should have, and its far end slow; and its true ohms.
func tiredLoop(t *testing.T, seed uint64) (*trial.Evening, *conductor.Network, []float64) {
	l := layout(t, "loop", 100, trial.Build{})
	table := trial.Table{File: l, Kit: kit, Symptom: hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 50"},
		Meter: simulate.CheapMeter(), Joints: 8}
	e, err := trial.Lay(table, rand.New(rand.NewPCG(seed, 7)))
	require.NoError(t, err)
	n, err := conductor.Build(l)
	require.NoError(t, err)
	return e, n, simulate.DrawOhms(n, rand.New(rand.NewPCG(seed, 7)), 1, 8)
}

var relieved = regexp.MustCompile(`no single place is bad: the loss is spread, .* a train of 3 A gets ([\d.]+) of 18 ` +
	`V at main 50. One more feeder at main (\d+) gives it ([\d.]+) V there(?:, and ([\d.]+) V at main (\d+), then ` +
	`the worst)?`)

// trueVolts are those of a train of 3 A at a piece of the tired loop, with two wires
// to another piece as one more feeder (0: none).
func trueVolts(n *conductor.Network, ohms []float64, piece, feeder int) float64 {
	s := conductor.Usual(n.Layout)
	post := n.Posts[0]
	middle := func(piece int, r track.Rail) int { return n.Middle(piece-1, r) }
	s.Source = conductor.Source{Kind: conductor.SourceVolts, From: post[0], To: post[1], Volts: 18}
	hot, common := middle(piece, track.Center), middle(piece, track.Left)
	s.Loads = []conductor.Load{{From: hot, To: common, Ohms: 6}}
	if feeder > 0 {
		wire := n.Layout.Feeders[0].OhmsPerWire
		s.Loads = append(s.Loads, conductor.Load{From: post[0], To: middle(feeder, track.Center), Ohms: wire},
			conductor.Load{From: post[1], To: middle(feeder, track.Left), Ohms: wire})
	}
	v, _ := simulate.NewBench(n, ohms, nil).Volts(s, hot, common)
	return math.Abs(v)
}

// Where joints are tired all over, no piece is blamed: the hunt says so after seven
// readings at most, and the feeder that it names gives the volts that it names, by
// the bench's own circuit.
func TestLossThatIsSpread(t *testing.T) {
	if testing.Short() {
		t.Skip("a long hunt")
	}
	for seed := range uint64(2) {
		e, n, ohms := tiredLoop(t, seed)
		require.NoError(t, e.Hunt())
		said := relieved.FindStringSubmatch(e.Verdict)
		require.NotNil(t, said, "%s\n%v", e.Verdict, e.Log)
		require.LessOrEqual(t, e.All, 9, e.Log)
		require.Zero(t, e.Looks, e.Log)
		number := func(k int) float64 {
			v, err := strconv.ParseFloat(said[k], 64)
			require.NoError(t, err)
			return v
		}
		at := int(number(2))
		require.InDelta(t, 50, at, 5, "opposite the feeder that there is")
		require.InDelta(t, trueVolts(n, ohms, 50, 0), number(1), 0.6, "%s\n%v", said[0], e.Log)
		require.InDelta(t, trueVolts(n, ohms, 50, at), number(3), 0.15, said[0])
		worst := 18.0
		for piece := 1; piece <= 100; piece++ {
			worst = math.Min(worst, trueVolts(n, ohms, piece, at))
		}
		require.InDelta(t, worst, number(4), 0.5, said[0])
	}
}

// One bad joint on track whose joints are three times as bad as the file says is
// found, and never taken for a loss that is spread.
func TestOneWeakJointIsNotSpread(t *testing.T) {
	if testing.Short() {
		t.Skip("whole hunts")
	}
	l := layout(t, "loop", 60, trial.Build{})
	for seed := range uint64(2) {
		x := hidden(t, l, track.Weak, "main 12/13", "center", 1)
		table := trial.Table{File: l, Kit: kit, Symptom: hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 16"},
			Hidden: []simulate.Fault{x}, Meter: simulate.CheapMeter(), Joints: 3}
		e, err := trial.Lay(table, rand.New(rand.NewPCG(seed, 9)))
		require.NoError(t, err)
		require.NoError(t, e.Hunt())
		require.True(t, e.Found, "%s\n%v", e.Verdict, e.Log)
		require.NotContains(t, e.Verdict, "spread")
		require.LessOrEqual(t, e.Looks, 2, e.Log)
	}
}

// Two clips of one feeder that went bad together are found at the first look: the
// told place is loaded first and read against the supply on both sides.
func TestBothClipsOfAFeeder(t *testing.T) {
	name, src := layoutfile.Demo()
	f, problems := layoutfile.Read(name, src)
	require.False(t, problems.Errors(), "%v", problems)
	for seed := range uint64(2) {
		if testing.Short() && seed > 0 {
			break
		}
		rng := rand.New(rand.NewPCG(seed, 11))
		both := []simulate.Fault{hidden(t, f.Layout, track.Weak, "main 2/3", "hot", 1+3*rng.Float64()),
			hidden(t, f.Layout, track.Weak, "main 2/3", "common", 1+3*rng.Float64())}
		e, err := trial.Lay(trial.Table{File: f.Layout, Kit: kit, Symptom: hunt.Symptom{Kind: hunt.SymptomWeak,
			At: "main 2"},
			Hidden: both, Meter: simulate.CheapMeter()}, rng)
		require.NoError(t, err)
		require.NoError(t, e.Hunt())
		require.Equal(t, 1, e.Rank, e.Log)
		require.LessOrEqual(t, e.Readings, 5, e.Log)
		require.Equal(t, 1, e.Looks, e.Log)
	}
}

// A proof of a weak place tells one that was mended from one that was called mended and
// was not, on a bench with contacts that hardly slow a train: the volts that a train shows
// are no limit there.
func TestProofOfWeakTellsTheUnmended(t *testing.T) {
	if testing.Short() {
		t.Skip("long hunts")
	}
	name, text := layoutfile.Demo()
	demo, problems := layoutfile.Read(name, text)
	require.NotNil(t, demo, "%v", problems)
	l := demo.Layout
	played, proven := 0, 0
	for _, c := range []struct {
		at, place string
		mode      track.FaultMode
		ohms      float64
		kit       hunt.Kit
	}{
		{"main 22", "main 22/23", track.Open, 0, acKit},
		{"main 22", "main 22/23", track.Open, 0, batteryKit},
		{"spur 6", "spur 4/5", track.Weak, 0.25, batteryKit},
	} {
		for _, unmended := range []bool{true, false} {
			f := hidden(t, l, c.mode, c.place, "center", c.ohms)
			e, err := trial.Lay(trial.Table{File: l, Kit: c.kit, Symptom: hunt.Symptom{Kind: hunt.SymptomWeak,
				At: c.at}, Hidden: []simulate.Fault{f},
				Meter: simulate.CheapMeter()}, rand.New(rand.NewPCG(4, 18)))
			require.NoError(t, err)
			e.Prove, e.Unmended = true, unmended
			require.NoError(t, e.Hunt(), e.Log)
			t.Logf("%s, unmended %v: found %v, proven %v: %s", c.place, unmended, e.Found, e.Proven, e.Verdict)
			if !e.Found {
				continue
			}
			played++
			require.False(t, e.Proven && e.Left > 0, "%s: %s\n%v", c.place, e.Verdict, e.Log)
			if !unmended && e.Proven {
				proven++
			}
		}
	}
	require.Equal(t, 6, played)
	require.Equal(t, 3, proven)
}
