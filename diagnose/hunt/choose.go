package hunt

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/plan"
	"fishplate/diagnose/unit"
)

// Next is what is wanted now.
func Next(sit Situation) Step {
	s, _ := sit.next()
	return s
}

// next is what is wanted now, and the acts that lead there.
func (sit *Situation) next() (Step, []Move) {
	if sit.symptom == nil {
		return Step{}, nil
	}
	s := sit.chooser().step(sit.posteriors[len(sit.posteriors)-1], sit.now())
	if s.Ask != nil {
		s.Ask.unfit = sit.unfit(s.Ask)
	}
	moves := sit.guide().instruct(&s)
	return s, moves
}

// All three assumed: they price a wrong look against one more reading.
const (
	sureEnough = 0.9  // inspect at this probability
	tooLittle  = 0.06 // bits: a reading that tells less is not asked for
	maxAsks    = 24
)

// step decides what to do next.
func (ch chooser) step(p *infer.Posterior, now conductor.Setup) Step {
	if ch.found != "" {
		return Step{Done: ch.done(EndFound, fmt.Sprintf("the fault was found at %s", ch.found))}
	}
	if ch.quit {
		return Step{Done: ch.done(EndPutAside, "the hunt was put aside")}
	}
	if a := ch.sameAgain(now); a != nil {
		return Step{Ask: a}
	}
	if a := ch.allOffFirst(now); a != nil {
		return Step{Ask: a}
	}
	if a := ch.underLoadToo(now); a != nil {
		return Step{Ask: a}
	}
	if end, ok := ch.noShort(); ok {
		return end
	}
	if ch.lookedEverywhere() {
		return ch.afterLooks(now)
	}
	if a := ch.bothSides(p, now); a != nil {
		return Step{Ask: a}
	}
	best := byBelief(p.Class)[0]
	if p.Class[best] >= sureEnough && len(ch.obs) > 0 {
		switch ch.engine.Classes[best] {
		case infer.ClassNotOnMap:
			return ch.offMap(p, now)
		case infer.ClassOffTrack:
			if end, ok := ch.noBadContact(p, now); ok {
				return end
			}
			if a := ch.prover().postsFirst(now); a != nil {
				return Step{Ask: a}
			}
			return Step{Done: ch.done(EndOffTrack, ch.teller().offTrack())}
		}
		return ch.inspect(p, "nearly everything that was read points here")
	}
	if again := ch.again(p); again != nil {
		return Step{Ask: again}
	}
	if end, ok := ch.noBadContact(p, now); ok {
		return end
	}
	if len(ch.obs) >= maxAsks {
		return ch.inspect(p, "further readings tell too little")
	}
	return ch.choose(p, now)
}

// again asks to take a reading once more that fits badly with the rest.
func (ch chooser) again(p *infer.Posterior) *Ask {
	worst := -1
	for i, m := range p.Misread {
		if m > 0.5 && (worst < 0 || m > p.Misread[worst]) && !ch.retaken(i) &&
			!(grasp{ch.Situation}).refused(ch.questionOf(i)) {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	now, q := ch.now(), *ch.questionOf(worst)
	if look := ch.watchFirst(&q, now); look != nil {
		return look
	}
	a := ch.scribe().ask(&q, nil, now)
	a.Expect, a.Bits = ch.asks[worst].Expect, ch.asks[worst].Bits
	a.Again = fmt.Sprintf("reading %d showed %s, which %s: look twice at where both probes are", worst+1,
		ch.typed[worst], ch.teller().oddly())
	a.Why = "the same again can be believed; anything else, and the first was a slip"
	return a
}

// questionOf is what a reading answered.
func (ch chooser) questionOf(i int) *infer.Question {
	o := &ch.obs[i]
	return &infer.Question{Setup: o.Setup, Func: o.Func, Red: o.Red, Black: o.Black}
}

func (ch chooser) retaken(i int) bool {
	key, n := obsKey(&ch.obs[i]), 0
	for k := range ch.obs {
		if obsKey(&ch.obs[k]) == key {
			n++
		}
	}
	return n > 1
}

// choose weighs the questions and asks the best, or inspects where looking
// costs less than asking on.
func (ch chooser) choose(p *infer.Posterior, now conductor.Setup) Step {
	if a := ch.armFirst(nil, p, now); a != nil {
		return Step{Ask: a}
	}
	if p.Entry != nil {
		return ch.whereIn(p, now)
	}
	qs := ch.questions(p, now)
	if len(qs) == 0 {
		why := "no reading with this meter tells more"
		if ch.shortHunt() && len(ch.obs) == 0 {
			why = needMore
		}
		return ch.inspect(p, why)
	}
	if a := ch.blockFirst(p, now, qs); a != nil {
		return Step{Ask: a}
	}
	w := ch.weigh(p, now, qs)
	best, total, lookNow := w.best()
	if best < 0 && w.idled {
		return ch.inspect(p, "whatever another reading shows, the same pieces are looked at in the same order")
	}
	if best < 0 {
		return ch.inspect(p, "further readings tell too little")
	}
	if len(ch.obs) > 0 && total > lookNow && !ch.nothingToLookAt(p) {
		return ch.inspect(p, "looking costs less than another reading")
	}
	return Step{Ask: ch.asked(w, best)}
}

// weigh works out what questions tell.
func (ch chooser) weigh(p *infer.Posterior, now conductor.Setup, qs []infer.Question) *weigher {
	w := &weigher{sit: ch.Situation, p: p, now: now, qs: qs, near: ch.near(), cost: ch.costs(),
		late: plan.Entropy(p.Class) < lateBits}
	if w.bisects() {
		qs = evenly(qs)
	}
	w.looks = ch.score(p, qs)
	return w
}

// asked is a question written out, or what is done before it is asked.
func (ch chooser) asked(w *weigher, best int) *Ask {
	q := &w.qs[best]
	if touch := ch.touchFirst(q, w.now); touch != nil {
		return touch
	}
	if a := ch.armFirst(q, w.p, w.now); a != nil {
		return a
	}
	if a := ch.watchFirst(q, w.now); a != nil {
		return a
	}
	a := ch.scribe().ask(q, &w.looks[best], w.now)
	a.Worth = fmt.Sprintf("it leaves about %s of the pieces in question, in %s", share(a.Bits),
		unit.FormatMinutes(a.Minutes))
	return a
}

// touchFirst asks to touch the leads together before the first reading in
// ohms: their own resistance is in every such reading, and a few tenths of an
// ohm are many pieces of track.
func (ch chooser) touchFirst(q *infer.Question, now conductor.Setup) *Ask {
	if q.Func != meter.Ohms {
		return nil
	}
	touch := infer.Question{Setup: q.Setup, Func: meter.Ohms, Red: q.Red, Black: q.Red}
	key := questionKey(&touch)
	if ch.skipped[key] {
		return nil
	}
	for i := range ch.obs {
		if ch.obs[i].Func == meter.Ohms && ch.obs[i].Red == ch.obs[i].Black {
			return nil
		}
	}
	a := ch.scribe().ask(&touch, nil, now)
	a.Why = "touch the leads together first: what the meter shows then is in every reading in ohms that follows, and " +
		"is taken off"
	a.Expect = ch.scribe().touchRows()
	return a
}

// A hunt ends in a list of few pieces: whatever a lift costs, readings go on
// until fewPieces of them hold narrowEnough of the belief, or one likelyOne.
const (
	fewPieces    = 3
	narrowEnough = 0.9
	likelyOne    = 0.75
)

// narrow says whether so little is left of a belief, of sum in all, that a hunt
// may end in looking.
func narrow(p []float64, sum float64) bool {
	return topHolds(p, fewPieces) >= narrowEnough*sum || topHolds(p, 1) >= likelyOne*sum
}

// topHolds is what the n likeliest classes hold together, n at most fewPieces.
func topHolds(p []float64, n int) float64 {
	var top [fewPieces]float64 // the largest first
	for _, x := range p {
		for i := range top[:n] {
			if x > top[i] {
				x, top[i] = top[i], x
			}
		}
	}
	sum := 0.0
	for _, x := range top[:n] {
		sum += x
	}
	return sum
}

// near says which classes come cheaper once another was looked at: lifting a
// piece opens the joints to the pieces beside it.
func (m *matter) near() *plan.Near {
	classOf := map[int]int{}
	for c, i := range m.engine.ClassPiece {
		if i >= 0 {
			classOf[i] = c
		}
	}
	n := &plan.Near{Beside: make([][]int, len(m.engine.Classes)), Cost: m.costs()}
	for c, i := range m.engine.ClassPiece {
		n.Cost[c] = m.prices.Beside(i)
	}
	for k := range m.layout.Joints {
		a, okA := classOf[m.layout.Joints[k].A.Piece]
		b, okB := classOf[m.layout.Joints[k].B.Piece]
		if okA && okB && a != b {
			n.Beside[a], n.Beside[b] = append(n.Beside[a], b), append(n.Beside[b], a)
		}
	}
	return n
}

// inspect lists the pieces to lift, probability per minute first.
func (ch chooser) inspect(p *infer.Posterior, why string) Step {
	if ch.nothingToLookAt(p) && len(ch.notFound) == 0 {
		return Step{Done: ch.done(EndOffTrack, ch.teller().noBadContact(p))}
	}
	// The neighbours of the likeliest piece are always on the list: a short close
	// to a joint reads alike from both sides.
	rate := ch.pricing().rates(p.Class)
	ch.addNeighbours(rate, p, ch.costs())
	if blind := ch.symptom.Kind == SymptomWeak && len(ch.voltDials()) == 0; blind && len(ch.notFound) == 0 &&
		topHolds(p.Class, 1) < likelyOne {
		why += fewWithVolts
	}
	in := &Inspect{Why: why, Pieces: []Candidate{}}
	for _, c := range byBelief(rate) {
		if rate[c] <= 0 || len(in.Pieces) == 6 {
			break
		}
		in.Pieces = append(in.Pieces, ch.teller().candidate(p, c))
	}
	if len(in.Pieces) == 0 {
		return Step{Done: ch.done(EndMisfit, ch.teller().misfit(p))}
	}
	return Step{Inspect: in}
}

// addNeighbours gives the pieces joined to the likeliest one a small rate where
// they have none.
func (ch chooser) addNeighbours(rate []float64, p *infer.Posterior, cost []float64) {
	top := byBelief(p.Class)[0]
	piece := ch.engine.ClassPiece[top]
	if piece < 0 {
		return
	}
	near := map[int]bool{}
	for _, e := range ch.layout.Pieces[piece].Ends {
		if e.Joint >= 0 {
			j := &ch.layout.Joints[e.Joint]
			near[j.A.Piece], near[j.B.Piece] = true, true
		}
	}
	for c := range rate {
		i := ch.engine.ClassPiece[c]
		if i >= 0 && near[i] && rate[c] == 0 && ch.notFound[ch.engine.Classes[c]] == 0 {
			rate[c] = math.Max(p.Class[c], 1e-6) / cost[c]
		}
	}
}

func (ch chooser) done(how Ending, verdict string) *Done {
	d := ch.outcome(how, verdict)
	d.File = ch.teller().file(ch.read)
	d.Verdict += ch.say().filing(d.File)
	return d
}

// outcome is done without what seems wrong in the file.
func (ch chooser) outcome(how Ending, verdict string) *Done {
	d := &Done{Verdict: verdict, Outcome: how, Found: ch.found, Readings: ch.readings(), Lifts: ch.lifts,
		Minutes: math.Round(ch.minutesSum*10) / 10}
	if ch.found == "" {
		return d
	}
	p := ch.prover().standOfProof()
	d.Prove, d.Proves = p.next, p.proves
	all := p.all > 0 && p.good == p.all
	beside := all && ch.prover().accessoriesUnproven()
	if d.Proven = all && !beside; d.Proven {
		d.Outcome = EndProven
	}
	switch {
	case beside:
		d.Verdict += ", and the proof readings are good" + saidProven(p.proves) +
			"; the accessories were off their wires and no reading of this kit proves them: " +
			accessoriesBack
	case d.Proven && p.all == 1:
		d.Verdict += ", and the proof reading is good" + saidProven(p.proves)
	case d.Proven:
		d.Verdict += ", and " + allOf(p.all) + " proof readings are good" + saidProven(p.proves)
	case d.Prove == nil:
		d.Verdict += ch.say().unproven(p.skipped)
	case len(ch.proof) > 0:
		d.Verdict += fmt.Sprintf("; %d of %d proof readings are good so far", p.good, p.all)
	}
	return d
}

// allOf is "both" or "all 3".
func allOf(n int) string {
	if n == 2 {
		return "both"
	}
	return fmt.Sprintf("all %d", n)
}
