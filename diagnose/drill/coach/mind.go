// Package coach says what an act of a drill taught, what the best one would
// have been, and which habit it shows. All of it follows from what the learner
// has read and looked at: it is told to a hunt, whose belief, whose worth of a
// reading and whose next act the coach speaks of. It never sees the hidden fault.
//
// This file is all that the coach uses of the hunt.
package coach

import (
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/plan"
	"fishplate/diagnose/price"
)

// mind is what the learner can know since the last repair.
type mind struct {
	net     *conductor.Network
	symptom hunt.Symptom
	costs   *price.List
	start   hunt.Situation // from which nothing but the symptom is known
	now     hunt.Situation
	reads   []read // that count, as the hunt has them
	number  int    // of the last reading
	seen    string // where a look has shown the fault that is not repaired yet
	leads   string // what the leads showed, touched together; empty: they were not
}

// read is a reading that was taken in.
type read struct {
	n     int // from 1; 0: the leads
	shows string
}

// newMind begins with the symptom alone.
func newMind(n *conductor.Network, kit hunt.Kit, s hunt.Symptom) (*mind, error) {
	kit.Armed = true // the drill's lamp is no riddle
	sit, err := hunt.Begin(n, kit).With(hunt.Event{Symptom: &s}, nil)
	return &mind{net: n, symptom: s, costs: price.Of(n), start: sit, now: sit}, err
}

// mostKept bounds the readings that are weighed together: the work grows with
// their cube, and a hunt that is longer has forgotten its first ones too.
const mostKept = 18

// add takes a reading in, and lets go of the oldest one where there are too many. One
// that cannot be read (a meter that shows nothing), or that the hunt puts aside, is no
// evidence.
func (m *mind) add(q infer.Question, shows string) {
	next, err := m.now.With(hunt.Event{Reading: shows}, hunt.Reading(m.net, &q))
	if err != nil {
		return
	}
	m.number++
	m.take(next, read{m.number, shows})
	if len(m.reads) > mostKept {
		if next, err := m.now.With(hunt.Event{Change: &hunt.Change{N: 1}}, nil); err == nil {
			m.now, m.reads = next, m.reads[1:]
		}
	}
}

// take goes on from what a reading led to.
func (m *mind) take(next hunt.Situation, r read) {
	if len(hunt.Believed(next).Misread) > len(m.reads) {
		m.reads = append(m.reads, r)
	}
	m.now = next
}

// lead takes in what the leads showed, touched together.
func (m *mind) lead(shows string) {
	if next, err := m.led(shows); err == nil {
		m.leads = shows
		m.take(next, read{0, shows})
	}
}

func (m *mind) led(shows string) (hunt.Situation, error) {
	post := m.net.Posts[0][0]
	return m.now.With(hunt.Event{Reading: shows}, hunt.Reading(m.net, &infer.Question{Func: meter.Ohms, Red: post,
		Black: post, Minutes: 1, Setup: conductor.Setup{Source: conductor.Source{Kind: conductor.SourceNone}}}))
}

// good takes in a look that found nothing.
func (m *mind) good(name string) {
	if next, err := m.now.With(hunt.Event{NotFound: name}, nil); err == nil {
		m.now = next
	}
}

// repaired begins anew where all that was repaired is good: what was read before says
// nothing of the track after it. One that was repaired counts as looked at twice.
func (m *mind) repaired(names []string) {
	m.now, m.reads, m.number = m.start, nil, 0
	if m.leads != "" {
		m.lead(m.leads)
	}
	for _, name := range slices.Concat(names, names) {
		m.good(name)
	}
	if slices.Contains(names, m.seen) {
		m.seen = ""
	}
}

// Belief is what follows from what the learner knows.
type Belief struct {
	hunt.Belief
	Bits float64        // entropy over what would be lifted
	Left int            // how many hold 95 % of it
	miss float64        // how often a look misses
	sit  hunt.Situation // in which it is held
}

// belief is what is believed now. What was seen to be bad is known.
func (m *mind) belief() Belief {
	b := Belief{Belief: hunt.Believed(m.now), miss: m.symptom.LookMiss(), sit: m.now}
	if m.seen != "" {
		b.P = slices.Clone(b.P)
		for i, name := range b.Names {
			b.P[i] = 0
			if name == m.seen {
				b.P[i] = 1
			}
		}
	}
	b.Bits, b.Left = plan.Entropy(b.P), holding(b.P, 0.95)
	return b
}

func holding(p []float64, share float64) int {
	sorted := slices.Sorted(slices.Values(p))
	sum := 0.0
	for i := range sorted {
		if sum += sorted[len(sorted)-1-i]; sum >= share {
			return i + 1
		}
	}
	return len(p)
}

// Of is the probability of one piece, feeder or other name.
func (b *Belief) Of(name string) float64 {
	if i := slices.Index(b.Names, name); i >= 0 {
		return b.P[i]
	}
	return 0
}

// Top is the likeliest name and its probability.
func (b *Belief) Top() (name string, p float64) {
	for i, x := range b.P {
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
	rest := slices.Clone(b.P)
	for i, n := range b.Names {
		if n == name {
			rest[i] *= b.miss
		}
	}
	return math.Max(0, b.Bits-(1-p)*plan.Entropy(rest))
}

// worth is the information that readings were expected to give, in bits, at most that of
// the best of them.
func (b *Belief) worth(qs ...infer.Question) (bits float64) {
	for _, o := range hunt.Worth(b.sit, qs) {
		bits = max(bits, o.Bits)
	}
	return bits
}

// beeps is the probability that a beeper sounds.
func (b *Belief) beeps(q infer.Question) float64 {
	o := hunt.Worth(b.sit, []infer.Question{q})[0]
	sum, beep := 0.0, 0.0
	for k, w := range o.Weight {
		sum += w
		beep += w * o.Beep[k]
	}
	if sum > 0 {
		beep /= sum
	}
	return beep
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

// next is what the hunt would do now, from the set-up that stands. Where it would touch
// the leads together first, what comes after that counts.
func (m *mind) next(now *conductor.Setup) hunt.Step {
	s := hunt.Next(hunt.From(m.now, now))
	if s.Ask != nil && s.Ask.Red == s.Ask.Black && m.leads == "" {
		if led, err := m.led(usualLeads); err == nil {
			return hunt.Next(hunt.From(led, now))
		}
	}
	return s
}

// best prices what the hunt would do from the set-up that stands now.
func (m *mind) best(s hunt.Step, now *conductor.Setup) (Best, error) {
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
