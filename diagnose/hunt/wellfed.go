package hunt

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/unit"
)

// noBadContact is the end of a hunt for a weak place where hardly any contact is left
// that would slow a train: what is lost is lost all along the track, or the volts are
// fine and something else stalls the train. False where one may be bad. What is lost
// on either side of the place is read before it is said.
func (ch chooser) noBadContact(p *infer.Posterior, now conductor.Setup) (Step, bool) {
	if ch.symptom.Kind != SymptomWeak || len(ch.obs) < toldFirst || len(ch.voltDials()) == 0 {
		return Step{}, false
	}
	off := p.Class[ch.classNamed(infer.ClassOffTrack)]
	if off < sureEnough*(off+ch.engine.Explaining(p)) {
		return Step{}, false
	}
	if at, ok := ch.toldSpot(); ok {
		for _, q := range ch.lossesAt(at) {
			read, much := ch.lossRead(&q, p)
			if much {
				return Step{}, false
			}
			if read || ch.skipped[questionKey(&q)] {
				continue
			}
			a := ch.scribe().ask(&q, &ch.engine.Score(p, ch.obs, []infer.Question{q})[0], now)
			a.Why = "no contact that was read is bad: before the train is blamed, read what its load loses on the way to this place (then on the way back)"
			return Step{Ask: a}, true
		}
	}
	return Step{Done: ch.done(EndOffTrack, ch.teller().noBadContact(p))}, true
}

// lossesAt are the readings of what a load at a place loses on the way there and on
// the way back.
func (m *matter) lossesAt(at spot) []infer.Question {
	piece := m.symptomPiece()
	s := conductor.Usual(m.layout)
	s.Thrown = m.engine.RouteTo(piece)
	supply := m.engine.FeedsPiece(piece)
	on, post := m.underLoad(&s, supply, at), m.net.Posts[supply]
	dials := m.voltDials()
	f := dials[len(dials)-1] // the fine one: sound track loses little
	return []infer.Question{{Setup: on, Func: f, Red: post[0], Black: at.hot}, {Setup: on, Func: f, Red: at.common, Black: post[1]}}
}

// lossRead says whether one of them was read, on any dial that reads volts, and
// whether it was more than track without a bad contact loses.
func (sit *Situation) lossRead(q *infer.Question, p *infer.Posterior) (read, much bool) {
	mean, sd, ok := sit.engine.Sound(q, p)
	most := mean + 2.5*sd
	for i := range sit.obs {
		if o := &sit.obs[i]; o.Red == q.Red && o.Black == q.Black && o.Setup.Key() == q.Setup.Key() {
			read = true
			much = much || !ok || o.Shown.Kind != unit.Value || math.Abs(o.Shown.Value) > most
		}
	}
	return read, much
}

// noBadContact says so, with what a train's load loses at the place of the symptom.
func (te teller) noBadContact(p *infer.Posterior) string {
	const fine = "no contact is bad: what stalls a train here is not the volts. Clean the rail heads, the wheels and the pickups, then try again here with another train"
	at, ok := te.toldSpot()
	if !ok {
		return fine
	}
	piece := te.symptomPiece()
	full := te.layout.Supplies[te.engine.FeedsPiece(piece)].Volts
	volts := full
	for _, q := range te.lossesAt(at) {
		lost, _, ok := te.engine.Sound(&q, p)
		if !ok {
			return fine
		}
		volts -= lost
	}
	name := te.layout.Pieces[piece].ID()
	if !fault.Shows(fault.SeenWeak(volts / full)) {
		return fmt.Sprintf("%s; one ampere loses %.1f of %.0f V on the way to %s and back", fine, full-volts, full, name)
	}
	return fmt.Sprintf("no single place is bad: one ampere loses %.1f of %.0f V on the way to %s and back, a little at every joint. One more feeder at %s mends it; so do joints cleaned and tightened all along",
		full-volts, full, name, name)
}
