package trial

import (
	"fmt"
	"math"
	"math/rand/v2"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Setting is one row of a table: what is hunted, with what, on what track.
type Setting struct {
	Layout *track.Layout
	Kit    hunt.Kit       // what the hunter is told of the instruments
	Meter  simulate.Meter // what the readings are made with
	// Rails and Joints multiply the resistances of the file; 0 means 1.
	Rails, Joints float64
	// LevelSD is the log-sd of a factor drawn for each hunt, shared by all
	// rails and joints.
	LevelSD float64
	// Believed draws both levels anew for each hunt as the hunter believes them
	// to be spread beforehand, on top of Rails and Joints, and lets contacts and
	// hands be as unsteady as it takes them to be. Only faults that are seen as a
	// short are kept: a stall it also gives to joints, which may not be hidden.
	Believed bool
	// LampSD is the log-sd of the lamp's true current about its rating.
	LampSD float64
	// MinOhms and MaxOhms bound the resistance of shorts; 0: as the suspects
	// say.
	MinOhms, MaxOhms float64
	Wrong            float64 // probability that a reading is taken wrong
	// Slow is the fraction of the sound volts under load below which trains
	// are seen to slow down; 0 means 0.9.
	Slow float64
}

// Field is a setting made ready: its network, and the suspects that are
// hidden.
type Field struct {
	Setting
	Net      *conductor.Network
	Suspects []fault.Suspect
}

// NewField prepares a setting. keep says which suspects may be hidden; nil
// keeps those that short the supply.
func NewField(s Setting, keep func(*Field, *fault.Suspect) bool) (*Field, error) {
	n, err := conductor.Build(s.Layout)
	if err != nil {
		return nil, err
	}
	if s.Rails == 0 {
		s.Rails = 1
	}
	if s.Slow == 0 {
		s.Slow = 0.9
	}
	if s.Joints == 0 {
		s.Joints = 1
	}
	f := &Field{Setting: s, Net: n}
	if keep == nil {
		keep = (*Field).shorts
	}
	for _, x := range fault.List(n) {
		if s.MaxOhms > 0 && x.Mode == track.Bridged {
			x.MinOhms, x.MaxOhms = s.MinOhms, s.MaxOhms
		}
		if keep(f, &x) {
			f.Suspects = append(f.Suspects, x)
		}
	}
	if len(f.Suspects) == 0 {
		return nil, fmt.Errorf("nothing to hide in %s", s.Layout.Name)
	}
	return f, nil
}

// shorts says whether a suspect shorts the supply when it is as bad as it can
// be.
func (f *Field) shorts(s *fault.Suspect) bool {
	if s.Mode != track.Bridged && s.Mode != track.Swapped {
		return false
	}
	return f.trips(simulate.NewBench(f.Net, nil, []simulate.Fault{{Suspect: *s, Ohms: s.MinOhms, Position: 0.5}}))
}

// trips says whether a breaker trips: the track takes more than its rating.
func (f *Field) trips(b *simulate.Bench) bool {
	for i, p := range f.Net.Posts {
		s := &f.Layout.Supplies[i]
		limit := 2.0
		if s.Breaker > 0 {
			limit = s.Volts / s.Breaker
		}
		usual := conductor.Usual(f.Layout)
		usual.Warm = true
		if b.Ohms(usual, p[0], p[1]) < limit {
			return true
		}
	}
	return false
}

// Hidden is one fault hidden on a layout, with who reads.
type Hidden struct {
	Fault   simulate.Fault
	Symptom hunt.Symptom
	Person  simulate.Person
	Ohms    []float64 // true resistance of every link
	Lamp    float64   // factor on the lamp's current
	Slips   int       // readings that were taken wrong so far
	// Exact, when set, answers in place of the bench: ohm or volt at the
	// meter's terminals. No slips are made then.
	Exact func(p simulate.Probe) (float64, error)
}

// Draw hides one of the suspects by their odds. The same seed hides the same.
// It fails where no draw gives a symptom.
func (f *Field) Draw(seed uint64) (*Hidden, error) {
	rng := rand.New(rand.NewPCG(seed, 0xfeed))
	for range 200 {
		if h := f.hide(simulate.DrawFault(f.Suspects, rng), rng); h != nil &&
			(!f.Believed || h.Symptom.Kind == hunt.SymptomShort) {
			return h, nil
		}
	}
	return nil, fmt.Errorf("no fault of %s shows a symptom", f.Layout.Name)
}

// hide puts a fault in; nil when it gives no symptom.
func (f *Field) hide(x simulate.Fault, rng *rand.Rand) *Hidden {
	rails, joints := f.levels(rng)
	h := &Hidden{Fault: x, Ohms: simulate.DrawOhms(f.Net, rng, rails, joints),
		Lamp: math.Exp(f.LampSD * rng.NormFloat64())}
	b := simulate.NewBench(f.Net, h.Ohms, []simulate.Fault{x})
	h.Person = simulate.Person{Bench: b, Meter: f.Meter.Draw(rng), AC: f.Layout.Supplies[0].AC,
		Wrong: f.Wrong, Rng: rng}
	if f.Believed {
		f.unsteady(&h.Person)
	}
	if f.trips(b) {
		h.Symptom = hunt.Symptom{Kind: hunt.SymptomShort}
		return h
	}
	var ok bool
	if h.Symptom, ok = f.stalls(b, h.Ohms, rng); !ok {
		return nil
	}
	return h
}

// unsteady makes a person's hands as unsteady as the hunter's model of the
// instrument has it. Ohms have the simulated tips already.
func (f *Field) unsteady(p *simulate.Person) {
	m, ok := meter.ByName(f.Kit.Meter, p.AC)
	if !ok {
		return
	}
	p.Share, p.Hands = meter.Bends, map[simulate.Function]float64{}
	for _, fn := range []simulate.Function{simulate.Volts, simulate.Millivolts, simulate.Amps} {
		p.Hands[fn] = m.Of(meter.Function(fn)).Scatter
	}
}

// levels draws the factors on all rails and on all joints.
func (f *Field) levels(rng *rand.Rand) (rails, joints float64) {
	level := simulate.DrawLevel(rng, f.LevelSD)
	rails, joints = level*f.Rails, level*f.Joints
	if f.Believed {
		l := infer.DefaultModel(f.Net, meter.Cheap(false), false).Level
		wide := func(mean, sd float64) float64 { // a normal with a heavy tail, as infer.Level says
			if rng.Float64() < l.Tail {
				sd *= 3
			}
			return math.Exp(mean + sd*rng.NormFloat64())
		}
		common := wide(l.CommonMean, l.CommonSD)
		rails *= common * math.Exp(l.RailSD*rng.NormFloat64())
		joints *= common * wide(l.JointMean, l.JointSD)
	}
	return rails, joints
}

// stalls finds a piece where a train gets clearly less than on sound track.
func (f *Field) stalls(b *simulate.Bench, ohms []float64, rng *rand.Rand) (hunt.Symptom, bool) {
	sound := simulate.NewBench(f.Net, ohms, nil)
	for range 40 {
		p := rng.IntN(len(f.Layout.Pieces))
		good := f.loaded(sound, p)
		if good < 0.3*f.Layout.Supplies[0].Volts {
			continue
		}
		x := f.loaded(b, p) / good
		at := f.Layout.Pieces[p].ID()
		switch {
		case x < 0.2:
			return hunt.Symptom{Kind: hunt.SymptomDead, At: at}, true
		case x > 0.3 && x < f.Slow:
			return hunt.Symptom{Kind: hunt.SymptomWeak, At: at}, true
		}
	}
	return hunt.Symptom{}, false
}

// loaded is the volts that a load of one ampere gets in the middle of a piece.
func (f *Field) loaded(b *simulate.Bench, piece int) float64 {
	c := f.Layout.Pieces[piece].Construction
	hot, common := f.Net.Middle(piece, c.Hot), f.Net.Middle(piece, f.Net.CommonRail(piece))
	if hot < 0 || common < 0 {
		return 0
	}
	v := f.Layout.Supplies[0].Volts
	s := conductor.Setup{Source: conductor.Source{Kind: conductor.SourceVolts, From: f.Net.Posts[0][0],
		To: f.Net.Posts[0][1], Volts: v},
		Loads: []conductor.Load{{From: hot, To: common, Ohms: v}}}
	got, _ := b.Volts(s, hot, common)
	return math.Abs(got)
}

// Read takes one reading as a person would.
func (h *Hidden) Read(p simulate.Probe) (string, error) {
	p.Setup.Source.Amps *= h.Lamp
	if h.Exact != nil {
		v, err := h.Exact(p)
		return h.Person.Meter.Show(p.Function, v, h.Person.AC, h.Person.Rng), err
	}
	text, slip := h.Person.Read(p)
	if slip != simulate.SlipNone {
		h.Slips++
	}
	return text, nil
}

// number reads and parses.
func (h *Hidden) number(p simulate.Probe) (unit.Reading, error) {
	text, err := h.Read(p)
	if err != nil {
		return unit.Reading{}, err
	}
	return unit.Parse(text, unit.Setting(p.Function))
}
