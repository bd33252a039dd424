package hunt

import (
	"fmt"
	"math"
	"strings"

	"fishplate/diagnose/infer"
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
	v := View{LayoutRef: sit.layout, Symptom: sit.symptom, Minutes: sit.minutesSum, Readings: sit.readings(),
		Looks: len(sit.obs) - sit.readings(), Proofs: len(sit.proof), Lifts: sit.lifts,
		Pieces: make([]float64, len(sit.layout.Pieces))}
	if sit.symptom == nil {
		return v
	}
	p := sit.posteriors[len(sit.posteriors)-1]
	v.Pieces = sit.pieceWeights(p)
	v.Ranked = sit.teller().ranked(p, 12)
	v.NotOnMap = p.Class[sit.classNamed(infer.ClassNotOnMap)]
	v.Lifted, v.Pulled = jointNames(sit.layout, mayBe(sit.bench.lifted)),
		feederNames(sit.layout, mayBe(sit.bench.pulled))
	v.Evidence = sit.teller().evidence(p)
	v.Hidden95 = holding(p.Class, 0.95)
	v.File = sit.teller().file(p)
	v.Warnings = sit.teller().warnings(p, v.File)
	v.Learned = sit.teller().learned(p)
	v.Step, v.Moves = sit.next()
	v.Off = sit.guide().parting(&v.Step)
	return v
}

// Counted says how many readings were taken, and what else was.
func (v *View) Counted() string {
	out := unit.Count(v.Readings, "reading")
	if v.Looks > 0 {
		out += ", " + unit.Count(v.Looks, "look") + " at the lamp"
	}
	if v.Proofs > 0 {
		out += fmt.Sprintf(", and %d to prove the repair", v.Proofs)
	}
	return out
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
			if te.layout.FindJoint(s.Place) >= 0 {
				k.Joint = s.Place
			}
		}
		if te.shortHunt() {
			te.acrossRails(&k, p, c, s)
		}
	} else {
		k.What = "a train, a car's wheels, the supply or its leads"
		k.Look = "with every train off and the supply unplugged the track itself reads sound: try trains one at a " +
			"time, then the supply alone"
	}
	if i := te.engine.ClassPiece[c]; i >= 0 {
		k.Lift = te.layout.Pieces[i].Construction.Lift
	}
	if te.notFound[k.Piece] > 0 {
		k.Look = "you found nothing here before, and the readings still point here; a look can miss: look once more, " +
			"with it off the table. " + k.Look
	}
	return k
}

// evidence says what each reading did.
func (te teller) evidence(last *infer.Posterior) []Evidence {
	out := []Evidence{}
	for i := range te.obs {
		e := Evidence{N: i + 1, Ask: te.asks[i], Reading: te.typed[i], Expected: expected(te.asks[i].Expect),
			Odd: i < len(last.Misread) && last.Misread[i] > 0.5}
		before, after := te.posteriors[i], te.posteriors[i+1]
		if e.Untold = before == nil || after == nil; !e.Untold {
			e.Said = te.summary(after.Class)
			e.Bits = plan.Entropy(before.Class) - plan.Entropy(after.Class)
			e.Before, e.After = holding(before.Class, 0.95), holding(after.Class, 0.95)
		}
		out = append(out, e)
	}
	return out
}

// Tell works out more of what the readings of a hunt that was taken up or changed had
// told: the newest that the view's evidence lacks. It costs a computation of the belief;
// false says that there was nothing to do. What is wanted now does not change by it.
func (h *Hunt) Tell() bool {
	if h.sit.symptom == nil || !(believer{&h.sit}).tell() {
		return false
	}
	if h.view != nil {
		h.view.Evidence = h.sit.teller().evidence(h.sit.posteriors[len(h.sit.obs)])
	}
	return true
}

// Told is the view with all that the readings had told.
func (h *Hunt) Told() View {
	for h.Tell() {
	}
	return h.View()
}

// expected puts the rows of an ask into one line.
func expected(rows []Outcome) string {
	var parts []string
	for _, r := range rows {
		parts = append(parts, fmt.Sprintf("%s %.0f %%", r.Shows, 100*r.P))
	}
	return strings.Join(parts, ", ")
}

// noReading says that there is no reading n, and which there are.
func noReading(n, taken int) error {
	switch taken {
	case 0:
		return fmt.Errorf("there is no reading %d: none was taken yet", n)
	case 1:
		return fmt.Errorf("there is no reading %d: reading 1 alone was taken", n)
	}
	return fmt.Errorf("there is no reading %d: readings 1 to %d were taken", n, taken)
}

// Without is what would be believed had reading n not been taken: the view's
// weights and ranking; it asks for nothing and changes nothing. It costs one
// computation of the belief.
func (h *Hunt) Without(n int) (View, error) {
	sit := &h.sit
	if sit.symptom == nil || n < 1 || n > len(sit.obs) {
		return View{}, noReading(n, len(sit.obs))
	}
	obs := append(append([]infer.Observation(nil), sit.obs[:n-1]...), sit.obs[n:]...)
	p := believer{sit}.looked(sit.engine.Update(asFed(sit, obs)))
	v := View{LayoutRef: sit.layout, Symptom: sit.symptom, Readings: metered(obs), Lifts: sit.lifts,
		Minutes: sit.minutesSum,
		Pieces:  sit.pieceWeights(p), Ranked: sit.teller().ranked(p, 12), Hidden95: holding(p.Class, 0.95)}
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

func (te teller) warnings(p *infer.Posterior, file []FileDoubt) []string {
	var out []string
	for i, m := range p.Misread {
		if m > 0.5 {
			out = append(out, fmt.Sprintf("reading %d (%s) %s", i+1, te.typed[i], te.oddly()))
		}
	}
	if p.Failed.Any() {
		out = append(out, roughBelief)
	}
	if w := te.fewDigits(); w != "" {
		out = append(out, w)
	}
	if w := te.fileSays(p, file); w != "" {
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
		out = append(out, "repaired "+r+
			", and something is still wrong: what was read before is put aside, numbers begin anew")
	}
	return out
}

// roughBelief is said where part of the belief could not be worked out (infer.Failures):
// none of the figures on the screen would show it.
const roughBelief = "part of what these readings allow could not be worked out: the odds are rougher than they look; " +
	"undo the last reading and take it at another place"

// roughAsk ends the why of an ask some of whose answers could not be foretold.
const roughAsk = "; not all that it may show could be worked out"

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
	return fmt.Sprintf("reading %d (%s) has fewer digits than this meter showed before: if there were more, take it "+
		"back and type them all, zeros too", n+1, te.typed[n])
}

// needVolts is said where a weak place is hunted without volts: a tenth of an ohm
// at 5 A loses half a volt, is one step of an ohmmeter, and dims nothing to the eye.
const needVolts = "neither a beeper nor ohms nor a lamp's light tells a weak contact from a good one: what slows a " +
	"train is a tenth of an ohm, one step of the meter. They find what is open, and nothing else here: borrow a " +
	"meter with volts, read while something draws current, and start again with that kit"

// fewWithVolts is said at the first look of such a hunt.
const fewWithVolts = ": a borrowed meter that shows volts or millivolts finds it in a few readings, " +
	"these looks take piece after piece"

// needMore is said where a kit has nothing that tells a short from none.
const needMore = "volts alone cannot find a short, so there is nothing to read and pieces can only be looked at one " +
	"by one: borrow a meter with a beeper or ohms, or put a lamp in series with the supply (millivolts behind it do " +
	"it best), and start again with that kit"

// offTrack says where to look when the track reads sound.
func (te teller) offTrack() string {
	out := "with every train off the track is sound: look at the trains, their wheels, the supply and its leads"
	if te.symptom.Kind == SymptomShort && !te.symptom.Sometimes {
		out += ". Where these are good it will trip again some day: " + whenItTrips
	}
	if te.prover().accessoriesUnproven() {
		out += "; and at the accessories, which were off their wires: " + accessoriesBack
	}
	return out
}

// accessoriesBack is what tells which of the accessories that were off is shorted.
const accessoriesBack = "put them back one at a time, and whichever trips the breaker is shorted itself"

// oddly says what is odd about a reading.
func (te teller) oddly() string {
	if len(te.obs) == 1 {
		return "is not what any likely fault would show"
	}
	return "fits badly with the others"
}
