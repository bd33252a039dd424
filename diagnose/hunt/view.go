package hunt

import (
	"fmt"
	"math"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/plan"
	"fishplate/diagnose/unit"
)

// View computes what is wanted and believed now.
func (h *Hunt) View() View {
	if h.view != nil {
		return *h.view
	}
	v := h.sit.view()
	v.CanUndo, v.CanRedo = len(h.entries) > 0, len(h.undone) > 0
	if h.fail != nil {
		v.Warnings = append(v.Warnings, h.fail.Error())
	}
	if h.sit.symptom != nil {
		h.view = &v
	}
	return v
}

func (sit *Situation) view() View {
	v := View{LayoutRef: sit.layout, Symptom: sit.symptom, Minutes: sit.minutesSum, Readings: sit.readings(), Lifts: sit.lifts,
		Pieces: make([]float64, len(sit.layout.Pieces))}
	if sit.symptom == nil {
		return v
	}
	p := sit.posteriors[len(sit.posteriors)-1]
	v.Pieces = sit.pieceWeights(p)
	v.Ranked = sit.teller().ranked(p, 12)
	v.NotOnMap = p.Class[sit.classNamed(infer.ClassNotOnMap)]
	v.Lifted, v.Pulled = jointNames(sit.layout, mayBe(sit.bench.lifted)), feederNames(sit.layout, mayBe(sit.bench.pulled))
	v.Evidence = sit.teller().evidence(p)
	v.Hidden95 = holding(p.Class, 0.95)
	v.Warnings = sit.teller().warnings(p)
	v.Learned = sit.teller().learned(p)
	v.Step, v.Moves = sit.next()
	return v
}

// holding is how many classes it takes to hold a share of the belief.
func holding(p []float64, share float64) int {
	sum := 0.0
	for n, c := range byBelief(p) {
		sum += p[c]
		if sum >= share {
			return n + 1
		}
	}
	return len(p)
}

// ranked lists the likeliest classes.
func (te teller) ranked(p *infer.Posterior, n int) []Candidate {
	out := []Candidate{}
	for _, c := range byBelief(p.Class) {
		if len(out) == n || p.Class[c] < 0.001 {
			break
		}
		if te.engine.Classes[c] == infer.ClassNotOnMap {
			continue
		}
		out = append(out, te.candidate(p, c))
	}
	return out
}

func (te teller) candidate(p *infer.Posterior, c int) Candidate {
	k := Candidate{Piece: te.engine.Classes[c], P: p.Class[c]}
	best := -1
	for i := range te.engine.Hypos {
		if te.engine.Hypos[i].Class == c && (best < 0 || p.Hypo[i] > p.Hypo[best]) {
			best = i
		}
	}
	if best >= 0 && te.engine.Hypos[best].Suspect >= 0 {
		s := &te.engine.Suspects[te.engine.Hypos[best].Suspect]
		k.What, k.Look, k.Solder = s.What, s.Look, s.Solder
		if s.Place != s.Piece {
			k.What = s.Place + " " + s.Rail + ": " + s.What
		}
		if te.shortHunt() {
			te.acrossRails(&k, p, c, s)
		}
	} else {
		k.What = "a train, a car's wheels, the supply or its leads"
		k.Look = "with every train off and the supply unplugged the track itself reads sound: try trains one at a time, then the supply alone"
	}
	if i := te.engine.ClassPiece[c]; i >= 0 {
		k.Lift = te.layout.Pieces[i].Construction.Lift
	}
	if te.notFound[k.Piece] > 0 {
		k.Look = "you found nothing here before, and the readings still point here; a look can miss: look once more, with it off the table. " + k.Look
	}
	return k
}

// evidence says what each reading did.
func (te teller) evidence(last *infer.Posterior) []Evidence {
	out := []Evidence{}
	for i := range te.obs {
		before, after := te.posteriors[i], te.posteriors[i+1]
		out = append(out, Evidence{N: i + 1, Ask: te.asks[i], Reading: te.typed[i],
			Said:     te.summary(after.Class),
			Expected: expected(te.asks[i].Expect),
			Bits:     plan.Entropy(before.Class) - plan.Entropy(after.Class),
			Before:   holding(before.Class, 0.95), After: holding(after.Class, 0.95),
			Odd: i < len(last.Misread) && last.Misread[i] > 0.5})
	}
	return out
}

// expected puts the rows of an ask into one line.
func expected(rows []Outcome) string {
	var parts []string
	for _, r := range rows {
		parts = append(parts, fmt.Sprintf("%s %.0f %%", r.Shows, 100*r.P))
	}
	return strings.Join(parts, ", ")
}

// Without is what would be believed had reading n not been taken: the view's
// weights and ranking; it asks for nothing and changes nothing. It costs one
// computation of the belief.
func (h *Hunt) Without(n int) (View, error) {
	sit := &h.sit
	if sit.symptom == nil || n < 1 || n > len(sit.obs) {
		return View{}, fmt.Errorf("there is no reading %d: %d were taken", n, len(sit.obs))
	}
	obs := append(append([]infer.Observation(nil), sit.obs[:n-1]...), sit.obs[n:]...)
	p := sit.looked(sit.engine.Update(obs))
	v := View{LayoutRef: sit.layout, Symptom: sit.symptom, Readings: metered(obs), Lifts: sit.lifts, Minutes: sit.minutesSum,
		Pieces: sit.pieceWeights(p), Ranked: sit.teller().ranked(p, 12), Hidden95: holding(p.Class, 0.95)}
	v.NotOnMap = p.Class[sit.classNamed(infer.ClassNotOnMap)]
	return v, nil
}

// summary names where the belief lies.
func (te teller) summary(class []float64) string {
	n := holding(class, 0.9)
	if n > 40 && n > len(class)/2 {
		return "nearly everything is still possible"
	}
	return "most likely in " + te.say().spanNames(only(class, byBelief(class)[:n]))
}

func (te teller) warnings(p *infer.Posterior) []string {
	var out []string
	for i, m := range p.Misread {
		if m > 0.5 {
			out = append(out, fmt.Sprintf("reading %d (%s) %s", i+1, te.typed[i], te.oddly()))
		}
	}
	if w := te.fewDigits(); w != "" {
		out = append(out, w)
	}
	if w := te.soundWarning(); w != "" {
		out = append(out, w)
	}
	if _, ok := te.continuity(); !ok && te.shortHunt() && !te.kit.Lamp {
		out = append(out, needMore)
	}
	if te.symptom.Kind == SymptomWeak && len(te.voltDials()) == 0 {
		out = append(out, needVolts)
	}
	for _, r := range te.repaired {
		out = append(out, "repaired "+r+", and something is still wrong: readings from before that repair are put aside")
	}
	return out
}

// sureCounts is up to how many last digits every display shows.
const sureCounts = 1999

// fewDigits doubts a last reading that was typed with fewer digits than the
// display must have had: it is believed to the last digit typed.
func (te teller) fewDigits() string {
	n := len(te.obs) - 1
	if n < 1 || te.obs[n].Shown.Kind != unit.Value {
		return ""
	}
	last, finest := te.obs[n].Shown, infer.Finest(te.obs)[te.obs[n].Func]
	if finest > 0.9*last.Step || math.Abs(last.Value) > sureCounts*finest {
		return ""
	}
	return fmt.Sprintf("reading %d (%s) has fewer digits than this meter showed before: if there were more, take it back and type them all, zeros too", n+1, te.typed[n])
}

// needVolts is said where a weak place is hunted without volts: a tenth of an ohm
// at 5 A loses half a volt, and is one step of an ohmmeter.
const needVolts = "a beeper and ohms cannot tell a weak contact from a good one: what slows a train is a tenth of an ohm, one step of the meter. " +
	"They find what is open, and nothing else here: borrow a meter with volts, read while something draws current, and start again with that kit"

// needMore is said where a kit has nothing that tells a short from none.
const needMore = "volts alone cannot find a short, so there is nothing to read and pieces can only be looked at one by one: borrow a meter with a beeper or ohms, or put a lamp in series with the supply (millivolts behind it do it best), and start again with that kit"

// offTrack says where to look when the track reads sound.
func (te teller) offTrack() string {
	out := "with every train off the track is sound: look at the trains, their wheels, the supply and its leads"
	if te.prover().accessoriesUnproven() {
		out += "; and at the accessories, which were off their wires: put them back one at a time, and whichever trips the breaker is shorted itself"
	}
	return out
}

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

// oddly says what is odd about a reading.
func (te teller) oddly() string {
	if len(te.obs) == 1 {
		return "is not what any likely fault would show"
	}
	return "fits badly with the others"
}

// again asks to take a reading once more that fits badly with the rest.
func (ch chooser) again(p *infer.Posterior) *Ask {
	worst := -1
	for i, m := range p.Misread {
		if m > 0.5 && (worst < 0 || m > p.Misread[worst]) && !ch.retaken(i) {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	o := &ch.obs[worst]
	now := ch.now()
	q := infer.Question{Setup: o.Setup, Func: o.Func, Red: o.Red, Black: o.Black}
	a := ch.scribe().ask(&q, nil, now)
	a.Expect, a.Bits = ch.asks[worst].Expect, ch.asks[worst].Bits
	a.Again = fmt.Sprintf("reading %d showed %s, which %s: look twice at where both probes are", worst+1, ch.typed[worst], ch.teller().oddly())
	a.Why = "the same again can be believed; anything else, and the first was a slip"
	return a
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
	qs := ch.questions(p, now)
	if len(qs) == 0 {
		why := "no reading with this meter tells more"
		if ch.shortHunt() && len(ch.obs) == 0 {
			why = needMore
		}
		return ch.inspect(p, why)
	}
	w := &weigher{sit: ch.Situation, p: p, now: now, qs: qs, near: ch.near(), cost: ch.costs(), late: plan.Entropy(p.Class) < lateBits}
	if w.bisects() {
		w.looks = ch.engine.Score(p, ch.obs, evenly(qs))
	} else {
		w.looks = ch.engine.Score(p, ch.obs, qs)
	}
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
	if touch := ch.touchFirst(&qs[best], now); touch != nil {
		return Step{Ask: touch}
	}
	if a := ch.armFirst(&qs[best], p, now); a != nil {
		return Step{Ask: a}
	}
	if a := ch.watchFirst(&qs[best], now); a != nil {
		return Step{Ask: a}
	}
	return Step{Ask: ch.scribe().ask(&qs[best], &w.looks[best], now)}
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
	a.Why = "touch the leads together first: what the meter shows then is in every reading in ohms that follows, and is taken off"
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
	d := &Done{Verdict: verdict, Outcome: how, Found: ch.found, Readings: ch.readings(), Lifts: ch.lifts, Minutes: math.Round(ch.minutesSum*10) / 10}
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
		d.Verdict += ", and the proof readings are good" + saidProven(p.proves) + "; the accessories were off their wires and no reading of this kit proves them: put them back one at a time, and whichever trips the breaker is shorted itself"
	case d.Proven && p.all == 1:
		d.Verdict += ", and the proof reading is good" + saidProven(p.proves)
	case d.Proven:
		d.Verdict += fmt.Sprintf(", and all %d proof readings are good", p.all) + saidProven(p.proves)
	case d.Prove == nil:
		d.Verdict += ch.say().unproven(p.skipped)
	case len(ch.proof) > 0:
		d.Verdict += fmt.Sprintf("; %d of %d proof readings are good so far", p.good, p.all)
	}
	return d
}
