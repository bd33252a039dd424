package hunt

import (
	"fmt"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
)

// Before a hunt says that nothing in the file explains the readings, it takes
// again what fits worst, reads on until it has enoughToDoubt readings, and has
// enoughLooked of the pieces that come nearest looked at.
const enoughToDoubt, enoughLooked = 6, 3

// offMap is the next step where the readings fit nothing in the file well. It
// goes on among what the file knows: a layout more worn than was thought, or a
// slip with the probes, looks the same at first.
func (ch chooser) offMap(p *infer.Posterior, now conductor.Setup) Step {
	known := p.Known(ch.engine)
	if known == nil || len(ch.notFound) >= enoughLooked {
		return Step{Done: ch.done(EndMisfit, ch.teller().misfit(known))}
	}
	if a := ch.again(known); a != nil {
		return Step{Ask: a}
	}
	if len(ch.obs) < enoughToDoubt {
		if s := ch.choose(known, now); s.Ask != nil {
			s.Ask.Why = "the readings so far fit nothing in this file well; of what it knows, " + s.Ask.Why
			return s
		}
	}
	return ch.inspect(known, ch.teller().misfit(known)+"; if it must be one of its pieces, these come nearest")
}

// mostOfIt is the share of what the readings point to after which, looked at in
// vain, the file is doubted rather than the looks.
const mostOfIt = 0.95

// lookedEverywhere says whether nearly all that the readings point to was
// looked at and found good, as often as is enough.
func (ch chooser) lookedEverywhere() bool {
	if len(ch.obs) == 0 || len(ch.notFound) == 0 {
		return false
	}
	sum, known := 0.0, 0.0
	for c, name := range ch.engine.Classes {
		if name == infer.ClassNotOnMap {
			continue
		}
		known += ch.read.Class[c]
		if ch.notFound[name] >= ch.symptom.enoughLooks() {
			sum += ch.read.Class[c]
		}
	}
	return sum >= mostOfIt*known
}

// afterLooks goes on as if what was looked at were surely good: it reads on
// where there are few readings, and has a few more pieces looked at; then it
// gives up.
func (ch chooser) afterLooks(now conductor.Setup) Step {
	s := ch.choose(ch.elsewhere(), now)
	switch {
	case s.Ask != nil && len(ch.obs) < enoughToDoubt:
		s.Ask.Why = "what the readings point to was looked at and is good, so one of them may be wrong: " + s.Ask.Why
		return s
	case len(ch.notFound) < lastLooks:
		s = ch.inspect(ch.elsewhere(), "what the readings point to was looked at and is good; of the rest, these fit "+
			"them best")
		if s.Inspect != nil && ch.notFound[s.Inspect.Pieces[0].Piece] == 0 {
			return s
		}
	}
	return Step{Done: ch.done(EndLooked, ch.teller().nothingThere())}
}

// lastLooks is how many pieces are looked at in vain before a hunt gives up.
const lastLooks = 6

// elsewhere is the belief with what was looked at nearly taken out.
func (ch chooser) elsewhere() *infer.Posterior {
	p, _ := ch.read.Weighed(ch.engine, func(hypo int) float64 {
		if ch.notFound[ch.engine.Classes[ch.engine.Hypos[hypo].Class]] > 0 {
			return 1e-6
		}
		return 1
	})
	return p
}

// nothingThere says what to do when every likely place was good.
func (te teller) nothingThere() string {
	looked := make([]float64, len(te.engine.Classes))
	for c := range looked {
		if te.notFound[te.engine.Classes[c]] > 0 {
			looked[c] = 1
		}
	}
	out := "everything that the readings point to was looked at and is good (" + te.say().spanNames(looked) + "): "
	if te.shortHunt() {
		out += "look for a wire or a tool that joins a rail there to another place, "
	}
	out += "look again there with the pieces lifted"
	if te.symptom.Sometimes {
		return out + ", and make the fault show (" + provoked + ") until it hardly goes away, then begin again: " +
			"a reading taken while it was away misleads"
	}
	return out + ", and see whether " + strings.Join(te.worst(te.read), " and ") + " would read the same again; " +
		"if so, these readings fit nothing in this file: check it against the layout"
}

// misfit says what the readings fit badly, with the figures that tell most.
// known is what is believed of the pieces of the file, nil where none is left.
func (te teller) misfit(known *infer.Posterior) string {
	facts := te.worst(known)
	if len(facts) == 0 {
		return "these readings fit nothing in this file: check the file against the layout, and whether something is " +
			"joined or cut that the file does not show"
	}
	return "these readings fit nothing in this file well: " + strings.Join(facts, " and ") +
		" fit worst; check the file against the layout, and whether something is joined or cut there that the file " +
		"does not show"
}

// worst names the readings that what comes nearest explains worst; the last
// one where none stands out.
func (te teller) worst(known *infer.Posterior) []string {
	var out []string
	say := func(i int) {
		out = append(out, fmt.Sprintf("reading %d (%s, %s to %s)", i+1, te.typed[i], te.asks[i].Red, te.asks[i].Black))
	}
	if known != nil {
		for i, m := range known.Misread {
			if m > 0.3 && len(out) < 3 {
				say(i)
			}
		}
	}
	if n := len(te.typed); len(out) == 0 && n > 0 {
		say(n - 1)
	}
	return out
}

// noShort is the end of a hunt for a short that no reading shows, where train, supply
// and leads were found good too: nobody lifts piece after piece for that. A reading
// before the look and one after it say so, since one may be a slip.
func (ch chooser) noShort() (Step, bool) {
	off, healthy := ch.classNamed(infer.ClassOffTrack), 0
	for i := range ch.obs {
		if ch.obs[i].Red != ch.obs[i].Black { // not the leads alone
			healthy++
		}
	}
	if ch.symptom.Kind != SymptomShort || ch.symptom.Sometimes || ch.notFound[infer.ClassOffTrack] == 0 ||
		healthy < 2 || ch.read.Class[off] < likelyOne {
		return Step{}, false
	}
	return Step{Done: ch.done(EndLooked, ch.teller().noShort())}, true
}

// noShort says that the short is away, and how to go on when it is back.
func (te teller) noShort() string {
	out := "no reading shows a short with the trains off, and train, supply and leads are good: the short is away " +
		"now. Run trains until it trips again, and " + whenItTrips
	if te.prover().accessoriesUnproven() {
		out += "; the accessories were off their wires: " + accessoriesBack
	}
	return out
}

// whenItTrips is how a hunt is begun for a short that is away now.
const whenItTrips = "when it does leave points and toggles as they stand and begin a new hunt: " +
	"a short that comes and goes"
