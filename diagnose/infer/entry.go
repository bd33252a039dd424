package infer

import (
	"cmp"
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/plan"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Current may come in by a wire that the file does not have. Where that wire meets the
// track is as little known as where the short is, and both are read at once: a reading
// along the rails behind the lamp is
//
//	v = b h(in, out),   h = field(black) - field(red),
//
// field(x) what one ampere from the posts to the short loses on the way to x (feed.go).
// b, the current times the level of this track, is a Gaussian, and so is what rails and
// joints spread h by: a pair of places is one Gaussian over the readings, the same for
// every such pair and for none. It is less than the belief in suspects rests on: one
// level for rails and joints, one ohms for the wire; and enough to see that a wire is
// missing, by far the better fit then, and near where.

// AllOff is a set-up with every feeder off its outlet and every accessory off its
// wires: what flows then flows by no wire of the file.
func (e *wired) AllOff(s conductor.Setup) conductor.Setup {
	out := s.Clone()
	out.UnplugAll(e.Net.Layout)
	for i := range e.Net.Layout.Feeders {
		out.Pull(i)
	}
	return out
}

// Stray says whether a lamp burnt with every feeder of the file off.
func (e *wired) Stray(obs []Observation) bool {
	for i := range obs {
		o := &obs[i]
		if e.allOff(&o.Setup) && o.Func == meter.Lamp && (o.Shown.Kind == unit.Bright || o.Shown.Kind == unit.Glowing) {
			return true
		}
	}
	return false
}

func (e *wired) allOff(s *conductor.Setup) bool {
	l := e.Net.Layout
	return len(s.Pulled) == len(l.Feeders) && len(s.Unplugged) == len(l.Accessories) && behindLamp(s)
}

// Entry is where current may come in by a wire that the file does not have.
type Entry struct {
	// At is, by piece, how likely the wire meets the track at its far end.
	At   []float64
	ways []entryWay
	out  []float64 // by place of the short: how likely, looks left out
	g    *feeding
	ls   []loss
}

// entryWay is a place where current comes in and one where it goes out, as indices
// into those of the track.
type entryWay struct {
	in, out int
	weight  float64
}

// The wire is taken to be as long as the file's longest, its ohms wireOff of that off;
// the current times the level of the track currentOff (parts of them, assumed).
const wireOff, currentOff = 1.0, 0.7

// lacksWire is how likely a file lacks a wire (assumed).
const lacksWire = 0.02

// mostIn and mostOut are how many places are told apart along the track for where the
// current comes in and for the short, fewIn and fewOut where it is only asked whether
// there is such a wire at all.
const mostIn, mostOut, fewIn, fewOut = 50, 100, 16, 40

// byEntry is the belief once a lamp burnt with every feeder of the file off: where the
// short is, and where the wire comes in that the file lacks.
func (e entering) byEntry(obs []Observation) *Posterior {
	p := e.prior()
	p.Misread = make([]float64, len(obs))
	if g := e.feeding(obs, mostIn, mostOut); g != nil {
		g.believe(p)
	}
	p.Sum(e.Engine)
	return p
}

// Wiring is the belief in a fault of what the track hangs on, none of a piece of it nor
// of a train: a short there burns a lamp with every feeder off too.
func (p *Posterior) Wiring(e *Engine) float64 {
	sum := 0.0
	for c, piece := range e.ClassPiece {
		if piece < 0 && e.Classes[c] != ClassOffTrack {
			sum += p.Class[c]
		}
	}
	return sum
}

// wiresBurnIt says whether a short of the file's own wiring is what burns the lamp with
// every feeder off: nothing flows along the rails then, or the readings with feeders on
// point to one, more likely than not.
func (e entering) wiresBurnIt(obs []Observation) bool {
	if e.stillRails(obs) {
		return true
	}
	on := slices.DeleteFunc(slices.Clone(obs), func(o Observation) bool { return e.allOff(&o.Setup) })
	if m := e.blamed; m == nil || !slices.EqualFunc(m.on, on, sameObservation) {
		e.plain(on)
	}
	return e.blamed.wiring
}

// plain is the belief in single faults with the wires of the file alone.
func (e entering) plain(obs []Observation) *Posterior {
	p := e.inSingle(obs)
	p.Sum(e.Engine)
	if !e.Stray(obs) {
		e.blamed = &blamed{slices.Clone(obs), p.Wiring(e.Engine) > 0.5}
	}
	return p
}

// blamed is whether readings point to the file's own wiring, kept from the last belief
// in them: readings with every feeder off, which follow, change nothing of it.
type blamed struct {
	on     []Observation
	wiring bool
}

func sameObservation(a, b Observation) bool {
	return a.Func == b.Func && a.Red == b.Red && a.Black == b.Black && a.Shown == b.Shown && a.Watched == b.Watched &&
		a.Setup.Key() == b.Setup.Key()
}

// fewStill readings along the rails with every feeder off that show no more than
// stillSteps of the display say that no current is there (assumed): a wire that fed it
// would lose far more.
const fewStill, stillSteps = 2, 5

// stillRails says so.
func (e entering) stillRails(obs []Observation) bool {
	still := 0
	for i := range obs {
		o := &obs[i]
		if o.Func == meter.Lamp || !e.allOff(&o.Setup) {
			continue
		}
		if o.Shown.Kind != unit.Value || math.Abs(o.Shown.Value) > stillSteps*e.Model.Meter.Of(o.Func).Step {
			return false
		}
		still++
	}
	return still >= fewStill
}

// shortOfWiring says whether a hypothesis is a bridge in what the track hangs on.
func (e entering) shortOfWiring(h int) bool {
	y := &e.Hypos[h]
	return y.Suspect >= 0 && y.Effect.Kind == predict.EffectBridge && e.Suspects[y.Suspect].PieceIndex < 0
}

// Lacking is how likely, by readings along the rails behind the lamp, a wire feeds the
// track that the file does not have.
func (e *Engine) Lacking(obs []Observation) float64 {
	g := entering{e}.feeding(obs, fewIn, fewOut)
	if g == nil || len(g.ls) < 2 {
		return lacksWire
	}
	odds := g.bridges(e.prior())
	var with, without logSum
	for i, row := range g.weighAll() {
		for k, x := range row {
			if x += math.Log(odds[k]); i < len(g.ends) {
				with.add(x - math.Log(float64(len(g.ends))))
			} else {
				without.add(x)
			}
		}
	}
	lacks := math.Log(lacksWire/(1-lacksWire)) + with.value() - without.value()
	return 1 / (1 + math.Exp(-lacks))
}

// weighAll is the log density of the readings by way in and place of the short; the row
// past the last way is for no wire but those of the file, one more for a feeder of the
// file that feeds nothing from its clip on the track.
func (g *feeding) weighAll() [][]float64 {
	ways := len(g.ends) + 1
	if g.home != nil {
		ways++
	}
	log := make([][]float64, ways)
	nothing := g.nothing()
	spread(len(log), func() *entryWork { return &entryWork{feeding: g} }, func(w *entryWork, i int) {
		w.from(i, g.ls)
		log[i] = make([]float64, len(g.outs))
		for k := range g.outs {
			log[i][k] = w.log(k, nothing)
		}
	})
	return log
}

// believe weighs every place where current may come in with every place of the short.
func (g *feeding) believe(p *Posterior) {
	log := g.weighAll()[:len(g.ends)]
	most := math.Inf(-1)
	for _, row := range log {
		most = math.Max(most, slices.Max(row))
	}
	odds := g.bridges(p)
	n := &Entry{At: make([]float64, len(g.e.Net.Layout.Pieces)), out: make([]float64, len(g.outs)), g: g, ls: g.ls}
	all := 0.0
	for i, row := range log {
		for k, x := range row {
			w := math.Exp(x-most) * odds[k] / float64(len(g.ends))
			all += w
			n.out[k] += w
			n.At[g.ends[i].piece] += w
			n.ways = append(n.ways, entryWay{i, k, w})
		}
	}
	for i := range n.At {
		n.At[i] /= all
	}
	p.Entry = n
	void, sum := math.Exp(g.nothing()-most), 0.0
	for h := range p.Hypo {
		switch k := g.bridged(h); {
		case k >= 0 && odds[k] > 0:
			p.Hypo[h] *= n.out[k] / odds[k]
		case g.e.Hypos[h].blank || (entering{g.e}).shortOfWiring(h): // it explains the lamp, and no reading
			p.Hypo[h] *= void
		default:
			p.Hypo[h] = 0
		}
		sum += p.Hypo[h]
	}
	for h := range p.Hypo {
		p.Hypo[h] /= sum
	}
}

// A reading that says nothing shows anything from none to wideShown times the largest
// of all, and leastWide steps of the display.
const wideShown, leastWide = 2, 10

// nothing is the log density of all readings if they say nothing.
func (g *feeding) nothing() float64 {
	most := 0.0
	for i := range g.ls {
		most = math.Max(most, g.ls[i].shown)
	}
	return -float64(len(g.ls)) * math.Log(wideShown*most+leastWide*g.e.Model.Meter.Of(meter.Millivolts).Step)
}

// EntryScore is what readings along the rails are worth, of the short's place and, as
// Told, of where the current comes in.
func (e *Engine) EntryScore(p *Posterior, questions []Question) []Outlook {
	n := p.Entry
	ls, taken := slices.Clone(n.ls), len(n.ls)
	for i := range questions { // a set-up is solved once, before many look at it
		q := &questions[i]
		x, ok := n.g.loss(&Observation{Setup: q.Setup, Func: q.Func, Red: q.Red, Black: q.Black})
		if !ok {
			return make([]Outlook, len(questions))
		}
		ls = append(ls, x)
	}
	ways := n.likely(p)
	seen := make([]entrySight, len(ways))
	spread(len(ways), func() *entryWork { return &entryWork{feeding: n.g, last: -1} }, func(w *entryWork, i int) {
		if w.last != ways[i].in {
			w.from(ways[i].in, ls)
			w.last = ways[i].in
		}
		x := &seen[i]
		x.mean, x.sd = make([]float64, len(questions)), make([]float64, len(questions))
		x.ok = w.given(ways[i].out, taken, x.mean, x.sd)
	})
	out := make([]Outlook, len(questions))
	class := map[int]int{}
	for c, i := range e.ClassPiece {
		if i >= 0 {
			class[i] = c
		}
	}
	spread(len(questions), func() *plan.Scratch { return &plan.Scratch{} }, func(work *plan.Scratch, qi int) {
		o, entries := &out[qi], []int{}
		limit := e.Model.Meter.Of(questions[qi].Func)
		for i, y := range ways {
			if c, known := class[n.g.outs[y.out].piece]; known && seen[i].ok {
				o.see(c, y.weight, seen[i].mean[qi], seen[i].sd[qi], limit)
				entries = append(entries, y.in)
			}
		}
		o.weigh(questions[qi].Func, len(e.Classes), work)
		told := *o
		told.Class, told.Bits = entries, 0
		told.weigh(questions[qi].Func, len(n.g.ends), work)
		o.Told = told.Bits
	})
	return out
}

// entrySight is what each question shows with the current going one way.
type entrySight struct {
	mean, sd []float64
	ok       bool
}

// see adds a row that stands for one class.
func (o *Outlook) see(class int, weight, mean, sd float64, limit meter.Range) {
	o.Weight, o.Class = append(o.Weight, weight), append(o.Class, class)
	o.Members, o.Share, o.Line = append(o.Members, []int{class}), append(o.Share, []float64{1}), append(o.Line, "")
	o.Mean, o.SD = append(o.Mean, mean), append(o.SD, sd)
	o.Over = append(o.Over, overOdds(limit, mean, sd))
	o.Beep, o.Bright = append(o.Beep, 0), append(o.Bright, 0)
}

// mostWays is how many ways of the current a question is weighed over.
const mostWays = 300

// likely are the likeliest ways, with the looks in p reckoned in, sorted by where the
// current comes in.
func (n *Entry) likely(p *Posterior) []entryWay {
	now := n.g.bridges(p)
	out := make([]entryWay, 0, len(n.ways))
	for _, y := range n.ways {
		if y.weight > 0 {
			y.weight *= now[y.out] / n.out[y.out]
			out = append(out, y)
		}
	}
	slices.SortStableFunc(out, func(a, b entryWay) int { return cmp.Compare(b.weight, a.weight) })
	out = out[:min(len(out), mostWays)]
	slices.SortStableFunc(out, func(a, b entryWay) int { return cmp.Compare(a.in, b.in) })
	return out
}

// entryNear is how many pieces to either side a person looks along the track for a
// wire, entryTold how much of the belief must lie there for a place to be named.
const entryNear, entryTold = 4, 0.75

// Near is the piece at whose far end the wire most likely meets the track; told says
// that enough of the belief lies within a few pieces of it for the place to be named.
func (n *Entry) Near() (piece int, told bool) {
	sum := 0.0
	for i, w := range n.At {
		if w > n.At[piece] {
			piece = i
		}
	}
	for i, w := range n.At {
		if piecesApart(n.g.e.Net.Layout, i, piece) <= entryNear*max(1, len(n.At)/mostOut) {
			sum += w
		}
	}
	return piece, sum >= entryTold
}

// piecesApart is how many pieces of one run lie between two, round a closed one either way.
func piecesApart(l *track.Layout, a, b int) int {
	p, q := &l.Pieces[a], &l.Pieces[b]
	if p.Run != q.Run {
		return len(l.Pieces)
	}
	d := max(p.Number, q.Number) - min(p.Number, q.Number)
	for i := range l.Runs {
		if r := &l.Runs[i]; r.Name == p.Run && r.Closed {
			d = min(d, len(r.Pieces)-d)
		}
	}
	return d
}

// bridges is, by place of a short, the belief in a bridge there.
func (g *feeding) bridges(p *Posterior) []float64 {
	out := make([]float64, len(g.outs))
	for h, w := range p.Hypo {
		if k := g.bridged(h); k >= 0 {
			out[k] += w
		}
	}
	return out
}

// bridged is the place of a hypothesis's bridge, an index into outs, -1 for none.
func (g *feeding) bridged(h int) int {
	y := &g.e.Hypos[h]
	if y.Suspect < 0 || y.Effect.Kind != predict.EffectBridge || y.compound() {
		return -1
	}
	if i := g.e.Suspects[y.Suspect].PieceIndex; i >= 0 {
		return g.outOf[i]
	}
	return -1
}
