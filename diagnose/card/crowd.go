package card

import (
	"fmt"
	"math"
	"math/rand/v2"
	"runtime"
	"sync"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/price"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/trial"
	"fishplate/diagnose/unit"
)

// one is one layout of the crowd: a fault, true resistances, a meter.
type one struct {
	weight  float64
	tries   int  // drawings until it showed the symptom
	shown   bool // it does
	suspect int  // index into fair.suspects, -1 for a cause off the track
	class   int
	n       *conductor.Network
	meter   simulate.Meter
	ohms    []float64
	faults  []simulate.Fault
	lamp    float64 // factors on the lamp's current, the supply's volts, a load
	supply  float64
	load    float64
	seed    uint64
	// volts are those of every node in the set-up of key, NaN where nothing
	// joins it to the source: a whole circuit takes fifty times the memory.
	volts []float64
	key   string
}

// fair is where crowds are drawn: the suspects that can give the symptom.
type fair struct {
	n        *conductor.Network
	o        *Options
	piece    int // of the symptom, -1
	suspects []fault.Suspect
	classes  []string
	ofPiece  []int // class -> piece, -1
	cost     []float64
	price    *price.List
	near     [][]int // class -> classes of the pieces joined to it
	class    map[string]int
	sound    float64 // dead, weak: volts at the place with nothing wrong
	lamp     float64 // log-sd of the lamp's current
}

// What the drawn layouts are off by, as log-sds. They are those that the hunt
// assumes; the lamp's is the kit's.
const (
	voltsSpread = 0.03
	loadSpread  = 0.1
	levelSpread = 0.4 // where the network does not say
	// offTrack is how often the cause of a short is no part of the layout
	// (assumed).
	offTrack = 0.1
	// rare is the weight, against one that surely shows the symptom, below
	// which a drawn fault is left out.
	rare = 0.05
)

func newFair(n *conductor.Network, o *Options) *fair {
	f := &fair{n: n, o: o, price: price.Of(n), piece: -1, class: map[string]int{}}
	if at := o.Symptom.At; at != "" {
		f.piece = n.Layout.FindPiece(at)
		if j := n.Layout.FindJoint(at); f.piece < 0 && j >= 0 {
			f.piece = n.Layout.Joints[j].B.Piece
		}
	}
	_, f.lamp = o.Kit.LampCurrent(n.Layout.Supplies[0].Volts, n.Layout.Supplies[0].Trip())
	if b := simulate.NewBench(n, nil, nil); f.loaded() {
		f.sound = f.voltsThere(b, 1)
	}
	for _, s := range fault.List(n) {
		if f.shows(&s) {
			f.suspects = append(f.suspects, s)
		}
	}
	for i := range f.suspects {
		f.addClass(f.suspects[i].Piece, f.suspects[i].PieceIndex)
	}
	f.addClass(OffTrack, -1)
	f.neighbours()
	return f
}

func (f *fair) addClass(name string, piece int) {
	if _, ok := f.class[name]; ok {
		return
	}
	f.class[name] = len(f.classes)
	f.classes = append(f.classes, name)
	f.ofPiece = append(f.ofPiece, piece)
	f.cost = append(f.cost, f.price.Look(piece))
}

func (f *fair) neighbours() {
	f.near = make([][]int, len(f.classes))
	at := map[int]int{}
	for c, p := range f.ofPiece {
		if p >= 0 {
			at[p] = c
		}
	}
	for i := range f.n.Layout.Joints {
		j := &f.n.Layout.Joints[i]
		a, okA := at[j.A.Piece]
		b, okB := at[j.B.Piece]
		if okA && okB && a != b {
			f.near[a], f.near[b] = append(f.near[a], b), append(f.near[b], a)
		}
	}
}

func (f *fair) short() bool { return f.o.Symptom.Kind == hunt.SymptomShort }

// loaded says that the symptom is one of volts at a place.
func (f *fair) loaded() bool { return !f.short() && f.piece >= 0 }

// shows says whether a suspect can give the symptom at all: its plainest case
// does.
func (f *fair) shows(s *fault.Suspect) bool {
	for _, ohms := range []float64{s.MinOhms, math.Sqrt(s.MinOhms * s.MaxOhms), s.MaxOhms} {
		b := simulate.NewBench(f.n, nil, []simulate.Fault{{Suspect: *s, Ohms: ohms, Position: 0.5}})
		if f.symptom(b, 1) >= rare {
			return true
		}
		if s.MinOhms == s.MaxOhms {
			break
		}
	}
	return false
}

// symptom is how likely the symptom is on a bench, 0 to 1.
func (f *fair) symptom(b *simulate.Bench, volts float64) float64 {
	switch {
	case f.short():
		return f.trips(b)
	case !f.loaded() || f.sound <= 0:
		return 1
	}
	x := f.voltsThere(b, volts) / f.sound
	if f.o.Symptom.Kind == hunt.SymptomDead {
		return fault.SeenDead(x)
	}
	return fault.SeenWeak(x)
}

// trips is how surely a breaker trips: well above its rating (assumed). The
// supply is on, so that accessories take what they take when warm: cold, a lamp
// reads as a short.
func (f *fair) trips(b *simulate.Bench) float64 {
	best := 0.0
	for i, p := range f.n.Posts {
		s := &f.n.Layout.Supplies[i]
		limit := 2.0
		if s.Breaker > 0 && s.Volts > 0 {
			limit = s.Volts / s.Breaker
		}
		on := conductor.Usual(f.n.Layout)
		on.Source = conductor.Source{Kind: conductor.SourceVolts, From: p[0], To: p[1], Volts: math.Max(s.Volts, 1)}
		if amps := b.Amps(on); amps > 0 {
			best = math.Max(best, 1/(1+math.Pow(on.Source.Volts/amps/(1.5*limit), 4)))
		}
	}
	return best
}

// voltsThere is what a train's load of about one ampere gets at the place of
// the symptom.
func (f *fair) voltsThere(b *simulate.Bench, factor float64) float64 {
	c := f.n.Layout.Pieces[f.piece].Construction
	hot, common := f.n.Middle(f.piece, c.Hot), f.n.Middle(f.piece, c.Common)
	if hot < 0 || common < 0 {
		return 0
	}
	best := 0.0
	for i, p := range f.n.Posts {
		v := f.n.Layout.Supplies[i].Volts
		s := conductor.Usual(f.n.Layout)
		s.Source = conductor.Source{Kind: conductor.SourceVolts, From: p[0], To: p[1], Volts: v * factor}
		s.Loads = []conductor.Load{{From: hot, To: common, Ohms: v}}
		if got, ok := b.Volts(s, hot, common); ok {
			best = math.Max(best, math.Abs(got))
		}
	}
	return best
}

// draw makes a crowd: every suspect a few times, likelier ones more often,
// weighted so that together they follow the odds and the symptom. Who does not
// show the symptom is drawn again, so that no weight is wasted on faults that
// nobody would hunt.
func (f *fair) draw(seed uint64) ([]*one, error) {
	if len(f.suspects) == 0 {
		return nil, fmt.Errorf("nothing in this layout file can make the symptom %q%s", f.o.Symptom.Kind,
			at(f.o.Symptom.At))
	}
	sum := 0.0
	for i := range f.suspects {
		sum += f.suspects[i].Odds
	}
	var out []*one
	for i := range f.suspects {
		k := 2 + int(float64(f.o.Draws)*f.suspects[i].Odds/sum)
		for range k {
			out = append(out, &one{suspect: i, class: f.class[f.suspects[i].Piece]})
		}
	}
	if f.short() {
		const k = 12
		for range k {
			out = append(out, &one{suspect: -1, class: f.class[OffTrack], weight: offTrack / (1 - offTrack) / k})
		}
	}
	for i := range out {
		out[i].seed = seed<<20 + uint64(i)
	}
	each(out, f.realise)
	f.weights(out, sum)
	return kept(out, f), nil
}

// weights gives each that shows the symptom its part of its suspect's odds: the
// fraction of all drawings of the suspect that showed it, in equal parts.
func (f *fair) weights(out []*one, sum float64) {
	tries := make([]int, len(f.suspects))
	for _, x := range out {
		if x.suspect >= 0 {
			tries[x.suspect] += x.tries
		}
	}
	for _, x := range out {
		if x.suspect >= 0 && x.shown {
			x.weight = f.suspects[x.suspect].Odds / sum / float64(tries[x.suspect])
		}
	}
}

func at(place string) string {
	if place == "" {
		return ""
	}
	return " at " + place
}

// mostTries is how often one is drawn again that does not show the symptom.
const mostTries = 24

// realise draws the rest of one, until it shows the symptom.
func (f *fair) realise(x *one) {
	rng := rand.New(rand.NewPCG(x.seed, 0x5eed))
	x.n, x.meter = f.n, f.o.Meter.Draw(rng)
	for !x.shown && x.tries < mostTries {
		f.redraw(x, rng)
		x.tries++
		x.shown = x.suspect < 0 || rng.Float64() < f.symptom(x.bench(), x.supply)
	}
}

// redraw draws the track, the fault and the supply.
func (f *fair) redraw(x *one, rng *rand.Rand) {
	common, joint := f.n.RailLevel, f.n.JointLevel
	if common <= 0 {
		common = levelSpread
	}
	level := simulate.DrawLevel(rng, common)
	extra := simulate.DrawLevel(rng, math.Sqrt(math.Max(joint*joint-common*common, 0.0625)))
	x.ohms = simulate.DrawOhms(f.n, rng, level, level*extra)
	x.faults = nil
	if x.suspect >= 0 {
		x.faults = []simulate.Fault{simulate.Realise(f.suspects[x.suspect], rng)}
	}
	x.lamp, x.supply, x.load = math.Exp(f.lamp*rng.NormFloat64()), math.Exp(voltsSpread*rng.NormFloat64()),
		math.Exp(loadSpread*rng.NormFloat64())
}

// kept leaves out who hardly shows the symptom, and makes the weights add up
// to 1.
func kept(in []*one, f *fair) []*one {
	top, sum := 0.0, 0.0
	for _, x := range in {
		top = math.Max(top, x.weight)
	}
	var out []*one
	for _, x := range in {
		if x.weight > 1e-5*top {
			out = append(out, x)
			sum += x.weight
		}
	}
	for _, x := range out {
		x.weight /= sum
	}
	return out
}

// read is what each of a crowd reads.
func (f *fair) read(a *hunt.Ask, crowd []*one) ([]unit.Reading, error) {
	p, err := trial.ProbeOf(f.n, a)
	if err != nil {
		return nil, err
	}
	out := make([]unit.Reading, len(crowd))
	fails := make([]error, len(crowd))
	each(indices(len(crowd)), func(i int) { out[i], fails[i] = crowd[i].read(p, a.Current) })
	for _, err := range fails {
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

// read takes one reading, of AC or DC: a battery's has a sign. What the tips and the last digit add depends on the
// reading alone, so that the order of asking changes nothing.
func (x *one) read(p simulate.Probe, of hunt.Current) (unit.Reading, error) {
	s := p.Setup.Clone()
	s.Source.Amps *= x.lamp
	if s.Source.Kind == conductor.SourceVolts {
		s.Source.Volts *= x.supply
	}
	for i := range s.Loads {
		s.Loads[i].Ohms *= x.load
	}
	rng := rand.New(rand.NewPCG(x.seed, uint64(p.Red)<<32|uint64(p.Black)))
	var exact float64
	switch p.Function {
	case simulate.Beeper, simulate.Ohms:
		exact = x.bench().Ohms(s, p.Red, p.Black)
	case simulate.Amps:
		exact = x.bench().Amps(s)
	case simulate.Lamp: // the part of its full current
		exact = x.bench().Amps(s) / s.Source.Amps
	default:
		exact = x.between(s, p.Red, p.Black)
	}
	text := x.meter.Show(p.Function, exact, of == hunt.AC, rng)
	return unit.Parse(text, unit.Setting(p.Function))
}

// bench is this layout on the table.
func (x *one) bench() *simulate.Bench { return simulate.NewBench(x.n, x.ohms, x.faults) }

// between is the voltage between two points; what nothing joins reads zero.
func (x *one) between(s conductor.Setup, red, black int) float64 {
	if key := s.Key(); x.volts == nil || x.key != key {
		x.key = key
		x.volts = make([]float64, x.n.Nodes)
		c, err := x.bench().Circuit(s)
		for i := range x.n.Points {
			v, ok := 0.0, false
			if err == nil {
				v, ok = c.Volts(i, s.Source.To)
			}
			if !ok {
				v = math.NaN()
			}
			x.volts[x.n.NodeOf(i)] = v
		}
	}
	v := x.volts[x.n.NodeOf(red)] - x.volts[x.n.NodeOf(black)]
	if math.IsNaN(v) {
		return 0
	}
	return v
}

// each calls f for everything, on all processors. f must touch its own only.
func each[T any](list []T, f func(T)) {
	var wg sync.WaitGroup
	workers := min(runtime.GOMAXPROCS(0), 8)
	for w := range workers {
		wg.Go(func() {
			for i := w; i < len(list); i += workers {
				f(list[i])
			}
		})
	}
	wg.Wait()
}

func indices(n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = i
	}
	return out
}

// hiddenIn names the hidden stretch of a class's piece.
func (f *fair) hiddenIn(class int) string {
	if p := f.ofPiece[class]; p >= 0 {
		return f.n.Layout.Pieces[p].Hidden
	}
	return ""
}
