package infer

import (
	"cmp"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
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
	Pairs []Pair
	// Failed is what could not be worked out on the way.
	Failed   Failures
	cell     []float64 // by level cell: how much of the belief lies there
	scale    [conductor.NumClasses]float64
	nothing  []float64 // log density of each reading if it says nothing
	logTotal float64   // log evidence of all single hypotheses
	// Entry is where current may come in by a wire that the file does not have; nil
	// where nothing says that there is one.
	Entry *Entry
}

const (
	tileLimit  = 96   // bridge groups evaluated at once
	deadWeight = 1e-7 // hypotheses below this are not evaluated any finer
)

// Where the level turns out further from the file than this, in natural logarithms (a
// factor of 1.4 for rails, 1.6 for joints), the forecasts are worked out anew at the level that was
// found: they are straight lines in it, and bend (assumed).
const farRails, farJoints = 0.35, 0.5

// A crowded layout, or any with manyReadings, is gone through roughly, then over the hypotheses that are left, in
// mostPasses at most. The first pass keeps those down to firstDead of deadWeight, since
// no reading has spoken yet (assumed).
const mostPasses, firstDead = 5, 1e-3

// deadShare is the part of a hypothesis below which one of its severities is looked at
// no more (assumed).
const deadShare = 1e-5

// Update computes the posterior of all readings together. It starts from the
// prior each time: the order of readings does not matter, and taking one back
// costs nothing.
func (e *Engine) Update(obs []Observation) *Posterior {
	if e.Stray(obs) && !(entering{e}).wiresBurnIt(obs) {
		return entering{e}.byEntry(obs)
	}
	p := e.prior()
	if len(obs) == 0 {
		p.Sum(e)
		return p
	}
	p = entering{e}.plain(obs)
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

// inSingle is the belief in single faults. It is worked out anew at the level that was
// found where that is far from where the forecasts were; roughly first where there are
// more hypotheses than can be told apart at once, or many readings.
func (e *Engine) inSingle(obs []Observation) *Posterior {
	prior := e.prior()
	b := &pass{obs: obs, prior: prior}
	b.over(prior, deadWeight*firstDead)
	b.rough = e.crowded(b.alive) || len(obs) >= manyReadings
	p := e.evaluate(b)
	if p.farOff() {
		b.at(p)
		if b.rough {
			b.over(p, deadWeight*firstDead)
		}
		p = e.evaluate(b)
	}
	if !b.rough {
		return p
	}
	if p = b.finer(e, p); p.farOff() {
		b.at(p)
		b.over(p, deadWeight)
		p = e.evaluate(b)
	}
	return p
}

// finer goes on from a rough pass with the likely rows cut finer.
func (b *pass) finer(e *Engine, p *Posterior) *Posterior {
	for round := 1; round < mostPasses; round++ {
		if !b.rough && (!e.crowded(b.alive) || len(aliveBy(p.Hypo, deadWeight)) == len(b.alive)) {
			break
		}
		b.rough, b.nothing, b.cell = false, p.nothing, p.cell
		b.over(p, deadWeight)
		p = e.evaluate(b)
	}
	return p
}

// farOff says whether the level turned out far from where the forecasts were worked out.
func (p *Posterior) farOff() bool {
	for class, far := range [...]float64{farRails, farJoints} {
		if at := p.scale[class]; math.Abs(p.LevelMean[class]-math.Log(cmp.Or(at, 1))) > far {
			return true
		}
	}
	return false
}

// at sets a pass to the level that another one found.
func (b *pass) at(p *Posterior) {
	b.scale = [conductor.NumClasses]float64{math.Exp(p.LevelMean[0]), math.Exp(p.LevelMean[1]), 1}
	b.cell = p.cell
}

// over sets a pass over what holds floor or more of a belief.
func (b *pass) over(p *Posterior, floor float64) {
	b.weight, b.severity, b.alive = p.Hypo, p.Severity, aliveBy(p.Hypo, floor)
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
	// severity is, by hypothesis, the belief in each of its severities, in parts of its own;
	// those below deadShare are left out.
	severity [][]float64
	alive    []int // the hypotheses
	scale    [conductor.NumClasses]float64
	// rough is in few rows, with a bridge's place a Gaussian and one misread at
	// most.
	rough bool
	// nothing is the log density of each reading if it says nothing; nil to work
	// it out from what all hypotheses think possible.
	nothing []float64
	// cell is how much of the belief lay in each level cell the pass before, also
	// where the one before was linearised elsewhere; nil for not known. Cells with next to nothing are left out.
	cell []float64
}

// evaluate computes the posterior of the alive hypotheses.
func (e *Engine) evaluate(b *pass) *Posterior {
	ev := e.evaluation(b)
	p := ev.posterior(b.prior, b.scale)
	p.nothing = ev.logNothing
	return p
}

// evaluation foretells all readings under the alive hypotheses.
func (e *Engine) evaluation(b *pass) *evaluation {
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
	ev := &evaluation{s: s, over: b, keys: keys, value: make([]float64, len(obs)), step: make([]float64, len(obs))}
	ev.cells = without(relative(e.Model.cells(anyBehindLamp(obs)), b.scale), b.cell)
	for i := range obs {
		ev.value[i], ev.step[i] = e.value(&obs[i])
	}
	ev.forecastAll()
	if ev.logNothing = b.nothing; b.nothing == nil {
		ev.nothing()
	}
	return ev
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
