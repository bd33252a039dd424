package hunt

import (
	"math"
	"slices"

	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// What may be wrong once a piece was found and repaired (assumed): something was
// found at a piece that was good; a second fault is left elsewhere.
const (
	mistakenFind = 0.05
	secondFault  = 0.02
)

// afterRepair is what may still be wrong now that a piece was found and
// repaired, and how likely it is that anything is: the repair failed, the piece
// found was not the one, or there were two.
func (pv prover) afterRepair() (p *infer.Posterior, wrong float64) {
	p = pv.posteriors[len(pv.posteriors)-1]
	found := pv.classNamed(pv.found)
	held := 0.0
	if found >= 0 {
		held = p.Class[found]
	}
	right := held * (1 - pv.symptom.LookMiss())
	other := (1 - held) * mistakenFind
	if right+other == 0 {
		return p, stillBad
	}
	other /= right + other
	there, elsewhere := (1-other)*stillBad, other+(1-other)*secondFault
	share := func(of, in float64) float64 {
		if in <= 0 {
			return 0
		}
		return of / in
	}
	left, _ := p.Weighed(pv.engine, func(hypo int) float64 {
		if pv.engine.Hypos[hypo].Class == found {
			return share(there, held)
		}
		return share(elsewhere, 1-held)
	})
	if left == nil {
		left = p
	}
	return left, min(there+elsewhere, 1)
}

// foretold is an ask that was answered since, and the row that the answer fell
// into.
type foretold struct {
	ask *Ask
	row int
}

// leastSound is what is left for a sound track at least, so that some row always
// has a chance.
const leastSound = 1e-9

// foretellProof fills in the chances of a proof, nil for none, after the proof
// readings taken.
func (pv prover) foretellProof(a *Ask) {
	if a == nil {
		return
	}
	var taken []foretold
	for i := range pv.proof {
		t := &pv.proof[i]
		if row := slices.IndexFunc(t.ask.Expect, func(o Outcome) bool { return o.Has(t.obs.Shown) }); row >= 0 {
			taken = append(taken, foretold{&t.ask, row})
		}
	}
	p, wrong := pv.afterRepair()
	pv.scribe().foretell(a, p, wrong, taken)
}

// foretell fills in how likely each row of an ask is by a belief: with a chance
// of wrong something on it is wrong with the track, and else the track is sound.
// Taken are answers that the belief does not know of.
func (sc scribe) foretell(a *Ask, p *infer.Posterior, wrong float64, taken []foretold) {
	rows := []*Outcome{}
	var qs []infer.Question
	for _, t := range append(taken, foretold{ask: a}) {
		q, err := t.ask.On(sc.net)
		if err != nil || len(t.ask.Expect) == 0 {
			return
		}
		qs, rows = append(qs, q), append(rows, &t.ask.Expect[t.row])
	}
	last := len(qs) - 1
	by, all := make([]float64, len(a.Expect)), 0.0
	add := func(looks []infer.Outlook, k int, weight float64) {
		for n := range taken {
			slip := sc.engine.Model.Misread
			weight *= (1-slip)*chance(&looks[n], k, qs[n].Func, rows[n]) + slip/2
		}
		all += weight
		for i := range by {
			by[i] += weight * chance(&looks[last], k, qs[last].Func, &a.Expect[i])
		}
	}
	looks := sc.engine.Score(p, sc.obs, qs)
	sum := 0.0
	for _, w := range looks[last].Weight {
		sum += w
	}
	if sum == 0 { // no place on the map is left
		wrong = 0
	}
	for k, w := range looks[last].Weight {
		add(looks, k, wrong*w/max(sum, math.SmallestNonzeroFloat64))
	}
	sound := make([]infer.Outlook, len(qs))
	for i := range qs {
		sound[i] = sc.soundOutlook(&qs[i], p)
	}
	add(sound, 0, max(1-wrong, leastSound))
	for i := range by {
		a.Expect[i].P = round2(by[i] / all)
	}
}

// touchRows are the rows of leads that are touched together: good ones show what
// they have at most, two standard deviations of it and of the meter's own errors
// above what is usual.
func (sc scribe) touchRows() []Outcome {
	m := &sc.engine.Model.Meter
	sd := math.Hypot(m.LeadSD, m.Ohms.SD(m.LeadOhms, 0))
	limit := limitOf(m.LeadOhms + 2*sd)
	o := infer.Outlook{Mean: []float64{m.LeadOhms}, SD: []float64{sd}, Over: []float64{0}}
	good := Outcome{Means: "ordinary leads", Kinds: []unit.Kind{unit.Value}, To: &limit, Size: true}
	bad := Outcome{Means: "a lead or its plug is bad: change it before going on",
		Kinds: []unit.Kind{unit.Value, unit.OverLimit}, From: &limit, Size: true}
	good.Shows, bad.Shows = good.words(unit.Ohm), bad.words(unit.Ohm)+", or it wanders"
	for _, row := range []*Outcome{&good, &bad} {
		row.P = round2(chance(&o, 0, meter.Ohms, row))
	}
	return []Outcome{good, bad}
}

// soundOutlook is what a question shows where nothing is wrong.
func (sc scribe) soundOutlook(q *infer.Question, p *infer.Posterior) infer.Outlook {
	o := infer.Outlook{Weight: []float64{1}, Mean: []float64{0}, SD: []float64{1}, Beep: []float64{0},
		Bright: []float64{0}, Over: []float64{1}}
	if q.Func == meter.Lamp {
		o.Bright[0], o.Beep[0] = sc.engine.SoundLight(q)
		return o
	}
	x := *q
	if q.Func == meter.Beeper {
		x.Func = meter.Ohms
	}
	mean, sd, ok := sc.engine.Sound(&x, p)
	if !ok {
		return o
	}
	m := &sc.engine.Model.Meter
	o.Mean[0], o.SD[0], o.Beep[0] = mean, sd, m.BeepOdds(mean)
	o.Over[0] = m.Of(q.Func).OverOdds(mean)
	return o
}

// chance is how likely an answer falls into a row by prediction k of an outlook.
func chance(o *infer.Outlook, k int, f meter.Function, row *Outcome) float64 {
	has := func(kind unit.Kind) bool { return slices.Contains(row.Kinds, kind) }
	if f == meter.Beeper {
		switch {
		case has(unit.Beep):
			return o.Beep[k]
		case has(unit.Silent):
			return 1 - o.Beep[k]
		}
		return 0
	}
	p := 0.0
	if f == meter.Lamp {
		if has(unit.Bright) {
			p += o.Bright[k]
		}
		if has(unit.Glowing) {
			p += o.Beep[k] - o.Bright[k]
		}
		if has(unit.Dark) {
			p += 1 - o.Beep[k]
		}
		return p
	}
	if has(unit.OverLimit) {
		p += o.Over[k]
	}
	if !has(unit.Value) || o.Over[k] == 1 {
		return p
	}
	under := func(v float64) float64 { return normalBelow((v - o.Mean[k]) / o.SD[k]) }
	from, to := math.Inf(-1), math.Inf(1)
	if row.From != nil {
		from = *row.From
	}
	if row.To != nil {
		to = *row.To
	}
	inside := under(to) - under(from)
	if from = math.Max(from, 0); row.Size {
		inside = under(to) - under(from) + under(-from) - under(-to)
	}
	return p + (1-o.Over[k])*inside
}
