package coach_test

import (
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/coach"
)

// The same mistake is not told in the same words again: who hints says the setting and one
// probe, who explains all of it; asked for a hint the coach says the first.
func TestAnsweredAgain(t *testing.T) {
	d := begin(t, "dead-end", beeper, bridge(8))
	steps := play(t, d, "train off", "beep T1", "beep main 3", "beep main 9", "beep main 15")
	for _, s := range steps[1:] {
		require.Contains(t, habits(s), coach.HabitAnswered)
		require.Equal(t, "beep", s.Shows)
	}
	again := strings.Join(say(last(steps), coach.Hint), " ")
	require.NotContains(t, again, "hardly anything could change")
	b := last(steps).Best
	require.NotNil(t, b.Ask)
	require.Contains(t, again, "More would tell now: "+b.Ask.Meter+", with a probe on "+b.Ask.Black)
	require.NotContains(t, again, b.Ask.Red)
	explained := strings.Join(say(last(steps), coach.Explain), " ")
	require.Contains(t, explained, "Better: "+coach.Words(b.Ask))
	require.NotContains(t, explained, "More would tell now")
	c := coach.New(d)
	require.Contains(t, c.Hint(), c.Next().Ask.Black)
	require.NotContains(t, c.Hint(), c.Next().Ask.Red)
}

// That AC has no sign is told once, at the first millivolts along the rails; on DC never,
// nor where the probes lie across the rails at one place.
func TestNoSignIsToldOnce(t *testing.T) {
	const told = "not which way"
	lines := []string{"train off", "beep T1", "supply lamp", "mv main 5", "mv F1 hot to main 5 center",
		"mv F1 hot to main 6 center"}
	ac := begin(t, "dead-end", allMeters, bridge(8))
	require.True(t, ac.Layout().Supplies[0].AC)
	var at []int
	for i, s := range play(t, ac, lines...) {
		require.NotContains(t, strings.Join(s.Say(coach.Silent), " "), told)
		if strings.Contains(strings.Join(s.Say(coach.Hint), " "), told) {
			at = append(at, i)
		}
	}
	require.Equal(t, []int{2}, at)
	l := load(t, "dead-end")
	l.Supplies[0].AC = false
	for _, s := range play(t, beginOn(t, l, allMeters, bridge(8)), lines...) {
		require.NotContains(t, strings.Join(s.Say(coach.Explain), " "), told)
	}
}

// Where readings lie, a second one of the same is no waste: it is said to agree or to differ.
// Where none lies it was answered before.
func TestTakenTwice(t *testing.T) {
	twice := func(slips float64, seed uint64) coach.Step {
		d, err := drill.New(load(t, "dead-end"), drill.Options{Difficulty: drill.Easy, Kit: allMeters, Slips: slips,
			Hide: []drill.Hide{bridge(8)}}, rand.New(rand.NewPCG(seed, 4)))
		require.NoError(t, err)
		read := "mv main 5 center to F1 hot"
		steps := play(t, d, "train off", "beep T1", "supply lamp", read, read)
		return last(steps)
	}
	said := func(s coach.Step) string { return strings.Join(say(s, coach.Hint), " ") }
	require.NotContains(t, said(twice(0, 1)), "Taken twice")
	var agree, differ int
	for seed := range uint64(4) {
		switch s := said(twice(0.4, seed)); {
		case strings.Contains(s, "the two agree"):
			agree++
		case strings.Contains(s, "the two differ"):
			differ++
		}
	}
	require.Positive(t, agree)
	require.Positive(t, differ)
}

// With two faults what a single one would have answered is no measure of a reading; that no
// single one fits is said in full once.
func TestTwoFaultsAreNotAnsweredBefore(t *testing.T) {
	d := begin(t, "dead-end", allMeters, bridge(4), bridge(9))
	steps := play(t, d, "train off", "beep T1", "lift main 7/8", "beep F1", "beep main 10", "lift main 3/4", "beep F1",
		"beep main 5", "lift main 11/12", "beep main 9", "beep main 13")
	two := 0
	for _, s := range steps {
		said := strings.Join(say(s, coach.Hint), " ")
		if two > 0 {
			require.NotContains(t, habits(s), coach.HabitAnswered, said)
			require.NotContains(t, said, "one of them is wrong")
		}
		if strings.Contains(said, "No single fault") {
			two++
		}
	}
	require.Equal(t, 1, two)
	require.Contains(t, strings.Join(say(last(steps), coach.Hint), " "), "Still no single fault")
}
