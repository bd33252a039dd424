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

// Useful gives the two lessons that would have saved most, by the minutes lost
// to each habit; what is missing is filled with the best that was done.
func Useful(steps []coach.Step) []Advice {
	lost, times := map[coach.Habit]float64{}, map[coach.Habit]int{}
	for i := range steps {
		for _, r := range steps[i].Remarks {
			if r.Habit.Moral() != "" {
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
		a := Advice{Habit: h, Lost: lost[h], Says: upper(h.Moral()) + " (" + t}
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
		out = append(out, Advice{Says: fmt.Sprintf("Remember this one, in %.1f min: %s. Of %s it ruled out %d.",
			s.Minutes, s.Did, count(s.Before, "place"), s.Before-s.After)})
	}
	if len(steps) == 0 {
		return []Advice{{Says: "Nothing was read. Begin with one reading at the supply, trains off: is it the track " +
			"at all?"}}
	}
	if len(out) == 0 && n == 2 {
		out = append(out, Advice{Says: "Nothing was lost to a habit this time. Take a harder fault next: " +
			"--difficulty hard."})
	}
	return out
}
