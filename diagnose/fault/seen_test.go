package fault

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// TestSeen: sound track shows nothing, half the people say so at the share that
// is named for it, and what is dead is not weak.
func TestSeen(t *testing.T) {
	for _, k := range []struct {
		seen             func(float64) float64
		half, yes, never float64
	}{{SeenDead, halfDead, 0, 1}, {SeenWeak, halfWeak, 0.8, 1}, {SeenOut, halfOut, 0, 1},
		{SeenFlickers, halfFlickers, 0.6, 1}, {SeenLive, halfLive, 1, 0}} {
		assert.InDelta(t, 0.5, k.seen(k.half), 0.005)
		assert.Greater(t, k.seen(k.yes), 0.95)
		assert.Less(t, k.seen(k.never), 0.03)
	}
	assert.False(t, Shows(SeenWeak(0)) || Shows(SeenFlickers(0)))
	rapid.Check(t, func(t *rapid.T) {
		x := rapid.Float64Range(0, 2).Draw(t, "share")
		if math.Abs(x-halfWeak) < 0.002 { // what stalls takes a little of it
			return
		}
		assert.Equal(t, x < halfWeak, Shows(SeenDead(x)) || Shows(SeenWeak(x)),
			"every share is dead, weak or sound, %g", x)
	})
}
