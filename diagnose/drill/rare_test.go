package drill_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
)

// hidden begins a drill on a kind.
func hidden(t testing.TB, layout, kind string, seed uint64) *drill.Drill {
	t.Helper()
	d, err := drill.New(load(t, layout), drill.Options{Fault: kind, Kit: allMeters}, rand.New(rand.NewPCG(seed, 0)))
	require.NoError(t, err, "%s %s", layout, kind)
	return d
}

// A short that only a train brings: the lamp tells it with the train on its
// place and not without, full volts are stopped while it stands there, and only
// then.
func TestAShortThatATrainBrings(t *testing.T) {
	for _, layout := range []string{"rail-tied", "rail-separate", "shelf-two-rail"} {
		for seed := range uint64(4) {
			d := hidden(t, layout, drill.KindShortTrain, seed)
			at := d.Symptom().At
			require.Equal(t, hunt.SymptomShortTrain, d.Symptom().Kind)
			require.Contains(t, d.Told(), at)
			require.Equal(t, at, d.Layout().Pieces[d.State().Train].ID(), "it was left where it trips")
			require.Contains(t, do(t, d, "supply on").Stopped, "bare supply")
			lit := ""
			for _, s := range d.Layout().Supplies {
				if strings.Contains(do(t, d, "supply lamp "+s.Name).Says, "bright") {
					lit = s.Name
				}
				do(t, d, "supply off")
			}
			require.NotEmpty(t, lit, d.Reveal())
			require.NotContains(t, do(t, d, "train off", "supply lamp "+lit).Says, "bright", d.Reveal())
			require.Contains(t, do(t, d, "supply off", "supply on "+lit).Says, "full volts")
			require.Contains(t, do(t, d, "supply off", "run").Stopped, "bare supply")

		}
	}
}

// Two supplies out of phase: each alone shows its volts, both together show the
// sum of them from hot to hot; in phase the difference. Two on one track are
// stopped.
func TestOutOfPhase(t *testing.T) {
	both := func(d *drill.Drill) string {
		lines := []string{"train off"}
		for i := range d.Layout().Feeders {
			lines = append(lines, "pull "+d.Layout().Feeders[i].Name)
		}
		do(t, d, append(lines, "jumper T1 common to T2 common", "supply on T1", "supply on T2")...)
		return do(t, d, "volts T1 hot to T2 hot").Shows
	}
	d := hidden(t, "two-supplies", drill.KindPhase, 1)
	require.Equal(t, hunt.Symptom{Kind: hunt.SymptomPhase, At: "T2"}, d.Symptom())
	require.Contains(t, d.Told(), "T2")
	require.Contains(t, do(t, d, "train off", "supply on T1").Says, "full volts")
	require.Contains(t, do(t, d, "supply on T2").Stopped, "feed each other")
	require.Contains(t, do(t, d, "supply off", "run").Says, "sparks where it passes onto the track of T2")
	d = hidden(t, "two-supplies", drill.KindPhase, 1)
	require.Regexp(t, `^3\d\.\d V$`, both(d))
	require.Equal(t, "T2", do(t, d, "supply off", "accuse T2").Found)
	over, _ := d.Over()
	require.True(t, over)
	require.Regexp(t, `^\d\d\.\d V$`, both(hidden(t, "two-cabs", drill.KindPhase, 1)))
	require.Regexp(t, `^[0-4]\.\d V$`, both(hidden(t, "two-cabs", drill.KindDead, 1)))
	_, err := drill.New(load(t, "loop"), drill.Options{Fault: drill.KindPhase, Kit: allMeters},
		rand.New(rand.NewPCG(1, 1)))
	require.ErrorContains(t, err, "two AC supplies")
}

// A clip lead that shorts two supplies trips them; it breaks nothing.
func TestTwoSuppliesJoinedWrong(t *testing.T) {
	d := hidden(t, "two-supplies", drill.KindPhase, 1)
	do(t, d, "train off", "pull F1", "pull F2", "pull F3", "pull F4", "jumper T1 hot to T2 common", "supply on T1")
	require.Contains(t, do(t, d, "supply on T2").Says, "full volts", "one wire alone closes no circuit")
	d = hidden(t, "two-supplies", drill.KindPhase, 1)
	do(t, d, "train off", "pull F1", "pull F2", "pull F3", "pull F4", "jumper T2 hot to T2 common", "supply on T1")
	require.Contains(t, do(t, d, "supply on T2").Says, "breaker trips")
	require.Contains(t, do(t, d, "supply on T1").Says, "full volts", "off again, and on")
}

// A fault that comes and goes: the same reading shows both, a look can miss it,
// and the save file gives the same again.
func TestComesAndGoes(t *testing.T) {
	kinds := map[hunt.SymptomKind]bool{}
	away, reads, missed, looks := 0, 0, 0, 0
	for seed := range uint64(24) {
		d := hidden(t, "dead-end", drill.KindSometimes, seed)
		require.True(t, d.Symptom().Sometimes)
		kinds[d.Symptom().Kind] = true
		if d.Symptom().Kind != hunt.SymptomShort {
			continue
		}
		do(t, d, "train off")
		for range 40 {
			reads++
			if do(t, d, "beep T1").Shows != "beep" {
				away++
			}
		}
		bad := strings.Join(strings.Fields(culprit(d))[:2], " ")
		for range 10 {
			looks++
			if strings.Contains(do(t, d, "look "+bad).Says, "just now") {
				missed++
			}
		}
		data, err := d.Save(drill.Salt(rand.New(rand.NewPCG(1, 2))))
		require.NoError(t, err)
		again, err := drill.Resume(load(t, "dead-end"), data)
		require.NoError(t, err)
		require.Equal(t, d.Log(), again.Log())
	}
	require.Len(t, kinds, 3, "shorts, breaks and bad contacts")
	require.Greater(t, reads, 200)
	require.InDelta(t, 0.15, float64(away)/float64(reads), 0.05)
	require.InDelta(t, 0.3, float64(missed)/float64(looks), 0.12)
}

// Without a kind the odds decide: many kinds come up, the commonest flaw most.
func TestDrawnFromTheOdds(t *testing.T) {
	seen := map[hunt.SymptomKind]int{}
	fickle := 0
	for seed := range uint64(240) {
		d := hidden(t, "rail-separate", drill.KindAny, seed)
		seen[d.Symptom().Kind]++
		if d.Symptom().Sometimes {
			fickle++
		}
		require.Len(t, d.Reveal(), 1)
		require.NotEqual(t, "Something is wrong with it.", d.Told())
	}
	t.Log(seen, fickle)
	for _, k := range []hunt.SymptomKind{hunt.SymptomShort, hunt.SymptomDead, hunt.SymptomAccessoryDead,
		hunt.SymptomAccessoryOn, hunt.SymptomAccessoryFlickers} {
		require.NotZero(t, seen[k], k)
	}
	require.InDelta(t, 24, fickle, 15)
}

// Every symptom that a drill can hide is told in words of its own.
func TestEveryKindIsTold(t *testing.T) {
	layouts := map[string][]string{drill.KindShortTrain: {"rail-tied"}, drill.KindAccessory: {"rail-separate",
		"rail-tied"}, drill.KindPhase: {"two-supplies"}, drill.KindSometimes: {"dead-end"}}
	for kind, list := range layouts {
		require.Contains(t, drill.Kinds, kind)
		for _, layout := range list {
			var said []string
			for seed := range uint64(8) {
				d := hidden(t, layout, kind, seed)
				if !slices.Contains(said, d.Told()) {
					said = append(said, d.Told())
				}
				require.NotContains(t, d.Told(), "%")
				require.Equal(t, 1, d.Left())
			}
			require.Greater(t, len(said), 1, kind)
		}
	}
}
