package hunt_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

func load(t testing.TB, name string) *track.Layout {
	t.Helper()
	src, err := os.ReadFile("../../testdata/layouts/" + name + ".hcl")
	require.NoError(t, err)
	f, probs := layoutfile.Read(name, src)
	require.NotNil(t, f, "%v", probs)
	return f.Layout
}

var allMeters = hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, LampAmps: 1,
	LampSpread: 0.04}

// setupOf builds what an ask describes, by names, as any reader of the
// netlist would.
func setupOf(t testing.TB, n *conductor.Network, s hunt.Setup) conductor.Setup {
	pt := func(name string) int {
		p := n.Find(name)
		require.GreaterOrEqual(t, p, 0, name)
		return p
	}
	out := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceKind(s.Source.Kind), Volts: s.Source.Volts,
		Amps: s.Source.Amps}}
	if s.Source.Kind != "none" {
		out.Source.From, out.Source.To = pt(s.Source.From), pt(s.Source.To)
	}
	for _, l := range s.Loads {
		out.Loads = append(out.Loads, conductor.Load{From: pt(l.From), To: pt(l.To), Ohms: l.Ohms})
	}
	for _, x := range s.Also {
		out.Also = append(out.Also, conductor.Source{Kind: conductor.SourceKind(x.Kind), From: pt(x.From), To: pt(x.To),
			Volts: x.Volts, Amps: x.Amps})
	}
	for i := range n.Layout.Toggles {
		for _, name := range s.Off {
			if n.Layout.Toggles[i].Name == name {
				out.Off = append(out.Off, i)
			}
		}
	}
	for i := range n.Layout.Accessories {
		for _, name := range s.Unplugged {
			if n.Layout.Accessories[i].Name == name {
				out.Unplugged = append(out.Unplugged, i)
			}
		}
	}
	for name, route := range s.Thrown {
		require.NoError(t, n.Throw(&out, name, route))
	}
	for _, j := range s.Lifted {
		out.Lift(n.Layout.FindJoint(j))
	}
	for _, f := range s.Pulled {
		for i := range n.Layout.Feeders {
			if n.Layout.Feeders[i].Name == f {
				out.Pull(i)
			}
		}
	}
	return out
}

// answer reads the bench with a simulated meter.
func answer(t testing.TB, n *conductor.Network, b *simulate.Bench, m *simulate.Meter, a *hunt.Ask, ac bool,
	rng *rand.Rand) string {
	s := setupOf(t, n, a.Setup)
	red, black := n.Find(a.Red), n.Find(a.Black)
	f := simulate.Function(a.Meter)
	if f == simulate.Beeper || f == simulate.Ohms {
		return m.Show(f, b.Ohms(s, red, black), ac, rng)
	}
	if f == simulate.Lamp {
		return m.Show(f, b.Amps(s)/s.Source.Amps, ac, rng)
	}
	return m.Show(f, b.MeterVolts(s, red, black, simulate.MeterOhms), ac, rng)
}

type result struct {
	readings, lifts, rank int
	minutes               float64
	top                   float64 // probability stated for the first piece
	transcript            string
}

// run hunts one hidden fault and says at which place of the first list of
// pieces it stood (0: not there).
func run(t testing.TB, l *track.Layout, kit hunt.Kit, sym hunt.Symptom, f simulate.Fault, ohms []float64,
	rng *rand.Rand) result {
	n, err := conductor.Build(l)
	require.NoError(t, err)
	b := simulate.NewBench(n, ohms, []simulate.Fault{f})
	m := simulate.CheapMeter().Draw(rng)
	h := hunt.New(l, kit)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &sym}))
	var r result
	for i := 0; i < 60; i++ {
		v := h.View()
		switch {
		case v.Step.Ask != nil:
			a := v.Step.Ask
			text := answer(t, n, b, &m, a, l.Supplies[0].AC, rng)
			r.transcript += fmt.Sprintf("  %d %s %s | %s -> %s  (%.1f bits) lifted %v pulled %v loads %v\n", a.N,
				a.Meter, a.Red, a.Black, text, a.Bits, a.Setup.Lifted, a.Setup.Pulled, a.Setup.Loads)
			require.NoError(t, h.Apply(hunt.Event{Reading: text}))
		case v.Step.Inspect != nil:
			r.readings, r.lifts, r.minutes = v.Readings, v.Lifts, v.Minutes
			for k, c := range v.Step.Inspect.Pieces {
				r.transcript += fmt.Sprintf("  inspect %s %.2f\n", c.Piece, c.P)
				if k == 0 {
					r.top = c.P
				}
				if c.Piece == f.Suspect.Piece && r.rank == 0 {
					r.rank = k + 1
				}
			}
			return r
		case v.Step.Done != nil:
			r.readings, r.lifts = v.Readings, v.Lifts
			r.transcript += "  done: " + v.Step.Done.Verdict + "\n"
			return r
		}
	}
	return r
}

func pick(l *track.Layout, t testing.TB, mode track.FaultMode, piece bool) []fault.Suspect {
	n, err := conductor.Build(l)
	require.NoError(t, err)
	var out []fault.Suspect
	for _, s := range fault.List(n) {
		if s.Mode == mode && (!piece || s.PieceIndex >= 0) {
			out = append(out, s)
		}
	}
	return out
}

// shorting keeps the suspects that short the supply: a bridge to an outer rail
// that nothing feeds does not.
func shorting(t testing.TB, n *conductor.Network, list []fault.Suspect) []fault.Suspect {
	var out []fault.Suspect
	for _, s := range list {
		b := simulate.NewBench(n, nil, []simulate.Fault{{Suspect: s, Ohms: 0.1, Position: 0.5}})
		for _, p := range n.Posts {
			if b.Ohms(conductor.Setup{Source: conductor.Source{Kind: conductor.SourceNone}}, p[0], p[1]) < 5 {
				out = append(out, s)
			}
		}
	}
	require.NotEmpty(t, out)
	return out
}

// few gives the layouts that a short run (go test -short) makes do with, or all.
func few(short, all []string) []string {
	if testing.Short() {
		return short
	}
	return all
}

// measured says whether tests that draw take all of their rows: FISHPLATE_MEASURE=1.
var measured = os.Getenv("FISHPLATE_MEASURE") != ""

// first is how many hunts are played: n, or in a short run the first few of them.
func first(few, n int) int {
	if testing.Short() {
		return few
	}
	return n
}

// TestStatedProbabilityHolds wants the same of loop, dead-end and roadbed-oval.
func TestShortHunts(t *testing.T) {
	for _, name := range few([]string{"shelf-two-rail"}, []string{"loop-siding", "double", "yard", "shelf-two-rail"}) {
		l := load(t, name)
		n, _ := conductor.Build(l)
		rng := rand.New(rand.NewPCG(1, 2))
		list := shorting(t, n, pick(l, t, track.Bridged, true))
		in3, sum, lifts := 0, 0, 0
		const trials = 8
		for k := 0; k < trials; k++ {
			s := list[rng.IntN(len(list))]
			f := simulate.Fault{Suspect: s, Ohms: math.Exp(math.Log(0.01) + rng.Float64()*math.Log(100)),
				Position: rng.Float64()}
			r := run(t, l, allMeters, hunt.Symptom{Kind: hunt.SymptomShort}, f, simulate.DrawOhms(n, rng, 1, 1), rng)
			if r.rank >= 1 && r.rank <= 3 {
				in3++
			} else {
				t.Logf("%s: %s %.3f ohm rank %d\n%s", name, s.ID, f.Ohms, r.rank, r.transcript)
			}
			sum += r.readings
			lifts += r.lifts
		}
		t.Logf("%s (%d pieces): %d of %d in the first three, %.1f readings, %d lifts", name, len(l.Pieces), in3, trials,
			float64(sum)/trials, lifts)
		require.GreaterOrEqual(t, in3, 6, name)
	}
}

func TestOtherSymptoms(t *testing.T) {
	l := load(t, "dead-end")
	n, err := conductor.Build(l)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(3, 4))
	last := l.Pieces[l.Runs[0].Pieces[len(l.Runs[0].Pieces)-2]].ID()
	cases := []struct {
		mode track.FaultMode
		kind hunt.SymptomKind
		ohms float64
	}{{track.Open, hunt.SymptomDead, 0}, {track.Weak, hunt.SymptomWeak, 2}}
	for _, c := range cases[:first(1, 2)] {
		in3, sum, trials := 0, 0, 0
		for _, s := range pick(l, t, c.mode, true) {
			if s.Rail != "center" || rng.IntN(3) > 0 || n.Links[s.Links[0]].Kind != conductor.KindJoint {
				continue
			}
			trials++
			f := simulate.Fault{Suspect: s, Ohms: c.ohms, Position: 0.5}
			r := run(t, l, allMeters, hunt.Symptom{Kind: c.kind, At: last}, f, simulate.DrawOhms(n, rng, 1, 1), rng)
			if r.rank >= 1 && r.rank <= 3 {
				in3++
			} else {
				t.Logf("%s rank %d\n%s", s.ID, r.rank, r.transcript)
			}
			sum += r.readings
		}
		require.Greater(t, trials, 3)
		t.Logf("%s: %d of %d in the first three, %.1f readings", c.kind, in3, trials, float64(sum)/float64(trials))
		require.GreaterOrEqual(t, 4*in3, 3*trials, c.kind)
	}
}

func TestBeeperOnly(t *testing.T) {
	for _, name := range few([]string{"dead-end"}, []string{"dead-end", "loop"}) {
		l := load(t, name)
		n, err := conductor.Build(l)
		require.NoError(t, err)
		rng := rand.New(rand.NewPCG(5, 6))
		list := shorting(t, n, pick(l, t, track.Bridged, true))
		in3, sum, lifts := 0, 0, 0
		const trials = 8
		for k := 0; k < trials; k++ {
			f := simulate.Fault{Suspect: list[rng.IntN(len(list))], Ohms: 0.1, Position: 0.5}
			r := run(t, l, hunt.Kit{Beeper: true}, hunt.Symptom{Kind: hunt.SymptomShort}, f, nil, rng)
			if r.rank >= 1 && r.rank <= 3 {
				in3++
			} else {
				t.Logf("%s rank %d\n%s", f.Suspect.ID, r.rank, r.transcript)
			}
			sum, lifts = sum+r.readings, lifts+r.lifts
		}
		t.Logf("%s, beeper only: %d of %d in the first three, %.1f readings, %.1f lifts", name, in3, trials,
			float64(sum)/trials, float64(lifts)/trials)
		require.GreaterOrEqual(t, in3, 7, name)
	}
}
