package rival_test

import (
	"math/rand/v2"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/rival"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

var allMeters = hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}

func load(t testing.TB, name string) *track.Layout {
	t.Helper()
	src, err := os.ReadFile("../../../testdata/layouts/" + name + ".hcl")
	require.NoError(t, err)
	f, probs := layoutfile.Read(name, src)
	require.NotNil(t, f, "%v", probs)
	return f.Layout
}

func begin(t testing.TB, layout, kind string, seed uint64) *drill.Drill {
	t.Helper()
	d, err := drill.New(load(t, layout), drill.Options{Fault: kind, Difficulty: drill.Easy, Kit: allMeters},
		rand.New(rand.NewPCG(seed, 0)))
	require.NoError(t, err)
	return d
}

func dump(t *testing.T, r rival.Result) {
	for _, e := range r.Log {
		t.Logf("%5.1f %s -> %s%s", e.Clock, e.Act, e.Shows, e.Says)
	}
}

// Halving finds every short and every break, is never stopped, and needs no
// more than about log2 of the pieces.
// hunts is how many are played of each kind: n, or one in a short run.
func hunts(n uint64) uint64 {
	if testing.Short() {
		return 1
	}
	return n
}

func TestHalving(t *testing.T) {
	for _, c := range []struct {
		layout, kind string
		readings     int // most: one at the posts and log2 of the pieces, rounded up, and one more
	}{{"dead-end", drill.KindShort, 7}, {"loop", drill.KindShort, 8}, {"loop-siding", drill.KindShort, 9},
		{"yard", drill.KindShort, 10},
		{"dead-end", drill.KindDead, 8}, {"loop", drill.KindTrain, 1}} {
		for seed := range uint64(4) {
			d := begin(t, c.layout, c.kind, seed)
			r := rival.Halving(d)
			if !r.Found {
				dump(t, r)
			}
			require.True(t, r.Found, "%s %s seed %d: %s; hidden: %v", c.layout, c.kind, seed, r.Why, d.Reveal())
			n := drill.CountLog(r.Log)
			require.Zero(t, n.Stops)
			require.LessOrEqual(t, n.Readings, c.readings, "%s %s seed %d", c.layout, c.kind, seed)
			require.Zero(t, d.Clock(), "the learner's own drill is not touched")
		}
	}
}

// Halving finds what it is for on every kind of layout, with whatever the odds
// hide: feeders, toggles, buses and accessories included.
func TestHalvingEverywhere(t *testing.T) {
	played := 0
	for _, layout := range []string{"two-supplies", "roadbed-oval", "rail-separate", "lamps", "wye-two-rail",
		"figure-eight", "crossover", "blocks", "reversing"} {
		for _, kind := range []string{drill.KindShort, drill.KindDead, drill.KindTrain} {
			for seed := range hunts(4) {
				d, err := drill.New(load(t, layout), drill.Options{Fault: kind, Difficulty: drill.Usual,
					Kit: allMeters}, rand.New(rand.NewPCG(seed, 0)))
				if err != nil {
					continue // two loops: nothing goes dead there
				}
				played++
				r := rival.Halving(d)
				require.True(t, r.Found, "%s %s seed %d: %s; hidden: %v", layout, kind, seed, r.Why, d.Reveal())
				require.Zero(t, drill.CountLog(r.Log).Stops)
			}
		}
	}
	require.Greater(t, played, 20*int(hunts(4)))
}

func TestHalvingOnALoopCutsTwice(t *testing.T) {
	r := rival.Halving(begin(t, "loop", drill.KindShort, 1))
	require.GreaterOrEqual(t, drill.CountLog(r.Log).Together, 2)
	r = rival.Halving(begin(t, "dead-end", drill.KindShort, 1))
	first := 0
	for _, e := range r.Log {
		if e.Act.Do == drill.DoLift {
			first++
		}
		if e.Act.Do == drill.DoRead && first > 0 {
			break
		}
	}
	require.Equal(t, 1, first, "a dead end needs one cut")
}

func TestHalvingDoesNotHuntWeakContacts(t *testing.T) {
	r := rival.Halving(begin(t, "dead-end", drill.KindWeak, 1))
	require.False(t, r.Found)
	require.Contains(t, r.Why, "sounds through")
	require.Empty(t, r.Log)
}

func TestOwn(t *testing.T) {
	found, all := 0, 0
	for _, c := range []struct {
		layout, kind string
	}{{"dead-end", drill.KindShort}, {"loop", drill.KindShort}, {"dead-end", drill.KindDead},
		{"dead-end", drill.KindWeak}, {"loop", drill.KindTrain}, {"dead-end", drill.KindTwo}} {
		for seed := range hunts(2) {
			d := begin(t, c.layout, c.kind, seed)
			r := rival.Own(d)
			all++
			if r.Found {
				found++
			} else {
				t.Logf("%s %s seed %d: %s; hidden: %v", c.layout, c.kind, seed, r.Why, d.Reveal())
				dump(t, r)
			}
			require.Zero(t, drill.CountLog(r.Log).Stops)
		}
	}
	t.Logf("found %d of %d", found, all)
	require.GreaterOrEqual(t, 10*found, 9*all)
}

// The kinds that few faults show as: the program hunts each from its symptom to
// its end on a layout that can have it, and is never stopped.
func TestOwnOnRareKinds(t *testing.T) {
	found, all := map[string]int{}, map[string]int{}
	for _, c := range []struct {
		layout, kind string
	}{{"rail-tied", drill.KindShortTrain}, {"rail-separate", drill.KindShortTrain},
		{"rail-tied", drill.KindAccessory}, {"rail-separate", drill.KindAccessory}, {"two-supplies", drill.KindPhase},
		{"two-cabs", drill.KindPhase},
		{"dead-end", drill.KindSometimes}, {"yard", drill.KindSometimes}} {
		for seed := range hunts(3) {
			d, err := drill.New(load(t, c.layout), drill.Options{Fault: c.kind, Kit: allMeters},
				rand.New(rand.NewPCG(seed, 0)))
			require.NoError(t, err)
			r := rival.Own(d)
			all[c.kind]++
			if r.Found {
				found[c.kind]++
			} else {
				t.Logf("%s %s seed %d: %s; hidden: %v", c.layout, c.kind, seed, r.Why, d.Reveal())
				dump(t, r)
			}
			require.Zero(t, drill.CountLog(r.Log).Stops, "%s %s seed %d", c.layout, c.kind, seed)
			h := rival.Halving(d)
			require.Empty(t, h.Log, "plain halving is not for this: %s", c.kind)
			require.NotEmpty(t, h.Why)
		}
	}
	t.Log(found, all)
	for kind, n := range all {
		require.GreaterOrEqual(t, 4*found[kind], 3*n, kind)
	}
}
