package layoutfile

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/stat"

	"fishplate/diagnose/track"
	"fishplate/diagnose/wire"
)

func kindOf(name string) *track.Construction {
	for _, c := range Constructions() {
		if c.Name == name {
			return c
		}
	}
	panic(name)
}

// TestTrackAsMeasured holds our constants to readings on real track, by others:
//
//   - "Resistance of track sections and connections", by a user who signs servoguy, 10 July
//     2010, a general model-train forum; four-wire, one owner's three-rail track: seven kinds of
//     section, a good joint of 1.5 mohm. Opened. Lengths of curves by geometry, straights of 10
//     and 14 1/4 in from memory.
//   - "Track Resistance", a page by W8JI: 1 A DC through 5 in of rail, code 100 nickel silver
//     1.45 mohm an inch, and copper of 16 AWG 0.33. Opened.
//
// The spread is the first source's own: its sections part by a factor (log-sd 0.12), and all
// of them lie within the level that a layout's rails are given to differ by.
func TestTrackAsMeasured(t *testing.T) {
	c := kindOf("metal-tie")
	const inch = 0.0254
	curve := func(diameter float64, inCircle int) float64 { // along its middle
		return math.Pi * diameter * inch / float64(inCircle)
	}
	var off []float64
	for _, x := range []struct{ mohm, metres float64 }{
		{3.5, curve(31, 8)}, {3.9, curve(42, 12)}, {4.0, curve(40, 12)}, {4.8, curve(72, 16)},
		{3.2, 10 * inch}, {4.0, 10 * inch}, {5.8, 14.25 * inch},
	} {
		by := math.Log(x.mohm / 1000 / (c.RailPerMeter.Ohms * x.metres))
		assert.Less(t, math.Abs(by), c.RailLevel, "%.1f mohm over %.3f m", x.mohm, x.metres)
		off = append(off, by)
	}
	mean, sd := stat.MeanStdDev(off, nil)
	t.Logf("three rails: the source's sections read %.2f more than ours (log), and part by %.2f", mean, sd)
	assert.Less(t, sd, c.RailLevel/2, "kinds of section part less than layouts are given to")
	assert.InDelta(t, 0.0015, c.JointOhms.Ohms, 0.00005)

	two := kindOf("two-rail")
	assert.InEpsilon(t, 0.00145/inch, two.RailPerMeter.Ohms, 0.01)
	copper := wire.OhmsPerMeter(wire.AreaMM2(16))
	assert.InEpsilon(t, 0.00033/inch, copper, 0.015, "the same hand's copper wire, against the wire tables")
}
