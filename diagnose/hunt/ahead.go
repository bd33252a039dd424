package hunt

import (
	"cmp"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/plan"
	"fishplate/diagnose/price"
)

// weigher picks one of the questions that could be asked.
type weigher struct {
	sit   *Situation
	p     *infer.Posterior
	now   conductor.Setup
	qs    []infer.Question
	looks []infer.Outlook
	near  *plan.Near
	cost  []float64
	late  bool // little is left to find out: whole minutes count
	idled bool // there are questions, and none changes what is looked at
	work  plan.Scratch
}

// lateBits is the entropy below which readings are weighed by the minutes that
// they save, and above by bits per minute: far from the end, one reading alone
// saves little of the looking that two or three save.
const lateBits = 3.0

// best picks the question to ask, -1 for none, and gives the minutes expected
// with it until the fault is found, and those of looking at once (+Inf where a
// hunt may not end so), where these are worked out.
//
// Far from the end bits per minute decide, near it the minutes with the looking
// after one reading. Where yes and no is all there is, every hunt is a tree of
// cuts, and the whole of it is planned; while the track still closes on itself
// more than once, no plan along a line holds, and two readings are looked ahead.
// Where bisection was asked for, halves decide and a price breaks ties.
func (w *weigher) best() (best int, total, now float64) {
	cuts := w.cutsOnly()
	list := w.shortlist(cuts)
	if w.late && len(w.sit.obs) > 0 {
		any := len(list) > 0
		list = slices.DeleteFunc(list, w.idle)
		w.idled = any && len(list) == 0
	}
	switch {
	case len(list) == 0:
		return -1, 0, math.Inf(1)
	case cuts && (!w.sit.shortHunt() || w.sit.loops(&w.now) <= fewLoops):
		if best, total, now, ok := w.planned(list); ok {
			return best, total, now
		}
		fallthrough // one place is likely and a great many are faint: no plan holds the looks
	case w.bisects():
		if best, total = w.bisected(list); w.late {
			return best, total, w.lookNow()
		}
		return best, 0, math.Inf(1)
	case w.late:
		best, total = w.least(list, func(i int) float64 {
			return w.looks[i].MinutesAfter(w.qs[i].Func, w.cost, w.near, &w.work)
		})
		return best, total, w.lookNow()
	case cuts:
		return w.twoSteps(list), 0, math.Inf(1)
	}
	return list[0], 0, math.Inf(1)
}

// shortLength is how many questions are worth a closer look.
const shortLength = 12

// shortlist gives the questions worth a closer look, by bits per minute: the best
// few, or for halves all.
func (w *weigher) shortlist(cuts bool) []int {
	worth := make([]float64, len(w.qs))
	var out []int
	for i := range w.qs {
		bits := w.looks[i].Bits
		if cuts {
			bits = w.gain(i)
		}
		worth[i] = bits / w.qs[i].Minutes
		if w.sit.pricing().tooFar(&w.qs[i]) {
			worth[i] *= nearlyAsGood
		}
		if bits > tooLittle {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(worth[b], worth[a]) })
	if w.bisects() {
		return out
	}
	return out[:min(shortLength, len(out))]
}

// least picks the question with the least minutes, its own and those after it.
func (w *weigher) least(list []int, after func(i int) float64) (best int, total float64) {
	best, total = -1, math.Inf(1)
	for _, i := range list {
		if t := w.qs[i].Minutes + after(i); t < total {
			best, total = i, t
		}
	}
	return best, total
}

// planned picks the question with the best plan of cuts and looks after it. Near
// the end it gives the minutes of looking at once too, over the places that are
// planned for; it is false where these are too many.
func (w *weigher) planned(list []int) (best int, total, now float64, ok bool) {
	cut := w.cutMinutes(list)
	type answer struct {
		question int
		minutes  float64
	}
	var known []answer // those that part the places alike are worked out once
	best, total = w.least(list, func(i int) float64 {
		for _, k := range known {
			if w.alike(i, k.question) {
				return k.minutes
			}
		}
		known = append(known, answer{i, w.looks[i].CutsAfter(w.qs[i].Func, cut, w.look)})
		return known[len(known)-1].minutes
	})
	if !w.late || !narrow(w.p.Class, 1) {
		return best, total, math.Inf(1), true
	}
	now, ok = w.looks[best].LookNow(w.look)
	return best, total, now, ok
}

// alike says whether two beeps part the places in the same two.
func (w *weigher) alike(i, k int) bool {
	a, b := w.looks[i].Beep, w.looks[k].Beep
	if !yesNo(w.qs[i].Func) || w.qs[k].Func != w.qs[i].Func || len(a) != len(b) {
		return false
	}
	same, other := true, true
	for r := range a {
		same = same && a[r] == b[r]
		other = other && a[r] == 1-b[r]
	}
	return same || other
}

// lookNow is the expected minutes of looking without another reading, +Inf where
// a hunt may not end so.
func (w *weigher) lookNow() float64 {
	if !narrow(w.p.Class, 1) {
		return math.Inf(1)
	}
	return plan.ExpectedInspectionNear(w.p.Class, w.cost, w.near, &w.work)
}

// look is what looking costs at the end of a plan, and whether it may begin.
func (w *weigher) look(classes []int, weight []float64) (float64, bool) {
	sum := 0.0
	for _, x := range weight {
		sum += x
	}
	if !narrow(weight, sum) {
		return 0, false
	}
	one := make([]float64, len(classes))
	for i := range one {
		one[i] = 1
	}
	return sum * plan.ExpectedInspectionAfterDiscreteNear(classes, weight, [][]float64{one}, w.cost, w.near, &w.work),
		true
}

// cutMinutes is what a cut costs from here: the minutes for a bit of the best
// question that lifts a joint, or where none does of the best question. With
// beeps that may be wrong a cut tells a little less than a bit.
func (w *weigher) cutMinutes(list []int) float64 {
	cut, any := math.Inf(1), math.Inf(1)
	for _, i := range list {
		m := w.qs[i].Minutes / w.gain(i)
		any = min(any, m)
		if len(w.qs[i].Setup.Lifted) > len(w.now.Lifted) {
			cut = min(cut, m)
		}
	}
	if math.IsInf(cut, 1) {
		return any
	}
	return cut
}

// gain is the bits that a question is listed by. On the way to an open rail it
// is worth a beep which rail it is, though that tells nothing yet of the piece.
func (w *weigher) gain(i int) float64 {
	if w.sit.shortHunt() || !yesNo(w.qs[i].Func) {
		return w.looks[i].Bits
	}
	return max(w.looks[i].Bits, w.looks[i].Told)
}

// yesNo says whether a setting shows a tone or none, a light or none.
func yesNo(f meter.Function) bool { return f == meter.Beeper || f == meter.Lamp }

// cutsOnly says whether yes and no is all that there is to hunt by.
func (w *weigher) cutsOnly() bool {
	for i := range w.qs {
		if !yesNo(w.qs[i].Func) {
			return w.sit.shortHunt() && !(w.sit.kit.Lamp && (w.sit.millivolts() || w.sit.kit.Volts))
		}
	}
	return true
}

// fewLoops is how often a track may close on itself for a plan along a line.
const fewLoops = 1

// loops is how often the track as it stands closes on itself: how many joints
// or feeders must be opened until every joint cuts it in two.
func (g *ground) loops(now *conductor.Setup) int {
	n := len(g.layout.Pieces)
	whole := nodal.NewUnion(n + len(g.layout.Supplies)) // pieces, then supplies
	loops := 0
	join := func(a, b int) {
		if whole.Find(a) == whole.Find(b) {
			loops++
		}
		whole.Join(a, b)
	}
	for j := range g.layout.Joints {
		if !conductor.Has(now.Lifted, j) {
			join(g.layout.Joints[j].A.Piece, g.layout.Joints[j].B.Piece)
		}
	}
	for f := range g.layout.Feeders {
		if !conductor.Has(now.Pulled, f) {
			join(g.layout.Feeders[f].At.Piece, n+g.layout.Feeders[f].Supply)
		}
	}
	return loops
}

// The second step of look-ahead: of the few best questions (aheadFirst), each
// with few outcomes (aheadBranches), what the best next one (of aheadNext)
// would tell.
const aheadFirst, aheadNext, aheadBranches = 4, 8, 4

// twoSteps picks, of questions in order of bits per minute, the one that tells
// most per minute together with the best that can follow it.
func (w *weigher) twoSteps(list []int) int {
	best, top := list[0], 0.0
	for _, i := range list[:min(aheadFirst, len(list))] {
		bits, minutes := w.looks[i].Bits, w.qs[i].Minutes
		for _, b := range w.looks[i].Branches(w.qs[i].Func, aheadBranches) {
			gain, cost := w.next(list, i, &b)
			bits += b.P * gain
			minutes += b.P * cost
		}
		if bits/minutes > top {
			best, top = i, bits/minutes
		}
	}
	return best
}

// next is the best question after an outcome of another: its bits and minutes.
func (w *weigher) next(list []int, taken int, b *infer.Branch) (bits, minutes float64) {
	minutes = price.Probe
	for _, k := range list[:min(aheadNext, len(list))] {
		if k == taken || len(w.looks[k].Weight) != len(b.Weight) {
			continue
		}
		if g := w.looks[k].BitsGiven(b.Weight, w.qs[k].Func, len(w.sit.engine.Classes),
			&w.work); g/w.qs[k].Minutes > bits/minutes {
			bits, minutes = g, w.qs[k].Minutes
		}
	}
	return bits, minutes
}
