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

// breakHidden hides an open contact that leaves a piece dead, and gives the piece; -1 for
// none found.
func (c *customer) breakHidden() int {
	list := pick(c.l, c.t, track.Open, false)
	for range 200 {
		c.left = []simulate.Fault{{Suspect: list[c.rng.IntN(len(list))]}}
		if at := c.rng.IntN(len(c.l.Pieces)); math.Abs(c.volts(at)) < 1 {
			return at
		}
	}
	return -1
}

// A dead stretch that shows phantom volts without a load is a dead stretch still: it is
// no sure evidence of anything else.
func TestPhantomVolts(t *testing.T) {
	kits := map[string]hunt.Kit{"volts": {Volts: true},
		"lamp": {Beeper: true, Ohms: true, Volts: true, Lamp: true, LampWatts: 21, LampVolts: 12}}
	seen := 0
	for _, layout := range []string{"dead-end", "wye-two-rail"} {
		for name, kit := range kits {
			for seed := range uint64(first(3, 8)) {
				c := newCustomer(t, layout, seed)
				at := c.breakHidden()
				require.GreaterOrEqual(t, at, 0)
				c.log = fmt.Sprintln(layout, name, seed, c.left[0].Suspect.ID)
				n := c.huntPhantoms(kit, c.l.Pieces[at].ID())
				assert.Empty(t, c.left, "not found\n%s", c.log)
				seen += n
			}
		}
	}
	assert.NotZero(t, seen)
}

// huntPhantoms hunts a dead place on a table with phantom volts, until the fault is found,
// and says how many readings were such; no claim over 0.9 may be wrong.
func (c *customer) huntPhantoms(kit hunt.Kit, at string) (seen int) {
	h := hunt.New(c.l, kit)
	do := func(e hunt.Event) { require.NoError(c.t, h.Apply(e), c.log) }
	do(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomDead, At: at}})
	for n := 0; n < 60 && len(c.left) > 0 && h.View().Step.Done == nil; n++ {
		s := h.View().Step
		if s.Ask != nil {
			text, phantom := c.phantom(s.Ask)
			if phantom {
				seen++
				c.log += fmt.Sprintf("  volts %s | %s -> %s, phantom\n", s.Ask.Red, s.Ask.Black, text)
			} else {
				text = c.read(s.Ask)
			}
			do(hunt.Event{Reading: text})
			continue
		}
		k := s.Inspect.Pieces[0]
		if c.look(k.Piece) {
			continue
		}
		assert.LessOrEqual(c.t, k.P, 0.9, "%s: %s\n%s", k.Piece, k.What, c.log)
		do(hunt.Event{NotFound: k.Piece})
	}
	return seen
}
