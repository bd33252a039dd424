package predict_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// wholeSetup draws a set-up with toggles, accessories, trains, routes and a
// second supply.
func wholeSetup(n *conductor.Network, rng *rand.Rand) conductor.Setup {
	s := randomSetup(n, rng)
	l := n.Layout
	for i := range l.Toggles {
		if rng.IntN(3) == 0 {
			s.TurnOff(i)
		}
	}
	for i := range l.Accessories {
		if rng.IntN(4) == 0 {
			s.Unplug(i)
		}
	}
	for i := range l.Pieces {
		if (l.Pieces[i].Kind == track.Turnout || l.Pieces[i].Form == track.FormSlip) && rng.IntN(2) == 0 {
			_ = n.Throw(&s, l.Pieces[i].ID(), track.EndDiverging)
		}
	}
	if rng.IntN(2) == 0 {
		at := rng.IntN(len(l.Joints))
		s.Trains = []conductor.TrainAt{{Pieces: []int{l.Joints[at].A.Piece, l.Joints[at].B.Piece},
			Motor: float64(rng.IntN(2)) * 7}}
	}
	if len(l.Supplies) > 1 && rng.IntN(2) == 0 {
		s.Source = conductor.Source{Kind: conductor.SourceVolts, From: n.Windings[0][0], To: n.Windings[0][1],
			Volts: 18}
		s.Also = []conductor.Source{{Kind: conductor.SourceVolts, From: n.Windings[1][0], To: n.Windings[1][1],
			Volts: 14}}
	}
	return s
}

// predicted is what the reduced network says of a suspect come true: volts,
// whether anything joins the probes, ohms.
func predicted(t *testing.T, n *conductor.Network, s *fault.Suspect, ohms float64, set conductor.Setup, red,
	black int) (float64, bool, float64) {
	t.Helper()
	k := &n.Links[s.Links[0]]
	e := predict.Effect{Link: s.Links[0], Ohms: ohms, A: k.A, B: k.B}
	o := predict.Options{Medians: true, Points: append([]int{red, black}, set.Points(n)...), Series: s.Links}
	var out []int
	var extra []predict.Extra
	switch {
	case s.Burnt(n, k.Accessory):
		out = s.Links
		o.Links = append(o.Links, s.Links...)
	case s.Mode == track.Bridged:
		e.Kind = predict.EffectBridge
		if !set.Leaves(k) {
			e.Kind = predict.EffectNone
		}
		o.Points = append(o.Points, k.A, k.B)
	case s.Mode == track.Weak:
		e.Kind = predict.EffectWeak
	case s.Mode == track.Open:
		e.Kind, e.Ohms = predict.EffectOpen, math.Inf(1)
	default:
		e.Kind, out = predict.EffectNone, s.Links
		for _, m := range s.Moves {
			extra = append(extra, predict.Extra{A: m.A, B: m.B, Ohms: n.Links[m.Link].Ohms, Link: m.Link + 1})
			o.Points = append(o.Points, m.A, m.B)
			o.Links = append(o.Links, m.Link)
		}
	}
	for i := range n.Links {
		if n.Links[i].Kind == conductor.KindSwitch || (!n.Links[i].NormallyOpen && !set.Leaves(&n.Links[i])) {
			o.Links = append(o.Links, i)
		}
	}
	c, err := predict.NewBasis(n, o).NewCircuit(&set, out, extra)
	require.NoError(t, err)
	cs := c.NewCase(e)
	v, joined := cs.Volts(red, black)
	return v, joined, cs.Ohms(red, black)
}

// Every kind of fault on every layout: bridges, weak and open links, and wires
// that go elsewhere, with toggles, loads, trains and two supplies on. The full
// circuit (package simulate) solves the same anew, in its own way.
func TestEveryLayoutAndEveryKindOfFault(t *testing.T) {
	files, err := filepath.Glob("../../testdata/layouts/*.hcl")
	require.NoError(t, err)
	require.Greater(t, len(files), 20)
	modes := map[track.FaultMode]int{}
	texts := map[string][]byte{}
	for _, path := range files {
		texts[path], err = os.ReadFile(path)
		require.NoError(t, err)
	}
	for seed := range uint64(15) {
		name := fmt.Sprintf("wired %d", seed)
		files, texts[name] = append(files, name), []byte(invent.Wired(rand.New(rand.NewPCG(seed, 29))))
	}
	for i, path := range files {
		f, _ := layoutfile.Read(path, texts[path])
		require.NotNil(t, f)
		n, err := conductor.Build(f.Layout)
		require.NoError(t, err)
		rng := rand.New(rand.NewPCG(23, uint64(i)))
		by := map[string][]fault.Suspect{}
		var order []string
		for _, s := range fault.List(n) {
			kind := string(s.Mode) + " " + string(s.Part)
			if by[kind] == nil {
				order = append(order, kind)
			}
			by[kind] = append(by[kind], s)
		}
		for _, kind := range order {
			for range 6 {
				s := by[kind][rng.IntN(len(by[kind]))]
				modes[s.Mode]++
				compareWhole(t, n, &s, rng, filepath.Base(path))
			}
		}
	}
	for _, m := range []track.FaultMode{track.Open, track.Weak, track.Bridged, track.Swapped, track.Misplaced} {
		require.Greater(t, modes[m], 5, m)
	}
}

func compareWhole(t *testing.T, n *conductor.Network, s *fault.Suspect, rng *rand.Rand, file string) {
	t.Helper()
	ohms := 0.02 + rng.Float64()
	b := simulate.NewBench(n, nil, []simulate.Fault{{Suspect: *s, Ohms: ohms, Position: 0.5}})
	set := wholeSetup(n, rng)
	red, black := rng.IntN(len(n.Points)), rng.IntN(len(n.Points))
	about := file + ": " + s.ID + ", " + n.Points[red].Name + " to " + n.Points[black].Name
	gotV, gotJoined, gotR := predicted(t, n, s, ohms, set, red, black)
	wantV, wantJoined := b.Volts(set, red, black)
	require.Equal(t, wantJoined, gotJoined, "%s %+v", about, set)
	require.InDelta(t, wantV, gotV, 1e-6*math.Abs(wantV)+1e-8, "%s %+v", about, set)
	if len(set.Sources()) > 0 {
		return
	}
	if wantR := b.Ohms(set, red, black); math.IsInf(wantR, 1) {
		require.True(t, math.IsInf(gotR, 1), about)
	} else {
		require.InDelta(t, wantR, gotR, 1e-6*wantR+1e-9, about)
	}
}
