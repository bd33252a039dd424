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
func (m *matter) costs() []float64 {
	out := make([]float64, len(m.engine.Classes))
	for c := range out {
		out[c] = m.prices.Look(m.engine.ClassPiece[c])
	}
	return out
}

// lookMinutes is what looking at a class costs now: a piece beside one that was
// looked at comes cheaper.
func (sit *Situation) lookMinutes(class string) float64 {
	c := sit.classNamed(class)
	if c < 0 {
		return sit.prices.Look(-1)
	}
	near := sit.near()
	for _, b := range near.Beside[c] {
		if sit.notFound[sit.engine.Classes[b]] > 0 {
			return near.Cost[c]
		}
	}
	return sit.costs()[c]
}
