package meter

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A lamp takes its rated current at its rated volts, and away from them what
// the power laws say: two P21W in series on 18 V stand at 9 V each, three
// quarters of what they are for; 0.75^0.55 is 0.8537 and 1.5^-12 is 1/129.7 by a
// pocket calculator.
func TestLampAmps(t *testing.T) {
	assert.InDelta(t, 1.75, LampAmps(BulbWatts, BulbVolts, 12, 1), 1e-12)
	assert.InDelta(t, 1.75, LampAmps(BulbWatts, BulbVolts, 12, 0), 1e-12)
	assert.InDelta(t, 1.75, LampAmps(BulbWatts, BulbVolts, 24, 2), 1e-12)
	assert.InDelta(t, 1.75*0.8537, LampAmps(BulbWatts, BulbVolts, 18, 2), 2e-4)
	assert.InDelta(t, 129.7, 1/LampLife(12, 18), 0.1)
}

// UN Regulation 37 gives filament lamps of 12 V 21 W an objective value of 26.5 W
// at most at the test voltage of 13.5 V: the rated values and the power law must
// keep to that.
func TestBulbAgainstRegulation(t *testing.T) {
	watts := 13.5 * LampAmps(BulbWatts, BulbVolts, 13.5, 1)
	assert.Greater(t, watts, 21.0)
	assert.Less(t, watts, 26.5)
}
