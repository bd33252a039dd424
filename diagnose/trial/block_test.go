package trial

import (
	"testing"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestPanelSavesKneeling hunts the same shorts on a loop without a panel and with one
// of two pairs: of the usual hunt fewer than half as many readings have a probe on the
// track, and the block alone points at a piece near the bad one.
func TestPanelSavesKneeling(t *testing.T) {
	if testing.Short() {
		t.Skip("24 hunts")
	}
	const hunts = 12
	text, err := Shape("loop", 40, Build{})
	require.NoError(t, err)
	var onTrack, all [2][]int
	near := 0
	for with := range 2 {
		file, problems := layoutfile.Read("loop", []byte(text))
		require.NotNil(t, file, "%v", problems)
		l := file.Layout
		for k := range 2 * with {
			c := l.Pieces[0].Construction
			l.Terminals = append(l.Terminals, track.Terminal{Name: []string{"A1", "A2"}[k],
				At:  track.Place{Piece: []int{13, 27}[k], End: -1},
				Hot: c.Hot, Common: c.Common, OhmsPerWire: 0.2})
		}
		kit := hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, LampWatts: 31.5,
			LampVolts: 18, Meter: "cheap"}
		f, err := NewField(Setting{Layout: l, Kit: kit, Meter: simulate.CheapMeter(), LampSD: 0.04}, nil)
		require.NoError(t, err)
		for seed := range uint64(hunts) {
			x, err := f.Draw(seed)
			require.NoError(t, err)
			r, err := f.Hunt(x, false)
			require.NoError(t, err)
			onTrack[with] = append(onTrack[with], r.Track)
			all[with] = append(all[with], r.Readings)
			if with == 1 {
				told, err := f.Block(x)
				require.NoError(t, err)
				if told.Apart <= 3 {
					near++
				}
			}
		}
	}
	t.Logf("%d hunts: %v readings without and with two pairs, %v of them on the track; within three pieces by the "+
		"block alone: %d", hunts, all, onTrack, near)
	sum := func(x []int) (n int) {
		for _, k := range x {
			n += k
		}
		return n
	}
	assert.Less(t, 2*sum(onTrack[1]), sum(onTrack[0]))
	assert.LessOrEqual(t, sum(all[1]), sum(all[0])+hunts)
	assert.GreaterOrEqual(t, 3*near, 2*hunts)
}
