package hunt

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/price"
)

// minutes is what a reading costs from the set-up that stands now.
func (h *Hunt) minutes(q *infer.Question, now *conductor.Setup) float64 {
	if q.Red == q.Black { // the leads touched together
		return price.Leads
	}
	return h.prices.Setup(now, &q.Setup) + h.prices.Read(q.Red, q.Black) + h.walking(q)
}

// costs is the minutes to look at each class.
func (h *Hunt) costs() []float64 {
	out := make([]float64, len(h.engine.Classes))
	for c := range out {
		out[c] = h.prices.Look(h.engine.ClassPiece[c])
	}
	return out
}

// lookMinutes is what looking at a class costs now: a piece beside one that was
// looked at comes cheaper.
func (h *Hunt) lookMinutes(class string) float64 {
	c := h.classNamed(class)
	if c < 0 {
		return h.prices.Look(-1)
	}
	near := h.near()
	for _, b := range near.Beside[c] {
		if h.notFound[h.engine.Classes[b]] > 0 {
			return near.Cost[c]
		}
	}
	return h.costs()[c]
}
