package health_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/health"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/simulate"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// chase takes the readings of a hunt on a layout whose true ohms it does not know, and
// gives how many readings and looks it took to come to one of some pieces.
func chase(t *testing.T, n *conductor.Network, ohms []float64, s *hunt.Symptom, bad []string, rng *rand.Rand) (readings,
	looks int) {
	h := hunt.New(n.Layout, hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true, LampAmps: 1,
		Armed: true})
	require.NoError(t, h.Apply(hunt.Event{Symptom: s}))
	bench := simulate.NewBench(n, ohms, nil)
	m := simulate.GoodMeter().Draw(rng)
	for range 40 {
		step := h.View().Step
		switch {
		case step.Ask != nil:
			q, err := step.Ask.On(n)
			require.NoError(t, err)
			f := simulate.Function(q.Func)
			x := bench.Ohms(q.Setup, q.Red, q.Black)
			if q.Func != meter.Ohms && q.Func != meter.Beeper {
				x, _ = bench.Volts(q.Setup, q.Red, q.Black)
			}
			readings++
			require.NoError(t, h.Apply(hunt.Event{Reading: m.Show(f, x, true, rng)}))
		case step.Inspect != nil:
			looks++
			piece := step.Inspect.Pieces[0].Piece
			if slices.Contains(bad, piece) {
				return readings, looks
			}
			require.NoError(t, h.Apply(hunt.Event{NotFound: piece}))
		default:
			return readings, math.MaxInt
		}
	}
	return readings, math.MaxInt
}

// TestHuntFromABadEvening: a joint of 50 mohm more on a loop of 60, found in its part by
// the health check and at its pieces by the hunt that begins with what it said.
func TestHuntFromABadEvening(t *testing.T) {
	check, n, joints := made(t, invent.Loop("metal-tie", 60))
	trials := trials(5)
	if testing.Short() {
		trials = 2
	}
	found, all, sum := 0, 0, 0
	for k := range trials {
		rng := rand.New(rand.NewPCG(uint64(k), 33))
		c := newClub(t, check, n, 0.1, rng)
		worse := joints[rng.IntN(len(joints))]
		var e []health.Evening
		for range 6 {
			e = append(e, c.evening(-1, 0))
		}
		e = append(e, c.evening(worse, 0.05))
		h, err := check.Judge(e)
		require.NoError(t, err)
		v := h.Last()
		if v.Quiet || v.Better {
			continue
		}
		all++
		places, at := check.Doubts(v)
		c.ohms[worse] += 0.05
		j := &n.Layout.Joints[n.Links[worse].Joint]
		bad := []string{n.Layout.Pieces[j.A.Piece].ID(), n.Layout.Pieces[j.B.Piece].ID()}
		readings, looks := chase(t, n, c.ohms, &hunt.Symptom{Kind: hunt.SymptomWeak, At: at,
			Worse: &hunt.Worse{Places: places, Ohms: v.Ohms}}, bad, rng)
		t.Logf("%s, told %s by %.0f mohm: %d readings, %d looks", bad, check.Parts[v.Parts[0]].Name, 1000*v.Ohms,
			readings, looks)
		if looks <= 3 {
			found++
			sum += readings
		}
	}
	require.Positive(t, all)
	assert.GreaterOrEqual(t, float64(found), 0.7*float64(all))
	assert.LessOrEqual(t, sum, 12*found)
}
