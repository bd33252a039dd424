package infer

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// contradictions are so many readings in millivolts that no one fault explains: drawn
// anyhow up to a size, between places drawn anyhow.
func contradictions(t *testing.T, many int, ac bool, most float64) (*Engine, []Observation) {
	f, problems := layoutfile.Read("invented", []byte(invent.Loop("metal-tie", 14)))
	require.NotNil(t, f, "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	e := NewEngine(n, DefaultModel(n, meter.Cheap(ac), ac))
	e.SetSymptom(Symptom{Kind: Short, Piece: -1, Accessory: -1, Supply: -1})
	set := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 18, Amps: 1}}
	rng := rand.New(rand.NewPCG(40, 1))
	at := func() int {
		j := &f.Layout.Joints[rng.IntN(len(f.Layout.Joints))]
		return n.At(j.A, f.Layout.Pieces[j.A.Piece].Construction.Hot)
	}
	var obs []Observation
	for range many {
		obs = append(obs, Observation{Setup: set, Func: meter.Millivolts, Red: at(), Black: at(),
			Shown: unit.Reading{Value: math.Round(1e4*most*rng.Float64()) / 1e4, Step: 1e-4, Unit: unit.Volt}})
	}
	return e, obs
}

// Whatever is called hopeless comes out so far below all readings saying nothing, when
// it is worked out, as is said; and most that is so far below is found.
func TestHopelessIsHopeless(t *testing.T) {
	if testing.Short() {
		t.Skip("four beliefs of twenty readings")
	}
	for _, ac := range []bool{true, false} {
		for _, most := range []float64{0.002, 0.15} {
			e, obs := contradictions(t, 20, ac, most)
			prior := e.prior()
			all := &pass{obs: obs, prior: prior}
			all.over(prior, 1e-10)
			ev := e.evaluation(all)
			s, nothing, found, far := ev.s, 0.0, 0, 0
			for _, l := range ev.logNothing {
				nothing += l
			}
			for _, js := range ev.joints {
				j := js[0]
				for ci := range ev.cells {
					c, w := &ev.cells[ci], &s.work
					no := s.hopeless(j, c, ev.value, ev.logNothing)
					w.start(false)
					s.slips()
					s.weigh(j, ci, c, ev.value, ev.logNothing)
					below := w.max < nothing-hopelessBy
					if no {
						found++
						assert.True(t, below, "AC %v, up to %g V: %g, nothing %g", ac, most, w.max, nothing)
					}
					if below {
						far++
					}
				}
			}
			t.Logf("AC %v, up to %g V: %d cells hopeless, %d so far below", ac, most, found, far)
			if most > 0.1 {
				assert.Greater(t, 2*found, far)
			}
		}
	}
}
