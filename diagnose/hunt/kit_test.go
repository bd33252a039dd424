package hunt_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/simulate"
)

// Where the outer rails are not tied, a beeper is put on each of them: a short
// from center to the one that no common post hangs on beside the probe is
// found all the same.
func TestBeeperOnBothOuterRails(t *testing.T) {
	for seed := range uint64(first(1, 4)) {
		c := newCustomer(t, "rail-separate", seed)
		var left []simulate.Fault
		for _, s := range anyShort(c.n) {
			if s.PieceIndex >= 0 && s.Rail == "center-left" {
				left = append(left, simulate.Fault{Suspect: s, Ohms: s.MinOhms, Position: 0.4})
			}
		}
		c.left = []simulate.Fault{left[c.rng.IntN(len(left))]}
		id := c.left[0].Suspect.ID
		d := c.hunt(hunt.Kit{Beeper: true}, hunt.Symptom{Kind: hunt.SymptomShort})
		assert.Empty(t, c.left, "%s\n%s", id, c.log)
		assert.Contains(t, d.Verdict, string(hunt.ProvedTrack)+"; the accessories were off",
			"the gate was off its wires\n%s", c.log)
		assert.LessOrEqual(t, strings.Count(c.log, "  look "), 3, "%s\n%s", id, c.log)
	}
}

// A shorted accessory hides while the accessories are off their wires: with ohms
// it is proven too, with a beeper alone nothing is said to be proven.
func TestAccessoriesAreProvenToo(t *testing.T) {
	for _, kit := range []hunt.Kit{{Beeper: true, Ohms: true}, {Beeper: true}}[:first(1, 2)] {
		c := newCustomer(t, "lamps", 3)
		var track, lamp []simulate.Fault
		for _, s := range fault.List(c.n) {
			f := simulate.Fault{Suspect: s, Ohms: s.MinOhms, Position: 0.5}
			switch k := c.n.Links[s.Links[0]]; {
			case s.Mode == "bridged" && s.Rail == "center-left" && s.PieceIndex > 3:
				track = append(track, f)
			case s.Mode == "bridged" && k.Accessory >= 0 && k.Piece < 0:
				lamp = append(lamp, f)
			}
		}
		c.left = []simulate.Fault{track[0], lamp[0]}
		d := c.hunt(kit, hunt.Symptom{Kind: hunt.SymptomShort})
		if kit.Ohms {
			assert.True(t, d.Proven, c.log)
			assert.Empty(t, c.left, c.log)
			assert.Equal(t, []hunt.Proved{hunt.ProvedTrack, hunt.ProvedAccessories}, d.Proves)
		} else if len(c.left) > 0 {
			assert.False(t, d.Proven, c.log)
			assert.Contains(t, d.Verdict, "put them back one at a time")
		}
	}
}

// A voltmeter and a lamp find a short by halving: behind the lamp a shorted part
// has no volts. A voltmeter alone finds none, and that is said at once.
func TestVoltsForShorts(t *testing.T) {
	for seed := range uint64(first(1, 3)) {
		c := newCustomer(t, "loop", seed)
		list := anyShort(c.n)
		s := list[c.rng.IntN(len(list))]
		c.left = []simulate.Fault{{Suspect: s, Ohms: s.MinOhms, Position: 0.5}}
		d := c.hunt(hunt.Kit{Volts: true, Lamp: true}, hunt.Symptom{Kind: hunt.SymptomShort})
		assert.True(t, d.Proven, "%s\n%s", s.ID, c.log)
		assert.LessOrEqual(t, strings.Count(c.log, "  look "), 4, "%s\n%s", s.ID, c.log)
	}
	h := hunt.New(load(t, "loop"), hunt.Kit{Volts: true})
	assert.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	assert.Contains(t, strings.Join(h.View().Warnings, " "), "volts alone cannot find a short")
}

// A battery in a transformer's place wants DC: the dial still stands where it was turned to for
// what was read before, and is turned.
func TestDialIsTurnedForABattery(t *testing.T) {
	kit := hunt.Kit{Volts: true, Millivolts: true, Lamp: true, LampAmps: 1, Meter: "good"}
	h := hunt.New(load(t, "loop"), kit)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	answer := map[string]string{"lamp": "bright", "volts": "0.3 V", "millivolts": "12 mV"}
	for was := ""; was != "millivolts"; {
		was = h.View().Step.Ask.Meter
		require.NoError(t, h.Apply(hunt.Event{Reading: answer[was]}))
	}
	require.Equal(t, hunt.AC, h.View().Step.Ask.Current)
	kit.DCVolts, kit.Battery = 12, true
	require.NoError(t, h.Own(kit))
	assert.Contains(t, h.Under(), infer.Alternating, "what was read before stays what it was")
	assert.NotContains(t, h.Under(), infer.Direct)
	v := h.View()
	require.Equal(t, hunt.DC, v.Step.Ask.Current)
	assert.Contains(t, v.Moves, hunt.Move{Act: hunt.ActDial, To: v.Step.Ask.Dial})
}
