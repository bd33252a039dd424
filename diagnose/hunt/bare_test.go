package hunt_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
)

// TestMillivoltsWithoutUnit: the lowest range of volts shows 152.2 and no unit. Of a
// battery of 12 V these are not volts: what to write is said, and nothing is counted.
// With its unit it is taken, and so is a figure that may be volts.
func TestMillivoltsWithoutUnit(t *testing.T) {
	a := hunt.Ask{Meter: "volts", Setup: hunt.Setup{Source: hunt.Source{Kind: "lamp", Volts: 12}}}
	_, err := a.Parse("152.2")
	require.EqualError(t, err, `"152.2": more volts than feed the track; write 152.2 mV if the dial is on millivolts`)
	for typed, volts := range map[string]float64{"152.2 mV": 0.1522, "152.2m": 0.1522, "0.152": 0.152, "13.4": 13.4,
		"-17.9": -17.9} {
		r, err := a.Parse(typed)
		require.NoError(t, err, typed)
		require.InDelta(t, volts, r.Value, 1e-9, typed)
	}
	a.Setup.Also = []hunt.Source{{Kind: "volts", Volts: 18}}
	_, err = a.Parse("40.2")
	require.NoError(t, err, "two supplies out of phase add up")
	a.Meter = "millivolts"
	_, err = a.Parse("152.2")
	require.NoError(t, err)
}

// A lamp that was told is called the lamp where it lies; of one that nobody knows, and of
// several, so many ohms are said as a person can weigh.
func TestWhatIsLaid(t *testing.T) {
	l := load(t, "shelf-two-rail")
	for i := range l.Supplies {
		l.Supplies[i].Volts, l.Supplies[i].Breaker = 12, 5
	}
	for _, k := range []struct {
		watts float64
		want  string
	}{{21, "lay the lamp across"}, {0, "lay a lamp of about 12 ohm across"}} {
		kit := allMeters
		kit.LampWatts = k.watts
		if k.watts > 0 {
			kit.LampVolts = 12
		}
		h := hunting(t, l, kit, hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomWeak, At: l.Pieces[4].ID()}})
		require.Contains(t, strings.Join(h.View().Step.Ask.Steps, "\n"), k.want)
	}
}
