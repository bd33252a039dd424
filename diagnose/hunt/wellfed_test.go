package hunt_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"fishplate/diagnose/hunt"
)

// A train that stalls where the volts are fine under load is not hunted for long: no
// contact is bad, and dirty rails, wheels and pickups are named.
func TestVoltsThatAreFine(t *testing.T) {
	for seed := range uint64(first(1, 6)) {
		c := newCustomer(t, "loop", seed)
		d := c.hunt(allMeters, hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 15"})
		assert.Equal(t, hunt.EndOffTrack, d.Outcome, c.log)
		assert.Contains(t, d.Verdict, "Clean the rail heads", c.log)
		assert.LessOrEqual(t, d.Readings, 6, c.log)
		assert.Zero(t, d.Lifts, c.log)
	}
}
