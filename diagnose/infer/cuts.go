package infer

import (
	"cmp"
	"slices"

	"fishplate/diagnose/meter"
	"fishplate/diagnose/plan"
)

// Look says what it costs to look at classes one by one until the bad one is
// found, times their weight, and whether a hunt may end so.
type Look func(classes []int, weight []float64) (float64, bool)

const (
	// mostSlots is up to how many places cuts and looks are planned together;
	// past it looks are far away, and cuts alone are planned (assumed).
	mostSlots = 64
	// ways is into how many outcomes a reading that is a number is cut (assumed).
	ways = 4
	// tooFaint is the part of the belief below which a place is left out of a
	// plan (assumed).
	tooFaint = 1e-4
)

// CutsAfter is what a hunt is expected to cost once the answer to a question is
// known: the best plan of cuts at cut each, which tell the places before from
// those after, and of looks at the end. Places stand rail by rail, in the order
// of the track: on a run without branches the plan is the best there is;
// elsewhere it takes a cut between two neighbours of that order to be one cut,
// which may need more.
func (o *Outlook) CutsAfter(fn meter.Function, cut float64, look Look) float64 {
	branches := o.Branches(fn, ways)
	slots, cutsAlone := make([][]slot, len(branches)), false
	for i, b := range branches {
		slots[i] = o.slots(b.Weight)
		cutsAlone = cutsAlone || len(slots[i]) > mostSlots
	}
	acc := 0.0
	for i, b := range branches {
		acc += b.P * planned(slots[i], cut, look, cutsAlone)
	}
	return acc
}

// planned is the cost of the best plan for some slots.
func planned(slots []slot, cut float64, look Look, cutsAlone bool) float64 {
	classes, weight := make([]int, len(slots)), make([]float64, len(slots))
	for i := range slots {
		classes[i], weight[i] = slots[i].class, slots[i].weight
	}
	if cutsAlone {
		return cut * plan.GarsiaWachs(weight).Cost(weight, nil)
	}
	return plan.CutsThenLook(weight, cut, func(lo, hi int) (float64, bool) {
		if slots[lo].line == slots[hi-1].line {
			return look(classes[lo:hi], weight[lo:hi])
		}
		return look(together(slots[lo:hi]))
	})
}

// LookNow is the cost of looking at once, over the places that CutsAfter plans
// for. It is false where a hunt may not end so, or where there are too many
// places for looks to be planned.
func (o *Outlook) LookNow(look Look) (float64, bool) {
	slots := o.slots(o.Weight)
	if len(slots) == 0 || len(slots) > mostSlots {
		return 0, false
	}
	return look(together(slots))
}

// slot is a place along a line that is cut: a class, on one rail or between two.
type slot struct {
	line   string
	class  int
	weight float64
}

// slots are the places of rows that weigh so, as parts of 1, without those that
// hold next to nothing.
func (o *Outlook) slots(weight []float64) []slot {
	out := make([]slot, 0, len(weight))
	all := 0.0
	for i, w := range weight {
		for k, c := range o.Members[i] {
			out = append(out, slot{o.Line[i], c, w * o.Share[i][k]})
		}
		all += w
	}
	slices.SortStableFunc(out, func(a, b slot) int {
		return cmp.Or(cmp.Compare(a.line, b.line), cmp.Compare(a.class, b.class))
	})
	return merged(out, all)
}

// merged adds up slots of one place and drops the faint, in their own memory.
func merged(in []slot, all float64) []slot {
	sums := in[:0]
	for _, s := range in {
		if n := len(sums); n > 0 && sums[n-1].line == s.line && sums[n-1].class == s.class {
			sums[n-1].weight += s.weight
		} else {
			sums = append(sums, s)
		}
	}
	out := sums[:0]
	for _, s := range sums {
		if s.weight > tooFaint*all {
			s.weight /= all
			out = append(out, s)
		}
	}
	return out
}

// together is the classes of a stretch of slots with their weights; a class
// with places on several lines comes once.
func together(slots []slot) (classes []int, weight []float64) {
	for _, s := range slots {
		if k := slices.Index(classes, s.class); k >= 0 {
			weight[k] += s.weight
			continue
		}
		classes, weight = append(classes, s.class), append(weight, s.weight)
	}
	return classes, weight
}
