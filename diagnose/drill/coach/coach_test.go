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
	return beginOn(t, load(t, layout), kit, h...)
}

func beginOn(t testing.TB, l *track.Layout, kit hunt.Kit, h ...drill.Hide) *drill.Drill {
	t.Helper()
	d, err := drill.New(l, drill.Options{Difficulty: drill.Easy, Kit: kit, Hide: h}, rand.New(rand.NewPCG(4, 4)))
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

func say(s coach.Step, l coach.Level) []string { return s.Say(l) }

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
	if testing.Short() {
		t.Skip("drills for every habit")
	}
	weak := drill.Hide{Mode: track.Weak, Part: "joint", Run: "main", Rail: "center", From: 9, To: 9}
	down := []string{"train off", "beep T1", "lift main 10/11", "beep main 10/11", "lift main 5/6", "beep main 6",
		"lift main 7/8", "beep main 8", "lift main 8/9", "beep main 8"}
	near := []string{"train off", "beep T1", "supply lamp", "mv F1 hot to main 20 center",
		"mv main 6/7 center to main 10/11 center", "mv main 7/8 center to main 8/9 center",
		"mv main 8/7 center to main 8/9 center", "mv main 8/7 center to main 8 center",
		"mv main 8 center to main 8/9 center", "mv main 2/3 center to main 8 center",
		"mv main 1/2 center to main 8 center"}
	// TestMisfit
	made, spared := map[coach.Habit]bool{coach.HabitMisfit: true}, map[coach.Habit]bool{coach.HabitMisfit: true}
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
			[]string{"train off", "mv F1 hot to main 9 center"},
			[]string{"train off", "supply lamp", "mv F1 hot to main 9 center"}},
		{coach.HabitNoCurrent, "dead-end", allMeters, []drill.Hide{weak},
			[]string{"train off", "beep T1", "supply on", "mv F1 hot to main 9 center"},
			[]string{"train off", "beep T1", "load main 18", "supply on", "mv F1 hot to main 9 center"}},
		{coach.HabitAnswered, "dead-end", beeper, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11", "beep main 11/10", "beep main 3"},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11"}},
		{coach.HabitAnswered, "dead-end", beeper, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11", "beep main 11/10"},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 11/10"}},
		{coach.HabitOneCut, "loop", beeper, []drill.Hide{bridge(14)},
			[]string{"train off", "beep T1", "lift main 20/21", "beep main 20/21"},
			[]string{"train off", "beep T1", "lift main 20/21", "lift main 40/1", "beep main 20/21"}},
		{coach.HabitLift, "dead-end", allMeters, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11"},
			[]string{"train off", "beep T1", "supply lamp", "mv F1 hot to main 20 center"}},
		{coach.HabitGuess, "dead-end", allMeters, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "look main 3"}, nil},
		{coach.HabitGuess, "dead-end", beeper, []drill.Hide{bridge(8)},
			nil, append(down[:len(down):len(down)], "look main 8")},
		{coach.HabitLate, "dead-end", allMeters, []drill.Hide{bridge(8)},
			near, near[:4]},
		{coach.HabitEdge, "dead-end", beeper, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "lift main 1/2", "beep main 1/2"},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11"}},
		{coach.HabitCoarse, "dead-end", allMeters, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "ohms F1 hot to main 12 center"},
			[]string{"train off", "beep T1", "supply lamp", "mv F1 hot to main 20 center"}},
		{coach.HabitGood, "dead-end", beeper, []drill.Hide{bridge(8)},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11"},
			[]string{"train off", "beep T1", "lift main 1/2", "beep main 1/2"}},
		{coach.HabitTwo, "dead-end", beeper, []drill.Hide{bridge(4), bridge(16)},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11", "beep main 11/10", "lift main 6/7",
				"beep main 6/7", "beep main 12"},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11"}},
		{coach.HabitSurprise, "dead-end", beeper, []drill.Hide{bridge(4), bridge(16)},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11", "beep main 11/10"},
			[]string{"train off", "beep T1", "lift main 10/11", "beep main 10/11"}},
		{coach.HabitSurprise, "dead-end", beeper, []drill.Hide{bridge(8)},
			nil, []string{"train off", "beep T1", "lift main 10/11", "beep main 10/11", "beep main 11/10"}},
		{coach.HabitTrain, "dead-end", allMeters, []drill.Hide{weak},
			nil, []string{"train on main 18", "supply on", "volts main 18"}},
	} {
		if c.must != nil {
			made[c.habit] = true
			steps := play(t, begin(t, c.layout, c.kit, c.hide...), c.must...)
			if !contains(habits(last(steps)), c.habit) {
				show(t, steps)
			}
			require.Contains(t, habits(last(steps)), c.habit, "%v", c.must)
		}
		if c.not != nil {
			spared[c.habit] = true
			steps := play(t, begin(t, c.layout, c.kit, c.hide...), c.not...)
			for _, s := range steps {
				if contains(habits(s), c.habit) && s.Did == last(steps).Did {
					show(t, steps)
				}
			}
			require.NotContains(t, habits(last(steps)), c.habit, "%v", c.not)
		}
	}
	for _, h := range coach.Habits {
		require.True(t, made[h], "no hunt in which %q must be remarked on", h)
		require.True(t, spared[h], "no hunt in which %q must not be remarked on", h)
	}
}

// Outside hunts for weak and dead track a reading of volts without a lamp across
// the rails is no mistake.
func TestNoLampIsNoMistakeElsewhere(t *testing.T) {
	d, err := drill.New(load(t, "two-supplies"), drill.Options{Fault: drill.KindPhase, Kit: allMeters},
		rand.New(rand.NewPCG(1, 0)))
	require.NoError(t, err)
	steps := play(t, d, "train off", "pull F1", "pull F2", "pull F3", "pull F4", "supply on T1", "volts T1")
	require.NotContains(t, habits(last(steps)), coach.HabitNoCurrent)
	steps = play(t, d, "supply off", "jumper T1 common to T2 common", "supply on T1", "supply on T2",
		"volts T1 hot to T2 hot")
	require.NotContains(t, habits(last(steps)), coach.HabitNoCurrent)
	require.Equal(t, []string{"T2"}, coach.New(d).Next().Look[:1])
	fresh, err := drill.New(load(t, "two-supplies"), drill.Options{Fault: drill.KindPhase, Kit: allMeters},
		rand.New(rand.NewPCG(1, 0)))
	require.NoError(t, err)
	advice := strings.Join(coach.New(fresh).Advice(), " ")
	require.Contains(t, advice, "a clip lead across")
	require.Contains(t, advice, "the other one on (T2)")
}

// A long hunt is weighed by its last readings, so that the coach answers in time.
func TestLongHunts(t *testing.T) {
	d := begin(t, "dead-end", beeper, bridge(8))
	do := []string{"train off"}
	for range 24 {
		do = append(do, "beep T1")
	}
	steps := play(t, d, append(do, "lift main 10/11", "beep main 10/11")...)
	require.Len(t, steps, 25)
	require.Greater(t, last(steps).Bits, 0.5)
}

func contains(list []coach.Habit, h coach.Habit) bool {
	for _, x := range list {
		if x == h {
			return true
		}
	}
	return false
}

// Three lifts where a reading would do are counted and named as three.
func TestLiftsAreCounted(t *testing.T) {
	d := begin(t, "dead-end", allMeters, bridge(8))
	steps := play(t, d, "train off", "beep T1", "lift main 18/19", "beep main 18/19", "lift main 15/16",
		"beep main 15/16", "lift main 12/13", "beep main 12/13")
	show(t, steps)
	require.Contains(t, strings.Join(say(last(steps), coach.Hint), " "), "3 lifts so far where a reading would do")
}

// A reading that lies is pointed at, by its number, and an honest one is not. The
// lie is put into the log by hand: five readings of a whole shorted track beep, and
// the last one is told as silent.
func TestMisfit(t *testing.T) {
	lines := []string{"train off", "beep T1", "beep main 3", "beep main 9", "beep main 18", "beep main 14"}
	honest := begin(t, "dead-end", allMeters, bridge(12))
	for _, s := range play(t, honest, lines...) {
		require.Equal(t, "beep", s.Shows)
		require.NotContains(t, habits(s), coach.HabitMisfit)
	}
	liar := begin(t, "dead-end", allMeters, bridge(12))
	play(t, liar, lines...)
	log := liar.Log()
	log[len(log)-1].Shows = "silent"
	steps := coach.New(liar).Steps()
	require.Contains(t, habits(last(steps)), coach.HabitMisfit)
	require.Contains(t, strings.Join(say(last(steps), coach.Hint), " "), "Reading 5 (silent) fits badly")
	for _, s := range steps[:len(steps)-1] {
		require.NotContains(t, habits(s), coach.HabitMisfit, "before the lie there is none")
	}
}

// When the readings point at one place, reading on is named, and the place is
// not.
func TestLateAndNeverTheAnswer(t *testing.T) {
	if testing.Short() {
		t.Skip("fourteen readings on a hunt: a short run has those of TestRemarks")
	}
	d := begin(t, "dead-end", allMeters, bridge(8))
	lines := []string{"train off", "beep T1", "supply lamp", "mv F1 hot to main 20 center",
		"mv main 6/7 center to main 10/11 center", "mv main 7/8 center to main 8/9 center",
		"mv main 8/7 center to main 8/9 center", "mv main 8/7 center to main 8 center",
		"mv main 8 center to main 8/9 center", "mv main 7/8 center to main 8/7 center",
		"mv main 8/9 center to main 9/8 center", "mv main 9/8 center to main 9/10 center",
		"mv main 5/6 center to main 8 center", "mv main 2/3 center to main 8 center"}
	steps := play(t, d, lines...)
	late := false
	for _, s := range steps {
		late = late || contains(habits(s), coach.HabitLate)
		if len(s.Best.Look) > 0 {
			require.NotContains(t, strings.ReplaceAll(strings.Join(s.Say(coach.Explain), " "), s.Did, ""),
				s.Best.Look[0])
		}
	}
	if !late {
		show(t, steps)
	}
	require.True(t, late)
	require.NotContains(t, habits(steps[1]), coach.HabitLate)
}

// A look at the likeliest place is no guess (one on a slim chance: TestRemarks).
func TestNoGuess(t *testing.T) {
	d := begin(t, "dead-end", allMeters, bridge(8))
	c := coach.New(d)
	for range 12 {
		b := c.Next()
		if b.Ask == nil {
			break
		}
		lines := []string{}
		st := d.State()
		if string(st.Setup.Source.Kind) != b.Ask.Setup.Source.Kind {
			lines = append(lines, "supply "+map[string]string{"none": "off", "lamp": "lamp",
				"volts": "on"}[b.Ask.Setup.Source.Kind])
		}
		if st.Train >= 0 {
			lines = append([]string{"train off"}, lines...)
		}
		for _, line := range append(lines, b.Ask.Meter+" "+b.Ask.Red+" to "+b.Ask.Black) {
			a, err := drill.Parse(line)
			require.NoError(t, err)
			_, err = d.Do(a)
			require.NoError(t, err)
		}
		c.Watch()
	}
	b := c.Next()
	require.NotEmpty(t, b.Look)
	for _, line := range []string{"supply off", "accuse " + b.Look[0]} {
		a, err := drill.Parse(line)
		require.NoError(t, err)
		_, err = d.Do(a)
		require.NoError(t, err)
	}
	steps := c.Watch()
	require.NotContains(t, habits(last(steps)), coach.HabitGuess)
	require.Contains(t, habits(last(steps)), coach.HabitGood)
}

// Where a look has shown the fault, the coach says how it is repaired, whatever is done
// instead, until it is.
func TestSeenUntilRepaired(t *testing.T) {
	const repair = "accuse main 8."
	d := begin(t, "dead-end", allMeters, bridge(8))
	steps := play(t, d, "train off", "beep T1", "look main 8", "look main 10", "beep main 12")
	require.Empty(t, steps[1].Seen)
	require.Equal(t, 1, steps[1].After)
	for _, s := range steps[2:] {
		require.Contains(t, strings.Join(s.Say(coach.Hint), " "), repair)
	}
	c := coach.New(d)
	require.Contains(t, c.Hint(), repair)
	require.Contains(t, c.Advice()[0], repair)
	a, err := drill.Parse("accuse main 8")
	require.NoError(t, err)
	_, err = d.Do(a)
	require.NoError(t, err)
	require.Empty(t, last(c.Watch()).Remarks)
}

// The advice sets out from how the layout stands: a joint that was closed again is not
// opened anew for nothing.
func TestAdviceFromHereOn(t *testing.T) {
	d := begin(t, "dead-end", hunt.Kit{Beeper: true}, bridge(16))
	play(t, d, "train off", "beep T1", "lift main 8/9", "beep main 4", "lift main 4/5", "beep main 2", "seat main 4/5")
	b := coach.New(d).Next()
	require.NotNil(t, b.Ask)
	require.NotContains(t, b.Ask.Setup.Lifted, "main 4/5")
	require.Contains(t, b.Ask.Setup.Lifted, "main 8/9")
	require.Less(t, b.Minutes, 4.0, "one joint and a reading")
}

// Nothing is said by a silent coach, and no better act by one that hints.
func TestLevels(t *testing.T) {
	d := begin(t, "dead-end", allMeters, bridge(8))
	s := last(play(t, d, "train off", "beep T1", "ohms F1 hot to main 12 center"))
	require.Empty(t, s.Say(coach.Silent))
	require.NotContains(t, strings.Join(s.Say(coach.Hint), " "), "Better:")
	require.Contains(t, strings.Join(s.Say(coach.Explain), " "), "Better: millivolts")
	require.Contains(t, strings.Join(s.Say(coach.Explain), " "), "yours promised")
}

// With one gap of an insulated rail open, the rail tells which gap was bridged:
// that reading is worth taking, and its answer is taken in.
func TestOneGapOpenTells(t *testing.T) {
	for _, from := range []int{14, 18} {
		o := drill.Options{Difficulty: drill.Easy, Kit: hunt.Kit{Beeper: true, Ohms: true, Volts: true},
			Symptom: hunt.SymptomAccessoryOn,
			Hide:    []drill.Hide{{Mode: track.Bridged, Part: "gap", Run: "main", From: from, To: from}}}
		d, err := drill.New(load(t, "rail-separate"), o, rand.New(rand.NewPCG(1, 0)))
		require.NoError(t, err)
		steps := play(t, d, "train off", "pull gate", "beep main 16 left to main 16 right", "lift main 14/15",
			"beep main 16 left to main 16 right")
		s := last(steps)
		require.Equal(t, map[int]string{14: "silent", 18: "beep"}[from], s.Shows)
		require.NotContains(t, habits(s), coach.HabitAnswered)
		require.Greater(t, s.Expected, 0.5)
		if from == 14 {
			require.Equal(t, 1, s.After)
		}
	}
}

// Touching the leads together is a part of setting up, and no reading.
func TestLeadsAreNoReading(t *testing.T) {
	d := begin(t, "dead-end", hunt.Kit{Beeper: true, Ohms: true}, bridge(8))
	steps := play(t, d, "train off", "ohms leads", "ohms T1")
	require.Len(t, steps, 1)
	require.InDelta(t, 0.5+0.3+0.7, steps[0].Minutes, 1e-9)
	next := coach.New(d).Next()
	require.NotNil(t, next.Ask)
	require.NotEqual(t, next.Ask.Red, next.Ask.Black)
}
