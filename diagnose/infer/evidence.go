package infer

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/unit"
)

// impossible is the log likelihood of what a hypothesis rules out: far below what one
// misread costs, and no wall (assumed).
const impossible = -25

// placeSD is the spread of a bridge along its piece, in pieces: 1/sqrt(12) for
// a uniform place, and a little more.
const placeSD = 0.3

// forecast is what one hypothesis at one severity says of one reading.
type forecast struct {
	m     predict.Moments
	noise float64 // sd of display, contacts and hands
	flat  flat    // the part of it that is uniform
	extra float64 // what the log density of a number has on top
	ohms  float64 // beeper: the resistance it meets
	light float64 // lamp: the part of its full current that it takes
	lead  bool
	// turned says that the moments have the other sign than the circuit, since the
	// display shows none.
	turned bool
	stray  float64 // volt: a voltmeter on what hangs on nothing; 0 elsewhere
	leak   float64 // volt: the most that leaks to it there
}

// stage evaluates hypotheses against readings on one frame.
type stage struct {
	e        *Engine
	f        *frame
	obs      []Observation
	circuits map[string]*predict.Circuit
	cut      []map[string]*predict.Circuit // the same by Engine.cut
	work     workspace
	pos      []int
	rough    bool // likelihoods reckon with one misread at most
	failed   *failing
}

func (e *Engine) newStage(f *frame, obs []Observation) *stage {
	return &stage{e: e, f: f, obs: obs, circuits: map[string]*predict.Circuit{}, failed: &failing{}}
}

// circuit is the network in a set-up, under a compound hypothesis if h is one.
// A set-up that cannot be solved gives nil.
func (s *stage) circuit(setup *conductor.Setup, key string, h *Hypo, own map[string]*predict.Circuit) *predict.Circuit {
	at, out, extra := s.circuits, []int(nil), []predict.Extra(nil)
	if h.cut > 0 {
		at, out, extra = s.cutOff(h)
	}
	if h.compound() {
		at, out, extra = own, h.Out, h.Extra
	}
	c, ok := at[key]
	if !ok {
		var err error
		if c, err = s.f.basis.NewCircuit(setup, out, extra); err != nil {
			c = nil
			s.failed.circuits.Add(1)
		}
		at[key] = c
	}
	return c
}

// cutOff are the circuits with what a hypothesis has cut, and the links that are.
func (s *stage) cutOff(h *Hypo) (at map[string]*predict.Circuit, out []int, extra []predict.Extra) {
	for len(s.cut) < len(s.e.cut) {
		s.cut = append(s.cut, map[string]*predict.Circuit{})
	}
	c := &s.e.cut[h.cut-1]
	return s.cut[h.cut-1], c.links, c.instead(s.e.Net)
}

// cases makes a hypothesis's cases, one per set-up, as they are wanted.
type cases struct {
	s     *stage
	h     *Hypo
	e     predict.Effect
	own   map[string]*predict.Circuit
	byKey map[string]*predict.Case
}

func (s *stage) cases(h *Hypo, sev severity, own map[string]*predict.Circuit) *cases {
	return &cases{s: s, h: h, e: h.at(sev), own: own, byKey: map[string]*predict.Case{}}
}

func (c *cases) of(setup *conductor.Setup, key string) *predict.Case {
	if k, ok := c.byKey[key]; ok {
		return k
	}
	var k *predict.Case
	if circuit := c.s.circuit(setup, key, c.h, c.own); circuit != nil {
		k = circuit.NewCase(c.e)
	}
	c.byKey[key] = k
	return k
}

// quantity is what a dial setting measures.
func quantity(f meter.Function) predict.Quantity {
	switch f {
	case meter.Ohms:
		return predict.Resistance
	case meter.Amps:
		return predict.Current
	}
	return predict.Voltage
}

// forecast predicts one reading. shown is the step of the display when known.
func (c *cases) forecast(o *Observation, key string, slides []predict.Slide, shown float64) forecast {
	return c.forecastIn(nil, o, key, slides, shown)
}

// forecastIn is forecast in memory that is not needed any more.
func (c *cases) forecastIn(buf []float64, o *Observation, key string, slides []predict.Slide, shown float64) forecast {
	k := c.of(&o.Setup, key)
	if k == nil {
		return forecast{m: predict.Moments{Joined: false}, noise: 1, ohms: math.Inf(1)}
	}
	switch o.Func {
	case meter.Beeper:
		return forecast{ohms: k.Ohms(o.Red, o.Black)}
	case meter.Lamp:
		return forecast{light: lightPart(o, k)}
	}
	f := forecast{m: k.MomentsIn(buf, quantity(o.Func), o.Red, o.Black, slides)}
	c.s.e.dress(&f, o, shown)
	return f
}

// dress adds what the meter does to a reading's moments: its leads, the sign
// that AC does not show, its noise.
func (e *Engine) dress(f *forecast, o *Observation, shown float64) {
	mod := &e.Model
	if o.Func == meter.Ohms {
		f.lead = f.m.Joined
		if f.lead {
			f.m.Mean += mod.Meter.LeadOhms
		}
	}
	if mod.unsigned(o) && f.m.Mean < 0 {
		negate(&f.m)
		f.turned = !f.turned
	}
	r := mod.Meter.Of(o.Func)
	f.noise, f.flat.half = r.SD(f.m.Mean, shown), r.Flat(f.m.Mean, shown)
	noMinus := mod.alternates(o) && o.Func != meter.Amps || o.Func == meter.Ohms
	if noMinus && o.Shown.Kind == unit.Value && o.Shown.Value == 0 {
		f.zero(o.Shown.Step)
	}
	if !f.m.Joined && o.Func != meter.Ohms {
		f.stray, f.leak = mod.stray(o)
	}
}

// zero makes a forecast that of a display that shows no minus and shows zero:
// all that its last digits would take below ends there too. What it shows on a
// value x is zero with a chance of (half + step/2 - x) / (2 half).
func (f *forecast) zero(step float64) {
	half := f.flat.half
	if !(half > step) {
		return // rounding alone
	}
	before := f.flat.variance()
	f.flat = flat{half: half + step/2, tent: true}
	f.extra = math.Log(f.flat.half * f.flat.half / (2 * half * step))
	f.noise = math.Sqrt(f.noise*f.noise - before + f.flat.variance())
}

// quiet is the spread of a voltmeter on a rail that hangs on nothing and picks
// little up, volt (assumed).
const quiet = 0.03

// strayAC and strayDC are those parts of the supply's volts, and leaks is the most that
// comes through damp, dirt and carbon to a meter of 10 megohm (assumed).
const strayAC, strayDC, leaks = 0.06, 0.005, 0.35

// stray is the spread of what it shows where the rail does pick something up,
// volt: beside live wires a few percent of their AC, of DC hardly anything
// ("ghost volts"; common practice, no source): strayAC or strayDC of them (assumed);
// and the most that leaks there.
func (m *Model) stray(o *Observation) (spread, leak float64) {
	share := 0.0
	for _, s := range o.Setup.Sources() {
		share = math.Max(share, math.Abs(s.Volts))
	}
	if !m.alternates(o) {
		return quiet + strayDC*share, quiet + leaks*share
	}
	return quiet + strayAC*share, quiet + leaks*share
}

// Shares of voltmeters on what hangs on nothing that pick up nothing, a little and a
// lot, and of those to which anything up to the most leaks (assumed).
const picksNothing, picksLittle, picksMuch, picksLeaks = 0.5, 0.2, 0.2, 0.1

// floats is the log density of a reading in volts on a rail that hangs on
// nothing: mostly it picks nothing up and shows what the meter's own noise
// does, else a little or a lot, or what leaks.
func floats(v float64, f *forecast) float64 {
	var s logSum
	picks := [3]struct{ share, sd float64 }{{picksNothing, f.noise}, {picksLittle, quiet}, {picksMuch, f.stray}}
	for _, c := range picks {
		s.add(math.Log(c.share) - 0.5*(log2Pi+2*math.Log(c.sd)+v*v/(c.sd*c.sd)))
	}
	if math.Abs(v) < f.leak {
		s.add(math.Log(picksLeaks / (2 * f.leak)))
	}
	return math.Max(s.value(), impossible)
}

// mean is the value alone of a reading that is a number, as forecast gives it;
// false where it is none.
func (c *cases) mean(o *Observation, key string) (float64, bool) {
	k := c.of(&o.Setup, key)
	if k == nil {
		return 0, false
	}
	switch o.Func {
	case meter.Beeper, meter.Lamp:
		return 0, false
	case meter.Ohms:
		r := k.Ohms(o.Red, o.Black)
		return r + c.s.e.Model.Meter.LeadOhms, !math.IsInf(r, 0)
	case meter.Amps:
		return k.Amps(), true
	}
	v, _ := k.Volts(o.Red, o.Black)
	if c.s.e.Model.alternates(o) {
		v = math.Abs(v)
	}
	return v, true
}

func negate(m *predict.Moments) {
	m.Mean, m.Source, m.EMF, m.Load, m.Fault, m.Also = -m.Mean, -m.Source, -m.EMF, -m.Load, -m.Fault, -m.Also
	m.Place[0], m.Place[1] = -m.Place[0], -m.Place[1]
	for k := range m.Level {
		m.Level[k] = -m.Level[k]
	}
	for i := range m.S {
		m.S[i] = -m.S[i]
	}
}

// value is the reading as a number to compare with a forecast, and its step.
func (e *Engine) value(o *Observation) (v, step float64) {
	v, step = o.Shown.Value, o.Shown.Step
	if e.Model.unsigned(o) {
		v = math.Abs(v)
	}
	return v, step
}

// discrete gives the log likelihood of a reading that is not compared as a
// number, and false when it is one.
func (e *Engine) discrete(o *Observation, f *forecast) (float64, bool) {
	if o.Func == meter.Beeper {
		p := e.Model.Meter.BeepOdds(f.ohms)
		if o.Shown.Kind != unit.Beep {
			p = 1 - p
		}
		return math.Max(math.Log(p), impossible), true
	}
	if o.Func == meter.Lamp {
		return logLight(o.Shown.Kind, f.light), true
	}
	switch {
	case o.Shown.Kind == unit.OverLimit: // of a finite value: see overTerm
		return 0, true
	case math.IsInf(f.m.Mean, 0):
		return impossible, true
	case f.stray > 0:
		return floats(o.Shown.Value, f), true
	}
	return 0, false // a number, also one past the range: many meters find their own
}

// overOdds is the probability that the display goes over its limit on a value
// that is known only so well: the mean of it there and a spread to either side.
func overOdds(r meter.Range, mean, sd float64) float64 {
	return (r.OverOdds(math.Abs(mean)-sd) + r.OverOdds(mean) + r.OverOdds(math.Abs(mean)+sd)) / 3
}

// shared are the parts of a forecast's error that other readings have too.
type shared struct {
	what unknown
	by   float64 // derivative times standard deviation
	as   grows
}

// unknown is what readings share: equal ones are the same.
type unknown struct {
	kind unknownKind
	dial meter.Function // of its gain alone
}

type unknownKind int

const (
	lampCurrent unknownKind = iota
	supplyVolts
	loadOhms
	gain
	leadOhms
	bridgePlace
	faultOhms
	alsoOhms
)

// grows is what a part grows with in a level cell.
type grows int

const (
	still     grows = iota // nothing
	withValue              // the reading itself
	withRails              // the rails' level
	withLamp               // the lamp's current
	numGrows
)

// sharedParts lists them, in memory that is not needed any more.
func (e *Engine) sharedParts(o *Observation, f *forecast, sev severity, span float64, dst []shared) []shared {
	m := &e.Model
	dst = dst[:0]
	put := func(kind unknownKind, by float64, as grows) {
		if by != 0 {
			dst = append(dst, shared{unknown{kind: kind}, by, as})
		}
	}
	src := &o.Setup.Source
	as := still
	if src.Kind == conductor.SourceLamp {
		put(lampCurrent, f.m.Source*m.lampWithin(), withValue)
		// The lamp's current holds the supply's volts in it; what is left is read with
		// next to no current, and a supply gives more then.
		put(supplyVolts, (f.m.EMF+f.m.Source)*idleVolts, still)
		as = withLamp
	}
	if src.Kind == conductor.SourceVolts {
		put(supplyVolts, f.m.EMF*m.SupplySD, still)
	}
	if len(o.Setup.Loads) > 0 {
		put(loadOhms, f.m.Load*m.LoadSD, still)
	}
	if by := f.m.Mean * m.Meter.Of(o.Func).Gain(); by != 0 {
		dst = append(dst, shared{unknown{gain, o.Func}, by, withValue})
	}
	if f.lead {
		put(leadOhms, m.Meter.LeadSD, still)
	}
	put(bridgePlace, (f.m.Place[1]-f.m.Place[0])/2*span*placeSD, withRails)
	put(faultOhms, f.m.Fault*sev.sd, as)
	put(alsoOhms, f.m.Also*sev.alsoSD, as)
	return dst
}
