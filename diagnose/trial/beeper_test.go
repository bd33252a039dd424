package trial_test

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/plan"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/trial"
)

// A whole hunt with a beeper alone on a dead end, a bridge in each piece in
// turn: its minutes until the bridge is seen, by the odds of the pieces, against
// the least there can be with the same end in mind (three pieces that hold 0.9,
// or one 0.75). The least knows that no beep is ever wrong; the hunt believes
// that some are, and takes one again where that pays: 3 % are left for that. Nor
// does it know of walking: the layout lies in one heap.
func TestBeeperHuntIsNearTheLeast(t *testing.T) {
	sizes := []int{16, 24, 40}
	if testing.Short() {
		sizes = sizes[:1]
	}
	for _, n := range sizes {
		s := trial.Setting{Layout: heaped(layout(t, "dead-end", n, trial.Build{})), Kit: hunt.Kit{Beeper: true},
			Meter: steady()}
		f, err := trial.NewField(s, func(_ *trial.Field, x *fault.Suspect) bool {
			return x.Mode == track.Bridged && x.PieceIndex >= 0 && x.Place == x.Piece
		})
		require.NoError(t, err)
		require.Len(t, f.Suspects, n)
		odds := oddsAfterABeep(t, f)
		total, readings := 0.0, 0.0
		for i := range f.Suspects {
			one := *f
			one.Suspects = f.Suspects[i : i+1]
			x, err := one.Draw(7)
			require.NoError(t, err)
			x.Fault = simulate.Fault{Suspect: f.Suspects[i], Ohms: 0.1, Position: 0.5}
			r, err := one.Hunt(x, true)
			require.NoError(t, err)
			require.True(t, r.Found)
			p := odds[f.Suspects[i].PieceIndex]
			total += p * r.Total
			readings += p * float64(r.Readings)
		}
		least := leastMinutes(f.Layout, odds)
		t.Logf("%d pieces: %.2f minutes with %.2f readings, the least is %.2f", n, total, readings, least)
		require.LessOrEqual(t, total, 1.03*least)
		require.GreaterOrEqual(t, total, 0.99*least)
	}
}

// heaped is a layout all of whose pieces lie in one place, so that no step of its
// hunts has a way to walk.
func heaped(l *track.Layout) *track.Layout {
	for i := range l.Pieces {
		p := &l.Pieces[i]
		for e := range p.Ends {
			p.Ends[e].Pose = track.Pose{}
		}
		for k := range p.Legs {
			p.Legs[k].Start, p.Legs[k].Length = track.Pose{}, 1e-3
		}
	}
	return l
}

// oddsAfterABeep are the odds of the pieces once the posts have beeped.
func oddsAfterABeep(t *testing.T, f *trial.Field) []float64 {
	h := hunt.New(f.Layout, f.Kit)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	odds := slices.Clone(h.View().Pieces)
	sum := 0.0
	for _, p := range odds {
		sum += p
	}
	for i := range odds {
		odds[i] /= sum
	}
	return odds
}

// leastMinutes is the minutes of the best hunt on a dead end: 0.7 for a beep, 1
// and the joint's own minutes for a cut, and the looks, where a piece beside one
// that was looked at costs a joint's minutes.
func leastMinutes(l *track.Layout, odds []float64) float64 {
	c := l.Pieces[1].Construction
	near := &plan.Near{Beside: make([][]int, len(odds))}
	var cost []float64
	for i := range odds {
		cost = append(cost, c.LiftMinutes)
		near.Cost = append(near.Cost, c.PartMinutes)
		if i > 0 {
			near.Beside[i] = append(near.Beside[i], i-1)
			near.Beside[i-1] = append(near.Beside[i-1], i)
		}
	}
	var work plan.Scratch
	return 0.7 + plan.CutsThenLook(odds, 1.7+c.PartMinutes, func(lo, hi int) (float64, bool) {
		p, sum := make([]float64, len(odds)), 0.0
		for i := lo; i < hi; i++ {
			p[i] = odds[i]
			sum += p[i]
		}
		top := slices.Sorted(slices.Values(p))
		n := len(top)
		if top[n-1]+top[n-2]+top[n-3] < 0.9*sum && top[n-1] < 0.75*sum {
			return 0, false
		}
		return sum * plan.ExpectedInspectionNear(p, cost, near, &work), true
	})
}
