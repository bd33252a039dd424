package infer

import (
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/unit"
)

// evaluation is one pass over all groups.
type evaluation struct {
	s           *stage
	over        *pass
	cells       []levelCell
	keys        []string
	value, step []float64
	sound       *sound
	joints      [][]*joint // group, severity; equal pointers where severity changes nothing
	logNothing  []float64
}

// forecastAll predicts every reading for every group and severity.
func (ev *evaluation) forecastAll() {
	ev.joints = make([][]*joint, len(ev.s.f.groups))
	ev.sound = ev.soundLayout()
	spread(len(ev.joints), ev.s.again, func(s *stage, gi int) { ev.joints[gi] = ev.forecastGroup(s, &s.f.groups[gi]) })
}

// forecastGroup is forecastAll for one group, on a stage of the worker's own.
func (ev *evaluation) forecastGroup(s *stage, g *group) []*joint {
	h := &s.e.Hypos[g.lead]
	if ev.sound.untouchedBy(s, h) {
		return same(ev.sound.joint, len(h.sevs))
	}
	own := map[string]*predict.Circuit{}
	low, high := ev.alive(g)
	step := 1
	if s.rough {
		step = 2
	}
	at := func(k int) severity { return twice(h.sevs[k:min(k+step, high+1)]) }
	full := func(k int) *joint {
		fs := s.forecasts(h, at(k), g.span, own, ev.keys, ev.step)
		if s.rough {
			return s.jointOf(fs, at(k), 0, g.span)
		}
		return s.fineJoint(fs, at(k), g.span)
	}
	js := same(ruledOut, len(h.sevs))
	last := low + (high-low)/step*step
	first := full(low)
	end := first
	if last > low {
		end = full(last)
	}
	alike := first.alike(end)
	for k := low; k <= high; k++ {
		switch {
		case alike || k < low+step:
			js[k] = first
		case k >= last:
			js[k] = end
		case (k-low)%step > 0:
			js[k] = js[k-1]
		default:
			if js[k] = ev.between(s, h, at(k), first, end, own); js[k] == nil {
				js[k] = full(k)
			}
		}
	}
	return js
}

// twice is one severity for two that are neighbours, or for one.
func twice(two []severity) severity {
	a, b := two[0], two[len(two)-1]
	apart := math.Log(b.ohms / a.ohms)
	if !(apart > 0) {
		return a
	}
	a.ohms, a.sd = math.Sqrt(a.ohms*b.ohms), math.Hypot((a.sd+b.sd)/2, apart/2)
	return a
}

// ruledOut is a severity that the pass before left next to nothing of.
var ruledOut = &joint{lik: &likelihood{log: math.Inf(-1)}}

// alive are the first and the last severity of a group that the pass goes over; a rough
// one takes two at once.
func (ev *evaluation) alive(g *group) (low, high int) {
	low, high = len(ev.s.e.Hypos[g.lead].sevs)-1, 0
	for _, h := range g.hypos {
		for k, x := range ev.over.severity[h] {
			if x >= deadShare {
				low, high = min(low, k), max(high, k)
			}
		}
	}
	return low, high
}

func same(j *joint, n int) []*joint {
	out := make([]*joint, n)
	for k := range out {
		out[k] = j
	}
	return out
}

// sound is the layout without a fault: what most joints that are open or weak
// change nothing of.
type sound struct {
	joint *joint
	// s is, per observation, how the reading moves with each super (for a
	// beeper: how the resistance does).
	s        [][]float64
	circuits []*predict.Circuit
}

func (ev *evaluation) soundLayout() *sound {
	h := &Hypo{sevs: []severity{{ohms: math.Inf(1)}}}
	out := &sound{}
	c := ev.s.cases(h, h.sevs[0], map[string]*predict.Circuit{})
	fs := make([]forecast, len(ev.s.obs))
	for i := range ev.s.obs {
		o := &ev.s.obs[i]
		fs[i] = c.forecast(o, ev.keys[i], nil, ev.step[i])
		k := c.of(&o.Setup, ev.keys[i])
		if k == nil {
			return out
		}
		s := fs[i].m.S
		switch o.Func {
		case meter.Beeper:
			s = k.Moments(predict.Resistance, o.Red, o.Black, nil).S
		case meter.Lamp:
			s = k.Moments(lightBy(&o.Setup), o.Red, o.Black, nil).S
		}
		out.s = append(out.s, s)
		out.circuits = append(out.circuits, ev.s.circuits[ev.keys[i]])
	}
	out.joint = ev.s.jointOf(fs, h.sevs[0], 1, 1)
	return out
}

// unmoved is how little a reading may move, in volt (or ohm) an ohm, with a resistance
// that has no part in it: the solver's rounding, far below what a meter shows.
const unmoved = 1e-12

// untouchedBy says whether a series fault changes none of the readings: no
// reading moves with the super that it lies in (then a change of any size does
// nothing either), and opening it cuts nothing off.
func (b *sound) untouchedBy(s *stage, h *Hypo) bool {
	if b.joint == nil || h.compound() || h.twin || h.cut > 0 ||
		(h.Effect.Kind != predict.EffectWeak && h.Effect.Kind != predict.EffectOpen) {
		return false
	}
	k, _ := s.f.basis.SuperOf(h.Effect.Link)
	if k < 0 {
		return true
	}
	for i := range b.s {
		if math.Abs(b.s[i][k]) > unmoved || (h.Effect.Kind == predict.EffectOpen && b.circuits[i].Splits(k)) {
			return false
		}
	}
	return true
}

// between makes the joint of a severity between the two ends of its range: the
// means are worked out, what spreads them is taken between the ends. Nil where
// the readings are not all numbers, or not of the same signs, at both ends.
func (ev *evaluation) between(s *stage, h *Hypo, sev severity, a, b *joint, own map[string]*predict.Circuit) *joint {
	c := s.cases(h, sev, own)
	lights := ev.lights(c)
	if h.compound() || b.n != a.n || a.n+len(lights) != len(ev.s.obs) || !slices.Equal(a.turned, b.turned) {
		return nil
	}
	j := &joint{n: a.n, obs: a.obs, logDiscrete: slices.Clone(a.logDiscrete), mean: make([]float64, a.n)}
	for i, l := range lights {
		j.logDiscrete[i] = l
	}
	t, best := 0.5, 0.0
	for x, i := range a.obs {
		m, ok := c.mean(&ev.s.obs[i], ev.keys[i])
		if !ok {
			return nil
		}
		j.mean[x] = m
		if d := b.mean[x] - a.mean[x]; math.Abs(d) > best*a.noise[x] {
			best, t = math.Abs(d)/a.noise[x], (m-a.mean[x])/d
		}
	}
	t = math.Min(math.Max(t, 0), 1)
	j.rail, j.jnt = mix(a.rail, b.rail, t), mix(a.jnt, b.jnt, t)
	for c := range j.k {
		j.k[c] = mix(a.k[c], b.k[c], t)
	}
	if a.place != nil && b.place != nil {
		j.place = make([][2]float64, a.n)
		for i := range j.place {
			for side := range j.place[i] {
				j.place[i][side] = a.place[i][side] + t*(b.place[i][side]-a.place[i][side])
			}
		}
	}
	j.rest, j.noise, j.against = mix(a.rest, b.rest, t), mix(a.noise, b.noise, t), mix(a.against, b.against, t)
	j.flat = a.flat // a display's last digits hardly grow with what it shows
	j.swing, j.along = mix(a.swing, b.swing, t), mix(a.along, b.along, t)
	j.byLamp, j.lit = mix(a.byLamp, b.byLamp, t), mix(a.lit, b.lit, t)
	return j
}

// lights are the log likelihoods of what the lamp did, by reading.
func (ev *evaluation) lights(c *cases) map[int]float64 {
	var out map[int]float64
	for i := range ev.s.obs {
		o := &ev.s.obs[i]
		if o.Func != meter.Lamp {
			continue
		}
		if k := c.of(&o.Setup, ev.keys[i]); k != nil {
			if out == nil {
				out = map[int]float64{}
			}
			out[i] = logLight(o.Shown.Kind, lightPart(o, k))
		}
	}
	return out
}

func mix(a, b []float64, t float64) []float64 {
	out := make([]float64, len(a))
	for i := range out {
		out[i] = a[i] + t*(b[i]-a[i])
	}
	return out
}

// Two severities predict the same where they are closer than this: sameLog in the
// log likelihood of what is no number, sameNoise in the noise of a reading,
// samePart in the value of one that is over the limit (all assumed).
const sameLog, sameNoise, samePart = 0.01, 0.02, 0.01

// alike says whether two severities predict the same.
func (j *joint) alike(o *joint) bool {
	if j.n != o.n {
		return false
	}
	for i := range j.logDiscrete {
		if math.Abs(j.logDiscrete[i]-o.logDiscrete[i]) > sameLog {
			return false
		}
	}
	for a := range j.mean {
		if math.Abs(j.mean[a]-o.mean[a]) > sameNoise*j.noise[a] {
			return false
		}
	}
	if len(o.over) != len(j.over) {
		return false
	}
	for k := range j.over {
		if math.Abs(j.over[k].mean-o.over[k].mean) > samePart*math.Abs(j.over[k].mean) {
			return false
		}
	}
	return true
}

// saysOver is how often a reading that says nothing is over the limit (assumed);
// in ohms half of the time, as where a probe does not touch.
const saysOver = 0.1

// A reading that says nothing lies anywhere in beyondRange times the range of what the
// hypotheses think possible, and beyondNoise times the noise of the noisiest more
// (assumed: a slipped probe shows what some other place would, or a little past
// it). Of lampAnswers each is as likely.
const beyondRange, beyondNoise, lampAnswers = 2, 10, 3

// nothing sets the density of a reading that says nothing: even over what the
// hypotheses think possible, and a good deal beyond.
func (ev *evaluation) nothing() {
	n := len(ev.value)
	ev.logNothing = make([]float64, n)
	lo, hi, noise := make([]float64, n), make([]float64, n), make([]float64, n)
	number := make([]bool, n)
	for i := range lo {
		lo[i], hi[i] = ev.value[i], ev.value[i]
		noise[i] = ev.step[i]
	}
	for _, js := range ev.joints {
		for _, j := range js {
			for a, i := range j.obs {
				lo[i], hi[i] = math.Min(lo[i], j.mean[a]), math.Max(hi[i], j.mean[a])
				noise[i] = math.Max(noise[i], j.noise[a])
				number[i] = true
			}
		}
	}
	for i := range ev.logNothing {
		width := beyondRange*(hi[i]-lo[i]) + beyondNoise*noise[i]
		ev.logNothing[i] = math.Log(0.5)
		if ev.s.obs[i].Func == meter.Lamp {
			ev.logNothing[i] = -math.Log(lampAnswers)
		}
		if o := &ev.s.obs[i]; o.Shown.Kind == unit.OverLimit && o.Func != meter.Ohms {
			ev.logNothing[i] = math.Log(saysOver)
		}
		if width > 0 && number[i] {
			ev.logNothing[i] = -math.Log(width)
		}
	}
	if e := ev.s.e; e.sometimes && ev.sound.joint != nil {
		ev.asleep(ev.sound.joint)
	}
}

// asleep lets a reading that says nothing about the fault be one of the sound
// layout, half of the time: a fault that comes and goes was away.
func (ev *evaluation) asleep(sound *joint) {
	half := math.Log(0.5)
	mix := func(i int, l float64) {
		var s logSum
		s.add(half + ev.logNothing[i])
		s.add(half + l)
		ev.logNothing[i] = s.value()
	}
	numeric := make([]bool, len(ev.value))
	felt := new(felt).in(sound, &levelCell{rail: 1, jnt: 1}, 0)
	for a, i := range sound.obs {
		numeric[i] = true
		v := felt.common(a, a)
		for c := range sound.k {
			v += sound.k[c][a*sound.n+a]
		}
		d := ev.value[i] - sound.mean[a]
		mix(i, sound.logDiscrete[i]-0.5*(log2Pi+math.Log(v)+d*d/v))
	}
	for i, l := range sound.logDiscrete {
		if !numeric[i] {
			mix(i, l)
		}
	}
}

// noShare is the part of the belief below which a hypothesis at one severity is left
// out of what is said of misreads and levels (assumed: far below what is shown).
const noShare = 1e-9

// posterior turns likelihoods into belief.
func (ev *evaluation) posterior(prior *Posterior, scale [conductor.NumClasses]float64) *Posterior {
	e := ev.s.e
	p := &Posterior{Hypo: make([]float64, len(e.Hypos)), Severity: make([][]float64, len(e.Hypos)),
		Misread: make([]float64, len(ev.value)), scale: scale}
	logw := make([]float64, len(e.Hypos))
	for i := range logw {
		logw[i] = math.Inf(-1)
		p.Severity[i] = prior.Severity[i]
	}
	p.Fit = math.Inf(-1)
	ev.weighAll()
	if !ev.s.rough {
		ev.sharpen(prior)
	}
	type part struct {
		log float64
		lik *likelihood
	}
	var parts []part
	for gi := range ev.s.f.groups {
		g := &ev.s.f.groups[gi]
		js := ev.joints[gi]
		for _, h := range g.hypos {
			var sum logSum
			terms, liks := make([]float64, len(js)), make([]*likelihood, len(js))
			for k := range js {
				liks[k] = ev.lik(h, js[k])
				terms[k] = math.Log(prior.Severity[h][k]) + liks[k].log
				sum.add(terms[k])
			}
			if !sum.any { // hopeless in every level cell
				continue
			}
			logw[h] = math.Log(prior.Hypo[h]) + sum.value()
			p.Fit = math.Max(p.Fit, sum.value())
			for k := range terms {
				parts = append(parts, part{math.Log(prior.Hypo[h]) + terms[k], liks[k]})
				terms[k] = math.Exp(terms[k] - sum.value())
			}
			p.Severity[h] = terms
		}
	}
	for _, l := range ev.logNothing {
		p.FitNothing += l
	}
	for _, h := range ev.s.f.blank {
		logw[h] = math.Log(prior.Hypo[h]) + p.FitNothing
	}
	p.Hypo = normalise(logw)
	total := logSum{}
	for _, x := range logw {
		total.add(x)
	}
	p.logTotal = total.value()
	level := make([]float64, len(ev.cells))
	for _, x := range parts {
		w := math.Exp(x.log - total.value())
		if w < noShare {
			continue
		}
		for c, y := range x.lik.level {
			level[c] += w * y
		}
		for i, y := range x.lik.misread {
			p.Misread[i] += w * y
		}
	}
	p.levels(ev.narrowed(p), level)
	p.cell = level
	p.Failed = ev.s.failed.sum()
	return p
}

// lik is the likelihood of a joint under a hypothesis.
func (ev *evaluation) lik(h int, j *joint) *likelihood {
	if e := ev.s.e; h == e.off && e.tired.share > 0 {
		return e.tired.weigh(j.lik, ev.cells)
	}
	return j.lik
}

// weighAll computes the likelihood of every joint, once where severities
// predict the same.
func (ev *evaluation) weighAll() {
	seen := map[*joint]bool{}
	var all []*joint
	for _, js := range ev.joints {
		for _, j := range js {
			if !seen[j] && j != ruledOut {
				seen[j] = true
				all = append(all, j)
			}
		}
	}
	spread(len(all), ev.s.again, func(s *stage, i int) {
		l := s.likelihood(all[i], ev.cells, ev.value, ev.logNothing)
		all[i].lik = &l
	})
}
