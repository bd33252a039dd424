package hunt

import (
	"math"
	"slices"

	"fishplate/diagnose/infer"
)

// worthALook is the part of the belief below which a class is not listed (assumed).
const worthALook = 0.01

// rates is, for each class that is worth a look, its weight a minute of looking,
// in the order of which pieces are looked at. What was looked at already comes
// after everything else; a fault that comes and goes may hide from a look, and
// then each look that found nothing lowers its piece only, until there were enough
// of them.
func (pr pricing) rates(weight []float64) []float64 {
	sum := 0.0
	for _, x := range weight {
		sum += x
	}
	cost, out := pr.costs(), make([]float64, len(weight))
	for c, x := range weight {
		if pr.engine.Classes[c] == infer.ClassNotOnMap || x < worthALook*sum {
			continue
		}
		out[c] = x / cost[c]
		if pr.notFound[pr.engine.Classes[c]] >= pr.symptom.enoughLooks() {
			out[c] *= 1e-3
		}
	}
	return out
}

// lookOrder is the classes that are worth a look by some weights, in the order
// of looking; what is equal but for rounding stays in order.
func (pr pricing) lookOrder(weight []float64) []int {
	rate := pr.rates(weight)
	top := slices.Max(rate)
	for c, x := range rate {
		rate[c] = math.Round(1e6 * x / max(top, math.SmallestNonzeroFloat64))
	}
	order := byBelief(rate)
	n := 0
	for n < len(order) && rate[order[n]] > 0 {
		n++
	}
	return order[:n]
}

// idle says whether the same pieces are looked at in the same order whatever a
// question shows: then it is not worth asking.
func (w *weigher) idle(i int) bool {
	o := &w.looks[i]
	all := 0.0
	for _, x := range o.Weight {
		all += x
	}
	var first []int
	for _, p := range w.sit.scribe().parts(&w.qs[i], o, all) {
		if p.sum < seldom*all {
			continue
		}
		weight := make([]float64, len(w.p.Class))
		for k, x := range p.mass {
			for n, c := range o.Members[k] {
				weight[c] += x * o.Share[k][n]
			}
		}
		order := w.sit.pricing().lookOrder(weight)
		if first != nil && !slices.Equal(first, order) {
			return false
		}
		first = order
	}
	return true
}
