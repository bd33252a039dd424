package hunt_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// TestTrials prints a table of simulated hunts: faults drawn from the odds of
// those that explain the symptom, resistances drawn link by link, readings by
// fresh full circuits. FISHPLATE_TRIALS=n sets how many a row; without it a
// few are run, as a check that the table can be made.
func TestTrials(t *testing.T) {
	trials := 3
	if n, err := strconv.Atoi(os.Getenv("FISHPLATE_TRIALS")); err == nil && n > 0 {
		trials = n
	}
	beeper := hunt.Kit{Beeper: true}
	rows := []struct {
		layout string
		kind   hunt.SymptomKind
		kit    hunt.Kit
		level  float64
	}{
		{"dead-end", hunt.SymptomShort, allMeters, 1}, {"loop", hunt.SymptomShort, allMeters, 1},
		{"loop-siding", hunt.SymptomShort, allMeters, 1}, {"double", hunt.SymptomShort, allMeters, 1},
		{"yard", hunt.SymptomShort, allMeters, 1}, {"ring 100", hunt.SymptomShort, allMeters, 1},
		{"ring 200", hunt.SymptomShort, allMeters, 1},
		{"loop", hunt.SymptomShort, allMeters, 2}, {"loop", hunt.SymptomShort, allMeters, 5},
		{"dead-end", hunt.SymptomShort, beeper, 1}, {"loop", hunt.SymptomShort, beeper, 1},
		{"dead-end", hunt.SymptomDead, allMeters, 1}, {"dead-end", hunt.SymptomWeak, allMeters, 1},
	}
	t.Logf("%-12s %-6s %-6s %6s %9s %6s %6s %8s %8s", "layout", "what", "meter", "level", "readings", "lifts", "first", "first 2", "first 3")
	for _, row := range rows {
		var l *track.Layout
		if n, err := fmt.Sscanf(row.layout, "ring %d", new(int)); n == 1 && err == nil {
			var size int
			fmt.Sscanf(row.layout, "ring %d", &size)
			l = ring(t, size)
		} else {
			l = load(t, row.layout)
		}
		n, err := conductor.Build(l)
		require.NoError(t, err)
		rng := rand.New(rand.NewPCG(21, 22))
		sym := hunt.Symptom{Kind: row.kind}
		var list []fault.Suspect
		switch row.kind {
		case hunt.SymptomShort:
			list = shorting(t, n, pick(l, t, track.Bridged, true))
		case hunt.SymptomDead:
			list = pick(l, t, track.Open, true)
		default:
			list = pick(l, t, track.Weak, true)
		}
		if row.kind != hunt.SymptomShort {
			sym.At = l.Pieces[l.Runs[0].Pieces[len(l.Runs[0].Pieces)-2]].ID()
			kept := list[:0]
			for _, s := range list { // rails that feed the place: the center
				if s.Rail == "center" && n.Links[s.Links[0]].Kind == conductor.KindJoint {
					kept = append(kept, s)
				}
			}
			list = kept
		}
		var at [4]int
		readings, lifts := 0, 0
		for range trials {
			s := list[rng.IntN(len(list))]
			f := simulate.Fault{Suspect: s, Position: rng.Float64()}
			if s.MaxOhms > 0 {
				f.Ohms = math.Exp(math.Log(0.005) + rng.Float64()*math.Log(1/0.005))
			}
			if row.kind == hunt.SymptomWeak {
				f.Ohms = 1 + 4*rng.Float64()
			}
			r := run(t, l, row.kit, sym, f, simulate.DrawOhms(n, rng, row.level, row.level), rng)
			for k := 1; k <= 3; k++ {
				if r.rank >= 1 && r.rank <= k {
					at[k]++
				}
			}
			readings, lifts = readings+r.readings, lifts+r.lifts
		}
		name := "lamp"
		if row.kit == beeper {
			name = "beeper"
		}
		x := float64(trials)
		t.Logf("%-12s %-6s %-6s %6.0f %9.2f %6.2f %5.0f%% %7.0f%% %7.0f%%", row.layout, row.kind, name, row.level,
			float64(readings)/x, float64(lifts)/x, 100*float64(at[1])/x, 100*float64(at[2])/x, 100*float64(at[3])/x)
		require.GreaterOrEqual(t, 3*at[3], 2*trials, "%s %s", row.layout, row.kind)
	}
}
