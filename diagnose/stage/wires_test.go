package stage_test

import (
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/stage"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// TestFeedersJoinedOnABench joins the feeders of layouts one by one, as told, on a circuit
// that is not the plan's: all sound it stays silent; a pair of wires that touch beeps when
// it is joined at the latest, and one that hangs the wrong way round not before.
func TestFeedersJoinedOnABench(t *testing.T) {
	if testing.Short() {
		t.Skip("every layout is wired and watched")
	}
	rng := rand.New(rand.NewPCG(7, 8))
	tried := map[track.FaultMode]int{}
	all := layouts(t)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		l := all[name]
		n, err := conductor.Build(l)
		require.NoError(t, err)
		plan, err := stage.Make(l, stage.Options{Seed: 1})
		require.NoError(t, err)
		at := slices.IndexFunc(plan.Wiring, func(w stage.Wire) bool { return w.Wires == "all feeders" })
		require.GreaterOrEqual(t, at, 0)
		list := plan.Wiring[at].Readings
		require.Len(t, list, len(l.Feeders), name)
		first := func(faults []simulate.Fault) int {
			bench := simulate.NewBench(n, simulate.DrawOhms(n, rng, 1, 1), faults)
			for i := range list {
				set := conductor.Bare(l)
				for f := i + 1; f < len(l.Feeders); f++ {
					set.Pull(f)
				}
				if !math.IsInf(bench.Ohms(set, n.Find(list[i].Red), n.Find(list[i].Black)), 1) {
					return i
				}
			}
			return -1
		}
		require.Equal(t, -1, first(nil), name)
		for _, s := range fault.List(n) {
			if s.Feeder < 0 || s.Mode != track.Bridged && s.Mode != track.Swapped {
				continue
			}
			got := first([]simulate.Fault{simulate.DrawFault([]fault.Suspect{s}, rng)})
			switch {
			case s.Mode == track.Bridged:
				// its bridge lies on the track from the first one on
				assert.GreaterOrEqual(t, got, 0, "%s: %s", name, s.ID)
				assert.LessOrEqual(t, got, s.Feeder, "%s: %s", name, s.ID)
			case got < 0: // no other feeder reaches its rails
				continue
			default:
				assert.GreaterOrEqual(t, got, s.Feeder, "%s: %s", name, s.ID)
			}
			tried[s.Mode]++
		}
	}
	t.Logf("feeders tried: %v", tried)
	assert.NotZero(t, tried[track.Bridged])
	assert.NotZero(t, tried[track.Swapped])
}

// TestPhaseByVolts: two supplies of any volts in the range told, a few tenths apart, are
// judged as they stand, worked out with phasors: the difference in phase, the sum reversed;
// with one of them off it says neither (common practice, no source).
func TestPhaseByVolts(t *testing.T) {
	l := layouts(t)["demo"]
	two := *l
	two.Supplies = append(slices.Clone(l.Supplies), l.Supplies[0])
	two.Supplies[0].AC, two.Supplies[1].AC = true, true
	two.Supplies[1].Name = "T9"
	plan, err := stage.Make(&two, stage.Options{Seed: 1})
	require.NoError(t, err)
	w := plan.Wiring[len(plan.Wiring)-1]
	require.Len(t, w.Readings, 3)
	judge := func(r *stage.Reading, volts float64) stage.Verdict {
		return r.Judge(unit.Reading{Kind: unit.Value, Unit: unit.Volt, Value: volts}, 0)
	}
	for a := 6.0; a <= 18; a += 0.5 {
		for apart := -0.5; apart <= 0.5; apart += 0.25 {
			b := a + apart
			if b < 6 {
				continue
			}
			assert.Equal(t, stage.Good, judge(&w.Readings[0], a))
			assert.Equal(t, stage.Good, judge(&w.Readings[2], math.Abs(a-b)), "%.1f and %.1f V", a, b)
			assert.Equal(t, stage.Bad, judge(&w.Readings[2], a+b), "%.1f and %.1f V reversed", a, b)
		}
	}
	assert.Equal(t, stage.Unclear, judge(&w.Readings[1], 0.1), "it is off")
	assert.Equal(t, stage.Unclear, judge(&w.Readings[2], 6.2), "one went off meanwhile")
}
