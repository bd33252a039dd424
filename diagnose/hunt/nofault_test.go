package hunt_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// A short was told and nothing is wrong any more: every reading is healthy, and who was
// sent to the train and the supply finds them good. No piece is lifted for that: the
// short comes and goes, and a hunt of that kind is begun when it shows again.
func TestNothingShortAnyMore(t *testing.T) {
	kits := map[string]hunt.Kit{"beeper": {Beeper: true}, "ohms": {Ohms: true},
		"lamp": {Lamp: true, LampWatts: 21, LampVolts: 12}}
	for _, layout := range []string{"dead-end", "blocks"} {
		for name, kit := range kits {
			c := newCustomer(t, layout, 1)
			d := c.hunt(kit, hunt.Symptom{Kind: hunt.SymptomShort})
			t.Log(layout, name, d.Verdict)
			assert.Empty(t, strings.Count(strings.ReplaceAll(c.log, "  look off the track", ""), "  look "), c.log)
			assert.Contains(t, d.Verdict, "comes and goes", c.log)
		}
	}
}

// A short that comes and goes, which no look ever finds: each place is looked at twice
// at most, as a look may miss it, and the hunt comes to an end that says what to do.
func TestSometimesComesToAnEnd(t *testing.T) {
	for seed := range uint64(first(2, 5)) {
		c := newCustomer(t, "loop-siding", seed)
		list := shorting(t, c.n, pick(c.l, t, track.Bridged, false))
		bad := []simulate.Fault{{Suspect: list[c.rng.IntN(len(list))]}}
		h := hunt.New(c.l, allMeters)
		do := func(e hunt.Event) { require.NoError(t, h.Apply(e), c.log) }
		do(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort, Sometimes: true}})
		looks := map[string]int{}
		n := 0
		for ; h.View().Step.Done == nil && n < 200; n++ {
			s := h.View().Step
			if s.Ask != nil {
				if c.left = bad; c.rng.Float64() < 0.3 {
					c.left = nil
				}
				do(hunt.Event{Reading: c.read(s.Ask)})
				continue
			}
			piece := s.Inspect.Pieces[0].Piece
			c.log += "  look " + piece + "\n"
			looks[piece]++
			require.LessOrEqual(t, looks[piece], 2, c.log)
			do(hunt.Event{NotFound: piece})
		}
		d := h.View().Step.Done
		require.NotNil(t, d, c.log)
		require.Contains(t, d.Verdict, "begin again")
		t.Log(seed, n, h.View().Readings, looks, d.Outcome, d.Verdict)
	}
}

// Pieces looked at one by one for a weak contact, with a beeper or a lamp alone: the first
// such look says once what would spare them.
func TestFirstLookSaysWhatSparesLooks(t *testing.T) {
	const says = "borrowed meter that shows volts or millivolts"
	kits := map[string]hunt.Kit{"beeper": {Beeper: true}, "lamp": {Lamp: true, LampWatts: 21, LampVolts: 12},
		"volts": {Beeper: true, Volts: true}}
	for name, kit := range kits {
		c := newCustomer(t, "dead-end", 3)
		list := pick(c.l, t, track.Weak, false)
		far := len(c.l.Pieces) - 2
		for i := range list {
			if c.left = []simulate.Fault{{Suspect: list[i], Ohms: 5}}; c.volts(far) < 0.8*c.l.Supplies[0].Volts {
				break
			}
		}
		h := hunt.New(c.l, kit)
		sym := hunt.Symptom{Kind: hunt.SymptomWeak, At: c.l.Pieces[far].ID()}
		require.NoError(t, h.Apply(hunt.Event{Symptom: &sym}))
		for h.View().Step.Ask != nil {
			require.NoError(t, h.Apply(hunt.Event{Reading: c.read(h.View().Step.Ask)}))
		}
		in := h.View().Step.Inspect
		require.NotNil(t, in, name)
		assert.Equal(t, name != "volts", strings.Contains(in.Why, says), "%s: %s", name, in.Why)
		require.NoError(t, h.Apply(hunt.Event{NotFound: in.Pieces[0].Piece}))
		if in = h.View().Step.Inspect; in != nil {
			assert.NotContains(t, in.Why, says, name)
		}
	}
}
