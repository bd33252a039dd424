package hunt_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// What no toy's supply may give (IEC 61558-2-7:2007 cl. 1: 24 V AC, 33 V DC) is
// never put on a track to hunt, neither from the start nor by going on.
func TestNoHuntOnMoreThanAToysVolts(t *testing.T) {
	for _, c := range []struct {
		ac    bool
		volts float64
		taken bool
	}{{true, 24, true}, {true, 24.5, false}, {true, 40, false}, {false, 33, true}, {false, 33.5, false},
		{false, 60, false}} {
		l := ring(t, 40)
		l.Supplies[0] = track.Supply{Name: "T1", AC: c.ac, Volts: c.volts, Breaker: 5}
		h := hunt.New(l, hunt.Kit{Beeper: true})
		err := h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
		if c.taken {
			require.NoError(t, err, "%g V", c.volts)
			saved, err := h.Save()
			require.NoError(t, err)
			l.Supplies[0].Volts = 60
			_, err = hunt.Resume(l, hunt.Kit{Beeper: true}, saved)
			require.ErrorContains(t, err, "do not power this track")
			continue
		}
		require.ErrorContains(t, err, "do not power this track", "%g V", c.volts)
		assert.Nil(t, h.View().Step.Ask)
	}
}

// Two supplies that only a gap keeps apart: a bridge over it shows at the posts of
// neither, so a short is not proven gone before the path from one to the other was read.
func TestProofReadsFromSupplyToSupply(t *testing.T) {
	h := hunt.New(load(t, "two-supplies"), hunt.Kit{Beeper: true})
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	require.NoError(t, h.Apply(hunt.Event{Found: "outer 3"}))
	var pairs []string
	for range 6 {
		d := h.View().Step.Done
		require.NotNil(t, d)
		if d.Prove == nil {
			break
		}
		pairs = append(pairs, d.Prove.Red+" to "+d.Prove.Black)
		say(t, h, "no")
	}
	require.ElementsMatch(t, []string{"T1 hot to T1 common", "T2 hot to T2 common", "T1 hot to T2 hot"}, pairs)
	require.Equal(t, hunt.EndProven, h.View().Step.Done.Outcome)
}
