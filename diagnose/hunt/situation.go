package hunt

import (
	"maps"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/price"
	"fishplate/diagnose/track"
)

// ground is what a hunt stands on, the same for every hunt there: the layout, its
// network and what every act costs.
type ground struct {
	layout *track.Layout
	net    *conductor.Network
	prices *price.List
}

// matter is what a hunt is about: what is seen to be wrong, by whom with which
// kit, and all that can be the cause.
type matter struct {
	ground
	kit     Kit
	paper   bool // see OnPaper
	symptom *Symptom
	engine  *infer.Engine
	weighed string // the symptom that the engine's priors were set for, empty for none
	memo    *memory
}

// Situation is how a hunt stands: all that was said, what is believed for it, and
// what hands have done. It is a value: nothing that is done with one changes it. What
// is asked next follows from it alone. Those that came from one share what was reckoned
// for them (memory, and what the belief works out of a layout), so they are for one
// goroutine at a time.
type Situation struct {
	matter
	obs        []infer.Observation
	asks       []Ask
	typed      []string
	posteriors []*infer.Posterior // after 0, 1, 2... readings; all but the last may be nil, see tell
	read       *infer.Posterior   // what the readings alone say, without the looks
	fed        infer.Fed          // what they say of the file's feeders
	notFound   map[string]int
	skipped    map[string]bool
	offTrack   bool // a reading on the track could not be taken
	found      string
	repaired   []string
	proof      []taken // the good readings since the repair
	asides     asides
	quit       bool
	bench      bench            // what hands have done
	last       *conductor.Setup // of the last reading, nil before it
	minutesSum float64
	lifts      int
	lifted     map[int]bool
}

// Begin is the situation before anything was said.
func Begin(n *conductor.Network, kit Kit) Situation {
	m := matter{ground: ground{layout: n.Layout, net: n, prices: price.Of(n)}, kit: kit}
	return m.begin()
}

// begin is the situation of a matter of which nothing was said.
func (m matter) begin() Situation {
	m.symptom = nil
	return Situation{matter: m, notFound: map[string]int{}, skipped: map[string]bool{}, lifted: map[int]bool{},
		bench: daily(m.layout)}
}

// OnPaper is the same for readings that nobody takes: each is what it was asked for,
// so none is put aside, and no look at the lamp comes first.
func (sit Situation) OnPaper() Situation {
	sit.paper = true
	return sit
}

// Barring is the same where an ask, and what else is between its points, is not to be
// asked for. Nothing was done or said.
func (sit Situation) Barring(a *Ask) Situation {
	if q, err := a.On(sit.net); err == nil {
		sit.skipped = maps.Clone(sit.skipped)
		sit.bar(&q)
	}
	return sit
}

// bar keeps a question from being asked.
func (sit *Situation) bar(q *infer.Question) {
	sit.asides.last, sit.asides.lit = nil, false
	sit.skipped[questionKey(q)] = true
	if q.Func != meter.Lamp || q.Setup.LightsLoad() { // else no probe is anywhere: another joint can be opened
		sit.skipped[pairKey(q.Red, q.Black)] = sit.found == "" && !sit.symptom.Sometimes
	}
}

// What is done with a situation, each a duty with methods of its own. None changes
// the situation.
type (
	wording struct{ *matter }    // sentences for acts, places and ends
	hands   struct{ *matter }    // what hands do, from one table to another
	pricing struct{ *Situation } // minutes of reading, walking and looking
	scribe  struct{ *Situation } // an ask written out, with its rows and chances
	prover  struct{ *Situation } // what proves a repair
	chooser struct{ *Situation } // what comes next
	teller  struct{ *Situation } // what is believed, told to people
	guide   struct{ *Situation } // steps and cautions
)

func (m *matter) say() wording          { return wording{m} }
func (m *matter) hands() hands          { return hands{m} }
func (sit *Situation) pricing() pricing { return pricing{sit} }
func (sit *Situation) scribe() scribe   { return scribe{sit} }
func (sit *Situation) prover() prover   { return prover{sit} }
func (sit *Situation) chooser() chooser { return chooser{sit} }
func (sit *Situation) teller() teller   { return teller{sit} }
func (sit *Situation) guide() guide     { return guide{sit} }
