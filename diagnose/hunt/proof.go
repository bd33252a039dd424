package hunt

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
)

// proofStanding is how far the proof of a repair is.
type proofStanding struct {
	next    *Ask // the reading wanted now, nil for none
	all     int  // readings it takes
	good    int
	proves  []Proved
	skipped bool // one could not be taken: part of the layout is not proven
}

// standOfProof goes through the readings that prove a repair: everything put
// back, the path that was bad read from end to end. All is 0 where this kit has
// none: a beeper tones through a joint that is far too weak.
func (h *Hunt) standOfProof() proofStanding {
	list := h.proofs()
	out, isGood := proofStanding{all: len(list)}, make([]bool, len(list))
	for i, a := range list {
		key := h.askKey(a)
		good, bad := h.proofTally(key)
		switch {
		case good > 0 && (bad == 0 || good > 1): // of one that was bad, the best of three counts
			out.good++
			isGood[i] = true
		case h.skipped[key]:
			out.skipped = true
		case out.next == nil:
			if out.next = a; bad > 0 {
				a.Why = fmt.Sprintf("%s. It was bad %s: before the hunt goes on, take it once more, with everything put back and the probes on bare metal", a.Why, [2]string{"the first time", "once and good once"}[good])
			}
		}
	}
	h.foretellProof(out.next)
	out.proves = h.proven(list, isGood)
	return out
}

// proofTally counts good and bad readings of one proof.
func (sit *Situation) proofTally(key string) (good, bad int) {
	for i := range sit.proof {
		switch t := &sit.proof[i]; {
		case obsKey(&t.obs) != key:
		case sit.proofGood(&t.ask, t.obs.Shown):
			good++
		default:
			bad++
		}
	}
	return good, bad
}

// proofs lists the readings that prove the repair, the one across what was
// repaired first. A short needs one across the posts of every supply, and one
// more for every piece that only a thrown turnout or a toggle joins to them: a
// second short there would hide behind the first.
func (h *Hunt) proofs() []*Ask {
	if len(h.net.Posts) == 0 {
		return nil
	}
	one := func(a *Ask) []*Ask {
		if a == nil {
			return nil
		}
		return []*Ask{a}
	}
	switch {
	case h.symptom.Kind.OfAccessory() || h.symptom.Kind == SymptomPhase:
		return one(h.proofOfWiring())
	case h.shortHunt():
		return h.proofsOfShort()
	case h.symptom.Kind == SymptomLive:
		return one(h.proofOfLive())
	}
	switch {
	case h.kit.Volts && h.symptom.Kind == SymptomWeak:
		return h.proofsOfWeak()
	case h.kit.Volts:
		return h.proofsOfDead()
	}
	return one(h.proofByPath())
}

// proofPlace is where a dead or weak hunt proves its repair: the place of the
// symptom, else of what was found; and the supply that feeds it.
func (h *Hunt) proofPlace() (t spot, supply int, s conductor.Setup, ok bool) {
	p := h.symptomPiece()
	if p < 0 {
		p = h.pieceOf(h.found)
	}
	if p < 0 {
		return spot{}, 0, s, false
	}
	if t, ok = h.spotAt(p); !ok {
		return spot{}, 0, s, false
	}
	s = conductor.Usual(h.layout)
	s.Thrown = h.engine.RouteTo(p)
	return t, h.engine.FeedsPiece(p), s, true
}

// proofsOfWeak reads what is lost under load on the way from the supply to the
// place and back: a contact that is still weak loses far more than sound track
// does.
func (h *Hunt) proofsOfWeak() []*Ask {
	t, i, s, ok := h.proofPlace()
	if !ok {
		return nil
	}
	post, volts := h.net.Posts[i], h.layout.Supplies[i].Volts
	on := h.underLoad(&s, i, t)
	var out []*Ask
	for _, way := range [2][2]int{{post[0], t.hot}, {t.common, post[1]}} {
		q := infer.Question{Setup: on, Func: meter.Volts, Red: way[0], Black: way[1]}
		mean, sd, ok := h.engine.Sound(&q, h.posteriors[len(h.posteriors)-1])
		if !ok {
			return nil
		}
		a := h.ask(&q, nil, h.now())
		a.Below = limitOf(mean + 2.5*sd + weakShare*volts)
		a.Why = "this proves the repair: everything is put back, and the way there (then the way back) loses no more than sound track does"
		a.Expect = h.proofRows(a, "this side is sound", "a contact on this side is still weak: the hunt goes on")
		out = append(out, a)
	}
	return out
}

// weakShare is the share of the supply's volts that a repaired way may lose
// beyond what sound track is thought to (assumed): trains do not show it.
const weakShare = 0.015

// proofsOfShort reads across the posts of every supply with the accessories
// unplugged (a cold lamp or coil beeps), in as many states of points and
// toggles as it takes to reach the whole track.
func (h *Hunt) proofsOfShort() []*Ask {
	f, ok := h.continuity()
	if !ok && !h.kit.Lamp {
		return nil
	}
	var out []*Ask
	for _, v := range h.engine.Cover(h.supplyOfFound()) {
		if ok {
			out = append(out, h.proofByBeep(f, v))
		} else {
			out = append(out, h.proofByLamp(v))
		}
	}
	for i := range h.net.Posts {
		if a := h.proofOfAccessories(i); a != nil {
			out = append(out, a)
		}
	}
	return out
}

// proofOfAccessories reads across a supply's posts with the accessories back on
// their wires, in ohms or in volts behind the lamp: one that is shorted shows far
// less than the cold ones together. Nil where none can be, or the kit cannot
// tell.
func (h *Hunt) proofOfAccessories(supply int) *Ask {
	if !h.engine.OnlyPlugged(supply) {
		return nil
	}
	post := h.net.Posts[supply]
	q := infer.Question{Setup: conductor.Usual(h.layout), Func: meter.Ohms, Red: post[0], Black: post[1]}
	least := leastCold
	switch {
	case h.kit.Ohms:
	case h.kit.Lamp && h.kit.Volts:
		q.Func, q.Setup.Source = meter.Volts, h.lampOn(supply)
		least = leastCold / q.Setup.Source.Ohms() * q.Setup.Source.Volts
	default:
		return nil
	}
	mean, _, ok := h.engine.Sound(&q, h.posteriors[len(h.posteriors)-1])
	if !ok || mean < least {
		return nil
	}
	a := h.ask(&q, nil, h.now())
	a.Above = limitOf(mean / 2)
	a.Why = "this proves the accessories, back on their wires: cold lamps and coils show little, a shorted one next to nothing"
	a.Expect = h.proofRows(a, "no accessory is shorted", "an accessory is shorted: the hunt goes on")
	return a
}

// leastCold is the resistance of all cold accessories of a supply below which
// ohms cannot tell them from a short, ohm (leads and contacts; assumed).
const leastCold = 1.0

// accessoriesUnproven says whether a shorted accessory could hide from the
// proofs of a short.
func (h *Hunt) accessoriesUnproven() bool {
	if !h.shortHunt() {
		return false
	}
	for i := range h.net.Posts {
		if h.engine.OnlyPlugged(i) && h.proofOfAccessories(i) == nil {
			return true
		}
	}
	return false
}

func (h *Hunt) proofByBeep(f meter.Function, v infer.Vantage) *Ask {
	post := h.net.Posts[v.Supply]
	q := infer.Question{Setup: v.Setup, Func: f, Red: post[0], Black: post[1]}
	a := h.ask(&q, nil, h.now())
	a.Why = h.whyProof(v)
	a.Expect = h.proofRows(a, "no short here", "there is another short: the hunt goes on")
	return a
}

// proofByLamp reads the volts that the track has behind a lamp: for a kit
// without beeper and ohms.
func (h *Hunt) proofByLamp(v infer.Vantage) *Ask {
	post := h.net.Posts[v.Supply]
	q := infer.Question{Setup: v.Setup.Clone(), Func: meter.Volts, Red: post[0], Black: post[1]}
	q.Setup.Source = h.lampOn(v.Supply)
	if !h.kit.Volts {
		q.Func = meter.Lamp
	}
	a := h.ask(&q, nil, h.now())
	a.Why = h.whyProof(v)
	a.Expect = h.proofRows(a, "no short here, and the lamp is dark", "the lamp is lit, there is another short: the hunt goes on")
	return a
}

func (h *Hunt) whyProof(v infer.Vantage) string {
	if v.First {
		return "this proves the repair: everything is put back, and the layout should read sound"
	}
	if v.Adds == 0 {
		return "this proves that " + h.layout.Supplies[v.Supply].Name + " and its wires carry no second short"
	}
	return fmt.Sprintf("this proves the part that the readings before did not reach (%d pieces): a second short there would trip the breaker again", v.Adds)
}

// supplyOfFound is the supply that the fault found stands across: the one of
// least resistance under it.
func (h *Hunt) supplyOfFound() int {
	best := h.likeliestOf(h.found)
	if best < 0 {
		return 0
	}
	at, least := 0, math.Inf(1)
	for i, r := range h.engine.PostOhms(best) {
		if r < least {
			at, least = i, r
		}
	}
	return at
}

// likeliestOf is the likeliest hypothesis of a class before it was found, -1
// when there is none.
func (h *Hunt) likeliestOf(class string) int {
	if len(h.posteriors) == 0 {
		return -1
	}
	p := h.posteriors[len(h.posteriors)-1]
	best := -1
	for i := range h.engine.Hypos {
		if x := &h.engine.Hypos[i]; h.engine.Classes[x.Class] == class && x.Suspect >= 0 && (best < 0 || p.Hypo[i] > p.Hypo[best]) {
			best = i
		}
	}
	return best
}

// proofByPath is a beep from the supply to a dead place along the side that was
// broken, for a kit without volts; nil for a weak one: a beeper tones through a
// contact that is far too weak.
func (h *Hunt) proofByPath() *Ask {
	t, i, usual, ok := h.proofPlace()
	if !ok {
		return nil
	}
	post := h.net.Posts[i]
	q := infer.Question{Setup: usual}
	f, ok := h.continuity()
	if !ok || h.symptom.Kind != SymptomDead {
		return nil
	}
	q.Func, q.Red, q.Black = f, post[0], t.hot
	if best := h.likeliestOf(h.found); best >= 0 && h.engine.Breaks(best, [2]int{post[1], t.common}) {
		q.Red, q.Black = post[1], t.common
	}
	a := h.ask(&q, nil, h.now())
	a.Why = "this proves the repair: the path from the supply to the dead place should beep"
	a.Expect = h.proofRows(a, "the path is whole again", "something else is open too: the hunt goes on")
	return a
}

// proofsOfDead reads the volts under load at both ends of the place: a rail can
// be broken within it.
func (h *Hunt) proofsOfDead() []*Ask {
	t, i, usual, ok := h.proofPlace()
	if !ok {
		return nil
	}
	places := []spot{t}
	if other, ok := h.spotOf(track.EndRef{Piece: t.end.Piece, End: 1 - t.end.End}); ok && t.end.End < 2 {
		places = append(places, other)
	}
	var out []*Ask
	for _, t := range places {
		q := infer.Question{Setup: h.underLoad(&usual, i, t), Func: meter.Volts, Red: t.hot, Black: t.common}
		a := h.ask(&q, nil, h.now())
		a.Why = "this proves the repair: everything is put back, and the place has volts under load, at both its ends"
		a.Expect = h.proofRows(a, "the repair holds", "something else is wrong too: the hunt goes on")
		out = append(out, a)
	}
	return out
}

// unproven says why no reading proves the repair, and what shows it instead.
func (h *Hunt) unproven(skipped bool) string {
	switch {
	case skipped:
		return "; not proven: a proof reading was left out"
	case h.symptom.Kind.OfAccessory():
		return "; no reading of this kit proves it: run a train over its rail and see that it works, and only there"
	case h.symptom.Kind == SymptomPhase:
		return "; no reading of this kit proves it: a voltmeter between the two hot wires does, with the commons joined"
	case h.shortHunt():
		return "; no reading of this kit proves it: a beeper or ohms across the posts does, with the supply's leads off. Switch on for the first time with a lamp in series: it stays dark"
	}
	if h.symptom.Kind == SymptomLive {
		return "; no reading of this kit proves it: with the toggle off a train in the block must stand still"
	}
	return "; no reading of this kit proves it: run a train past the place that was bad, slowly"
}

// pieceOf is the piece of the layout that a class means, -1.
func (m *matter) pieceOf(class string) int {
	if c := m.classNamed(class); c >= 0 {
		return m.engine.ClassPiece[c]
	}
	return -1
}

// postsFirst is the reading across the posts that must come before the track
// is said to be sound: nothing on the track shows a short that lies before it.
// Nil where it was taken, or cannot be.
func (h *Hunt) postsFirst(now conductor.Setup) *Ask {
	if !h.shortHunt() {
		return nil
	}
	f, ok := h.continuity()
	if !ok {
		return h.liveFirst(now)
	}
	for _, v := range h.engine.Cover(0) {
		post := h.net.Posts[v.Supply]
		q := infer.Question{Setup: v.Setup, Func: f, Red: post[0], Black: post[1]}
		if h.readAt(&q) || h.liveAt(&q) || h.skipped[questionKey(&q)] {
			continue
		}
		a := h.ask(&q, nil, now)
		a.Why = "the track reads sound so far: before the trains and the supply are blamed, read across the posts of " + h.layout.Supplies[v.Supply].Name + " itself"
		a.Expect = h.proofRows(a, "the track and its feeders are sound", "the short is in the feeders or their wires")
		if len(v.Setup.Thrown) > 0 || v.Adds > 0 && !v.First {
			a.Why += fmt.Sprintf(", set so that %d more pieces hang on them", v.Adds)
			a.Expect[1].Means = "the short is in what was thrown in"
		}
		h.foretell(a, h.posteriors[len(h.posteriors)-1], 1, nil)
		return a
	}
	for i := range h.net.Posts {
		a := h.proofOfAccessories(i)
		if a == nil {
			continue
		}
		if q, err := a.On(h.net); err == nil && !h.readAt(&q) && !h.skipped[questionKey(&q)] {
			a.Why = "the track reads sound with the accessories off their wires: read once with them back on, before the trains and the supply are blamed"
			h.foretell(a, h.posteriors[len(h.posteriors)-1], 1, nil)
			return a
		}
	}
	return nil
}

// liveFirst is the reading across the posts behind the lamp, for a kit that has
// nothing else to tell a track without a short from a lamp that is not lit: both
// drop nothing along the rails. Nil where it was taken, or cannot be.
func (h *Hunt) liveFirst(now conductor.Setup) *Ask {
	dials := h.voltDials()
	if !h.kit.Lamp || len(dials) == 0 {
		return nil
	}
	for i, post := range h.net.Posts {
		q := infer.Question{Setup: now.Clone(), Func: dials[0], Red: post[0], Black: post[1]}
		q.Setup.Source, q.Setup.Loads, q.Setup.Also = h.lampOn(i), nil, nil
		if h.readAt(&q) || h.skipped[questionKey(&q)] {
			continue
		}
		a := h.ask(&q, nil, now)
		a.Why = "nothing seems to flow into the track. A lamp that is not in the circuit, a switch that is off or a probe that does not touch read the same: see that the posts of " + h.layout.Supplies[i].Name + " are live behind the lamp"
		a.Expect = h.proofRows(a, "the posts are live, and nothing on the track draws current", "the posts are not live (look at the switch, the lamp and the probes), or the short lies across them")
		h.foretell(a, h.posteriors[len(h.posteriors)-1], 1, nil)
		return a
	}
	return nil
}

// flipsKey tells apart how points, toggles and accessories stand.
func flipsKey(s *conductor.Setup) string {
	t := conductor.Setup{Thrown: s.Thrown, Off: s.Off, Unplugged: s.Unplugged}
	return t.SwitchKey()
}

// readAt says whether a beep or ohms was read across the two points of a
// question, with points and toggles as it has them.
func (sit *Situation) readAt(q *infer.Question) bool {
	for i := range sit.obs {
		o := &sit.obs[i]
		if (o.Func == q.Func || q.Func == meter.Beeper && o.Func == meter.Ohms) && flipsKey(&o.Setup) == flipsKey(&q.Setup) &&
			(o.Red == q.Red && o.Black == q.Black || o.Red == q.Black && o.Black == q.Red) {
			return true
		}
	}
	return false
}
