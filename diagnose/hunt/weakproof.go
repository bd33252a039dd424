package hunt

import (
	"math"

	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// proofsOfWeak reads what is lost under load on the way from the supply to the
// place and back: a contact that is still weak loses more than sound track does.
// Where that way alone can hardly tell it from one that is mended, the reading that
// showed it is taken once more, first. Where none can tell, it is said so, and what
// trains show is the limit.
func (pv prover) proofsOfWeak() []*Ask {
	t, i, s, ok := pv.proofPlace()
	if !ok {
		return nil
	}
	on := pv.underLoad(&s, i, t)
	post, volts := pv.net.Posts[i], on.Source.Volts
	bad := pv.asItWas()
	var out []*Ask
	least := 1.0
	for _, way := range [2][2]int{{post[0], t.hot}, {t.common, post[1]}} {
		q := infer.Question{Setup: on, Func: meter.Volts, Red: way[0], Black: way[1]}
		v, ok := pv.verdictOf(&q, bad, volts)
		if !ok {
			return nil
		}
		if fine := q; pv.millivolts() {
			fine.Func = meter.Millivolts
			if f, ok := pv.verdictOf(&fine, bad, volts); ok && f.shown && f.errs < v.errs-worthADial {
				q, v = fine, f
			}
		}
		least = min(least, v.errs)
		out = append(out, pv.proofOfLoss(&q, v,
			"this proves the repair: everything is put back, and the way there (then the way back) loses no more "+
				"than sound track does"))
	}
	if bad == nil || least <= tellsWell {
		return out
	}
	if q, v, ok := pv.tellsBest(bad, volts); ok && v.errs < least-worthADial {
		least = v.errs
		out = append([]*Ask{pv.proofOfLoss(q, v,
			"this proves the repair: everything is put back, and where the loss was seen there is less of it now")},
			out...)
	}
	if least > tellsSide {
		for _, a := range out {
			a.Why = "what was found is too small for this kit to tell mended from not; this shows that the place " +
				"carries under load, and loses no more than trains take"
		}
	}
	return out
}

const (
	// weakShare is the share of the volts that a repaired way may lose beyond what
	// sound track is thought to (assumed): trains do not show it.
	weakShare = 0.015
	// tellsWell is how often a proof may err, taking a repaired place for one that is as it
	// was and the other way round together, to be enough. From tellsSide on a side does not
	// tell the fault: its limit is what trains show, or a sound side would be called bad.
	// worthADial is by how much less another dial or reading must err (assumed).
	tellsWell, tellsSide, worthADial = 0.1, 0.3, 0.02
)

// asItWas is the belief where what was found was not mended: nil where nothing that
// was believed in lies there.
func (pv prover) asItWas() *infer.Posterior {
	found := pv.classNamed(pv.found)
	p, _ := pv.posteriors[len(pv.posteriors)-1].Weighed(pv.engine, func(h int) float64 {
		if pv.engine.Hypos[h].Class == found {
			return 1
		}
		return 0
	})
	return p
}

// verdict is how a loss tells a repaired place from one that is as it was: the limit
// between them, and how often it errs, both ways together.
type verdict struct {
	limit, errs float64
	shown       bool // a sound track's loss lies well within the dial's range
}

// verdictOf finds the limit of a loss: where it errs least, and never more than trains
// show. False where it cannot be worked out.
func (pv prover) verdictOf(q *infer.Question, bad *infer.Posterior, volts float64) (verdict, bool) {
	now := pv.posteriors[len(pv.posteriors)-1]
	mean, sd, ok := pv.engine.Sound(q, now)
	if !ok {
		return verdict{}, false
	}
	most := mean + 2.5*sd + weakShare*volts
	v := verdict{limit: limitOf(most), errs: 1, shown: mean+2.5*sd < pv.engine.Model.Meter.Of(q.Func).Over[0]}
	if bad == nil {
		return v, true
	}
	sound, was := pv.scribe().soundOutlook(q, now), pv.engine.Score(bad, pv.obs, []infer.Question{*q})[0]
	var best []float64
	for k := range limitSteps {
		limit := limitOf(mean * math.Pow(most/mean, (float64(k)+0.5)/limitSteps))
		low := Outcome{Kinds: []unit.Kind{unit.Value}, To: &limit, Size: true}
		errs, all := 1-chance(&sound, 0, q.Func, &low), 0.0
		for i, w := range was.Weight {
			all += w
			errs += w * chance(&was, i, q.Func, &low)
		}
		switch {
		case all == 0 || math.IsNaN(errs):
			return v, true
		case len(best) > 0 && errs > v.errs+0.001:
			continue
		case len(best) == 0 || errs < v.errs-0.001:
			best = nil
		}
		v.errs = errs
		best = append(best, limit)
	}
	if len(best) > 0 && v.errs < tellsSide { // of many that are as good the middle one
		v.limit = best[len(best)/2]
	}
	return v, true
}

// limitSteps is how many limits are tried between what sound track loses and what
// trains show.
const limitSteps = 40

// tellsBest is the reading under load taken before, with volts or millivolts, that
// tells best whether what was found is mended.
func (pv prover) tellsBest(bad *infer.Posterior, volts float64) (*infer.Question, verdict, bool) {
	best := verdict{errs: 1}
	var at *infer.Question
	for i := range pv.obs {
		o := &pv.obs[i]
		if len(o.Setup.Loads) == 0 || o.Func != meter.Volts && o.Func != meter.Millivolts {
			continue
		}
		q := infer.Question{Setup: o.Setup, Func: o.Func, Red: o.Red, Black: o.Black}
		if v, ok := pv.verdictOf(&q, bad, volts); ok && v.shown && v.errs < best.errs {
			at, best = &q, v
		}
	}
	return at, best, at != nil
}

// proofOfLoss asks for a loss that is to be below its limit.
func (pv prover) proofOfLoss(q *infer.Question, v verdict, why string) *Ask {
	a := pv.scribe().ask(q, nil, pv.now())
	a.Below, a.Why = v.limit, why
	a.Expect = pv.proofRows(a, "this side is sound", "a contact on this side is still weak")
	return a
}
