// Package coach says what an act of a drill taught, what the best one would
// have been, and which habit it shows. All of it is computed from what the
// learner has read and looked at: the belief of package infer over it, the
// information that an act was expected to give, and the act that package hunt
// would choose. It never sees the hidden fault.
//
// This file is all that the coach uses of the belief and of the hunt.
package coach

import (
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/plan"
	"fishplate/diagnose/price"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Mind is what can be known on a layout from a symptom on.
type Mind struct {
	layout  *track.Layout
	net     *conductor.Network
	kit     hunt.Kit
	symptom hunt.Symptom
	engine  *infer.Engine
	costs   *price.List
	find    drill.Finder
	memo    map[string]*infer.Posterior
	start   *hunt.Situation // nil before it was asked for
}

// NewMind begins with the symptom alone.
func NewMind(n *conductor.Network, kit hunt.Kit, s hunt.Symptom) *Mind {
	l := n.Layout
	ac := len(l.Supplies) > 0 && l.Supplies[0].AC
	m := &Mind{layout: l, net: n, kit: kit, symptom: s, costs: price.Of(n), find: drill.NewFinder(n),
		engine: infer.NewEngine(n, infer.DefaultModel(n, meter.Cheap(ac), ac)), memo: map[string]*infer.Posterior{}}
	seen := infer.Symptom{Kind: infer.SymptomKind(s.Kind), Piece: l.FindPiece(s.At), Accessory: -1, Supply: -1,
		Sometimes: s.Sometimes}
	if s.Kind.OfAccessory() {
		seen.Accessory = slices.IndexFunc(l.Accessories, func(a track.Accessory) bool { return a.Name == s.At })
	}
	if s.Kind == hunt.SymptomPhase {
		seen.Supply = slices.IndexFunc(l.Supplies, func(x track.Supply) bool { return x.Name == s.At })
	}
	m.engine.SetSymptom(seen)
	return m
}

// Question is a reading that could be taken.
type Question struct {
	Setup      conductor.Setup
	Meter      string
	Red, Black int
}

// Evidence is what the learner knows since the last repair.
type Evidence struct {
	Questions []Question
	Shows     []string
	Looked    []string // pieces looked under and found good, once for each look
	Repaired  []string
	Seen      string // where a look has shown the fault that is not repaired yet
	Leads     string // what the leads showed, touched together; empty: they were not
}

// mostKept bounds the readings that are weighed together: the work grows with
// their cube, and a hunt that is longer has forgotten its first ones too.
const mostKept = 18

// add takes a reading in, and lets go of the oldest one where there are too
// many. What came before is copied: earlier evidence stays as it was.
func (e *Evidence) add(q Question, shows string) {
	from := max(0, len(e.Questions)+1-mostKept)
	e.Questions = append(slices.Clone(e.Questions[from:]), q)
	e.Shows = append(slices.Clone(e.Shows[from:]), shows)
}

// Belief is what follows from evidence.
type Belief struct {
	Class    []float64 // by Names, adds up to 1
	Names    []string
	Bits     float64   // entropy over what would be lifted
	Left     int       // how many hold 95 % of it
	Misread  []float64 // by reading: probability that it says nothing
	NotOnMap float64
	Two      float64 // probability that two things are wrong
	raw      *infer.Posterior
	miss     float64 // how often a look misses
}

// Believe computes the belief. A reading that cannot be read (a meter that
// shows nothing) is left out.
func (m *Mind) Believe(ev *Evidence) Belief {
	obs, key := m.observations(ev)
	raw, ok := m.memo[key]
	if !ok {
		raw = m.engine.Update(obs)
		m.memo[key] = raw
	}
	looked, _ := raw.Weighed(m.engine, func(hypo int) float64 { return m.missed(ev, hypo) })
	two := 0.0
	for i := range looked.Pairs {
		two += looked.Pairs[i].P
	}
	b := Belief{Class: looked.Class, Names: m.engine.Classes, Bits: plan.Entropy(looked.Class),
		Left:    holding(looked.Class, 0.95),
		Misread: raw.Misread, Two: two, raw: looked, miss: m.symptom.LookMiss()}
	b.NotOnMap = b.Of(infer.ClassNotOnMap)
	return b
}

// missed is the probability that all looks at a hypothesis's piece missed it. One that
// was repaired counts as looked at twice, here and where the hunt is asked.
func (m *Mind) missed(ev *Evidence, hypo int) float64 {
	name, p := m.engine.Classes[m.engine.Hypos[hypo].Class], 1.0
	if ev.Seen != "" && name != ev.Seen {
		return seenElsewhere
	}
	for _, x := range slices.Concat(ev.Looked, ev.Repaired, ev.Repaired) {
		if x == name {
			p *= m.symptom.LookMiss()
		}
	}
	return p
}

// seenElsewhere is what is left of the belief in a place when another was seen to be bad.
const seenElsewhere = 1e-9

func holding(p []float64, share float64) int {
	sorted := slices.Clone(p)
	slices.SortFunc(sorted, func(a, b float64) int {
		switch {
		case a > b:
			return -1
		case a < b:
			return 1
		}
		return 0
	})
	sum := 0.0
	for i, x := range sorted {
		if sum += x; sum >= share {
			return i + 1
		}
	}
	return len(p)
}

// Of is the probability of one piece, feeder or other name.
func (b *Belief) Of(name string) float64 {
	for i, n := range b.Names {
		if n == name {
			return b.Class[i]
		}
	}
	return 0
}

// Top is the likeliest name and its probability.
func (b *Belief) Top() (name string, p float64) {
	for i, x := range b.Class {
		if x > p {
			name, p = b.Names[i], x
		}
	}
	return name, p
}

// Found is the information that a look at this name is expected to give, in
// bits: seen there, all is known; else it is struck off the list.
func (b *Belief) Found(name string) float64 {
	p := b.Of(name)
	rest := slices.Clone(b.Class)
	for i, n := range b.Names {
		if n == name {
			rest[i] *= b.miss
		}
	}
	return math.Max(0, b.Bits-(1-p)*plan.Entropy(rest))
}

func (m *Mind) observations(ev *Evidence) (obs []infer.Observation, key string) {
	for i := range ev.Questions {
		q := &ev.Questions[i]
		r, err := unit.Parse(ev.Shows[i], unit.Setting(q.Meter))
		if err != nil {
			continue
		}
		obs = append(obs, infer.Observation{Setup: q.Setup, Func: meter.Function(q.Meter), Red: q.Red, Black: q.Black,
			Shown: r})
		key += fmt.Sprintf("%s %d %d %s=%s|", q.Meter, q.Red, q.Black, q.Setup.Key(), ev.Shows[i])
	}
	return obs, key
}

// Outlook is what a reading was expected to tell.
type Outlook struct {
	Bits float64 // about what would be lifted
	Beep float64 // for a beeper: the probability of a tone
}

// Worth weighs questions after evidence.
func (m *Mind) Worth(ev *Evidence, b *Belief, qs []Question) []Outlook {
	obs, _ := m.observations(ev)
	list := make([]infer.Question, len(qs))
	for i, q := range qs {
		list[i] = infer.Question{Setup: q.Setup, Func: meter.Function(q.Meter), Red: q.Red, Black: q.Black, Minutes: 1}
	}
	out := make([]Outlook, len(qs))
	for i, o := range m.engine.Score(b.raw, obs, list) {
		out[i].Bits = o.Bits
		sum := 0.0
		for k, w := range o.Weight {
			sum += w
			out[i].Beep += w * o.Beep[k]
		}
		if sum > 0 {
			out[i].Beep /= sum
		}
	}
	return out
}

// Best is the act that the program's own hunt would do next.
type Best struct {
	Ask     *hunt.Ask // a reading; nil: look at pieces
	Setup   conductor.Setup
	Look    []string // pieces to look under, the likeliest first
	Bits    float64
	Minutes float64 // from the set-up that stands, the reading included
	TrainOn bool    // a train stands on the rails and must come off first
}

// usualLeads is what leads show that were not touched together (assumed).
const usualLeads = "0.2"

// Next is what the hunt would do after this evidence, from the set-up that stands now.
// Where it would touch the leads together first, what comes after that counts.
func (m *Mind) Next(ev *Evidence, now *conductor.Setup) (hunt.Step, error) {
	s, err := m.next(ev, now)
	if err == nil && s.Ask != nil && s.Ask.Red == s.Ask.Black && ev.Leads == "" {
		with := *ev
		with.Leads = usualLeads
		return m.next(&with, now)
	}
	return s, err
}

func (m *Mind) next(ev *Evidence, now *conductor.Setup) (hunt.Step, error) {
	sit, err := m.begun()
	if err != nil {
		return hunt.Step{}, err
	}
	if ev.Leads != "" {
		post := m.net.Posts[0][0]
		leads := Question{Setup: conductor.Setup{Source: conductor.Source{Kind: conductor.SourceNone}}, Meter: "ohms",
			Red: post, Black: post}
		if sit, err = sit.With(hunt.Event{Reading: ev.Leads}, m.ask(&leads)); err != nil {
			return hunt.Step{}, err
		}
	}
	for i := range ev.Questions {
		if with, err := sit.With(hunt.Event{Reading: ev.Shows[i]}, m.ask(&ev.Questions[i])); err == nil {
			sit = with // a display that makes no sense is no evidence
		}
	}
	for _, name := range slices.Concat(ev.Repaired, ev.Repaired, ev.Looked) {
		if sit, err = sit.With(hunt.Event{NotFound: name}, nil); err != nil {
			return hunt.Step{}, err
		}
	}
	return hunt.Next(hunt.From(sit, now)), nil
}

// begun is the hunt from which nothing but the symptom is known.
func (m *Mind) begun() (hunt.Situation, error) {
	if m.start == nil {
		kit := m.kit
		kit.Armed = true // the drill's lamp is no riddle
		sit, err := hunt.Begin(m.net, kit).With(hunt.Event{Symptom: &m.symptom}, nil)
		if err != nil {
			return sit, err
		}
		m.start = &sit
	}
	return *m.start, nil
}

// Best prices what the hunt would do from the set-up that stands now.
func (m *Mind) Best(s hunt.Step, now *conductor.Setup) (Best, error) {
	switch {
	case s.Ask != nil:
		asked, err := s.Ask.On(m.net)
		if err != nil {
			return Best{}, err
		}
		b := Best{Ask: s.Ask, Setup: asked.Setup, Bits: s.Ask.Bits, Minutes: m.costs.Setup(now, &asked.Setup) +
			m.costs.Read(asked.Red, asked.Black)}
		return b, nil
	case s.Inspect != nil:
		var b Best
		for _, c := range s.Inspect.Pieces {
			b.Look = append(b.Look, c.Piece)
		}
		return b, nil
	case s.Done != nil && s.Done.Outcome == hunt.EndOffTrack:
		return Best{Look: []string{drill.OffTrack}}, nil
	}
	return Best{}, nil
}

// ask is a question as the hunt asks it.
func (m *Mind) ask(q *Question) *hunt.Ask {
	return hunt.Reading(m.net, &infer.Question{Setup: q.Setup, Func: meter.Function(q.Meter), Red: q.Red,
		Black: q.Black, Minutes: 1})
}
