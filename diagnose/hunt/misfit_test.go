package hunt_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// A rail that hangs on nothing shows a volt or so beside live wires: a dead
// stretch is still a dead stretch.
func TestGhostVolts(t *testing.T) {
	for seed := range uint64(first(2, 6)) {
		c := newCustomer(t, "dead-end", seed)
		c.ghost = 0.9
		p := len(c.l.Pieces) - 2
		end := c.l.Pieces[p].ID()
		list := pick(c.l, t, track.Open, false)
		s := list[c.rng.IntN(len(list))]
		for c.left = []simulate.Fault{{Suspect: s}}; c.volts(p) > 1; c.left[0].Suspect = s {
			s = list[c.rng.IntN(len(list))]
		}
		c.hunt(hunt.Kit{Volts: true}, hunt.Symptom{Kind: hunt.SymptomDead, At: end})
		assert.Empty(t, c.left, "%s at %s not found\n%s", s.ID, end, c.log)
		assert.LessOrEqual(t, strings.Count(c.log, "  look "), 4, c.log)
	}
}

// A tool lies across the table and joins the center rail of one piece to the
// running rail of another far off: no suspect does that. Before the file is
// given up, readings are taken again and what comes nearest is looked at.
func TestNothingFits(t *testing.T) {
	for seed := range uint64(first(1, 4)) {
		c := newCustomer(t, "loop", seed)
		n := len(c.l.Pieces)
		a, b := n/8+int(seed), 5*n/8+3*int(seed)
		c.tool = &conductor.Load{From: c.n.Middle(a, track.Center), To: c.n.Middle(b, track.Left), Ohms: 0.02}
		d := c.hunt(allMeters, hunt.Symptom{Kind: hunt.SymptomShort})
		assert.False(t, d.Proven, c.log)
		assert.Contains(t, d.Verdict, "fit nothing in this file", c.log)
		assert.Contains(t, []hunt.Ending{hunt.EndMisfit, hunt.EndLooked}, d.Outcome, c.log)
		assert.Contains(t, d.Verdict, "reading ", "no figures")
		looks := strings.Count(c.log, "  look main")
		assert.GreaterOrEqual(t, looks, 1, c.log)
		assert.LessOrEqual(t, looks, 8, c.log)
		t.Logf("%s and %s: %d readings, %d looks, %s", c.l.Pieces[a].ID(), c.l.Pieces[b].ID(), d.Readings, looks,
			d.Verdict)
	}
}

// What cannot be reached is not asked for again, not even where the reading that was
// taken there fits badly with the others.
func TestSkippedIsNotAskedAgain(t *testing.T) {
	if testing.Short() {
		t.Skip("six hunts with volts alone")
	}
	l, again := load(t, "dead-end"), 0
	for seed := range uint64(6) {
		rng := rand.New(rand.NewPCG(seed, 8))
		h := hunt.New(l, hunt.Kit{Volts: true})
		require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomWeak,
			At: l.Pieces[len(l.Pieces)-2].ID()}}))
		for range 12 {
			a := h.View().Step.Ask
			if a == nil {
				break
			}
			if a.Again == "" {
				say(t, h, []string{"2.2", "0.9", "0.03"}[rng.IntN(3)])
				continue
			}
			again++
			require.NoError(t, h.Apply(hunt.Event{Skip: "cannot reach"}))
			if b := h.View().Step.Ask; b != nil {
				require.NotEqual(t, [2]string{a.Red, a.Black}, [2]string{b.Red, b.Black})
			}
		}
	}
	require.NotZero(t, again)
}
