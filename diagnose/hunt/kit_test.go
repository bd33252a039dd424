package hunt_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
)

// Where the outer rails are not tied, a beeper is put on each of them: a short
// from center to the one that no common post hangs on beside the probe is
// found all the same.
func TestBeeperOnBothOuterRails(t *testing.T) {
	for seed := range uint64(4) {
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
		assert.True(t, d.Proven, "%s\n%s", id, c.log)
		assert.LessOrEqual(t, strings.Count(c.log, "  look "), 3, "%s\n%s", id, c.log)
	}
}

// A voltmeter and a lamp find a short by halving: behind the lamp a shorted part
// has no volts. A voltmeter alone finds none, and that is said at once.
func TestVoltsForShorts(t *testing.T) {
	for seed := range uint64(3) {
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
