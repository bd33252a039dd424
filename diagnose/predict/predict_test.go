package predict_test

import (
	"math"
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// Every prediction of the reduced network with its small changes is compared
// with a fresh solution of the full circuit (package simulate, which is itself
// compared with ngspice in package spice): random suspects, set-ups and probe
// points, medians on both sides.
func TestPredictionsAgreeWithFullCircuits(t *testing.T) {
	for _, name := range []string{"loop-siding", "double", "yard", "shelf-two-rail", "roadbed-oval", "reversing"} {
		src, err := os.ReadFile("../../testdata/layouts/" + name + ".hcl")
		require.NoError(t, err)
		f, _ := layoutfile.Read(name, src)
		require.NotNil(t, f)
		n, err := conductor.Build(f.Layout)
		require.NoError(t, err)
		rng := rand.New(rand.NewPCG(7, uint64(len(name))))
		list := fault.List(n)
		compared := 0
		for range 150 {
			s := list[rng.IntN(len(list))]
			if s.Mode == track.Swapped {
				continue
			}
			compared += compareOne(t, n, s, rng)
		}
		require.Greater(t, compared, 50, name)
	}
}

func compareOne(t *testing.T, n *conductor.Network, s fault.Suspect, rng *rand.Rand) int {
	ohms := 0.02 + rng.Float64()
	b := simulate.NewBench(n, nil, []simulate.Fault{{Suspect: s, Ohms: ohms, Position: 0.5}})
	set := randomSetup(n, rng)
	k := &n.Links[s.Links[0]]
	e := predict.Effect{Link: s.Links[0], Ohms: ohms, A: k.A, B: k.B}
	switch s.Mode {
	case track.Bridged:
		e.Kind = predict.EffectBridge
		if k.Joint >= 0 && conductor.Has(set.Lifted, k.Joint) {
			return 0
		}
	case track.Weak:
		e.Kind = predict.EffectWeak
	case track.Open:
		e.Kind, e.Ohms = predict.EffectOpen, math.Inf(1)
	}
	red, black := rng.IntN(len(n.Points)), rng.IntN(len(n.Points))
	o := predict.Options{Medians: true, Points: []int{red, black}, Series: s.Links}
	if set.Source.Kind != conductor.SourceNone {
		o.Points = append(o.Points, set.Source.From, set.Source.To)
	}
	for _, l := range set.Loads {
		o.Points = append(o.Points, l.From, l.To)
	}
	if e.Kind == predict.EffectBridge {
		o.Points = append(o.Points, k.A, k.B)
	}
	for i := range n.Links {
		if n.Links[i].Kind == conductor.KindSwitch || (!n.Links[i].NormallyOpen && !set.Leaves(&n.Links[i])) {
			o.Links = append(o.Links, i)
		}
	}
	c, err := predict.NewBasis(n, o).NewCircuit(&set, nil, nil)
	require.NoError(t, err)
	cs := c.NewCase(e)
	wantV, wantJoined := b.Volts(set, red, black)
	gotV, gotJoined := cs.Volts(red, black)
	require.Equal(t, wantJoined, gotJoined, "%s %+v %s %s", s.ID, set, n.Points[red].Name, n.Points[black].Name)
	require.InDelta(t, wantV, gotV, 1e-6*math.Abs(wantV)+1e-9, "%s %+v %s %s", s.ID, set, n.Points[red].Name,
		n.Points[black].Name)
	if set.Source.Kind != conductor.SourceNone {
		return 1 // ohms are read with the source taken away
	}
	wantR, gotR := b.Ohms(set, red, black), cs.Ohms(red, black)
	if math.IsInf(wantR, 1) {
		require.True(t, math.IsInf(gotR, 1))
	} else {
		require.InDelta(t, wantR, gotR, 1e-6*wantR+1e-12, "%s", s.ID)
	}
	return 1
}

func randomSetup(n *conductor.Network, rng *rand.Rand) conductor.Setup {
	s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceNone}}
	if rng.IntN(3) > 0 {
		s.Source = conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0], To: n.Posts[0][1], Volts: 18,
			Amps: 1}
	}
	for range rng.IntN(3) {
		s.Lift(rng.IntN(len(n.Layout.Joints)))
	}
	if len(n.Layout.Feeders) > 1 && rng.IntN(3) == 0 {
		s.Pull(rng.IntN(len(n.Layout.Feeders)))
	}
	if rng.IntN(2) == 0 {
		p := rng.IntN(len(n.Layout.Pieces))
		c := n.Layout.Pieces[p].Construction
		if x, y := n.Middle(p, c.Hot), n.Middle(p, c.Common); x >= 0 && y >= 0 {
			s.Loads = append(s.Loads, conductor.Load{From: x, To: y, Ohms: 10})
		}
	}
	return s
}

// The derivatives are compared with finite differences of the full circuit,
// link by link of the layout.
func TestSensitivitiesAgreeWithFiniteDifferences(t *testing.T) {
	src, err := os.ReadFile("../../testdata/layouts/loop-siding.hcl")
	require.NoError(t, err)
	f, _ := layoutfile.Read("loop-siding", src)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	rng := rand.New(rand.NewPCG(11, 12))
	list := fault.List(n)
	checked := 0
	for checked < 60 {
		s := list[rng.IntN(len(list))]
		if s.Mode != track.Bridged || s.PieceIndex < 0 {
			continue
		}
		set := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0],
			To: n.Posts[0][1], Volts: 18, Amps: 1}}
		red, black := rng.IntN(len(n.Points)), rng.IntN(len(n.Points))
		link := rng.IntN(len(n.Links))
		if n.Links[link].NormallyOpen || n.NodeOf(n.Links[link].A) == n.NodeOf(n.Links[link].B) {
			continue
		}
		at := func(d float64) float64 {
			ohms := make([]float64, len(n.Links))
			for i := range ohms {
				ohms[i] = n.Links[i].Ohms
			}
			ohms[link] += d
			v, _ := simulate.NewBench(n, ohms, []simulate.Fault{{Suspect: s, Ohms: 0.1, Position: 0.5}}).Volts(set, red,
				black)
			return v
		}
		h := n.Links[link].Ohms * 1e-3
		want := (at(h) - at(-h)) / (2 * h)
		k := &n.Links[s.Links[0]]
		o := predict.Options{Medians: true, Points: []int{red, black, set.Source.From, set.Source.To, k.A, k.B}}
		b := predict.NewBasis(n, o)
		c, err := b.NewCircuit(&set, nil, nil)
		require.NoError(t, err)
		m := c.NewCase(predict.Effect{Kind: predict.EffectBridge, A: k.A, B: k.B, Ohms: 0.1}).
			Moments(predict.Voltage, red, black, nil)
		got := 0.0
		if i, w := b.SuperOf(link); i >= 0 && len(m.S) > 0 {
			got = m.S[i] * w
		}
		require.InDelta(t, want, got, 1e-5*math.Abs(want)+1e-6, "%s by %s", s.ID, n.Links[link].ID)
		checked++
	}
}
