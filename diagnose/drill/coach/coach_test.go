package coach_test

import (
	"math/rand/v2"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

var (
	allMeters = hunt.Kit{Beeper: true, Ohms: true, Volts: true, Millivolts: true, Lamp: true}
	beeper    = hunt.Kit{Beeper: true}
)

func load(t testing.TB, name string) *track.Layout {
	t.Helper()
	src, err := os.ReadFile("../../../testdata/layouts/" + name + ".hcl")
	require.NoError(t, err)
	f, probs := layoutfile.Read(name, src)
	require.NotNil(t, f, "%v", probs)
	return f.Layout
}

// begin hides one bridge or other fault at a piece of the main run.
func begin(t testing.TB, layout string, kit hunt.Kit, h ...drill.Hide) *drill.Drill {
	t.Helper()
	d, err := drill.New(load(t, layout), drill.Options{Difficulty: drill.Easy, Kit: kit, Hide: h}, rand.New(rand.NewPCG(4, 4)))
	require.NoError(t, err)
	return d
}

func bridge(piece int) drill.Hide {
	return drill.Hide{Mode: track.Bridged, Part: "piece", Run: "main", From: piece, To: piece}
}

// play takes acts as typed and gives the steps that the coach made of them.
func play(t testing.TB, d *drill.Drill, lines ...string) []coach.Step {
	t.Helper()
	for _, line := range lines {
		a, err := drill.Parse(line)
		require.NoError(t, err, line)
		_, err = d.Do(a)
		require.NoError(t, err, line)
	}
	return coach.New(d).Steps()
}

func habits(s coach.Step) []coach.Habit {
	var out []coach.Habit
	for _, r := range s.Remarks {
		out = append(out, r.Habit)
	}
	return out
}

func last(s []coach.Step) coach.Step { return s[len(s)-1] }

func show(t testing.TB, steps []coach.Step) {
	for _, s := range steps {
		t.Logf("%s -> %s: %v", s.Did, s.Shows, strings.Join(s.Say(coach.Explain), " | "))
	}
}

// Each remark has a hunt in which it must be made and one in which it must not.
func TestRemarks(t *testing.T) {
	weak := drill.Hide{Mode: track.Weak, Part: "joint", Run: "main", Rail: "center", From: 9, To: 9}
	for _, c := range []struct {
		habit  coach.Habit
		layout string
		kit    hunt.Kit
		hide   []drill.Hide
		must   []string
		not    []string
	}{
		{coach.HabitTrain, "dead-end", allMeters, []drill.Hide{bridge(8)},
			[]string{"beep T1"}, []string{"train off", "beep T1"}},
		{coach.HabitNoCurrent, "dead-end", allMeters, []drill.Hide{bridge(8)},
			[]string{"train off", "mv F1 hot to main 9 center"}, []string{"train off", "supply lamp", "mv F1 hot to main 9 center"}},
		{coach.HabitAnswered, "dead-end", beeper, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11", "beep main 11/10", "beep main 3"}, []string{"train off", "beep T1", "lift main 10/11", "beep main 10/11"}},
		{coach.HabitOneCut, "loop", beeper, []drill.Hide{bridge(14)},
			[]string{"train off", "beep T1", "lift main 20/21", "beep main 20/21"},
			[]string{"train off", "beep T1", "lift main 20/21", "lift main 40/1", "beep main 20/21"}},
		{coach.HabitLift, "dead-end", allMeters, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11"},
			[]string{"train off", "beep T1", "supply lamp", "mv F1 hot to main 20 center"}},
		{coach.HabitGuess, "dead-end", allMeters, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "look main 3"}, nil},
		{coach.HabitEdge, "dead-end", beeper, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "lift main 1/2", "beep main 1/2"}, []string{"train off", "beep T1", "lift main 10/11", "beep main 10/11"}},
		{coach.HabitCoarse, "dead-end", allMeters, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "ohms F1 hot to main 12 center"}, []string{"train off", "beep T1", "supply lamp", "mv F1 hot to main 20 center"}},
		{coach.HabitGood, "dead-end", beeper, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11"}, []string{"train off", "beep T1", "lift main 1/2", "beep main 1/2"}},
		{coach.HabitTwo, "dead-end", beeper, []drill.Hide{bridge(4), bridge(16)},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11", "beep main 11/10", "lift main 6/7", "beep main 6/7", "beep main 12"},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11"}},
		{coach.HabitTrain, "dead-end", allMeters, []drill.Hide{weak},
			nil, []string{"train on main 18", "supply on", "volts main 18"}},
	} {
		if c.must != nil {
			steps := play(t, begin(t, c.layout, c.kit, c.hide...), c.must...)
			if !contains(habits(last(steps)), c.habit) {
				show(t, steps)
			}
			require.Contains(t, habits(last(steps)), c.habit, "%v", c.must)
		}
		if c.not != nil {
			steps := play(t, begin(t, c.layout, c.kit, c.hide...), c.not...)
			for _, s := range steps {
				if contains(habits(s), c.habit) && s.Did == last(steps).Did {
					show(t, steps)
				}
			}
			require.NotContains(t, habits(last(steps)), c.habit, "%v", c.not)
		}
	}
}

func contains(list []coach.Habit, h coach.Habit) bool {
	for _, x := range list {
		if x == h {
			return true
		}
	}
	return false
}
