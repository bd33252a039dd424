package hunt

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
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
func (pv prover) standOfProof() proofStanding {
	list := pv.proofs()
	out, isGood := proofStanding{all: len(list)}, make([]bool, len(list))
	for i, a := range list {
		key := pv.askKey(a)
		good, bad := pv.proofTally(key)
		switch {
		case good > 0 && (bad == 0 || good > 1): // of one that was bad, the best of three counts
			out.good++
			isGood[i] = true
		case grasp{pv.Situation}.refused(&a.at.q):
			out.skipped = true
		case out.next == nil:
			if out.next = a; bad > 0 {
				a.Again = fmt.Sprintf("it was bad %s: see that everything is put back, and both probes on bare metal",
					[2]string{"the first time", "once and good once"}[good])
			}
		}
	}
	pv.foretellProof(out.next)
	out.proves = pv.proven(list, isGood)
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
func (pv prover) proofs() []*Ask {
	if len(pv.net.Posts) == 0 {
		return nil
	}
	one := func(a *Ask) []*Ask {
		if a == nil {
			return nil
		}
		return []*Ask{a}
	}
	switch {
	case pv.symptom.Kind.OfAccessory() || pv.symptom.Kind == SymptomPhase:
		return one(pv.proofOfWiring())
	case pv.shortHunt():
		return pv.proofsOfShort()
	case pv.symptom.Kind == SymptomLive:
		return one(pv.proofOfLive())
	}
	switch {
	case pv.kit.Volts && pv.symptom.Kind == SymptomWeak:
		return pv.proofsOfWeak()
	case pv.symptom.Kind == SymptomDead && len(pv.ways()) > 0:
		return pv.proofsOfWays()
	case pv.kit.Volts || lampAlone(&pv.matter) && pv.symptom.Kind == SymptomDead:
		return pv.proofsOfDead()
	}
	return one(pv.proofByPath())
}

// proofPlace is where a dead or weak hunt proves its repair: the place of the
// symptom, else of what was found, where hands get to it; and the supply that feeds it.
func (pv prover) proofPlace() (t spot, supply int, s conductor.Setup, ok bool) {
	p := pv.symptomPiece()
	if p < 0 {
		p = pv.pieceOf(pv.found)
	}
	if p < 0 {
		return spot{}, 0, s, false
	}
	if t, ok = (grasp{pv.Situation}).handSpot(p); !ok {
		return spot{}, 0, s, false
	}
	s = conductor.Usual(pv.layout)
	s.Thrown = pv.engine.RouteTo(p)
	return t, pv.engine.FeedsPiece(p), s, true
}

// proofsOfShort reads across the posts of every supply with the accessories
// unplugged (a cold lamp or coil beeps), in as many states of points and
// toggles as it takes to reach the whole track.
func (pv prover) proofsOfShort() []*Ask {
	f, ok := pv.continuity()
	if !ok && !pv.kit.Lamp {
		return nil
	}
	var out []*Ask
	for _, v := range pv.engine.Cover(pv.supplyOfFound()) {
		if ok {
			out = append(out, pv.proofByBeep(f, v))
		} else {
			out = append(out, pv.proofByLamp(v))
		}
	}
	for i := range pv.net.Posts {
		if a := pv.proofOfAccessories(i); a != nil {
			out = append(out, a)
		}
	}
	return append(out, pv.proofsBetween()...)
}

// proofsBetween reads that no gap is bridged which keeps two supplies apart: such a
// bridge shows at the posts of neither.
func (pv prover) proofsBetween() []*Ask {
	bare := conductor.Bare(pv.layout)
	var out []*Ask
	for _, b := range pv.engine.Betweens() {
		q, ok := overGap(pv.Situation, &b, &bare)
		if !ok {
			return nil
		}
		a := pv.scribe().ask(&q, nil, pv.now())
		a.Why = fmt.Sprintf("this proves that %s and %s are apart: over a bridged gap each would feed the other "+
			"backwards",
			pv.layout.Supplies[b.A].Name, pv.layout.Supplies[b.B].Name)
		a.Expect = pv.proofRows(a, "no short here", "there is another short")
		out = append(out, a)
	}
	return out
}

// proofOfAccessories reads across a supply's posts with the accessories back on
// their wires, in ohms or in volts behind the lamp: one that is shorted shows far
// less than the cold ones together. Nil where none can be, or the kit cannot
// tell.
func (pv prover) proofOfAccessories(supply int) *Ask {
	if !pv.engine.OnlyPlugged(supply) {
		return nil
	}
	post := pv.net.Posts[supply]
	q := infer.Question{Setup: conductor.Usual(pv.layout), Func: meter.Ohms, Red: post[0], Black: post[1]}
	least := leastCold
	switch {
	case pv.kit.Ohms:
	case pv.kit.Lamp && pv.kit.Volts:
		q.Func, q.Setup.Source = meter.Volts, pv.lampOn(supply)
		least = leastCold / q.Setup.Source.Ohms() * q.Setup.Source.Volts
	default:
		return nil
	}
	mean, _, ok := pv.engine.Sound(&q, pv.posteriors[len(pv.posteriors)-1])
	leads := 0.0 // a shorted accessory shows the leads all the same
	if q.Func == meter.Ohms {
		leads = pv.engine.Model.Meter.LeadOhms
	}
	if !ok || mean-leads < least {
		return nil
	}
	a := pv.scribe().ask(&q, nil, pv.now())
	a.Above = limitOf(leads + (mean-leads)/2)
	a.Why = "this proves the accessories, back on their wires: cold lamps and coils show little, a shorted one next " +
		"to nothing"
	a.Expect = pv.proofRows(a, "no accessory is shorted", "an accessory is shorted")
	return a
}

// leastCold is the resistance of all cold accessories of a supply, without the
// leads, below which ohms cannot tell them from a short, ohm (contacts; assumed).
const leastCold = 1.0

// accessoriesUnproven says whether a shorted accessory could hide from the
// proofs of a short.
func (pv prover) accessoriesUnproven() bool {
	if !pv.shortHunt() {
		return false
	}
	for i := range pv.net.Posts {
		if pv.engine.OnlyPlugged(i) && pv.proofOfAccessories(i) == nil {
			return true
		}
	}
	return false
}

func (pv prover) proofByBeep(f meter.Function, v infer.Vantage) *Ask {
	post := pv.net.Posts[v.Supply]
	q := infer.Question{Setup: v.Setup, Func: f, Red: post[0], Black: post[1]}
	a := pv.scribe().ask(&q, nil, pv.now())
	a.Why = pv.say().whyProof(v)
	a.Expect = pv.proofRows(a, "no short here", "there is another short")
	return a
}

// proofByLamp reads the volts that the track has behind a lamp: for a kit
// without beeper and ohms.
func (pv prover) proofByLamp(v infer.Vantage) *Ask {
	post := pv.net.Posts[v.Supply]
	q := infer.Question{Setup: v.Setup.Clone(), Func: meter.Volts, Red: post[0], Black: post[1]}
	q.Setup.Source = pv.lampOn(v.Supply)
	if !pv.kit.Volts {
		q.Func = meter.Lamp
	}
	a := pv.scribe().ask(&q, nil, pv.now())
	a.Why = pv.say().whyProof(v)
	a.Expect = pv.proofRows(a, "no short here, and the lamp is dark", "the lamp is lit, there is another short")
	return a
}

func (say wording) whyProof(v infer.Vantage) string {
	if v.First {
		return "this proves the repair: everything is put back, and the layout should read sound"
	}
	if v.Adds == 0 {
		return "this proves that " + say.layout.Supplies[v.Supply].Name + " and its wires carry no second short"
	}
	return fmt.Sprintf("this proves the part that the readings before did not reach (%s): a second short there would "+
		"trip the breaker again", unit.Count(v.Adds, "piece"))
}

// supplyOfFound is the supply that the fault found stands across: the one of
// least resistance under it.
func (pv prover) supplyOfFound() int {
	best := pv.likeliestOf(pv.found)
	if best < 0 {
		return 0
	}
	at, least := 0, math.Inf(1)
	for i, r := range pv.engine.PostOhms(best) {
		if r < least {
			at, least = i, r
		}
	}
	return at
}

// likeliestOf is the likeliest hypothesis of a class before it was found, -1
// when there is none.
func (pv prover) likeliestOf(class string) int {
	if len(pv.posteriors) == 0 {
		return -1
	}
	p := pv.posteriors[len(pv.posteriors)-1]
	best := -1
	for i := range pv.engine.Hypos {
		if x := &pv.engine.Hypos[i]; pv.engine.Classes[x.Class] == class && x.Suspect >= 0 &&
			(best < 0 || p.Hypo[i] > p.Hypo[best]) {
			best = i
		}
	}
	return best
}

// proofByPath is a beep from the supply to a dead place along the side that was
// broken, for a kit without volts; nil for a weak one: a beeper tones through a
// contact that is far too weak.
func (pv prover) proofByPath() *Ask {
	t, i, usual, ok := pv.proofPlace()
	if !ok {
		return nil
	}
	post := pv.net.Posts[i]
	q := infer.Question{Setup: usual}
	f, ok := pv.continuity()
	if !ok || pv.symptom.Kind != SymptomDead {
		return nil
	}
	q.Func, q.Red, q.Black = f, post[0], t.hot
	if best := pv.likeliestOf(pv.found); best >= 0 && pv.engine.Breaks(best, [2]int{post[1], t.common}) {
		q.Red, q.Black = post[1], t.common
	}
	a := pv.scribe().ask(&q, nil, pv.now())
	a.Why = "this proves the repair: the path from the supply to the dead place should beep"
	a.Expect = pv.proofRows(a, "the path is whole again", "something else is open too")
	return a
}

// proofsOfDead reads the volts under load at both ends of the place: a rail can
// be broken within it.
func (pv prover) proofsOfDead() []*Ask {
	t, i, usual, ok := pv.proofPlace()
	if !ok {
		return nil
	}
	places := []spot{t}
	if other, ok := pv.spotOf(track.EndRef{Piece: t.end.Piece, End: 1 - t.end.End}); ok && t.end.End >= 0 &&
		t.end.End < 2 && (grasp{pv.Situation}).getsTo(other) {
		places = append(places, other)
	}
	var out []*Ask
	for _, t := range places {
		q := infer.Question{Setup: pv.underLoad(&usual, i, t), Func: meter.Volts, Red: t.hot, Black: t.common}
		a := pv.scribe().ask(&q, nil, pv.now())
		a.Why = "this proves the repair: everything is put back, and the place has volts under load"
		if !pv.kit.Volts {
			q.Func = meter.Lamp
			a = pv.scribe().ask(&q, nil, pv.now())
			a.Why = "this proves the repair: everything is put back, and the lamp burns at the place"
		}
		if len(places) > 1 {
			a.Why += ", at both its ends"
		}
		a.Expect = pv.proofRows(a, "the repair holds", "something else is wrong too")
		out = append(out, a)
	}
	return out
}

// unproven says why no reading proves the repair, and what shows it instead.
func (say wording) unproven(skipped bool) string {
	switch {
	case skipped:
		return "; not proven: a proof reading was left out"
	case say.symptom.Kind.OfAccessory():
		return "; no reading of this kit proves it: run a train over its rail and see that it works, and only there"
	case say.symptom.Kind == SymptomPhase:
		return "; no reading of this kit proves it: a voltmeter between the two hot wires does, with the commons joined"
	case say.shortHunt():
		return "; no reading of this kit proves it: a beeper or ohms across the posts does, with the supply's leads " +
			"off. Switch on for the first time with a lamp in series: it stays dark"
	}
	if say.symptom.Kind == SymptomLive {
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
func (pv prover) postsFirst(now conductor.Setup) *Ask {
	if !pv.shortHunt() {
		return nil
	}
	f, ok := pv.continuity()
	if !ok {
		return pv.liveFirst(now)
	}
	for _, v := range pv.engine.Cover(0) {
		post := pv.net.Posts[v.Supply]
		q := infer.Question{Setup: v.Setup, Func: f, Red: post[0], Black: post[1]}
		if pv.readAt(&q) || pv.liveAt(&q) || (grasp{pv.Situation}).refused(&q) {
			continue
		}
		a := pv.scribe().ask(&q, nil, now)
		a.Why = "the track reads sound so far: before the trains and the supply are blamed, read across the posts of " +
			pv.layout.Supplies[v.Supply].Name + " itself"
		a.Expect = pv.proofRows(a, "the track and its feeders are sound", "the short is in the feeders or their wires")
		if len(v.Setup.Thrown) > 0 || v.Adds > 0 && !v.First {
			a.Why += ", set so that " + unit.Count(v.Adds, "more piece") + " can be reached from them"
			a.Expect[1].Means = "the short is in what was thrown in"
		}
		pv.scribe().foretell(a, pv.posteriors[len(pv.posteriors)-1], 1, nil)
		return a
	}
	for i := range pv.net.Posts {
		a := pv.proofOfAccessories(i)
		if a == nil {
			continue
		}
		if q, err := a.On(pv.net); err == nil && !pv.readAt(&q) && !(grasp{pv.Situation}).refused(&q) {
			a.Why = "the track reads sound with the accessories off their wires: read once with them back on, before " +
				"the trains and the supply are blamed"
			pv.scribe().foretell(a, pv.posteriors[len(pv.posteriors)-1], 1, nil)
			return a
		}
	}
	return nil
}

// liveFirst is the reading across the posts behind the lamp, for a kit that has
// nothing else to tell a track without a short from a lamp that is not lit: both
// drop nothing along the rails. Nil where it was taken, or cannot be.
func (pv prover) liveFirst(now conductor.Setup) *Ask {
	dials := pv.voltDials()
	if !pv.kit.Lamp || len(dials) == 0 {
		return nil
	}
	for i, post := range pv.net.Posts {
		q := infer.Question{Setup: now.Clone(), Func: dials[0], Red: post[0], Black: post[1]}
		q.Setup.Source, q.Setup.Loads, q.Setup.Also = pv.lampOn(i), nil, nil
		if pv.readAt(&q) || (grasp{pv.Situation}).refused(&q) {
			continue
		}
		a := pv.scribe().ask(&q, nil, now)
		a.Why = "nothing seems to flow into the track. A lamp that is not in the circuit, a switch that is off or a " +
			"probe that does not touch read the same: see that the posts of " + pv.layout.Supplies[i].Name +
			" are live behind the lamp"
		a.Expect = pv.proofRows(a, "the posts are live, and nothing on the track draws current",
			"the posts are not live (look at the switch, the lamp and the probes), or the short lies across them")
		pv.scribe().foretell(a, pv.posteriors[len(pv.posteriors)-1], 1, nil)
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
		if (o.Func == q.Func || q.Func == meter.Beeper && o.Func == meter.Ohms) &&
			flipsKey(&o.Setup) == flipsKey(&q.Setup) &&
			(o.Red == q.Red && o.Black == q.Black || o.Red == q.Black && o.Black == q.Red) {
			return true
		}
	}
	return false
}
