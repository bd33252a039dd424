package fault_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/fault"
)

// Ohms are said to one figure, in plain digits.
func TestOhmsInWords(t *testing.T) {
	for ohms, want := range map[float64]string{0: "some ohms", 0.84: "about 0.8 ohm", 2.04: "about 2 ohm",
		9.4: "about 9 ohm", 9.7: "about 10 ohm", 31: "about 30 ohm", 88: "about 90 ohm"} {
		require.Equal(t, "an engine or lit cars ("+want+")", fault.Lamps.Maybe(ohms))
	}
}
