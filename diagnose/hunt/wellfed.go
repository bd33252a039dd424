package hunt

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
)

// bothSides is the reading of what a load at the told place loses on the way there,
// or on the way back, until both are read: they tell the side of a bad contact, and
// whether there is a loss at all, before anything is claimed. Nil where both are
// known, or cannot be read.
func (ch chooser) bothSides(p *infer.Posterior, now conductor.Setup) *Ask {
	if ch.symptom.Kind != SymptomWeak || len(ch.notFound) > 0 || len(ch.net.PanelPoints) > 0 {
		return nil
	}
	g := &asker{sit: ch.Situation, p: p, now: now, stands: now}
	g.toldSides()
	qs := g.keep()
	if len(qs) == 0 {
		return nil
	}
	looks, best := ch.engine.Score(p, ch.obs, qs), 0
	for i := range looks {
		if looks[i].Bits > looks[best].Bits {
			best = i
		}
	}
	a := ch.scribe().ask(&qs[best], &looks[best], now)
	a.Why = "first what a load at this place loses on the way there, and on the way back: it tells which side is " +
		"bad, and whether any is"
	return a
}

// toldSides are these readings, on the finest dial that reads volts: a sound track
// loses little, and over its limit it is much.
func (g *asker) toldSides() {
	dials := g.sit.voltDials()
	at, ok := g.sit.toldSpot()
	if !ok || len(dials) == 0 {
		return
	}
	for _, q := range g.sit.lossesAt(at) {
		if !g.sit.isRead(&q) {
			g.ask(q.Setup, dials[len(dials)-1], q.Red, q.Black)
		}
	}
}

// noBadContact is the end of a hunt for a weak place where hardly any contact is left
// that would slow a train: what is lost is lost all along the track, or the volts are
// fine and something else stalls the train. False where one may be bad. What is lost
// on either side of the place was read before.
func (ch chooser) noBadContact(p *infer.Posterior, now conductor.Setup) (Step, bool) {
	if ch.symptom.Kind != SymptomWeak || len(ch.voltDials()) == 0 || len(ch.obs) == 0 {
		return Step{}, false
	}
	off := p.Class[ch.classNamed(infer.ClassOffTrack)]
	if off < sureEnough*(off+ch.engine.Explaining(p)) {
		return Step{}, false
	}
	for _, a := range []func(*infer.Posterior, conductor.Setup) *Ask{ch.nearestFeeder, ch.firmer} {
		if ask := a(p, now); ask != nil {
			return Step{Ask: ask}, true
		}
	}
	return Step{Done: ch.done(EndOffTrack, ch.teller().noBadContact(p))}, true
}

// nothingToLookAt says that a place is weak and most likely for no contact: nobody
// lifts a piece for that, so readings go on while one tells anything.
func (ch chooser) nothingToLookAt(p *infer.Posterior) bool {
	return ch.symptom.Kind == SymptomWeak && len(ch.voltDials()) > 0 && len(ch.obs) > 0 &&
		byBelief(p.Class)[0] == ch.classNamed(infer.ClassOffTrack)
}

// nearestFeeder is what a load at the told place loses in a wire of the feeder that
// carries the most of it: a wire's ohms are known, so it tells what the feeder
// carries, and beside others one that carries nothing is hardly missed. Nil where it
// is the only one, or both wires were read.
func (ch chooser) nearestFeeder(p *infer.Posterior, now conductor.Setup) *Ask {
	at, ok := ch.toldSpot()
	if !ok {
		return nil
	}
	dials, sides := ch.voltDials(), ch.lossesAt(at)
	g := &asker{sit: ch.Situation, p: p, now: now, stands: now}
	most, feeders := 0.0, 0
	for i := range ch.layout.Feeders {
		if ch.net.Posts[ch.layout.Feeders[i].Supply][0] != sides[0].Red {
			continue
		}
		feeders++
		hot, common := sides[0], sides[1]
		hot.Black, common.Red = ch.net.FeederPoints[i][0], ch.net.FeederPoints[i][1]
		hot.Func = dials[len(dials)-1]
		mean, _, ok := ch.engine.Sound(&hot, p)
		if mean = math.Abs(mean); !ok || mean <= most {
			continue
		}
		most, g.out = mean, nil
		for _, q := range []infer.Question{hot, common} {
			if !ch.isRead(&q) {
				g.ask(q.Setup, hot.Func, q.Red, q.Black)
			}
		}
	}
	qs := g.keep()
	if feeders < 2 || len(qs) == 0 {
		return nil
	}
	a := ch.scribe().ask(&qs[0], &ch.engine.Score(p, ch.obs, qs[:1])[0], now)
	a.Why = "no contact that was read is bad, as it seems: see that the feeder nearest to the place carries its " +
		"share, which its wire's own loss tells"
	return a
}

// What a train loses on the way to the told place and back is named to about so
// many volts, where mostFirm readings at most do it.
const firm, mostFirm = 0.3, 7

// firmer is a reading along the hot rail that makes the volts to be named surer: the
// longest stretch that the finest dial shows in full. Nil where they are sure
// enough, or nothing helps.
func (ch chooser) firmer(p *infer.Posterior, now conductor.Setup) *Ask {
	at, ok := ch.toldSpot()
	dials := ch.voltDials()
	if !ok || len(ch.obs) >= mostFirm {
		return nil
	}
	fine, sum := dials[len(dials)-1], 0.0
	sides := ch.lossesAt(at)
	for i := range sides {
		sides[i].Func = fine
		_, sd, _ := ch.engine.Sound(&sides[i], p)
		sum += sd
	}
	on := &sides[0].Setup
	if amps := on.Source.Volts / on.Loads[0].Ohms; sum/amps*ch.layout.TrainAmps(ch.symptomPiece()) < firm {
		return nil
	}
	g := &asker{sit: ch.Situation, p: p, now: now, stands: now}
	g.stretches(sides[0].Setup, fine)
	best, most, limit := -1, 0.0, ch.engine.Model.Meter.Of(fine)
	qs := g.keep()
	for i := range qs {
		mean, sd, ok := ch.engine.Sound(&qs[i], p)
		if ok && math.Abs(mean) > most && limit.OverOdds(math.Abs(mean)+sd) < seldomOver {
			best, most = i, math.Abs(mean)
		}
	}
	if best < 0 {
		return nil
	}
	a := ch.scribe().ask(&qs[best], &ch.engine.Score(p, ch.obs, qs[best:best+1])[0], now)
	a.Why = "no single place is bad, as it seems: this tells how much is lost along the track, for the volts that " +
		"one more feeder will give"
	return a
}

// seldomOver is how likely a stretch may be over the limit of the dial (assumed).
const seldomOver = 0.1

// stretches are readings along the hot rail from each feeder of a set-up's supply to
// places all along the run of the told place.
func (g *asker) stretches(on conductor.Setup, f meter.Function) {
	run := g.sit.layout.Pieces[g.sit.symptomPiece()].Run
	var pieces []int
	for i := range g.sit.layout.Pieces {
		if g.sit.layout.Pieces[i].Run == run {
			pieces = append(pieces, i)
		}
	}
	for k := 1; k < stretchEnds; k++ {
		t, ok := g.sit.spotAt(pieces[k*len(pieces)/stretchEnds])
		for i := range g.sit.layout.Feeders {
			if ok && g.sit.net.Posts[g.sit.layout.Feeders[i].Supply][0] == on.Source.From {
				g.ask(on, f, g.sit.net.FeederPoints[i][0], t.hot)
			}
		}
	}
}

// stretchEnds is into how many parts a run is cut for them.
const stretchEnds = 20

// lossesAt are the readings of what a load at a place loses on the way there and on
// the way back.
func (m *matter) lossesAt(at spot) []infer.Question {
	piece := m.symptomPiece()
	s := conductor.Usual(m.layout)
	s.Thrown = m.engine.RouteTo(piece)
	supply := m.engine.FeedsPiece(piece)
	on, post := m.underLoad(&s, supply, at), m.net.Posts[supply]
	return []infer.Question{{Setup: on, Red: post[0], Black: at.hot}, {Setup: on, Red: at.common, Black: post[1]}}
}

// isRead says whether a question was read, on any dial.
func (sit *Situation) isRead(q *infer.Question) bool {
	for i := range sit.obs {
		o := &sit.obs[i]
		if o.Red == q.Red && o.Black == q.Black && o.Setup.Key() == q.Setup.Key() {
			return true
		}
	}
	return false
}

// noBadContact says so: how many volts a train gets at the place of the symptom, and
// with one more feeder.
func (te teller) noBadContact(p *infer.Posterior) string {
	const fine = "no contact is bad: what stalls a train here is not the volts. Clean the rail heads, the wheels and " +
		"the pickups, then try again here with another train"
	piece := te.symptomPiece()
	if piece < 0 {
		return fine
	}
	r, ok := te.engine.Relieve(piece, te.engine.FeedsPiece(piece), p)
	if !ok {
		return fine
	}
	name := func(i int) string { return te.layout.Pieces[i].ID() }
	gets := fmt.Sprintf("a train of %.3g A gets %.1f of %.0f V at %s", r.Amps, r.Now, r.Full, name(piece))
	if !fault.Shows(fault.SeenWeak(r.Now / r.Full)) {
		return fine + "; " + gets
	}
	out := fmt.Sprintf("no single place is bad: the loss is spread, a little at every joint, and %s. One more feeder "+
		"at %s gives it %.1f V there", gets, name(r.At), r.With)
	if r.WorstAt != piece {
		out += fmt.Sprintf(", and %.1f V at %s, then the worst place of the run", r.Worst, name(r.WorstAt))
	}
	return out + "; joints cleaned and tightened all along help too"
}
