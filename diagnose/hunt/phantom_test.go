package hunt_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// phantom is what a voltmeter of 10 Mohm shows on points that nothing joins, of a supply
// that is on: 3 to 30 % of its volts, by leakage and by what lies beside (common practice,
// no source).
func (c *customer) phantom(a *hunt.Ask) (string, bool) {
	s := setupOf(c.t, c.n, a.Setup)
	if a.Meter != "volts" || s.Source.Kind == conductor.SourceNone {
		return "", false
	}
	red, black := c.n.Find(a.Red), c.n.Find(a.Black)
	if _, joined := simulate.NewBench(c.n, c.ohms, c.left).Volts(s, red, black); joined {
		return "", false
	}
	return fmt.Sprintf("%.2f V", s.Source.Volts*(0.03+0.27*c.rng.Float64())), true
}

// A dead stretch that shows phantom volts without a load is a dead stretch still: it is
// no sure evidence of anything else.
func TestPhantomVolts(t *testing.T) {
	kits := map[string]hunt.Kit{"volts": {Volts: true},
		"lamp": {Beeper: true, Ohms: true, Volts: true, Lamp: true, LampWatts: 21, LampVolts: 12}}
	hunts, sure, wrong, good, lost, seen := 0, 0, 0, 0, 0, 0
	for _, layout := range []string{"dead-end", "wye-two-rail"} {
		for name, kit := range kits {
			for seed := range uint64(first(3, 8)) {
				c := newCustomer(t, layout, seed)
				list := pick(c.l, t, track.Open, false)
				p := -1
				for try := 0; try < 200 && p < 0; try++ {
					c.left = []simulate.Fault{{Suspect: list[c.rng.IntN(len(list))]}}
					at := c.rng.IntN(len(c.l.Pieces))
					if k := c.l.Pieces[at].Construction; k != nil && math.Abs(c.volts(at)) < 1 {
						p = at
					}
				}
				if p < 0 {
					continue
				}
				truth := c.left[0].Suspect.ID
				h := hunt.New(c.l, kit)
				do := func(e hunt.Event) { require.NoError(t, h.Apply(e), c.log) }
				do(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomDead, At: c.l.Pieces[p].ID()}})
				looks, bad := 0, false
				for n := 0; n < 60 && len(c.left) > 0 && h.View().Step.Done == nil; n++ {
					s := h.View().Step
					if s.Ask != nil {
						text, phantom := c.phantom(s.Ask)
						if phantom {
							seen++
							c.log += fmt.Sprintf("  volts %s | %s loads %v -> %s phantom\n", s.Ask.Red, s.Ask.Black, s.Ask.Setup.Loads, text)
						} else {
							text = c.read(s.Ask)
						}
						do(hunt.Event{Reading: text})
						continue
					}
					k := s.Inspect.Pieces[0]
					found := c.look(k.Piece)
					c.log += fmt.Sprintf("     %.2f %s\n", k.P, k.What)
					looks++
					if k.P > 0.9 {
						sure++
						if !found {
							wrong++
							bad = true
						}
					}
					if !found {
						good++
						do(hunt.Event{NotFound: k.Piece})
					}
				}
				hunts++
				if len(c.left) > 0 {
					lost++
					bad = true
				}
				if bad || looks > 3 {
					t.Log(layout, name, seed, truth, "at", c.l.Pieces[p].ID(), "\n", c.log)
				}
			}
		}
	}
	t.Logf("hunts %d, phantoms %d, sure %d, wrong %d, good looked at %d, lost %d", hunts, seen, sure, wrong, good, lost)
	assert.NotZero(t, seen)
	assert.Zero(t, lost)
	assert.Zero(t, wrong)
}
