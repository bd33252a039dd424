package plan

import (
	"cmp"
	"slices"
)

// rankedClass is a class with mass at one reading.
type rankedClass struct {
	mass, cost float64
	class      int32
}

// ExpectedInspectionAfter is the expectation of ExpectedInspection over the
// classes after a reading that is a number, predicted as in MutualInformation
// and integrated in the same way: the minutes still to be spent on looking
// once the reading is known. cost holds one cost per class. A reading that says
// next to nothing may come out a little dearer than no reading, by as much as
// the integral is off.
func ExpectedInspectionAfter(classes []int, weight, mean, variance, cost []float64, points int, work *Scratch) float64 {
	return ExpectedInspectionAfterNear(classes, weight, mean, variance, cost, nil, points, work)
}

// ExpectedInspectionAfterDiscrete is ExpectedInspectionAfter for a reading
// with few outcomes, probs[o][h] as in MutualInformationDiscrete. It is exact.
func ExpectedInspectionAfterDiscrete(classes []int, weight []float64, probs [][]float64, cost []float64, work *Scratch) float64 {
	return ExpectedInspectionAfterDiscreteNear(classes, weight, probs, cost, nil, work)
}

// inspection is ExpectedInspection of the masses at a point, and clears them.
// Classes without mass would come last and be paid with probability 0.
func (w *Scratch) inspection(mass float64, cost []float64) float64 {
	w.ranked = w.ranked[:0]
	for _, c := range w.touched {
		w.ranked = append(w.ranked, rankedClass{w.byClass[c], cost[c], c})
		w.byClass[c] = 0
	}
	w.touched = w.touched[:0]
	if mass == 0 {
		return 0
	}
	slices.SortFunc(w.ranked, func(a, b rankedClass) int {
		if r := cmp.Compare(b.mass*a.cost, a.mass*b.cost); r != 0 {
			return r
		}
		return cmp.Compare(a.class, b.class)
	})
	left, acc := mass, 0.0
	for _, r := range w.ranked {
		acc += r.cost * max(left, 0)
		left -= r.mass
	}
	return acc / mass
}
