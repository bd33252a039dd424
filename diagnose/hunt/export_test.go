package hunt

import (
	"encoding/json"
	"fmt"

	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
)

// Record is what hands have done, for comparison only.
func (h *Hunt) Record() any { return h.sit.bench }

// Under is what each reading that counts was read of.
func (h *Hunt) Under() []infer.Current {
	var out []infer.Current
	for i := range h.sit.obs {
		out = append(out, h.sit.obs[i].Under)
	}
	return out
}

// Asks writes out every reading that would be weighed now.
func (h *Hunt) Asks() []*Ask {
	now := h.sit.now()
	var out []*Ask
	for _, q := range h.sit.chooser().questions(h.sit.posteriors[len(h.sit.posteriors)-1], now) {
		out = append(out, h.sit.scribe().ask(&q, nil, now))
	}
	return out
}

// Want has the hunt want this step next, in place of what it would choose.
func (h *Hunt) Want(s Step) View {
	v := View{LayoutRef: h.sit.layout, Symptom: h.sit.symptom, CanUndo: len(h.entries) > 1, CanRedo: len(h.undone) > 0}
	v.Moves, v.Step = h.sit.guide().instruct(&s), s
	v.Off = h.sit.guide().parting(&s)
	h.view = &v
	return v
}

// Classes are what can be looked at.
func (h *Hunt) Classes() []string { return h.sit.engine.Classes[:len(h.sit.engine.Classes)-1] }

// Note is Apply without the belief: only what hands have done follows from it.
func (h *Hunt) Note(e Event) error {
	en := entry{Event: e}
	if e.Reading != "" || e.Skip != "" {
		if en.Ask = h.view.Step.Ask; en.Ask == nil {
			en.Ask = h.view.Step.Done.Prove
		}
	}
	if en.Ask == nil {
		h.shown(&en)
	}
	h.journal = append(h.journal, en)
	h.entries, h.undone = standing(h.journal)
	h.record()
	h.sit.quit = e.Quit
	return nil
}

// End has the hunt want the end, everything put back.
func (h *Hunt) End() View { return h.Want(Step{Done: &Done{}}) }

// Replayed is the record that the saved journal gives.
func (h *Hunt) Replayed() (any, error) {
	data, err := h.Save()
	if err != nil {
		return nil, err
	}
	var s savedHunt
	if err := json.Unmarshal(data, &s); err != nil {
		return nil, err
	}
	c := *h
	c.journal = s.Journal
	c.entries, c.undone = standing(c.journal)
	c.record()
	return c.sit.bench, nil
}

// Remembered is how many weights are kept of so many beliefs, of n suspects each,
// that nothing stands on any more, and how many of the beliefs are kept whole.
func Remembered(beliefs, n int) (weights, whole int) {
	var m memory
	for i := range beliefs {
		m.need(fmt.Sprint(i), true, func() *infer.Posterior { return &infer.Posterior{Hypo: make([]float64, n)} })
		m.forget()
	}
	for _, k := range m.of {
		weights += len(k.p.Hypo)
		if k.whole {
			whole++
		}
	}
	return weights, whole
}

// Unforetold are the rows of a reading that nothing in the file foretells.
func Unforetold(h *Hunt, f meter.Function) []Outcome {
	return h.sit.chooser().scribe().outcomes(&infer.Question{Func: f}, &infer.Outlook{})
}
