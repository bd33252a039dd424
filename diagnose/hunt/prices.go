package hunt

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/price"
)

// minutes is what a reading costs from the set-up that stands now.
func (pr pricing) minutes(q *infer.Question, now *conductor.Setup) float64 {
	if q.Red == q.Black { // the leads touched together
		return price.Leads
	}
	return pr.prices.Setup(now, &q.Setup) + pr.prices.Read(q.Red, q.Black) + pr.walking(q)
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
func (pr pricing) lookMinutes(class string) float64 {
	c := pr.classNamed(class)
	if c < 0 {
		return pr.prices.Look(-1)
	}
	near := pr.near()
	for _, b := range near.Beside[c] {
		if pr.notFound[pr.engine.Classes[b]] > 0 {
			return near.Cost[c]
		}
	}
	return pr.costs()[c]
}
