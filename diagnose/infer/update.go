package infer

import (
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/unit"
)

// Posterior is what is believed after readings.
type Posterior struct {
	Hypo    []float64 // by Engine.Hypos
	Class   []float64 // by Engine.Classes
	Misread []float64 // by reading: probability that it says nothing
	// LevelMean and LevelSD are the logs of the layout's rail and joint levels
	// relative to the file.
	LevelMean, LevelSD [2]float64
	// Fit is the log likelihood of all readings under the best hypothesis,
	// and under "not on the map".
	Fit, FitNothing float64
	// Severity is, per hypothesis, the posterior of its severity cells.
	Severity [][]float64
	// Pairs are two faults at once, the likeliest first; tried only where one
	// fault explains the readings badly. Class holds half of each at both.
	Pairs    []Pair
	cell     []float64 // by level cell: how much of the belief lies there
	scale    [conductor.NumClasses]float64
	nothing  []float64 // log density of each reading if it says nothing
	logTotal float64   // log evidence of all single hypotheses
}

const (
	tileLimit  = 96   // bridge groups evaluated at once
	deadWeight = 1e-7 // hypotheses below this are not evaluated any finer
)

// Update computes the posterior of all readings together. It starts from the
// prior each time: the order of readings does not matter, and taking one back
// costs nothing.
func (e *Engine) Update(obs []Observation) *Posterior {
	p := e.prior()
	if len(obs) == 0 {
		p.Sum(e)
		return p
	}
	p = e.refine(obs, p, [conductor.NumClasses]float64{})
	// Where the level turned out far from the file, linearise there instead.
	if math.Abs(p.LevelMean[0]) > 0.35 || math.Abs(p.LevelMean[1]) > 0.5 {
		scale := [conductor.NumClasses]float64{math.Exp(p.LevelMean[0]), math.Exp(p.LevelMean[1]), 1}
		p = e.refine(obs, e.prior(), scale)
	}
	p.Sum(e)
	if (pairing{e}).doubtful(p) {
		e.tryPairs(obs, p)
		p.Sum(e)
	}
	return p
}

// prior is the belief before any reading: odds times the symptom.
func (e *Engine) prior() *Posterior {
	p := &Posterior{Hypo: make([]float64, len(e.Hypos)), Severity: make([][]float64, len(e.Hypos))}
	logw := make([]float64, len(e.Hypos))
	for i := range e.Hypos {
		h := &e.Hypos[i]
		var sum logSum
		terms := make([]float64, len(h.sevs))
		for k, s := range h.sevs {
			terms[k] = s.logPrior + h.symptom[k]
			sum.add(terms[k])
		}
		logw[i] = math.Log(h.Prior) + sum.value()
		for k := range terms {
			terms[k] = math.Exp(terms[k] - sum.value())
		}
		p.Severity[i] = terms
	}
	p.Hypo = normalise(logw)
	return p
}

// refine evaluates roughly first where a layout has more hypotheses than can
// be told apart at once, then again with the likely rows cut finer.
func (e *Engine) refine(obs []Observation, prior *Posterior, scale [conductor.NumClasses]float64) *Posterior {
	pass := &pass{obs: obs, prior: prior, weight: prior.Hypo, alive: aliveBy(prior.Hypo, deadWeight*1e-3), scale: scale}
	pass.rough = e.crowded(pass.alive)
	p := e.evaluate(pass)
	for round := 1; round < 5; round++ {
		now := aliveBy(p.Hypo, deadWeight)
		if !pass.rough && (!e.crowded(pass.alive) || len(now) == len(pass.alive)) {
			break
		}
		pass.rough, pass.nothing, pass.cell = false, p.nothing, p.cell
		pass.weight, pass.alive = p.Hypo, now
		p = e.evaluate(pass)
	}
	return p
}

// crowded says whether bridges share a row with their neighbours.
func (e *Engine) crowded(alive []int) bool {
	bridges := 0
	for _, h := range alive {
		if e.Hypos[h].Effect.Kind == predict.EffectBridge && !e.Hypos[h].compound() {
			bridges++
		}
	}
	return bridges > tileLimit
}

// pass is what an evaluation starts from.
type pass struct {
	obs    []Observation
	prior  *Posterior
	weight []float64 // by hypothesis: which bridges stand alone in their row
	alive  []int     // the hypotheses
	scale  [conductor.NumClasses]float64
	// rough is in few rows, with a bridge's place a Gaussian and one misread at
	// most.
	rough bool
	// nothing is the log density of each reading if it says nothing; nil to work
	// it out from what all hypotheses think possible.
	nothing []float64
	// cell is how much of the belief lay in each level cell the pass before; nil
	// for not known. Cells with next to nothing are left out.
	cell []float64
}

// evaluate computes the posterior of the alive hypotheses.
func (e *Engine) evaluate(b *pass) *Posterior {
	obs := b.obs
	setups, keys := distinctSetups(obs)
	var points []int
	for i := range obs {
		points = append(points, obs[i].Red, obs[i].Black)
	}
	limit := tileLimit
	if b.rough {
		limit /= 2
	}
	f := framer{e}.newFrame(b.alive, b.weight, setups, points, len(points), limit, b.scale)
	s := e.newStage(f, obs)
	s.rough = b.rough
	ev := &evaluation{s: s, keys: keys, value: make([]float64, len(obs)), step: make([]float64, len(obs))}
	ev.cells = without(relative(e.Model.cells(anyBehindLamp(obs)), b.scale), b.cell)
	for i := range obs {
		ev.value[i], ev.step[i] = e.value(&obs[i])
	}
	ev.forecastAll()
	if ev.logNothing = b.nothing; b.nothing == nil {
		ev.nothing()
	}
	p := ev.posterior(b.prior, b.scale)
	p.nothing = ev.logNothing
	return p
}

// emptyCell is the belief in a level cell below which it is left out: no
// hypothesis can have more of it than all have together.
const emptyCell = 1e-7

// without takes the probability of empty cells away.
func without(cells []levelCell, belief []float64) []levelCell {
	sum := 0.0
	for _, w := range belief {
		sum += w
	}
	for i, w := range belief {
		if w < emptyCell*sum {
			cells[i].logPrior = math.Inf(-1)
		}
	}
	return cells
}

func relative(cells []levelCell, scale [conductor.NumClasses]float64) []levelCell {
	for i := range cells {
		if f := scale[conductor.ClassRail]; f > 0 {
			cells[i].rail /= f
		}
		if f := scale[conductor.ClassJoint]; f > 0 {
			cells[i].jnt /= f
		}
	}
	return cells
}

func distinctSetups(obs []Observation) (setups []conductor.Setup, keys []string) {
	seen := map[string]bool{}
	for i := range obs {
		k := obs[i].Setup.Key()
		keys = append(keys, k)
		if !seen[k] {
			seen[k] = true
			setups = append(setups, obs[i].Setup)
		}
	}
	return setups, keys
}

// evaluation is one pass over all groups.
type evaluation struct {
	s           *stage
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
	full := func(k int) *joint {
		fs := s.forecasts(h, h.sevs[k], g.span, own, ev.keys, ev.step)
		if s.rough {
			return s.jointOf(fs, h.sevs[k], 0, g.span)
		}
		return s.fineJoint(fs, h.sevs[k], g.span)
	}
	last := len(h.sevs) - 1
	first := full(0)
	if last == 0 {
		return []*joint{first}
	}
	end := full(last)
	if first.alike(end) {
		return same(first, len(h.sevs))
	}
	js := make([]*joint, len(h.sevs))
	js[0], js[last] = first, end
	for k := 1; k < last; k++ {
		if js[k] = ev.between(s, h, k, first, end, own); js[k] == nil {
			js[k] = full(k)
		}
	}
	return js
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
			s = k.Moments(predict.Current, o.Red, o.Black, nil).S
		}
		out.s = append(out.s, s)
		out.circuits = append(out.circuits, ev.s.circuits[ev.keys[i]])
	}
	out.joint = ev.s.jointOf(fs, h.sevs[0], 1, 1)
	return out
}

// untouchedBy says whether a series fault changes none of the readings: no
// reading moves with the super that it lies in (then a change of any size does
// nothing either), and opening it cuts nothing off.
func (b *sound) untouchedBy(s *stage, h *Hypo) bool {
	if b.joint == nil || h.compound() || h.twin || h.cut > 0 || (h.Effect.Kind != predict.EffectWeak && h.Effect.Kind != predict.EffectOpen) {
		return false
	}
	k, _ := s.f.basis.SuperOf(h.Effect.Link)
	if k < 0 {
		return true
	}
	for i := range b.s {
		if math.Abs(b.s[i][k]) > 1e-12 || (h.Effect.Kind == predict.EffectOpen && b.circuits[i].Splits(k)) {
			return false
		}
	}
	return true
}

// between makes the joint of a severity between the two ends of its range: the
// means are worked out, what spreads them is taken between the ends. Nil where
// the readings are not all numbers, or not of the same signs, at both ends.
func (ev *evaluation) between(s *stage, h *Hypo, k int, a, b *joint, own map[string]*predict.Circuit) *joint {
	c := s.cases(h, h.sevs[k], own)
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
			out[i] = logLight(o.Shown.Kind, lightPart(&o.Setup, k))
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

// alike says whether two severities predict the same.
func (j *joint) alike(o *joint) bool {
	if j.n != o.n {
		return false
	}
	for i := range j.logDiscrete {
		if math.Abs(j.logDiscrete[i]-o.logDiscrete[i]) > 0.01 {
			return false
		}
	}
	for a := range j.mean {
		if math.Abs(j.mean[a]-o.mean[a]) > 0.02*j.noise[a] {
			return false
		}
	}
	if len(o.over) != len(j.over) {
		return false
	}
	for k := range j.over {
		if math.Abs(j.over[k].mean-o.over[k].mean) > 0.01*math.Abs(j.over[k].mean) {
			return false
		}
	}
	return true
}

// saysOver is how often a reading that says nothing is over the limit (assumed);
// in ohms half of the time, as where a probe does not touch.
const saysOver = 0.1

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
		width := 2*(hi[i]-lo[i]) + 10*noise[i]
		ev.logNothing[i] = math.Log(0.5)
		if ev.s.obs[i].Func == meter.Lamp {
			ev.logNothing[i] = -math.Log(3) // three answers
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
	for a, i := range sound.obs {
		numeric[i] = true
		if ev.s.obs[i].Watched {
			continue
		}
		v := sound.common(a, a, &levelCell{rail: 1, jnt: 1})
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

// posterior turns likelihoods into belief.
func (ev *evaluation) posterior(prior *Posterior, scale [conductor.NumClasses]float64) *Posterior {
	e := ev.s.e
	p := &Posterior{Hypo: make([]float64, len(e.Hypos)), Severity: make([][]float64, len(e.Hypos)), Misread: make([]float64, len(ev.value)), scale: scale}
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
		if w < 1e-9 {
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
			if !seen[j] {
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

// Sum adds hypotheses up into classes; of two faults, half counts for each.
func (p *Posterior) Sum(e *Engine) {
	p.Class = make([]float64, len(e.Classes))
	for i, w := range p.Hypo {
		p.Class[e.Hypos[i].Class] += w
	}
	for _, q := range p.Pairs {
		p.Class[e.Hypos[q.A].Class] += q.P / 2
		p.Class[e.Hypos[q.B].Class] += q.P / 2
	}
}
