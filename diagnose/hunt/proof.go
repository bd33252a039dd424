package hunt

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
)

// proofAsk is the one reading that proves a repair: everything put back, the
// path that was bad read from end to end. Nil where this kit has none: a beeper
// tones through a joint that is far too weak.
func (h *Hunt) proofAsk() *Ask {
	switch {
	case len(h.net.Posts) == 0:
		return nil
	case h.symptom.Kind.OfAccessory() || h.symptom.Kind == SymptomPhase:
		return h.proofOfWiring()
	case h.shortHunt():
		return h.proofOfShort()
	}
	return h.proofOfVolts()
}

// proofOfShort reads across the posts of the supply that the fault shorted,
// with the accessories unplugged: a cold lamp or coil beeps.
func (h *Hunt) proofOfShort() *Ask {
	f, ok := h.continuity()
	if !ok {
		return nil
	}
	i := h.supplyOfFound()
	q := infer.Question{Setup: conductor.Bare(h.layout), Func: f, Red: h.net.Posts[i][0], Black: h.net.Posts[i][1], Minutes: 1}
	a := h.ask(&q, nil, h.now())
	a.Why = "this proves the repair: everything is put back, and the layout should read sound"
	a.Expect = []Outcome{{Shows: "silent, or OL", P: 0.9, Means: "the short is gone"}, {Shows: "beep, or a few ohms", P: 0.1, Means: "there is another short: the hunt goes on"}}
	return a
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

// proofOfVolts reads the volts under load at the place of the symptom; without
// volts, for a dead stretch, a beep from the supply to there along the side that
// was broken.
func (h *Hunt) proofOfVolts() *Ask {
	p := h.symptomPiece()
	if p < 0 {
		return nil
	}
	t, there := h.spotAt(p)
	if !there {
		return nil
	}
	i := 0
	if best := h.likeliestOf(h.found); best >= 0 {
		i = h.engine.FeedsPiece(p)
	}
	post := h.net.Posts[i]
	q := infer.Question{Setup: conductor.Usual(h.layout), Minutes: 1}
	q.Setup.Thrown = h.engine.RouteTo(p)
	if !h.kit.Volts {
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
		a.Expect = []Outcome{{Shows: "beep", P: 0.9, Means: "the path is whole again"}, {Shows: "silent", P: 0.1, Means: "something else is open too: the hunt goes on"}}
		return a
	}
	volts := h.layout.Supplies[i].Volts
	q.Setup.Source = conductor.Source{Kind: conductor.SourceVolts, From: post[0], To: post[1], Volts: volts}
	q.Setup.Loads = []conductor.Load{{From: t.hot, To: t.common, Ohms: volts}}
	q.Func, q.Red, q.Black = meter.Volts, t.hot, t.common
	a := h.ask(&q, nil, h.now())
	a.Why = "this proves the repair: everything is put back, and the place has volts under load"
	a.Expect = []Outcome{{Shows: "nearly the supply's volts", P: 0.9, Means: "the repair holds"}, {Shows: "clearly less", P: 0.1, Means: "something else is weak too: the hunt goes on"}}
	return a
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
		return nil
	}
	for i, post := range h.net.Posts {
		q := infer.Question{Setup: conductor.Bare(h.layout), Func: f, Red: post[0], Black: post[1]}
		q.Minutes = h.minutes(&q, &now)
		if h.readAt(post) || h.skipped[questionKey(&q)] {
			continue
		}
		a := h.ask(&q, nil, now)
		a.Why = "the track reads sound so far: before the trains and the supply are blamed, read across the posts of " + h.layout.Supplies[i].Name + " itself"
		a.Expect = []Outcome{{Shows: "silent, or OL", P: 0.9, Means: "the track and its feeders are sound"}, {Shows: "beep, or a few ohms", P: 0.1, Means: "the short is in the feeders or their wires"}}
		return a
	}
	return nil
}

// readAt says whether a beep or ohms was read across two points.
func (h *Hunt) readAt(pair [2]int) bool {
	for i := range h.obs {
		o := &h.obs[i]
		if (o.Func == meter.Beeper || o.Func == meter.Ohms) && (o.Red == pair[0] && o.Black == pair[1] || o.Red == pair[1] && o.Black == pair[0]) {
			return true
		}
	}
	return false
}
