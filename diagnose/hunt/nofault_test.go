package hunt_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"

	"fishplate/diagnose/hunt"
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
