package hunt_test

import (
	"math/rand/v2"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/price"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestHuntsBeginAtTheBlock: with a panel the first reading that is no look at the lamp
// or at its volts is taken at the block, whatever is wrong, and costs a reading at the
// block and what its set-up does.
func TestHuntsBeginAtTheBlock(t *testing.T) {
	l := load(t, "panel-loop")
	n, err := conductor.Build(l)
	require.NoError(t, err)
	for _, c := range []struct {
		symptom hunt.Symptom
		said    []string
	}{
		{hunt.Symptom{Kind: hunt.SymptomShort}, []string{"bright", "0.10"}},
		{hunt.Symptom{Kind: hunt.SymptomDead, At: "main 30"}, nil},
		{hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 30"}, nil},
	} {
		kit := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, LampWatts: 21,
			LampVolts: 12, Battery: true, DCVolts: 12, Meter: "cheap"}
		h := hunt.New(l, kit)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &c.symptom}))
		for _, x := range c.said {
			require.NoError(t, h.Apply(hunt.Event{Reading: x}))
		}
		a := h.View().Step.Ask
		require.NotNil(t, a)
		panel := 0
		for _, name := range []string{a.Red, a.Black} {
			switch p := n.Find(name); n.Points[p].Kind {
			case conductor.PointPanel:
				panel++
			case conductor.PointPost:
			default:
				assert.Fail(t, "a probe goes to the track", "%s: %s", c.symptom.Kind, name)
			}
		}
		assert.Positive(t, panel, c.symptom.Kind)
		if c.symptom.Kind == hunt.SymptomShort { // nothing else is to be done for it
			assert.InDelta(t, price.Block, a.Minutes, 0.1)
		}
	}
}

// TestBlockFirst: where it is asked for, or once a place on the track could not be reached,
// more is read at the block before a probe goes to the track.
func TestBlockFirst(t *testing.T) {
	l := load(t, "panel-loop")
	n, err := conductor.Build(l)
	require.NoError(t, err)
	var hidden fault.Suspect
	for _, s := range fault.List(n) {
		if s.Mode == track.Bridged && s.Piece == "main 30" {
			hidden = s
			break
		}
	}
	onBlock := func(name string) bool {
		k := n.Points[n.Find(name)].Kind
		return k == conductor.PointPanel || k == conductor.PointPost
	}
	m := simulate.CheapMeter()
	count := map[string]int{}
	for _, way := range []string{"usual", "asked for", "kept off"} {
		kit := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, LampWatts: 21,
			LampVolts: 12, Battery: true, DCVolts: 12, Meter: "cheap", Block: way == "asked for"}
		h := hunt.New(l, kit)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
		rng := rand.New(rand.NewPCG(5, 5))
		b := simulate.NewBench(n, simulate.DrawOhms(n, rng, 1, 1),
			[]simulate.Fault{{Suspect: hidden, Ohms: 0.1, Position: 0.5}})
		for kept := false; ; {
			a := h.View().Step.Ask
			if a != nil && way == "kept off" && !kept && !a.OfLamp() && !(onBlock(a.Red) && onBlock(a.Black)) {
				kept = true
				require.NoError(t, h.Apply(hunt.Event{Skip: "cannot reach"}))
				continue
			}
			if a == nil || !a.OfLamp() && !(onBlock(a.Red) && onBlock(a.Black)) {
				break
			}
			count[way]++
			require.NoError(t, h.Apply(hunt.Event{Reading: answer(t, n, b, &m, a, true, rng)}))
		}
	}
	assert.Greater(t, count["asked for"], count["usual"])
	assert.Greater(t, count["kept off"], count["usual"])
	assert.Positive(t, count["usual"])
}
