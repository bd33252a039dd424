package infer

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
)

// Sound is what a reading in volts or ohms shows on the layout with nothing
// wrong, at the levels believed: mean and standard deviation, volt or ohm. False
// where the set-up cannot be solved or nothing joins the probes.
func (e *Engine) Sound(q *Question, p *Posterior) (mean, sd float64, ok bool) {
	rail, joint := p.LevelSD[0], p.LevelSD[1]
	if l := &e.Model.Level; rail == 0 && joint == 0 { // nothing was learned
		rail, joint = l.CommonSD, math.Hypot(l.CommonSD, l.JointSD)
	}
	f, x := e.soundForecast(q, soundScale(&e.Model, p))
	if !x.m.Joined {
		return 0, 0, false
	}
	var own [conductor.NumClasses]float64
	f.basis.Cov(&own, x.m.S, x.m.S)
	v := x.noise * x.noise
	for _, k := range own {
		v += k
	}
	add := func(d, by float64) { v += d * d * by * by }
	add(x.m.Level[conductor.ClassRail], rail)
	add(x.m.Level[conductor.ClassJoint], joint)
	add(x.m.EMF, e.Model.SupplySD)
	if x.lead {
		add(1, e.Model.Meter.LeadSD)
	}
	add(x.m.Load, e.Model.LoadSD)
	return x.m.Mean, math.Sqrt(v), true
}

// soundScale are the factors on the file's ohms at the levels believed, those of
// the model where nothing was learned.
func soundScale(m *Model, p *Posterior) [conductor.NumClasses]float64 {
	if l := &m.Level; p.LevelSD[0] == 0 && p.LevelSD[1] == 0 {
		return [conductor.NumClasses]float64{math.Exp(l.CommonMean), math.Exp(l.CommonMean + l.JointMean), 1}
	}
	return [conductor.NumClasses]float64{math.Exp(p.LevelMean[0]), math.Exp(p.LevelMean[1]), 1}
}

// soundForecast is what a question shows with nothing wrong.
func (e *Engine) soundForecast(q *Question, scale [conductor.NumClasses]float64) (*frame, forecast) {
	f := e.frameOver([]conductor.Setup{q.Setup}, []int{q.Red, q.Black}, nil, scale)
	sound := Hypo{sevs: []severity{{ohms: math.Inf(1)}}}
	c := e.newStage(f, nil).cases(&sound, sound.sevs[0], map[string]*predict.Circuit{})
	return f, c.forecast(&Observation{Setup: q.Setup, Func: q.Func, Red: q.Red, Black: q.Black}, q.Setup.Key(), nil, 0)
}

// SoundLight is how likely the lamp of a question burns bright, and how likely it
// burns at all, with nothing wrong.
func (e *Engine) SoundLight(q *Question) (bright, lit float64) {
	_, x := e.soundForecast(q, [conductor.NumClasses]float64{1, 1, 1})
	bright, _, dark := lightOdds(x.light)
	return bright, 1 - dark
}
