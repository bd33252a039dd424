package hunt_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// find picks a suspect by what it is and where.
func find(t testing.TB, n *conductor.Network, mode track.FaultMode, piece string) fault.Suspect {
	for _, s := range fault.List(n) {
		if s.Mode == mode && (s.Piece == piece || s.Place == piece) &&
			(s.Part != track.PartPiece || mode != track.Bridged) {
			return s
		}
	}
	require.Fail(t, "no such suspect", "%s %s", mode, piece)
	return fault.Suspect{}
}

// chase hunts a fault to the end and gives the pieces asked to be looked at,
// the likeliest first, with what led there.
func chase(t testing.TB, name string, sym hunt.Symptom, faults []simulate.Fault, seed uint64) (looks []string,
	transcript string) {
	l := load(t, name)
	n, err := conductor.Build(l)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(seed, 9))
	b := simulate.NewBench(n, simulate.DrawOhms(n, rng, 1, 1), faults)
	m := simulate.GoodMeter().Draw(rng)
	h := hunt.New(l, allMeters)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &sym}))
	for range 40 {
		v := h.View()
		switch {
		case v.Step.Ask != nil:
			a := v.Step.Ask
			text := answer(t, n, b, &m, a, l.Supplies[0].AC, rng)
			transcript += fmt.Sprintf("  %d %s %s | %s -> %s (%.2f bits) %v\n", a.N, a.Meter, a.Red, a.Black, text,
				a.Bits, a.Steps)
			require.NoError(t, h.Apply(hunt.Event{Reading: text}))
		case v.Step.Inspect != nil:
			for _, c := range v.Step.Inspect.Pieces {
				looks = append(looks, c.Piece)
				transcript += fmt.Sprintf("  inspect %s %.2f %s\n", c.Piece, c.P, c.What)
			}
			return looks, transcript
		default:
			return nil, transcript + "  done: " + v.Step.Done.Verdict
		}
	}
	return nil, transcript
}

// Every kind of fault of wires, accessories, insulated rails and plugs is
// hunted from its symptom to its part.
func TestWiringHunts(t *testing.T) {
	if testing.Short() {
		t.Skip("a few hunts")
	}
	type row struct {
		layout string
		sym    hunt.Symptom
		mode   track.FaultMode
		at     string
		want   string
	}
	for _, r := range []row{
		{"rail-separate", hunt.Symptom{Kind: hunt.SymptomAccessoryDead, At: "gate"}, track.Open, "road", "road"},
		{"rail-separate", hunt.Symptom{Kind: hunt.SymptomAccessoryDead, At: "gate"}, track.Open, "gate", "gate"},
		{"rail-separate", hunt.Symptom{Kind: hunt.SymptomAccessoryOn, At: "gate"}, track.Bridged, "main 14/15",
			"main 14"},
		{"rail-separate", hunt.Symptom{Kind: hunt.SymptomAccessoryOn, At: "gate"}, track.Bridged, "main 16", "main 16"},
		{"rail-separate", hunt.Symptom{Kind: hunt.SymptomAccessoryFlickers, At: "gate"}, track.Weak, "road", "road"},
		{"rail-tied", hunt.Symptom{Kind: hunt.SymptomAccessoryDead, At: "bell"}, track.Open, "bell", "bell"},
		{"rail-tied", hunt.Symptom{Kind: hunt.SymptomAccessoryOn, At: "bell rail"}, track.Bridged, "main 18/19", ""},
		{"two-supplies", hunt.Symptom{Kind: hunt.SymptomPhase}, track.Swapped, "T2", "T2"},
		{"two-supplies", hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "outer 3/inner 4", "outer 3"},
		{"blocks", hunt.Symptom{Kind: hunt.SymptomDead}, track.Open, "", ""},
		{"lamps", hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "", ""},
		{"crossover", hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "", ""},
		{"slip-yard", hunt.Symptom{Kind: hunt.SymptomShort}, track.Bridged, "", ""},
	} {
		l := load(t, r.layout)
		n, err := conductor.Build(l)
		require.NoError(t, err)
		var s fault.Suspect
		switch {
		case r.at != "":
			s = find(t, n, r.mode, r.at)
		case r.sym.Kind == hunt.SymptomShort:
			list := shorting(t, n, pick(l, t, track.Bridged, true))
			s = list[len(list)/2]
		default:
			s = find(t, n, r.mode, l.Toggles[0].Name)
			r.sym.At = l.Pieces[l.Blocks[0].Pieces[0]].ID()
		}
		if r.want == "" {
			r.want = s.Piece
		}
		ohms := 0.0
		if s.MaxOhms > 0 {
			ohms = math.Sqrt(s.MinOhms * s.MaxOhms)
		}
		looks, transcript := chase(t, r.layout, r.sym, []simulate.Fault{{Suspect: s, Ohms: ohms, Position: 0.4}}, 1)
		t.Logf("%s %s: %s\n%s", r.layout, r.sym.Kind, s.ID, transcript)
		if len(looks) > 3 {
			looks = looks[:3]
		}
		if !contains(looks, r.want) {
			t.Errorf("%s %s %s: wanted %s, got %v", r.layout, r.sym.Kind, s.ID, r.want, looks)
		}
	}
}

func contains(list []string, x string) bool {
	for _, y := range list {
		if x == y {
			return true
		}
	}
	return false
}

// Bad wires between supply and track: at a terminal and at a toggle's lug a probe
// tells bus, toggle and feeder apart, so that the first thing looked at is the bad one.
func TestTerminalsAndLugsAreRead(t *testing.T) {
	l := load(t, "blocks")
	n, err := conductor.Build(l)
	require.NoError(t, err)
	for _, c := range []struct {
		mode  track.FaultMode
		piece string
		sym   hunt.Symptom
		ohms  float64
	}{
		{track.Weak, "S1", hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 6"}, 3},
		{track.Weak, "F1", hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 6"}, 3},
		{track.Weak, "S2", hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 11"}, 3},
		{track.Weak, "F2", hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 11"}, 3},
		{track.Open, "S1", hunt.Symptom{Kind: hunt.SymptomDead, At: "main 6"}, 0},
		{track.Open, "F1", hunt.Symptom{Kind: hunt.SymptomDead, At: "main 6"}, 0},
		{track.Open, "B1 2", hunt.Symptom{Kind: hunt.SymptomDead, At: "main 11"}, 0},
	} {
		f := simulate.Fault{Suspect: find(t, n, c.mode, c.piece), Ohms: c.ohms, Position: 0.5}
		for seed := range uint64(2) {
			r := run(t, l, allMeters, c.sym, f, nil, rand.New(rand.NewPCG(seed, 5)))
			assert.Equal(t, 1, r.rank, "%s %s\n%s", c.mode, c.piece, r.transcript)
		}
	}
}
