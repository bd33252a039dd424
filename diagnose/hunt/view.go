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
	v := View{LayoutRef: h.layout, Symptom: h.symptom, CanUndo: len(h.entries) > 0, CanRedo: len(h.undone) > 0,
		Minutes: h.minutesSum, Readings: h.readings(), Lifts: h.lifts, Pieces: make([]float64, len(h.layout.Pieces))}
	if h.fail != nil {
		v.Warnings = append(v.Warnings, h.fail.Error())
		return v
	}
	if h.symptom == nil {
		return v
	}
	p := h.posteriors[len(h.posteriors)-1]
	v.Pieces = h.pieceWeights(p)
	v.Ranked = h.ranked(p, 12)
	v.NotOnMap = p.Class[h.classNamed(infer.ClassNotOnMap)]
	now := h.now()
	v.Lifted, v.Pulled = jointNames(h.layout, mayBe(h.bench.lifted)), feederNames(h.layout, mayBe(h.bench.pulled))
	v.Evidence = h.evidence(p)
	v.Hidden95 = holding(p.Class, 0.95)
	v.Warnings = h.warnings(p)
	v.Learned = h.learned(p)
	v.Step = h.step(p, now)
	v.Moves = h.instruct(&v.Step)
	h.view = &v
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
func (h *Hunt) ranked(p *infer.Posterior, n int) []Candidate {
	out := []Candidate{}
	for _, c := range byBelief(p.Class) {
		if len(out) == n || p.Class[c] < 0.001 {
			break
		}
		if h.engine.Classes[c] == infer.ClassNotOnMap {
			continue
		}
		out = append(out, h.candidate(p, c))
	}
	return out
}

func (h *Hunt) candidate(p *infer.Posterior, c int) Candidate {
	k := Candidate{Piece: h.engine.Classes[c], P: p.Class[c]}
	best := -1
	for i := range h.engine.Hypos {
		if h.engine.Hypos[i].Class == c && (best < 0 || p.Hypo[i] > p.Hypo[best]) {
			best = i
		}
	}
	if best >= 0 && h.engine.Hypos[best].Suspect >= 0 {
		s := &h.engine.Suspects[h.engine.Hypos[best].Suspect]
		k.What, k.Look, k.Solder = s.What, s.Look, s.Solder
		if s.Place != s.Piece {
			k.What = s.Place + " " + s.Rail + ": " + s.What
		}
		if h.shortHunt() {
			h.acrossRails(&k, p, c, s)
		}
	} else {
		k.What = "a train, a wagon's wheels, the supply or its leads"
		k.Look = "with every train off and the supply unplugged the track itself reads sound: try trains one at a time, then the supply alone"
	}
	if i := h.engine.ClassPiece[c]; i >= 0 {
		k.Lift = h.layout.Pieces[i].Construction.Lift
	}
	if h.notFound[k.Piece] > 0 {
		k.Look = "you found nothing here before, and the readings still point here; a look can miss: look once more, with it off the table. " + k.Look
	}
	return k
}

// evidence says what each reading did.
func (h *Hunt) evidence(last *infer.Posterior) []Evidence {
	out := []Evidence{}
	for i := range h.obs {
		before, after := h.posteriors[i], h.posteriors[i+1]
		out = append(out, Evidence{N: i + 1, Ask: h.asks[i], Reading: h.typed[i],
			Said:     h.summary(after.Class),
			Expected: expected(h.asks[i].Expect),
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
	if h.symptom == nil || n < 1 || n > len(h.obs) {
		return View{}, fmt.Errorf("there is no reading %d: %d were taken", n, len(h.obs))
	}
	obs := append(append([]infer.Observation(nil), h.obs[:n-1]...), h.obs[n:]...)
	p := h.looked(h.engine.Update(obs))
	v := View{LayoutRef: h.layout, Symptom: h.symptom, Readings: metered(obs), Lifts: h.lifts, Minutes: h.minutesSum,
		Pieces: h.pieceWeights(p), Ranked: h.ranked(p, 12), Hidden95: holding(p.Class, 0.95)}
	v.NotOnMap = p.Class[h.classNamed(infer.ClassNotOnMap)]
	return v, nil
}

// summary names where the belief lies.
func (h *Hunt) summary(class []float64) string {
	n := holding(class, 0.9)
	if n > 40 && n > len(class)/2 {
		return "nearly everything is still possible"
	}
	return "most likely in " + h.spanNames(only(class, byBelief(class)[:n]))
}

func (h *Hunt) warnings(p *infer.Posterior) []string {
	var out []string
	for i, m := range p.Misread {
		if m > 0.5 {
			out = append(out, fmt.Sprintf("reading %d (%s) %s", i+1, h.typed[i], h.oddly()))
		}
	}
	if w := h.fewDigits(); w != "" {
		out = append(out, w)
	}
	if w := h.soundWarning(); w != "" {
		out = append(out, w)
	}
	if _, ok := h.continuity(); !ok && h.shortHunt() && !h.kit.Lamp {
		out = append(out, needMore)
	}
	if h.symptom.Kind == SymptomWeak && len(h.voltDials()) == 0 {
		out = append(out, needVolts)
	}
	for _, r := range h.repaired {
		out = append(out, "repaired "+r+", and something is still wrong: readings from before that repair are put aside")
	}
	return out
}

// sureCounts is up to how many last digits every display shows.
const sureCounts = 1999

// fewDigits doubts a last reading that was typed with fewer digits than the
// display must have had: it is believed to the last digit typed.
func (h *Hunt) fewDigits() string {
	n := len(h.obs) - 1
	if n < 1 || h.obs[n].Shown.Kind != unit.Value {
		return ""
	}
	last, finest := h.obs[n].Shown, infer.Finest(h.obs)[h.obs[n].Func]
	if finest > 0.9*last.Step || math.Abs(last.Value) > sureCounts*finest {
		return ""
	}
	return fmt.Sprintf("reading %d (%s) has fewer digits than this meter showed before: if there were more, take it back and type them all, zeros too", n+1, h.typed[n])
}

// needVolts is said where a weak place is hunted without volts: a tenth of an ohm
// at 5 A loses half a volt, and is one step of an ohmmeter.
const needVolts = "a beeper and ohms cannot tell a weak contact from a good one: what slows a train is a tenth of an ohm, one step of the meter. " +
	"They find what is open, and nothing else here: borrow a meter with volts, read while something draws current, and start again with that kit"

// needMore is said where a kit has nothing that tells a short from none.
const needMore = "volts alone cannot find a short, so there is nothing to read and pieces can only be looked at one by one: borrow a meter with a beeper or ohms, or put a lamp in series with the supply (millivolts behind it do it best), and start again with that kit"

// offTrack says where to look when the track reads sound.
func (h *Hunt) offTrack() string {
	out := "with every train off the track is sound: look at the trains, their wheels, the supply and its leads"
	if h.accessoriesUnproven() {
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
func (h *Hunt) step(p *infer.Posterior, now conductor.Setup) Step {
	if h.found != "" {
		return Step{Done: h.done(EndFound, fmt.Sprintf("the fault was found at %s", h.found))}
	}
	if h.quit {
		return Step{Done: h.done(EndPutAside, "the hunt was put aside")}
	}
	if a := h.sameAgain(now); a != nil {
		return Step{Ask: a}
	}
	if h.lookedEverywhere() {
		return h.afterLooks(now)
	}
	best := byBelief(p.Class)[0]
	if p.Class[best] >= sureEnough && len(h.obs) > 0 {
		switch h.engine.Classes[best] {
		case infer.ClassNotOnMap:
			return h.offMap(p, now)
		case infer.ClassOffTrack:
			if a := h.postsFirst(now); a != nil {
				return Step{Ask: a}
			}
			return Step{Done: h.done(EndOffTrack, h.offTrack())}
		}
		return h.inspect(p, "one place holds most of the belief")
	}
	if again := h.again(p); again != nil {
		return Step{Ask: again}
	}
	if len(h.obs) >= maxAsks {
		return h.inspect(p, "further readings tell too little")
	}
	return h.choose(p, now)
}

// oddly says what is odd about a reading.
func (h *Hunt) oddly() string {
	if len(h.obs) == 1 {
		return "is not what any likely fault would show"
	}
	return "fits badly with the others"
}

// again asks to take a reading once more that fits badly with the rest.
func (h *Hunt) again(p *infer.Posterior) *Ask {
	worst := -1
	for i, m := range p.Misread {
		if m > 0.5 && (worst < 0 || m > p.Misread[worst]) && !h.retaken(i) {
			worst = i
		}
	}
	if worst < 0 {
		return nil
	}
	o := &h.obs[worst]
	now := h.now()
	q := infer.Question{Setup: o.Setup, Func: o.Func, Red: o.Red, Black: o.Black}
	a := h.ask(&q, nil, now)
	a.Expect, a.Bits = h.asks[worst].Expect, h.asks[worst].Bits
	a.Why = fmt.Sprintf("reading %d (%s) %s: take it again, and look twice at where the probes are", worst+1, h.typed[worst], h.oddly())
	return a
}

func (h *Hunt) retaken(i int) bool {
	key, n := obsKey(&h.obs[i]), 0
	for k := range h.obs {
		if obsKey(&h.obs[k]) == key {
			n++
		}
	}
	return n > 1
}

// choose weighs the questions and asks the best, or inspects where looking
// costs less than asking on.
func (h *Hunt) choose(p *infer.Posterior, now conductor.Setup) Step {
	if a := h.armFirst(nil, p, now); a != nil {
		return Step{Ask: a}
	}
	qs := h.questions(p, now)
	if len(qs) == 0 {
		why := "no reading with this meter tells more"
		if h.shortHunt() && len(h.obs) == 0 {
			why = needMore
		}
		return h.inspect(p, why)
	}
	looks := h.engine.Score(p, h.obs, qs)
	w := &weigher{h: h, p: p, now: now, qs: qs, looks: looks, near: h.near(), cost: h.costs(), late: plan.Entropy(p.Class) < lateBits}
	best, total, lookNow := w.best()
	if best < 0 && w.idled {
		return h.inspect(p, "whatever another reading shows, the same pieces are looked at in the same order")
	}
	if best < 0 {
		return h.inspect(p, "further readings tell too little")
	}
	if len(h.obs) > 0 && total > lookNow {
		return h.inspect(p, "looking costs less than another reading")
	}
	if touch := h.touchFirst(&qs[best], now); touch != nil {
		return Step{Ask: touch}
	}
	if a := h.armFirst(&qs[best], p, now); a != nil {
		return Step{Ask: a}
	}
	if a := h.watchFirst(&qs[best], now); a != nil {
		return Step{Ask: a}
	}
	return Step{Ask: h.ask(&qs[best], &looks[best], now)}
}

// touchFirst asks to touch the leads together before the first reading in
// ohms: their own resistance is in every such reading, and a few tenths of an
// ohm are many pieces of track.
func (h *Hunt) touchFirst(q *infer.Question, now conductor.Setup) *Ask {
	if q.Func != meter.Ohms {
		return nil
	}
	touch := infer.Question{Setup: q.Setup, Func: meter.Ohms, Red: q.Red, Black: q.Red}
	key := questionKey(&touch)
	if h.skipped[key] {
		return nil
	}
	for i := range h.obs {
		if h.obs[i].Func == meter.Ohms && h.obs[i].Red == h.obs[i].Black {
			return nil
		}
	}
	a := h.ask(&touch, nil, now)
	a.Why = "touch the leads together first: what the meter shows then is in every reading in ohms that follows, and is taken off"
	a.Expect = h.touchRows()
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
func (h *Hunt) inspect(p *infer.Posterior, why string) Step {
	// The neighbours of the likeliest piece are always on the list: a short close
	// to a joint reads alike from both sides.
	rate := h.rates(p.Class)
	h.addNeighbours(rate, p, h.costs())
	in := &Inspect{Why: why, Pieces: []Candidate{}}
	for _, c := range byBelief(rate) {
		if rate[c] <= 0 || len(in.Pieces) == 6 {
			break
		}
		in.Pieces = append(in.Pieces, h.candidate(p, c))
	}
	if len(in.Pieces) == 0 {
		return Step{Done: h.done(EndMisfit, h.misfit(p))}
	}
	return Step{Inspect: in}
}

// addNeighbours gives the pieces joined to the likeliest one a small rate where
// they have none.
func (h *Hunt) addNeighbours(rate []float64, p *infer.Posterior, cost []float64) {
	top := byBelief(p.Class)[0]
	piece := h.engine.ClassPiece[top]
	if piece < 0 {
		return
	}
	near := map[int]bool{}
	for _, e := range h.layout.Pieces[piece].Ends {
		if e.Joint >= 0 {
			j := &h.layout.Joints[e.Joint]
			near[j.A.Piece], near[j.B.Piece] = true, true
		}
	}
	for c := range rate {
		i := h.engine.ClassPiece[c]
		if i >= 0 && near[i] && rate[c] == 0 && h.notFound[h.engine.Classes[c]] == 0 {
			rate[c] = math.Max(p.Class[c], 1e-6) / cost[c]
		}
	}
}

func (h *Hunt) done(how Ending, verdict string) *Done {
	d := &Done{Verdict: verdict, Outcome: how, Found: h.found, Readings: h.readings(), Lifts: h.lifts, Minutes: math.Round(h.minutesSum*10) / 10}
	if h.found == "" {
		return d
	}
	p := h.standOfProof()
	d.Prove, d.Proves = p.next, p.proves
	all := p.all > 0 && p.good == p.all
	beside := all && h.accessoriesUnproven()
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
		d.Verdict += h.unproven(p.skipped)
	case len(h.proof) > 0:
		d.Verdict += fmt.Sprintf("; %d of %d proof readings are good so far", p.good, p.all)
	}
	return d
}
