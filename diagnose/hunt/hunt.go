package hunt

import (
	"errors"
	"fmt"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
)

// Hunt is one hunt on one layout: the journal of what was said, and how things
// stand for it.
type Hunt struct {
	sit  Situation
	fail error
	// journal is everything the user said, in order; entries is what of it
	// stands after undo.
	journal []entry
	entries []entry
	undone  []entry // what redo would bring back, the next one last
	view    *View
}

// New starts a hunt that waits for a symptom.
func New(l *track.Layout, kit Kit) *Hunt {
	n, err := conductor.Build(l)
	if err != nil {
		return &Hunt{fail: err, sit: Situation{matter: matter{ground: ground{layout: l}, kit: kit}}}
	}
	return &Hunt{sit: Begin(n, kit)}
}

// Apply takes one event. An error says what is wrong with it in the user's
// words; the hunt is then as it was.
func (h *Hunt) Apply(e Event) error {
	if h.fail != nil {
		return h.fail
	}
	switch {
	case e.Undo > 0 && len(h.entries) == 0:
		return fmt.Errorf("there is nothing to undo")
	case e.Redo > 0 && len(h.undone) == 0:
		return fmt.Errorf("there is nothing to bring back: nothing was undone since the last answer")
	}
	if len(h.journal) >= mostEvents {
		return fmt.Errorf("this hunt has %d answers, and no more can be kept of one: begin a new one", mostEvents)
	}
	en := entry{Event: e}
	h.shown(&en)
	h.digit(&en)
	if e.Undo > 0 || e.Redo > 0 {
		h.journal = append(h.journal, en)
		return h.rebuild()
	}
	next, err := h.sit.with(&en)
	if err != nil {
		return err
	}
	h.journal, h.entries, h.undone = append(h.journal, en), append(h.entries, en), nil
	h.sit, h.view = next, nil
	if e.Symptom != nil { // what hands did is seen by it
		h.record()
	}
	return nil
}

// Own goes on with another kit; what was read, and what hands did, stays. Errors are of
// figures that cannot be, and of another feed for the lamp once one was on the track.
func (h *Hunt) Own(kit Kit) error {
	if h.fail != nil {
		return h.fail
	}
	en := entry{Kit: true}
	h.shown(&en)
	journal := h.journal
	if en.Ask != nil || en.Shown != "" {
		journal = append(journal[:len(journal):len(journal)], en)
	}
	kit.Track = h.sit.kit.Track
	if err := kit.Check(); err != nil {
		return err
	}
	if !h.sit.kit.feedsLike(&kit) && fed(journal) && !comesNew(h.sit.layout, &h.sit.kit, &kit) {
		return errFeedStays
	}
	again := &Hunt{sit: Begin(h.sit.net, kit), journal: journal}
	if err := again.rebuild(); err != nil {
		return err
	}
	*h = *again
	return nil
}

var errFeedStays = errors.New("what feeds the track may be on it already: in this hunt it stays as it is, with its " +
	"volts")

// feed is what a kit puts in a supply's place behind a lamp, and its volts; none without a lamp.
func (k *Kit) feed() (volts float64, battery bool) {
	if !k.Lamp {
		return 0, false
	}
	return k.DCVolts, k.Battery
}

// feedsLike says whether two kits put the same behind a lamp.
func (k *Kit) feedsLike(o *Kit) bool {
	volts, battery := k.feed()
	other, otherBattery := o.feed()
	return volts == other && battery == otherBattery
}

// comesNew says whether a kit has what stands in for supplies that fed the track alone so
// far, and is told from all of them by its volts.
func comesNew(l *track.Layout, was, kit *Kit) bool {
	before, _ := was.feed()
	return before == 0 && !slices.ContainsFunc(l.Supplies, func(s track.Supply) bool {
		return s.Volts == kit.DCVolts
	})
}

// fed says whether the track may have been fed for a reading.
func fed(journal []entry) bool {
	return slices.ContainsFunc(journal, func(en entry) bool {
		return en.Ask != nil && en.Ask.Setup.Source.Kind != "" &&
			en.Ask.Setup.Source.Kind != string(conductor.SourceNone)
	})
}

// shown notes in an entry what it answers, or what hands may have begun when it was
// said.
func (h *Hunt) shown(en *entry) {
	if h.sit.symptom == nil {
		return
	}
	e, s := &en.Event, h.View().Step
	answers := e.Reading != "" || e.Skip != ""
	switch {
	case answers && s.Ask != nil:
		en.Ask = s.Ask
	case answers && s.Done != nil:
		en.Ask = s.Done.Prove
	case answers:
	case s.Ask != nil:
		en.Ask = s.Ask.bare()
	case s.Inspect != nil:
		en.Shown = shownLook
	case s.Done != nil && s.Done.Prove != nil && !h.sit.quit:
		en.Ask = s.Done.Prove.bare()
	case s.Done != nil:
		en.Shown = shownHome
	}
}

// digit puts a lone digit of the number pad into words, in a reading and in a change of one.
func (h *Hunt) digit(en *entry) {
	e := &en.Event
	if en.Ask != nil && en.Ask.Digit(e.Reading) != "" {
		e.Reading = en.Ask.Digit(e.Reading)
	}
	if c := e.Change; c != nil && c.N >= 1 && c.N <= len(h.sit.asks) && h.sit.asks[c.N-1].Digit(c.Reading) != "" {
		e.Change = &Change{N: c.N, Reading: h.sit.asks[c.N-1].Digit(c.Reading)}
	}
}

// standing is the journal after undo and redo, and what redo would bring
// back, the next one last. Any other event ends what can be brought back.
func standing(journal []entry) (out, undone []entry) {
	move := func(from, to []entry, n int) (a, b []entry) {
		for ; n > 0 && len(from) > 0; n-- {
			to = append(to, from[len(from)-1])
			from = from[:len(from)-1]
		}
		return from, to
	}
	for _, e := range journal {
		switch {
		case e.Event == (Event{}): // of hands alone
		case e.Event.Undo > 0:
			out, undone = move(out, undone, e.Event.Undo)
		case e.Event.Redo > 0:
			undone, out = move(undone, out, e.Event.Redo)
		default:
			out, undone = append(out, e), nil
		}
	}
	return out, undone
}

// rebuild goes back to what stands of the journal. What hands have done stays done.
func (h *Hunt) rebuild() error {
	h.entries, h.undone = standing(h.journal)
	h.sit, h.view = h.sit.begin(), nil
	for i := range h.entries {
		if err := h.sit.take(&h.entries[i]); err != nil {
			return err
		}
	}
	if h.sit.symptom != nil {
		h.record()
		believer{&h.sit}.believe()
	}
	return nil
}

// record derives what hands have done from the whole journal. Undo takes back what
// was said, not what hands did: what was asked for and answered was done, and what
// was asked for when something else was said may have been.
func (h *Hunt) record() {
	h.sit.bench, h.sit.last = daily(h.sit.layout), nil
	for i := range h.journal {
		h.sit.worked(&h.journal[i])
	}
}
