package hunt

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// leastPhantom and mostPhantom are the parts of a supply's volts between which a voltmeter
// shows what leaks to a dead place as well as what a bad contact leaves there (common
// practice, no source).
const leastPhantom, mostPhantom = 0.03, 0.3

// phantom says whether a reading may be of nothing but what leaks.
func phantom(o *infer.Observation) bool {
	v, src := math.Abs(o.Shown.Value), &o.Setup.Source
	return o.Func == meter.Volts && o.Shown.Kind == unit.Value && src.Kind == conductor.SourceVolts &&
		len(o.Setup.Loads) == 0 && v > leastPhantom*src.Volts && v < mostPhantom*src.Volts
}

// phantoms says whether a dead place showed such volts: then all are read under load.
func phantoms(obs []infer.Observation) bool {
	for i := range obs {
		if phantom(&obs[i]) {
			return true
		}
	}
	return false
}

// underLoadToo is a place of the track that showed such volts, read once more with a load
// across it: what leaks is gone then. Nil where none did.
func (ch chooser) underLoadToo(now conductor.Setup) *Ask {
	last := len(ch.obs) - 1
	if ch.symptom.Kind != SymptomDead || last < 0 || !phantom(&ch.obs[last]) {
		return nil
	}
	q := *ch.questionOf(last)
	supply := ch.supplyAt(q.Setup.Source.From)
	if supply < 0 || !kneels(ch.net, &q) {
		return nil
	}
	q.Setup = q.Setup.Clone()
	q.Setup.Loads = []conductor.Load{{From: q.Red, To: q.Black, Ohms: ch.loadOhms(supply)}}
	g := &asker{sit: ch.Situation, p: ch.read, now: now, stands: now}
	g.ask(q.Setup, q.Func, q.Red, q.Black)
	qs := g.keep()
	if len(qs) == 0 {
		return nil
	}
	a := ch.scribe().ask(&qs[0], &ch.engine.Score(ch.read, ch.obs, qs)[0], now)
	a.Why = unit.Format(math.Abs(ch.obs[last].Shown.Value), unit.Volt) + " may be no more than what leaks " +
		"to a dead rail, since a meter draws next to nothing: the same under load, which leaves nothing of that"
	return a
}
