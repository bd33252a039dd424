package infer

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// awayAt are readings under the lamp's current along a loop with a short at a piece, a
// zero for those that were taken while it was away.
func awayAt(t *testing.T, piece string, away ...int) (*Engine, []Observation, int) {
	f, problems := layoutfile.Read("invented", []byte(invent.Loop("metal-tie", 24)))
	require.NotNil(t, f, "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	e := NewEngine(n, DefaultModel(n, meter.Cheap(false), false))
	e.SetSymptom(Symptom{Kind: Short, Sometimes: true, Piece: -1, Accessory: -1, Supply: -1})
	set := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceLamp, From: n.Posts[0][0], To: n.Posts[0][1],
		Volts: 12, Amps: 1}}
	var obs []Observation
	hot := func(joint int) int {
		a := f.Layout.Joints[joint].A
		return n.At(a, f.Layout.Pieces[a.Piece].Construction.Hot)
	}
	for _, at := range [][2]int{{2, 6}, {15, 20}, {4, 9}, {12, 17}, {3, 7}, {16, 21}, {5, 8}, {14, 19}, {13, 18}} {
		obs = append(obs, Observation{Setup: set, Func: meter.Millivolts, Red: hot(at[0]), Black: hot(at[1]),
			Shown: unit.Reading{Step: 1e-4, Unit: unit.Volt}})
	}
	there := -1
	for h := range e.Hypos {
		if e.Classes[e.Hypos[h].Class] == piece && e.Hypos[h].Effect.Kind == predict.EffectBridge && there < 0 {
			there = h
		}
	}
	require.GreaterOrEqual(t, there, 0)
	j := e.evaluation(everything(e, obs)).jointsOf(there)[0]
	for a, o := range j.obs {
		obs[o].Shown.Value = math.Round(1e4*j.mean[a]) / 1e4
	}
	for _, o := range away {
		obs[o].Shown.Value = 0
	}
	return e, obs, there
}

func everything(e *Engine, obs []Observation) *pass {
	b := &pass{obs: obs, prior: e.prior()}
	b.over(b.prior, 0)
	return b
}

// jointsOf are the joints of a hypothesis, by severity.
func (ev *evaluation) jointsOf(h int) []*joint {
	for gi := range ev.s.f.groups {
		for _, x := range ev.s.f.groups[gi].hypos {
			if x == h {
				return ev.joints[gi]
			}
		}
	}
	return nil
}

// everySet is the sum over all sets of readings that say nothing, one Gaussian each.
func everySet(s *stage, j *joint, c *levelCell, value, logNothing []float64) float64 {
	w, n := &s.work, j.n
	cov, resid := make([]float64, n*n), make([]float64, n)
	w.felt.in(j, c, s.e.Model.Level.RailSD).matrix(cov, resid, value)
	for a := range n { // the lower half is filled in
		for b := a + 1; b < n; b++ {
			cov[a*n+b] = cov[b*n+a]
		}
	}
	var sum logSum
	for set := range 1 << n {
		log := c.logPrior + w.base
		var kept []int
		for a, o := range j.obs {
			if set>>a&1 == 1 {
				log += w.swap[o] + logNothing[o]
				continue
			}
			log += j.logDiscrete[o]
			kept = append(kept, a)
		}
		k := len(kept)
		sub, left := make([]float64, k*k), make([]float64, k)
		for x, a := range kept {
			left[x] = resid[a]
			for y, b := range kept {
				sub[x*k+y] = cov[a*n+b]
			}
		}
		if k > 0 {
			g, ok := newGauss(sub, left, k)
			if !ok {
				continue
			}
			log += g.logDensity()
		}
		sum.add(log)
	}
	return sum.value()
}

// The sum over which readings were taken while the fault was away comes near the one over
// all sets of them, however many they are.
func TestManyReadingsAway(t *testing.T) {
	for _, away := range [][]int{{}, {1}, {1, 3}, {0, 3, 5}, {0, 1, 3, 5}, {1, 3, 5, 7, 8}} {
		e, obs, h := awayAt(t, "main 11", away...)
		ev := e.evaluation(everything(e, obs))
		s, worst := ev.s, 0.0
		for _, j := range ev.jointsOf(h) {
			j.place = nil
			got := s.likelihood(j, ev.cells, ev.value, ev.logNothing).log
			var want logSum
			for ci := range ev.cells {
				want.add(everySet(s, j, &ev.cells[ci], ev.value, ev.logNothing))
			}
			require.LessOrEqual(t, got, want.value()+1e-6)
			worst = max(worst, want.value()-got)
		}
		t.Logf("%d away: at most %.3g of a natural logarithm below the sum over all sets", len(away), worst)
		require.Less(t, worst, 1.5)
		p := e.Update(obs)
		at := p.Class[e.Hypos[h].Class]
		for c, x := range p.Class {
			require.LessOrEqual(t, x, 1.2*at, "%d away: %s", len(away), e.Classes[c])
		}
		for _, o := range away {
			require.Greater(t, p.Misread[o], 0.5, "%d away: reading %d", len(away), o)
		}
	}
}
