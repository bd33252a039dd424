package debrief

import (
	"fmt"
	"slices"

	"fishplate/diagnose/drill/coach"
)

// Advice is a lesson of a drill.
type Advice struct {
	Habit coach.Habit // empty: praise
	Says  string
	Lost  float64 // minutes
}

// advices is what to do instead, by habit.
var advices = map[coach.Habit]string{
	coach.HabitTrain:     "take every train and car off the rails before the first reading",
	coach.HabitNoCurrent: "volts need a current: switch on, through the lamp where there is a short",
	coach.HabitAnswered:  "ask yourself before a reading what each answer would change; if nothing, read elsewhere",
	coach.HabitOneCut:    "on a loop open two joints before you trust a beep",
	coach.HabitLift:      "read first, lift last: a reading bends no pins",
	coach.HabitGuess:     "look under a piece when the readings point at it, not before",
	coach.HabitEdge:      "ask in the middle of what is left, so that either answer rules out half",
	coach.HabitCoarse:    "use the lamp and millivolts where they reach: they tell how far, not only whether",
	coach.HabitLate:      "when one place is left, stop reading and look",
	coach.HabitMisfit:    "a reading that does not fit is taken again before anything is built on it",
	coach.HabitTwo:       "when no single place fits all readings, think of two faults, or of a reading that lies",
}

// Useful gives the two lessons that would have saved most, by the minutes lost
// to each habit; what is missing is filled with the best that was done.
func Useful(steps []coach.Step) []Advice {
	lost, times := map[coach.Habit]float64{}, map[coach.Habit]int{}
	for i := range steps {
		for _, r := range steps[i].Remarks {
			if advices[r.Habit] != "" {
				lost[r.Habit] += r.Lost
				times[r.Habit]++
			}
		}
	}
	var out []Advice
	for h := range times {
		t := "once"
		if times[h] > 1 {
			t = fmt.Sprintf("%d times", times[h])
		}
		a := Advice{Habit: h, Lost: lost[h], Says: upper(advices[h]) + " (" + t}
		if lost[h] >= 0.1 {
			a.Says += fmt.Sprintf(", about %.1f min", lost[h])
		}
		a.Says += ")."
		out = append(out, a)
	}
	slices.SortFunc(out, func(a, b Advice) int {
		switch {
		case a.Lost > b.Lost:
			return -1
		case a.Lost < b.Lost:
			return 1
		case a.Habit < b.Habit:
			return -1
		}
		return 1
	})
	out = out[:min(len(out), 2)]
	return append(out, praise(steps, 2-len(out))...)
}

func upper(s string) string { return string(s[0]-'a'+'A') + s[1:] }

// praise names the acts that told most for their minutes, at most n.
func praise(steps []coach.Step, n int) []Advice {
	order := make([]int, 0, len(steps))
	for i := range steps {
		if steps[i].Meter != "" && steps[i].Bits >= 0.3 && steps[i].Minutes > 0 && steps[i].After < steps[i].Before {
			order = append(order, i)
		}
	}
	gain := func(i int) float64 { return steps[i].Bits / steps[i].Minutes }
	slices.SortStableFunc(order, func(a, b int) int {
		switch {
		case gain(a) > gain(b):
			return -1
		case gain(a) < gain(b):
			return 1
		}
		return 0
	})
	var out []Advice
	said := map[string]bool{} // the same reading again is no second lesson
	for _, i := range order {
		if len(out) == n {
			break
		}
		s := &steps[i]
		if said[s.Did] {
			continue
		}
		said[s.Did] = true
		out = append(out, Advice{Says: fmt.Sprintf("Remember this one: %s told %.1f bits in %.1f min and left %s of %d.", s.Did, s.Bits, s.Minutes, count(s.After, "place"), s.Before)})
	}
	if len(steps) == 0 {
		return []Advice{{Says: "Nothing was read. Begin with one reading at the supply, trains off: is it the track at all?"}}
	}
	if len(out) == 0 && n == 2 {
		out = append(out, Advice{Says: "Nothing was lost to a habit this time. Take a harder fault next: --difficulty hard."})
	}
	return out
}
