package hunt

import (
	"fmt"
	"maps"
	"slices"

	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// taken is a reading with the ask that it answered.
type taken struct {
	obs   infer.Observation
	ask   Ask
	typed string
}

// entry is an event with the ask that it answered.
// Anything but a reading or a skip may interrupt one: then the ask is what was
// asked for meanwhile, without its words.
type entry struct {
	Event Event `json:"event"`
	Ask   *Ask  `json:"ask,omitempty"`
	// Shown is what stood there instead of an ask.
	Shown string `json:"shown,omitempty"`
	// Kit says that the kit changed then, and nothing was said.
	Kit  bool          `json:"kit,omitempty"`
	read *unit.Reading // what was typed, once it was read
}

// typed reads what was typed by the dial of an ask, once.
func (en *entry) typed(text string, a *Ask) (unit.Reading, error) {
	if en.read == nil {
		r, err := unit.Parse(text, unit.Setting(a.Meter))
		if err != nil {
			return r, err
		}
		en.read = &r
	}
	return *en.read, nil
}

// With is how the hunt stands when one thing more was said; to is the ask that a
// reading or a skip answers. An error says what is wrong with it in the user's words.
func (sit Situation) With(e Event, to *Ask) (Situation, error) {
	return sit.with(&entry{Event: e, Ask: to})
}

func (sit *Situation) with(en *entry) (Situation, error) {
	if err := sit.check(en); err != nil {
		return *sit, err
	}
	next := sit.clone()
	if err := next.take(en); err != nil {
		return *sit, err
	}
	if next.symptom != nil {
		next.worked(en)
		believer{&next}.believe()
	}
	return next, nil
}

// clone is a situation that take may change.
func (sit *Situation) clone() Situation {
	c := *sit
	c.obs, c.asks, c.typed = slices.Clone(sit.obs), slices.Clone(sit.asks), slices.Clone(sit.typed)
	c.notFound, c.skipped, c.lifted = maps.Clone(sit.notFound), maps.Clone(sit.skipped), maps.Clone(sit.lifted)
	c.repaired, c.proof = slices.Clone(sit.repaired), slices.Clone(sit.proof)
	c.asides.count = maps.Clone(sit.asides.count)
	return c
}

// check refuses an entry that makes no sense now.
func (sit *Situation) check(en *entry) error {
	e := &en.Event
	switch {
	case e.Symptom != nil:
		return sit.checkSymptom(e.Symptom)
	case e.Quit:
		return nil
	case sit.symptom == nil:
		return fmt.Errorf(`say first what is wrong: short, short-train, dead or weak`)
	case e.Reading != "" || e.Skip != "":
		if en.Ask == nil {
			return fmt.Errorf("no reading is asked for now")
		}
		if err := e.Probe.check(e.Skip); err != nil || e.Reading == "" {
			return err
		}
		_, err := en.Ask.Parse(e.Reading)
		return err
	case e.Change != nil:
		if e.Change.N < 1 || e.Change.N > len(sit.asks) {
			return noReading(e.Change.N, len(sit.asks))
		}
		if e.Change.Reading == "" {
			return nil
		}
		_, err := sit.asks[e.Change.N-1].Parse(e.Change.Reading)
		return err
	case e.Found != "":
		return sit.known(&e.Found)
	case e.NotFound != "":
		return sit.known(&e.NotFound)
	}
	return fmt.Errorf("nothing was said")
}

// take applies one entry.
func (sit *Situation) take(en *entry) error {
	e := &en.Event
	switch {
	case e.Symptom != nil:
		sit.symptom = e.Symptom
		sit.start()
	case sit.symptom == nil && !e.Quit:
		return fmt.Errorf("the hunt is damaged: something was answered before it was said what is wrong")
	case e.Quit:
		sit.quit = true
	case e.Skip != "":
		if q, err := en.Ask.On(sit.net); err == nil {
			if good, bad := sit.proofTally(questionKey(&q)); sit.found != "" && bad > good {
				sit.goOn() // it was bad, and nobody takes it again: it stands
				return nil
			}
			sit.bar(&q)
			sit.offTrack = sit.offTrack || kneels(sit.net, &q)
			sit.outOfReach(e.Probe, &q)
		}
	case e.Reading != "":
		return sit.reading(en)
	case e.Change != nil:
		sit.change(en)
	case e.Found != "":
		sit.found = e.Found
		sit.lifts++
		sit.minutesSum += sit.pricing().lookMinutes(e.Found)
	case e.NotFound != "":
		sit.lifts++
		sit.minutesSum += sit.pricing().lookMinutes(e.NotFound)
		sit.notFound[e.NotFound]++
	}
	return nil
}

func (sit *Situation) reading(en *entry) error {
	r, err := en.typed(en.Event.Reading, en.Ask)
	if err != nil {
		return err
	}
	q, err := en.Ask.On(sit.net)
	if err != nil {
		return err
	}
	sit.minutesSum += en.Ask.Minutes
	t := taken{infer.Observation{Setup: q.Setup, Func: q.Func, Red: q.Red, Black: q.Black, Shown: r,
		Watched: sit.asides.lit, Under: en.Ask.Current.under()}, *en.Ask, en.Event.Reading}
	if sit.found != "" {
		sit.prove(t)
		return nil
	}
	if sit.putAside(&t) {
		return nil
	}
	for _, j := range q.Setup.Lifted {
		if !sit.lifted[j] {
			sit.lifted[j] = true
			sit.lifts++
		}
	}
	sit.count(t)
	return nil
}

// count adds a reading to those that the belief rests on.
func (sit *Situation) count(t taken) {
	sit.obs = append(sit.obs, t.obs)
	sit.asks = append(sit.asks, t.ask)
	sit.typed = append(sit.typed, t.typed)
}

func (sit *Situation) change(en *entry) {
	c := en.Event.Change
	i := c.N - 1
	if i < 0 || i >= len(sit.obs) {
		return
	}
	if c.Reading == "" {
		sit.obs = append(sit.obs[:i:i], sit.obs[i+1:]...)
		sit.asks = append(sit.asks[:i:i], sit.asks[i+1:]...)
		sit.typed = append(sit.typed[:i:i], sit.typed[i+1:]...)
		return
	}
	if r, err := en.typed(c.Reading, &sit.asks[i]); err == nil {
		sit.obs[i].Shown = r
		sit.typed[i] = c.Reading
	}
}

// prove takes a reading after a repair. One that is bad twice, or once of a way that
// was open with the others, means that something else is wrong too: the hunt goes on
// with the repaired piece thought good rather, the readings from before the repair put
// aside, and those since then kept. Silence of a beeper is taken twice there too: a probe
// that does not touch is as silent, and the next step opens joints or lifts pieces.
func (sit *Situation) prove(t taken) {
	sit.proof = append(sit.proof, t)
	enough := 2
	if sit.ofWay(&t.ask) && len(sit.repaired) == 0 && !t.ask.reads(meter.Beeper) {
		enough = 1
	}
	if _, bad := sit.proofTally(obsKey(&t.obs)); bad < enough || sit.proofGood(&t.ask, t.obs.Shown) {
		return
	}
	sit.goOn()
}

// goOn takes the hunt up again after a repair whose proof is bad.
func (sit *Situation) goOn() {
	sit.repaired = append(sit.repaired, sit.found)
	sit.found = ""
	sit.obs, sit.asks, sit.typed = nil, nil, nil
	for i, one := range sit.proof {
		one.ask.N = i + 1
		sit.count(one)
	}
	sit.proof = nil
}
