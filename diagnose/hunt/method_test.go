package hunt_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
)

// A hunt that was told to bisect asks for readings of two rows, says that each
// halves what is left, finds what is hidden, and stays with it when it is gone on
// with.
func TestBisectionHalvesWhatIsLeft(t *testing.T) {
	kit := allMeters
	kit.Bisect = true
	for seed := range uint64(first(2, 6)) {
		c := newCustomer(t, "loop", seed)
		shorts := anyShort(c.n)
		x := shorts[c.rng.IntN(len(shorts))]
		c.left = []simulate.Fault{{Suspect: x, Ohms: x.MinOhms, Position: 0.4}}
		h := hunt.New(c.l, kit)
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
		halved, most := 0, 1.0
		for range 30 {
			a := h.View().Step.Ask
			if a == nil {
				break
			}
			if strings.HasPrefix(a.Why, "bisection: ") {
				require.Len(t, a.Expect, 2, "%s", a.Why)
				halved++
				most = min(most, max(a.Expect[0].P, a.Expect[1].P))
			}
			require.NoError(t, h.Apply(hunt.Event{Reading: c.read(a)}))
		}
		require.Positive(t, halved, "%s", x.ID)
		assert.LessOrEqual(t, most, 0.6, "%s: no reading came near to halves", x.ID)
		data, err := h.Save()
		require.NoError(t, err)
		require.Contains(t, string(data), `"Bisect": true`)
		again, err := hunt.Resume(c.l, kit, data)
		require.NoError(t, err)
		require.Equal(t, h.View().Step, again.View().Step)
		d := c.hunt(kit, hunt.Symptom{Kind: hunt.SymptomShort})
		assert.Empty(t, c.left, "%s\n%s", x.ID, c.log)
		assert.True(t, d.Proven, "%s\n%s", x.ID, c.log)
	}
}

// Where yes and no is all there is, the hunt is bisection anyhow: the same to the
// last word.
func TestBeeperAloneBisectsAnyhow(t *testing.T) {
	for _, name := range []string{"dead-end", "loop-siding"} {
		l := load(t, name)
		a := hunting(t, l, hunt.Kit{Beeper: true}, hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
		b := hunting(t, l, hunt.Kit{Beeper: true, Bisect: true},
			hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
		for n := range 4 {
			require.Equal(t, a.View().Step, b.View().Step, "%s, reading %d", name, n+1)
			if a.View().Step.Ask == nil {
				break
			}
			said := hunt.Event{Reading: []string{"beep", "no"}[n%2]}
			require.NoError(t, a.Apply(said))
			require.NoError(t, b.Apply(said))
		}
	}
}

// Ohms alone tell hardly more of a dead or weak place than yes and no: the next reading is
// the one that bisection by name takes.
func TestOhmsAloneBisect(t *testing.T) {
	for _, kind := range []hunt.SymptomKind{hunt.SymptomDead, hunt.SymptomWeak} {
		sym := hunt.Symptom{Kind: kind, At: "main 8"}
		a := hunting(t, load(t, "loop"), hunt.Kit{Ohms: true}, hunt.Event{Symptom: &sym}, hunt.Event{Reading: "0.3"})
		b := hunting(t, load(t, "loop"), hunt.Kit{Ohms: true, Bisect: true}, hunt.Event{Symptom: &sym},
			hunt.Event{Reading: "0.3"})
		require.NotNil(t, a.View().Step.Ask)
		require.Equal(t, b.View().Step, a.View().Step, kind)
	}
}

// A lamp alone and ohms alone have yes and no too: a hunt with them says that it is
// bisection, like one with a beeper.
func TestLampAndOhmsAloneSayBisection(t *testing.T) {
	dead := hunt.Symptom{Kind: hunt.SymptomDead, At: "main 8"}
	for _, c := range []struct {
		kit  hunt.Kit
		sym  hunt.Symptom
		said string // to what comes before: the leads, whether there is current
	}{
		{hunt.Kit{Beeper: true}, dead, ""},
		{hunt.Kit{Ohms: true}, hunt.Symptom{Kind: hunt.SymptomShort}, "0.3"},
		{hunt.Kit{Ohms: true}, dead, "0.3"},
		{hunt.Kit{Lamp: true, LampWatts: 21, LampVolts: 12}, hunt.Symptom{Kind: hunt.SymptomShort}, "bright"},
	} {
		h := hunting(t, load(t, "dead-end"), c.kit, hunt.Event{Symptom: &c.sym})
		if c.said != "" {
			require.NoError(t, h.Apply(hunt.Event{Reading: c.said}))
		}
		a := h.View().Step.Ask
		require.NotNil(t, a, "%+v", c.kit)
		assert.Contains(t, a.Why, "bisection: ", "%+v %s", c.kit, c.sym.Kind)
	}
}
