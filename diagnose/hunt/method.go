package hunt

import (
	"cmp"
	"math"
	"slices"

	"fishplate/diagnose/infer"
	"fishplate/diagnose/plan"
)

// bisects says whether the next reading is to halve what is left: where it was
// asked for. Where yes and no is all there is, each does so anyhow, and the whole
// hunt is planned.
func (w *weigher) bisects() bool { return w.sit.kit.halves() && !w.cutsOnly() }

// halves says whether each reading is to halve what is left: where it was asked for, and
// with ohms alone, which tell hardly more of a dead or weak place than yes and no.
func (k *Kit) halves() bool {
	return k.Bisect || k.Ohms && !k.Beeper && !k.Volts && !k.Millivolts && !k.Amps && !k.Lamp
}

// evenly is questions of one price, so that they are weighed by what they tell.
func evenly(qs []infer.Question) []infer.Question {
	out := slices.Clone(qs)
	for i := range out {
		out[i].Minutes = 1
	}
	return out
}

// bisected picks, of some questions, the one whose answer parts what is left
// nearest to halves. Near the end it gives the minutes expected with it too.
func (w *weigher) bisected(list []int) (best int, total float64) {
	bits, minutes := make([]float64, len(list)), make([]float64, len(list))
	for k, i := range list {
		minutes[k] = w.qs[i].Minutes
		if bits[k] = w.halving(i); w.sit.pricing().tooFar(&w.qs[i]) {
			bits[k] *= nearlyAsGood
		}
	}
	k := infer.MostEven(bits, minutes)
	if k < 0 {
		return -1, 0
	}
	best = list[k]
	if w.late {
		total = w.qs[best].Minutes + w.looks[best].MinutesAfter(w.qs[best].Func, w.cost, w.near, &w.work)
	}
	return best, total
}

// halving is the bits that question i tells where only the side of one border is
// noted.
func (w *weigher) halving(i int) float64 {
	if yesNo(w.qs[i].Func) {
		return w.gain(i)
	}
	_, bits := w.sit.scribe().halves(&w.looks[i], w.sit.scribe().mixtureOf(&w.qs[i], &w.looks[i]))
	return bits
}

// halves is the reading that parts what may be shown nearest to halves, and the
// bits that the side of it tells. The upper side takes what is over the limit
// too; +Inf leaves it that alone.
func (sc scribe) halves(o *infer.Outlook, m *mixture) (border, bits float64) {
	var work plan.Scratch
	border = math.Inf(1)
	under := make([]float64, len(o.Weight))
	for _, at := range append(m.gaps(), math.Inf(1)) {
		for k, i := range m.rows {
			under[i] = m.below(k, at) / o.Weight[i]
		}
		if b := o.Halves(under, len(sc.engine.Classes), &work); b > bits+1e-9 {
			border, bits = at, b
		}
	}
	return border, bits
}

// gaps are the readings of two digits half-way between one prediction and the
// next, in order.
func (m *mixture) gaps() []float64 {
	mean := slices.Sorted(slices.Values(m.mean))
	var out []float64
	for k := 1; k < len(mean); k++ {
		if v := m.readable((mean[k-1] + mean[k]) / 2); v > m.least {
			out = append(out, v)
		}
	}
	slices.SortFunc(out, cmp.Compare)
	return slices.Compact(out)
}

// halved says whether a border among the numbers parts what a reading may show.
func (sc scribe) halved(q *infer.Question, o *infer.Outlook) bool {
	m := sc.mixtureOf(q, o)
	return m.all > 0 && len(sc.twoRows(o, m)) > 0
}

// twoRows are the rows of a reading that is to halve what is left: what lies
// below the border, and the rest.
func (sc scribe) twoRows(o *infer.Outlook, m *mixture) (borders []float64) {
	border, bits := sc.halves(o, m)
	if math.IsInf(border, 1) || bits < worthTwo {
		return nil
	}
	if moved := m.middle(border); moved > m.least {
		border = moved
	}
	if at := m.under(border); at <= seldom*m.all {
		return nil
	}
	return []float64{border}
}
