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
// and taken over the same points: the minutes still to be spent on looking
// once the reading is known. cost holds one cost per class.
//
// It is exact only in the limit of many points; it can exceed the cost without
// the reading by as much as the points miss the mixture, though never by a
// better or worse order of looks.
func ExpectedInspectionAfter(classes []int, weight, mean, variance, cost []float64, points int, work *Scratch) float64 {
	total(cost)
	sum := work.load(classes, weight, mean, variance, len(cost))
	if len(work.sorted) == 0 || points < 1 {
		return 0
	}
	p := newLattice(work.sorted, sum, points)
	acc := 0.0
	for range points {
		mass := work.at(p.next())
		acc += work.inspection(mass, cost)
	}
	return acc / float64(points)
}

// ExpectedInspectionAfterDiscrete is ExpectedInspectionAfter for a reading
// with few outcomes, probs[o][h] as in MutualInformationDiscrete. It is exact.
func ExpectedInspectionAfterDiscrete(classes []int, weight []float64, probs [][]float64, cost []float64, work *Scratch) float64 {
	total(cost)
	if work.loadClasses(classes, weight, len(cost)) == 0 {
		return 0
	}
	acc, all := 0.0, 0.0
	for _, row := range probs {
		mass := work.outcome(classes, weight, row)
		all += mass
		acc += mass * work.inspection(mass, cost)
	}
	if all == 0 {
		return 0
	}
	return acc / all
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
