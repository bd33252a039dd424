package hunt

import (
	"math"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// What arming a lamp costs, minutes: a look at it, and the first volts behind it.
const lookAtLamp, firstVolts = 0.2, 0.4

// armFirst is what a hunt behind a lamp begins with: is it lit, and the volts on
// its track side. Nil where both were answered, or q (nil: none was chosen yet)
// needs no lamp. The two cost next to nothing, tell a lamp that is not in the
// circuit from a track that is sound, and what stands across the rails by its ohms.
func (ch chooser) armFirst(q *infer.Question, p *infer.Posterior, now conductor.Setup) *Ask {
	supply := 0
	switch {
	case ch.paper || ch.kit.Armed || !ch.kit.Lamp || len(ch.net.Posts) == 0:
		return nil
	case q == nil && (len(ch.net.Posts) > 1 || !ch.lampHunt()):
		return nil
	case q != nil && q.Setup.Source.Kind != conductor.SourceLamp:
		return nil
	case q != nil:
		supply = max(ch.supplyAt(q.Setup.Source.From), 0)
	}
	for _, f := range append([]meter.Function{meter.Lamp}, ch.voltDials()...) {
		a := infer.Question{Setup: now.Clone(), Func: f, Red: ch.net.Posts[supply][0], Black: ch.net.Posts[supply][1]}
		a.Setup.Source, a.Setup.Loads, a.Setup.Also = ch.lampOn(supply), nil, nil
		a.Minutes = ch.pricing().minutes(&a, &now) - ch.pricing().minutes(&a, &a.Setup) + firstVolts
		if f == meter.Lamp {
			a.Minutes += lookAtLamp - firstVolts
		}
		if ch.answeredBehind(&a) {
			if f != meter.Lamp {
				return nil
			}
			continue
		}
		look := ch.engine.Score(p, ch.obs, []infer.Question{a})
		out := ch.scribe().ask(&a, &look[0], now)
		if out.Why = whyArm(f); f == meter.Lamp && ch.shortHunt() {
			lightMeans(out.Expect)
		}
		if f != meter.Lamp && ch.shortHunt() {
			out.Expect = out.Setup.Source.ArmRows(unit.Setting(f).Unit(), ch.kit.KnowsLamp())
			ch.scribe().foretell(out, p, 1, nil)
		}
		return out
	}
	return nil
}

// lampHunt says whether a short is hunted behind the lamp.
func (m *matter) lampHunt() bool {
	if !m.shortHunt() || !m.kit.Lamp {
		return false
	}
	_, beeps := m.continuity()
	return m.millivolts() || !beeps
}

// answeredBehind says whether the lamp of a question's source was looked at, or
// volts were read on its track side, or that was skipped.
func (ch chooser) answeredBehind(q *infer.Question) bool {
	for i := range ch.obs {
		o := &ch.obs[i]
		if o.Func == q.Func && o.Setup.Source.Kind == conductor.SourceLamp &&
			o.Setup.Source.From == q.Setup.Source.From &&
			(q.Func == meter.Lamp || o.Red == q.Red && o.Black == q.Black) {
			return true
		}
	}
	return ch.skipped[questionKey(q)]
}

func whyArm(f meter.Function) string {
	if f == meter.Lamp {
		return "before anything is read: is there current? A lamp that burns says that the fault is there and that " +
			"the lamp is in the circuit; a dark one that there is no short with the trains off, or that nothing " +
			"feeds the track. The next reading tells which"
	}
	return "the volts on the lamp's track side tell how many ohms stand across the rails: next to none is bare " +
		"metal, a volt or two an engine or a lit car; nearly all of the supply's, and nothing is there"
}

// acrossRails says of a bridge what its ohms make it, where they are known, and
// what to look for at a glance. A lamp that nobody knows leaves the ohms in doubt:
// what stands on the rails is named from maybeThere on, since a glance costs
// nothing and a lifted piece does.
func (te teller) acrossRails(k *Candidate, p *infer.Posterior, class int, s *fault.Suspect) {
	part, stands := map[fault.Thing]float64{}, fault.Motor
	ohms, byLamp, told := te.ohmsBehindLamp()
	if byLamp && !te.kit.KnowsLamp() {
		ohms = 0
	}
	if told && s.Mode == track.Bridged {
		for _, t := range fault.Things() {
			lo, hi := t.Ohms()
			part[t] = p.BridgeWithin(te.engine, class, lo, hi)
		}
	}
	if part[fault.Lamps] > part[fault.Motor] {
		stands = fault.Lamps
	}
	switch there := part[fault.Motor] + part[fault.Lamps]; {
	case there > surelyOhms:
		k.What, k.Look = stands.Describe(ohms)+"; else "+k.What, s.EyesFirst(stands)
	case there > maybeThere:
		k.What, k.Look = "perhaps "+stands.Maybe(ohms)+"; else "+k.What, s.EyesFirst(stands)
	case part[fault.Metal] > surelyOhms:
		k.What, k.Look = k.What+" ("+fault.Metal.Describe(ohms)+")", s.EyesFirst(fault.Metal)
	default:
		k.Look = s.EyesFirst(fault.Untold)
	}
}

// surelyOhms is the part of the belief in a bridge that must have the ohms of a
// thing for it to be named, maybeThere that from which it is named as what may
// be there.
const surelyOhms, maybeThere = 0.7, 0.2

// ohmsBehindLamp is what the last volts behind the lamp, or ohms, between the two
// sides make of all that stands between them, ohm, and whether it was the lamp's volts
// that told; false before any was read.
func (te teller) ohmsBehindLamp() (ohms float64, byLamp, told bool) {
	for i := len(te.obs) - 1; i >= 0; i-- {
		o := &te.obs[i]
		src, v := &o.Setup.Source, math.Abs(o.Shown.Value)
		switch {
		case o.Shown.Kind != unit.Value || o.Red == o.Black:
		case o.Func == meter.Ohms:
			return max(v-te.engine.Model.Meter.LeadOhms, 0), false, true
		case src.Kind == conductor.SourceLamp && o.Func != meter.Amps && o.Red == src.From && o.Black == src.To &&
			v < src.Volts:
			return src.Ohms() * v / (src.Volts - v), true, true
		}
	}
	return 0, false, false
}

// readings is how many readings of a meter count: a look at the lamp is none.
func (sit *Situation) readings() int { return metered(sit.obs) }

func metered(obs []infer.Observation) int {
	n := 0
	for i := range obs {
		if obs[i].Func != meter.Lamp {
			n++
		}
	}
	return n
}

// ArmRows part the first volts behind a lamp by what stands across the rails. The volts
// tell ohms as well as the lamp is known: where nobody knows it, an engine is named from
// where it may begin to where it may end.
func (s *Source) ArmRows(u unit.Unit, known bool) []Outcome {
	lamp := s.Volts / s.Amps
	motorLeast, motorMost := fault.Motor.Ohms()
	engine := "about 2 ohm: an engine or a lit car rather than bare metal"
	if !known {
		doubt := math.Exp(2 * infer.UnknownLamp)
		motorLeast, motorMost = motorLeast/doubt, motorMost*doubt
		engine = "some ohms (how many, this lamp does not tell): an engine or lit cars, else metal that touches badly"
	}
	var borders []float64
	for _, ohms := range [...]float64{motorLeast, motorMost, 4 * lamp} {
		borders = append(borders, limitOf(s.Volts*ohms/(lamp+ohms)))
	}
	says := [...]string{"next to no ohms: bare metal across the rails", engine,
		"lit cars, damp ballast, carbon; or accessories on these wires",
		"nothing stands across the rails with the trains off: look at the trains"}
	var out []Outcome
	for i, means := range says {
		row := Outcome{Kinds: []unit.Kind{unit.Value}, Size: true, Means: means}
		if i > 0 {
			row.From = &borders[i-1]
		}
		if i < len(borders) {
			row.To = &borders[i]
		} else {
			row.Kinds = append(row.Kinds, unit.OverLimit)
		}
		row.Shows = row.words(u)
		out = append(out, row)
	}
	return out
}

// Rows of a look at the lamp.
func litRow(shows string, kinds ...unit.Kind) Outcome { return Outcome{Shows: shows, Kinds: kinds} }

// lightMeans says what the first look at a lamp tells: that the fault is there, and
// next to nothing of its place.
func lightMeans(rows []Outcome) {
	rows[0].Means = "a short, metal or an engine: where, the next readings tell"
	rows[1].Means = "several ohms, or a lamp for more volts than the supply has: where, the next readings tell"
	rows[2].Means = "no short with the trains off, or nothing feeds the track: the volts tell which"
}

// The answers that are put aside.
type asides struct {
	last  *Ask           // the ask that comes again
	count map[string]int // by question and fact: how often
	// lit says that the lamp was just seen lit: a fault that comes and goes is
	// there for the next reading.
	lit bool
}

// mostAsides is how often the same answer to the same ask is put aside before it
// is believed; OL on millivolts across the posts once, since a short of a quarter of
// an ohm shows it as well as the wrong side of the lamp.
const mostAsides, mostOver = 2, 1

const (
	// supplysOwn is the part of the supply's volts from which a reading is taken
	// for the supply's own (the handle can be at 60 %), noVolts that under
	// which there are none. A battery has no handle: batterysOwn, since several ohms
	// across the rails leave it more than half (assumed).
	supplysOwn, batterysOwn, noVolts = 0.5, 0.85, 0.04
)

// ownVolts is from which volts on a reading is taken for the supply's own.
func ownVolts(m *matter, src *conductor.Source) float64 {
	if m.standIn() && src.Volts == m.kit.DCVolts {
		return batterysOwn * src.Volts
	}
	return supplysOwn * src.Volts
}

// putAside looks whether an answer can be what it was asked for. One that cannot
// is no evidence: the same ask comes again with what was wrong.
func (sit *Situation) putAside(t *taken) bool {
	sit.asides.last, sit.asides.lit = nil, false
	if sit.paper {
		return false
	}
	fact, says := sit.outOfPlace(&t.obs)
	if fact == "" {
		return sit.watched(&t.obs)
	}
	key := obsKey(&t.obs) + string(fact)
	if sit.asides.count == nil {
		sit.asides.count = map[string]int{}
	}
	if sit.asides.count[key] >= sit.mostAside(fact, &t.obs) {
		return false
	}
	sit.asides.count[key]++
	again := t.ask
	if fact == FactNotLive { // the light that was seen before is no evidence either
		last := len(sit.obs) - 1
		again = sit.asks[last]
		sit.obs, sit.asks, sit.typed = sit.obs[:last], sit.asks[:last], sit.typed[:last]
	}
	again.Aside = &Aside{Fact: fact, Reading: t.typed, Says: says}
	sit.asides.last = &again
	return true
}

// mostAside is how often an answer is put aside for a fact before it is believed.
func (sit *Situation) mostAside(fact Fact, o *infer.Observation) int {
	switch src := &o.Setup.Source; {
	case fact == FactAway:
		return sit.mostAway(o)
	case fact == FactOverRange && o.Red == src.From && o.Black == src.To:
		return mostOver
	}
	return mostAsides
}

// unfit are the answers to an ask that would be put aside, with what would be said.
func (sit *Situation) unfit(a *Ask) []Outcome {
	q, err := a.On(sit.net)
	if err != nil || sit.paper || q.Setup.Source.Kind != conductor.SourceLamp {
		return nil
	}
	own, none := ownVolts(&sit.matter, &q.Setup.Source), noVolts*q.Setup.Source.Volts
	volt := unit.Reading{Kind: unit.Value, Unit: unit.Volt}
	full, over := volt, volt
	full.Value, over.Kind = q.Setup.Source.Volts, unit.OverLimit
	var out []Outcome
	for _, k := range []struct {
		shown unit.Reading
		row   Outcome
	}{{full, Outcome{From: &own}}, {over, Outcome{}}, {volt, Outcome{To: &none}},
		{unit.Reading{Kind: unit.Dark}, Outcome{}}} {
		if lamp := q.Func == meter.Lamp; lamp != (k.shown.Kind == unit.Dark) || !lamp && q.Func != meter.Volts &&
			q.Func != meter.Millivolts {
			continue
		}
		o := infer.Observation{Setup: q.Setup, Func: q.Func, Red: q.Red, Black: q.Black, Shown: k.shown}
		fact, says := sit.outOfPlace(&o)
		if fact == "" || sit.asides.count[obsKey(&o)+string(fact)] >= sit.mostAside(fact, &o) {
			continue
		}
		says, _, _ = strings.Cut(says, ". ")
		k.row.Kinds, k.row.Size, k.row.Means = []unit.Kind{k.shown.Kind}, true, "not counted: "+says
		out = append(out, k.row)
	}
	return out
}

// mostAway is how often a dark lamp is taken for a fault that is away: as often as it
// is dark, but for who has the lamp alone. There dark is also what a part that was
// taken off makes it, once it was seen lit, and is believed after one more try.
func (sit *Situation) mostAway(o *infer.Observation) int {
	if sit.shortHunt() && lampAlone(&sit.matter) && sit.lightOf(o.Setup.Source.From) != "" {
		return 1
	}
	return math.MaxInt
}

// watched notes that the lamp was seen lit where the fault comes and goes, and
// says whether that look was for the next reading alone: the first counts as
// evidence, those after it would say the same again, unless the light is what is read.
func (sit *Situation) watched(o *infer.Observation) bool {
	if o.Func != meter.Lamp || o.Setup.LightsLoad() || !sit.symptom.Sometimes {
		return false
	}
	first := sit.lightOf(o.Setup.Source.From) == ""
	sit.asides.lit = true
	return !first && !(sit.shortHunt() && lampAlone(&sit.matter))
}

// watchFirst is a look at the lamp before a reading behind it where the fault
// comes and goes: while it is dark a reading says nothing of the place. Nil where
// it is lit.
func (ch chooser) watchFirst(q *infer.Question, now conductor.Setup) *Ask {
	if !ch.symptom.Sometimes || ch.paper || ch.kit.Armed || ch.asides.lit ||
		q.Setup.Source.Kind != conductor.SourceLamp || q.Func == meter.Lamp {
		return nil
	}
	look := infer.Question{Setup: q.Setup, Func: meter.Lamp, Red: q.Setup.Source.From, Black: q.Setup.Source.To,
		Minutes: lookAtLamp}
	if ch.skipped[questionKey(&look)] {
		return nil
	}
	look.Minutes += ch.pricing().minutes(&look, &now) - ch.pricing().minutes(&look, &q.Setup)
	a := ch.scribe().ask(&look, nil, now)
	a.Why = "the fault comes and goes: see that it is there before the next reading. While the lamp is dark a " +
		"reading says nothing about the place"
	a.Expect = []Outcome{litRow("bright or glowing", unit.Bright, unit.Glowing), litRow("dark", unit.Dark)}
	a.Expect[0].Means, a.Expect[1].Means = "the fault is there: read now", "it is away: make it show first"
	a.Expect[0].P, a.Expect[1].P = 1-infer.Away, infer.Away
	return a
}

// outOfPlace says what an answer shows that the track behind the lamp cannot,
// "" for nothing.
func (sit *Situation) outOfPlace(o *infer.Observation) (Fact, string) {
	src := &o.Setup.Source
	if src.Kind != conductor.SourceLamp {
		return "", ""
	}
	if o.Func == meter.Lamp {
		if o.Shown.Kind == unit.Dark && sit.symptom.Sometimes {
			return FactAway, "the lamp is dark, so the fault is away now, and a reading would say nothing about its " +
				"place: make it show (" + provokedLive + ") and look again; if it stays away, skip"
		}
		return "", ""
	}
	light := sit.lightOf(src.From)
	onPosts := o.Red == src.From && o.Black == src.To
	v, volts := math.Abs(o.Shown.Value), o.Shown.Unit == unit.Volt
	switch {
	case volts && o.Shown.Kind == unit.Value && onPosts && light == unit.Dark && v < noVolts*src.Volts &&
		sit.obs[len(sit.obs)-1].Func == meter.Lamp:
		return FactNotLive, "neither light nor volts: nothing feeds the track. See that the handle is full up, the " +
			"breaker is in and the fuse whole, the lamp is good and sits between the hot post and the hot wires, and " +
			"the probes touch bare metal; then look at the lamp again" + after(sit.mayTrip(o.Setup.Source))
	case !volts || len(o.Setup.Lifted) > 0 || !sit.shortHunt() || onPosts && light != unit.Bright &&
		light != unit.Glowing || !onPosts && !sit.sameSide(o):
		return "", ""
	case o.Shown.Kind == unit.Value && v >= ownVolts(&sit.matter, src):
		says := "that is nearly the supply's own volts: you are on the supply's side of the lamp. Put the probe " +
			"where the hot wires join, behind the lamp, and read again"
		if o.Func == meter.Volts && !hasUnit(o.Shown.Typed) {
			says += "; of a dial on millivolts write mV too"
		}
		return FactSupplySide, says
	case o.Shown.Kind == unit.OverLimit && o.Func == meter.Millivolts && len(sit.layout.Pieces) <= longTrack:
		return FactOverRange, "that is far more than the track drops behind the lamp: is a probe on the supply's " +
			"side of the lamp, or on the other rail? Read again"
	}
	return "", ""
}

// lightOf is what the lamp behind a supply's post did last, "" for not looked at.
func (sit *Situation) lightOf(from int) unit.Kind {
	for i := len(sit.obs) - 1; i >= 0; i-- {
		o := &sit.obs[i]
		if o.Func == meter.Lamp && !o.Setup.LightsLoad() && o.Setup.Source.From == from &&
			(len(o.Setup.Pulled) == 0 || len(o.Setup.Pulled) < len(sit.layout.Feeders)) {
			return o.Shown.Kind
		}
	}
	return ""
}

// sameSide says whether both probes of a reading lie on the hot side, or both on
// the common side: then sound track shows next to nothing between them.
func (sit *Situation) sameSide(o *infer.Observation) bool {
	mean, _, ok := sit.engine.Sound(&infer.Question{Setup: o.Setup, Func: meter.Volts, Red: o.Red, Black: o.Black},
		sit.engine.Update(nil))
	return ok && math.Abs(mean) < 0.1*o.Setup.Source.Volts
}

// sameAgain is the ask whose answer was put aside, with what was wrong.
func (ch chooser) sameAgain(now conductor.Setup) *Ask {
	last := ch.asides.last
	if last == nil || ch.found != "" {
		return nil
	}
	q, err := last.On(ch.net)
	if err != nil {
		return nil
	}
	q.Minutes = lookAtLamp
	if q.Func != meter.Lamp {
		q.Minutes = firstVolts
	}
	a := ch.scribe().ask(&q, nil, now)
	a.Expect, a.Bits, a.Aside = last.Expect, last.Bits, last.Aside
	a.Why = last.Aside.Reading + ": " + last.Aside.Says
	return a
}

// liveAt says whether volts near the supply's own were read behind the lamp where
// a beep is asked for: with points, toggles and accessories as they are there,
// the lamp dark, no short hangs on these posts.
func (sit *Situation) liveAt(q *infer.Question) bool {
	for i := range sit.obs {
		o := &sit.obs[i]
		if o.Func == meter.Volts && o.Red == q.Red && o.Black == q.Black &&
			o.Setup.Source.Kind == conductor.SourceLamp &&
			o.Shown.Kind == unit.Value && math.Abs(o.Shown.Value) > 0.8*o.Setup.Source.Volts &&
			flipsKey(&o.Setup) == flipsKey(&q.Setup) {
			return true
		}
	}
	return false
}
