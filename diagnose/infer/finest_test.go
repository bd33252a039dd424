package infer

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// A display that has shown tenths of a volt is expected to show tenths: the
// finest step seen counts, each function for itself.
func TestFinestStep(t *testing.T) {
	shown := func(f meter.Function, step float64) Observation {
		return Observation{Func: f, Shown: unit.Reading{Value: 1, Step: step}}
	}
	got := Finest([]Observation{shown(meter.Volts, 0.1), shown(meter.Millivolts, 1e-4), shown(meter.Volts, 0.01),
		shown(meter.Volts, 0.1), {Func: meter.Beeper}})
	require.Equal(t, map[meter.Function]float64{meter.Volts: 0.01, meter.Millivolts: 1e-4}, got)
}
