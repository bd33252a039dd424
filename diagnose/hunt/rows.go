package hunt

import (
	"math"
	"slices"
	"strings"

	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// Has says whether an answer falls into the row.
func (o *Outcome) Has(r unit.Reading) bool {
	if !slices.Contains(o.Kinds, r.Kind) {
		return false
	}
	if r.Kind != unit.Value {
		return true
	}
	v := r.Value
	if o.Size {
		v = math.Abs(v)
	}
	return (o.From == nil || v >= *o.From) && (o.To == nil || v < *o.To)
}

// Outcome is the row of an ask that an answer falls into: what it would mean
// while it is typed, or why it would not count. False for an ask whose rows do not part its answers (one
// saved by an older version).
func (a *Ask) Outcome(r unit.Reading) (Outcome, bool) {
	for _, rows := range [2][]Outcome{a.unfit, a.Expect} {
		for i := range rows {
			if rows[i].Has(r) {
				return rows[i], true
			}
		}
	}
	return Outcome{}, false
}

// part is a row of what may be answered with the mass that each prediction has in
// it, of all in sum.
type part struct {
	row  Outcome // without chance and meaning
	mass []float64
	sum  float64
}

// outcomes puts what may be answered into a few rows that part it.
func (sc scribe) outcomes(q *infer.Question, o *infer.Outlook) []Outcome {
	all := 0.0
	for _, w := range o.Weight {
		all += w
	}
	if all == 0 {
		return []Outcome{unforetold(q.Func)}
	}
	rows := []Outcome{}
	for _, p := range sc.parts(q, o, all) {
		p.row.P, p.row.Means = round2(p.sum/all), sc.meaning(o, p.mass)
		rows = append(rows, p.row)
	}
	return rows
}

// unforetold is the row of a reading of which nothing in the file foretells anything: what
// was read before fits none of it.
func unforetold(f meter.Function) Outcome {
	row := Outcome{Shows: "whatever it shows", P: 1, Means: "nothing in this file: what was read fits none of it"}
	switch f {
	case meter.Beeper:
		row.Kinds = []unit.Kind{unit.Beep, unit.Silent}
	case meter.Lamp:
		row.Kinds = []unit.Kind{unit.Bright, unit.Glowing, unit.Dark}
	default:
		row.Kinds = []unit.Kind{unit.Value, unit.OverLimit}
	}
	return row
}

// parts is the rows of a question with what lies in them.
func (sc scribe) parts(q *infer.Question, o *infer.Outlook, all float64) []part {
	of := func(row Outcome, share func(i int) float64) part {
		p := part{row: row}
		for i, w := range o.Weight {
			p.mass = append(p.mass, w*share(i))
			p.sum += w * share(i)
		}
		return p
	}
	if q.Func == meter.Beeper {
		return []part{of(Outcome{Shows: "beep", Kinds: []unit.Kind{unit.Beep}}, func(i int) float64 {
			return o.Beep[i]
		}),
			of(Outcome{Shows: "silent", Kinds: []unit.Kind{unit.Silent}}, func(i int) float64 { return 1 - o.Beep[i] })}
	}
	if q.Func == meter.Lamp {
		return []part{of(litRow("bright", unit.Bright), func(i int) float64 { return o.Bright[i] }),
			of(litRow("glowing", unit.Glowing), func(i int) float64 { return o.Beep[i] - o.Bright[i] }),
			of(litRow("dark", unit.Dark), func(i int) float64 { return 1 - o.Beep[i] })}
	}
	over := of(Outcome{Shows: "OL", Kinds: []unit.Kind{unit.OverLimit}}, func(i int) float64 { return o.Over[i] })
	if over.sum < seldom*all || sc.kit.halves() && sc.halved(q, o) {
		return sc.numberParts(q, o, &over)
	}
	return append([]part{over}, sc.numberParts(q, o, nil)...)
}

// seldom is how seldom an outcome may come up before it has no row of its own.
const seldom = 0.005

// numberParts are the rows of a reading that is a number. Over is what is over
// the limit, where that has no row of its own: the last one has it.
func (sc scribe) numberParts(q *infer.Question, o *infer.Outlook, over *part) []part {
	m := sc.mixtureOf(q, o)
	var borders []float64
	switch {
	case m.all > 0 && sc.kit.halves():
		borders = sc.twoRows(o, m)
	case m.all > 0:
		borders = m.borders()
	}
	u := unit.Setting(q.Func).Unit()
	var out []part
	from := math.Inf(-1)
	for _, to := range append(borders, math.Inf(1)) {
		p := part{row: Outcome{Kinds: []unit.Kind{unit.Value}, From: bound(from), To: bound(to)},
			mass: make([]float64, len(o.Weight))}
		inside, sum := m.between(from, to)
		p.sum = sum
		for k, i := range m.rows {
			p.mass[i] = inside[k]
		}
		if math.IsInf(to, 1) && over != nil {
			p.row.Kinds = append(p.row.Kinds, unit.OverLimit)
			p.sum += over.sum
			for i, x := range over.mass {
				p.mass[i] += x
			}
		}
		p.row.Shows = p.row.words(u)
		if len(borders) == 0 && m.all > 0 {
			p.row.Shows += ", likely " + about(m.inner(0.05), m.inner(0.95), u)
		}
		out = append(out, p)
		from = to
	}
	return out
}

// bound is a border that a row has, nil for none.
func bound(v float64) *float64 {
	if math.IsInf(v, 0) {
		return nil
	}
	return &v
}

func round2(x float64) float64 { return math.Round(x*100) / 100 }

// words says what numbers a row takes: "under 5 mV", "12 to under 20 mV", "20 mV
// or more, or OL".
func (o *Outcome) words(u unit.Unit) string {
	over := slices.Contains(o.Kinds, unit.OverLimit)
	switch {
	case o.From == nil && o.To == nil && over:
		return "whatever it shows"
	case o.From == nil && o.To == nil:
		return "any number"
	case o.From == nil:
		return "under " + unit.FormatDigits(*o.To, u, 2)
	case o.To != nil:
		return fromTo(*o.From, " to under ", *o.To, u)
	case over:
		return unit.FormatDigits(*o.From, u, 2) + " or more, or OL"
	}
	return unit.FormatDigits(*o.From, u, 2) + " or more"
}

// fromTo writes two numbers of one unit: "12 to 20 mV".
func fromTo(low float64, to string, high float64, u unit.Unit) string {
	a, b := unit.FormatDigits(low, u, 2), unit.FormatDigits(high, u, 2)
	number := strings.SplitN(b, " ", 2)[0]
	if low == 0 || strings.HasSuffix(a, strings.TrimPrefix(b, number)) {
		return strings.SplitN(a, " ", 2)[0] + to + b
	}
	return a + to + b
}

// about writes what is to be expected: "17 to 19 V", "about 18 V" where both are
// one to the eye, "under 20 mV" where the lower is next to nothing.
func about(low, high float64, u unit.Unit) string {
	a, b := unit.FormatDigits(low, u, 2), unit.FormatDigits(high, u, 2)
	switch {
	case a == b || math.Abs(high-low) < 0.1*math.Abs(high):
		return "about " + unit.FormatDigits((low+high)/2, u, 2)
	case low >= 0 && low < 0.03*high:
		return "under " + b
	}
	return fromTo(low, " to ", high, u)
}

// proofRows parts what a proof may show in two, the good row first: below a limit
// or above it. A tone is below every limit.
func (m *matter) proofRows(a *Ask, good, bad string) []Outcome {
	f := meter.Function(a.Meter)
	u := unit.Setting(f).Unit()
	limit, below := m.proofLimit(a)
	low := Outcome{Kinds: []unit.Kind{unit.Value}, To: &limit, Size: true}
	high := Outcome{Kinds: []unit.Kind{unit.Value, unit.OverLimit}, From: &limit, Size: true}
	low.Shows, high.Shows = low.words(u), high.words(u)
	if f == meter.Beeper {
		low = Outcome{Shows: "beep", Kinds: []unit.Kind{unit.Beep}}
		high = Outcome{Shows: "silent", Kinds: []unit.Kind{unit.Silent}}
	}
	if f == meter.Lamp {
		low, high = litRow("bright or glowing", unit.Bright, unit.Glowing), litRow("dark", unit.Dark)
	}
	if !below {
		low, high = high, low
	}
	low.Means, high.Means = good, bad
	return []Outcome{low, high}
}

const (
	// wholeOhms is the resistance below which a path is whole, above which none
	// is (leads and contacts; assumed).
	wholeOhms = 20
	// wholeVolts is the part of the supply's volts that a sound place has at
	// least under load (assumed).
	wholeVolts = 0.8
)

// proofLimit is what parts good from bad at a proof, of two digits, and whether
// the good lies below it.
func (m *matter) proofLimit(a *Ask) (limit float64, goodBelow bool) {
	f := meter.Function(a.Meter)
	switch {
	case m.symptom.Kind.OfAccessory() || m.symptom.Kind == SymptomPhase:
		limit, goodBelow = m.wiringLimit()
	case a.Above > 0:
		limit = a.Above
	case a.Below > 0:
		limit, goodBelow = a.Below, true
	case a.OfTestLamp():
		return 0, true // it burns where current comes to
	case f == meter.Beeper || f == meter.Ohms:
		limit, goodBelow = wholeOhms, !m.shortHunt()
	default:
		limit = min(wholeVolts*a.Setup.Source.Volts, m.engine.Model.Meter.Of(f).Over[0])
	}
	return limitOf(limit), goodBelow
}

// proofGood says whether a proof reading is good.
func (m *matter) proofGood(a *Ask, r unit.Reading) bool {
	rows := a.Expect
	if len(rows) == 0 || rows[0].Kinds == nil { // saved by an older version
		rows = m.proofRows(a, "", "")
	}
	return rows[0].Has(r)
}

// limitOf rounds to the two digits that a row names.
func limitOf(v float64) float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return v
	}
	step := math.Pow(10, math.Floor(math.Log10(math.Abs(v)))-1)
	return typed(math.Round(v/step) * step)
}
