package main

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

// A lamp's current is what stands on it, or what was measured: the latter is
// known better.
func TestReadLamp(t *testing.T) {
	for text, want := range map[string][2]float64{
		"1": {1, 0}, "2,1 A": {2.1, 0}, "0.83 measured": {0.83, measuredSpread},
		"0.42V/0.5ohm": {0.84, measuredSpread}, "420 mV / 0.5": {0.84, measuredSpread}, "850 mA": {0.85, 0},
	} {
		amps, spread, err := readLamp(text)
		assert.NoError(t, err, text)
		assert.InDelta(t, want[0], amps, 1e-12, text)
		assert.Equal(t, want[1], spread, text)
	}
	for _, text := range []string{"", "bright", "0.42/0", "1/", "measured", "200", "beep/1"} {
		_, _, err := readLamp(text)
		assert.Error(t, err, text)
	}
}
