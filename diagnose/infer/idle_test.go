package infer

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
)

// mayBeIdle is a loop of 40 whose second feeder feeds nothing, with readings that leave it
// in doubt: what is believed, and the wire's own reading as a question.
func mayBeIdle(t *testing.T) (e *Engine, b *Fed, obs []Observation, wire Question) {
	t.Helper()
	file := fedAt(t, 40, 10, 30)
	e = NewEngine(file, DefaultModel(file, meter.Good(true), true))
	e.SetSymptom(Symptom{Kind: Short, Piece: -1, Accessory: -1, Supply: -1})
	far := func(n *conductor.Network, piece int) int {
		return n.At(track.EndRef{Piece: piece - 1, End: 1}, track.Center)
	}
	obs = read(t, file, fedAt(t, 40, 10), 24, [][2]int{{13, 18}, {5, 35}, {22, 38}}, far)
	b = &Fed{Filed: e.Update(obs)}
	b.Moved, _ = e.Moved(obs, e.Update(nil))
	require.Equal(t, 1, b.Feeder)
	b.Unfed = e.Update(Unfed(e, b.Moved, obs))
	on, _ := behindOneAmp(file)
	return e, b, obs, Question{Setup: on, Func: meter.Millivolts, Red: file.Posts[0][0],
		Black: file.FeederPoints[1][0], Minutes: 1}
}

// The drop along a feeder's own wire tells whether it feeds: it is none where its wires
// are off at the track, that of its part of the current where it feeds, and that of the
// rails where they are off at the outlet. That counts as what it tells.
func TestWireReadingTellsWhichFeederFeeds(t *testing.T) {
	e, b, obs, wire := mayBeIdle(t)
	require.InDelta(t, 0.5, b.Idle, 0.49)
	off := ScoreFed(e, b, obs, []Question{wire})[0]
	filed := e.Score(b.Filed, obs, []Question{wire})[0]
	require.Greater(t, off.Bits, filed.Bits+0.2)
	none := 0.0 // of the weight: a reading of nothing
	for i, w := range off.Weight {
		if off.Mean[i] < 3e-4 { // no more than what the display makes of it
			none += w
		}
	}
	require.InDelta(t, b.Idle*b.Off, none, 0.02, "its clip off the track")
}

// A reading of nothing along its wire says that it feeds nothing, its wires off at the
// track; one of its part of the current that it feeds. Readings as they were fed have
// the volts of the outlet at the wires' loose ends.
func TestReadingOfTheWireSettlesIt(t *testing.T) {
	e, b, obs, wire := mayBeIdle(t)
	o := Observation{Setup: wire.Setup, Func: wire.Func, Red: wire.Red, Black: wire.Black, Shown: obs[0].Shown}
	for value, idle := range map[float64]bool{0: true, 0.011: false} {
		o.Shown.Value = value
		m, ok := e.Moved(append(obs[:len(obs):len(obs)], o), e.Update(nil))
		require.True(t, ok)
		if !idle {
			require.Less(t, m.Idle, b.Idle/2)
			continue
		}
		require.Greater(t, m.Idle, 0.9)
		require.Greater(t, m.Off, 0.9)
		loose := Unfed(e, m, []Observation{o})[0]
		require.Equal(t, o.Red, loose.Black)
		require.Contains(t, loose.Setup.Pulled, 1)
	}
}

// A belief that is mixed of two holds of each what its share says.
func TestMixedBelief(t *testing.T) {
	e, b, _, _ := mayBeIdle(t)
	mixed := b.Filed.Mixed(e, b.Unfed, 0.25)
	sum := 0.0
	for c, w := range mixed.Class {
		require.InDelta(t, 0.75*b.Filed.Class[c]+0.25*b.Unfed.Class[c], w, 1e-9)
		sum += w
	}
	require.InDelta(t, 1, sum, 1e-6)
	require.Len(t, mixed.Misread, 3)
}
