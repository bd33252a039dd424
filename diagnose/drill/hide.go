package drill

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// The kinds of hidden faults that can be asked for.
const (
	KindAny   = ""      // whatever the odds give
	KindShort = "short" // one bridge
	KindDead  = "dead"  // one open contact or wire
	KindWeak  = "weak"  // one bad contact
	KindTwo   = "two"   // two bridges
	KindTrain = "train" // the track is sound, the train is not
)

// Kinds lists what can be asked for.
var Kinds = []string{KindShort, KindDead, KindWeak, KindTwo, KindTrain}

// The difficulties. Easy: the track is as the file says, the fault is plain
// and within reach. Usual: drawn from the odds. Hard: a worn track, a fault
// that hides, and now and then a bad contact under the probe.
const (
	Easy  = "easy"
	Usual = "usual"
	Hard  = "hard"
)

// Difficulties lists them.
var Difficulties = []string{Easy, Usual, Hard}

// Hide narrows what a lesson hides. Empty fields leave it open.
type Hide struct {
	Mode     track.FaultMode
	Part     string // piece, joint, gap, feeder or tap
	Rail     string // as the suspect has it: "center", "left-center"
	Run      string
	From, To int // piece numbers along Run; 0: no bound
	// MinOhms and MaxOhms bound the fault's resistance, ohm; 0: the suspect's own.
	MinOhms, MaxOhms float64
}

// fits says whether a suspect may be taken.
func (h *Hide) fits(n *conductor.Network, s *fault.Suspect) bool {
	k := &n.Links[s.Links[0]]
	piece := s.PieceIndex
	switch {
	case h.Mode != "" && s.Mode != h.Mode, h.Rail != "" && s.Rail != h.Rail:
		return false
	case h.Part == "joint" && k.Kind != conductor.KindJoint, h.Part == "gap" && k.Kind != conductor.KindGap:
		return false
	case h.Part == "piece" && k.Piece < 0, h.Part == "feeder" && k.Feeder < 0, h.Part == "tap" && k.Kind != conductor.KindTap:
		return false
	}
	if h.Run == "" {
		return true
	}
	if piece < 0 {
		return false
	}
	p := &n.Layout.Pieces[piece]
	return p.Run == h.Run && (h.From == 0 || p.Number >= h.From) && (h.To == 0 || p.Number <= h.To)
}

// tries bounds the search for a fault that shows.
const tries = 240

// hide draws a truth that shows as a symptom.
func hide(n *conductor.Network, o *Options, rng *rand.Rand) (truth, hunt.Symptom, error) {
	t := truth{Seed: rng.Uint64(), Worn: 1, Slips: o.Slips}
	switch o.Difficulty {
	case Hard:
		t.Worn = simulate.DrawLevel(rng, 0.5)
		t.Slips = math.Max(t.Slips, 0.05)
	case Usual, "":
		t.Worn = simulate.DrawLevel(rng, 0.2)
	}
	if len(o.Hide) > 0 {
		return hideListed(n, t, o, rng)
	}
	kinds := []string{o.Fault}
	if o.Fault == KindAny {
		kinds = []string{KindShort, KindDead, KindWeak}
		rng.Shuffle(len(kinds), func(i, j int) { kinds[i], kinds[j] = kinds[j], kinds[i] })
	}
	for _, kind := range kinds {
		o2 := *o
		o2.Fault = kind
		if kind == KindTrain {
			t.Train = true
			return t, hunt.Symptom{Kind: hunt.SymptomShort}, nil
		}
		o2.Hide = []Hide{{Mode: modeOf[kind]}}
		if kind == KindTwo {
			o2.Hide = append(o2.Hide, o2.Hide[0])
		}
		if t, s, err := hideListed(n, t, &o2, rng); err == nil {
			return t, s, nil
		}
	}
	return t, hunt.Symptom{}, fmt.Errorf("no fault of the kind %q would show on this layout (a loop hides an open joint: current comes from the other side); choose another kind", o.Fault)
}

var modeOf = map[string]track.FaultMode{KindShort: track.Bridged, KindTwo: track.Bridged, KindDead: track.Open, KindWeak: track.Weak}

// hideListed draws one fault for each Hide, until together they show.
func hideListed(n *conductor.Network, t truth, o *Options, rng *rand.Rand) (truth, hunt.Symptom, error) {
	lists := make([][]fault.Suspect, len(o.Hide))
	all := fault.List(n)
	for i := range o.Hide {
		for _, s := range all {
			if o.Hide[i].fits(n, &s) && (o.Difficulty != Easy || o.Hide[i].Part != "" || within(n, &s)) {
				lists[i] = append(lists[i], s)
			}
		}
		if len(lists[i]) == 0 {
			return t, hunt.Symptom{}, fmt.Errorf("nothing on this layout can fail as asked for (%+v)", o.Hide[i])
		}
	}
	sound := soundWays(n, t)
	for k := range tries {
		t.Faults = nil
		for i := range lists {
			from := lists[i]
			if w := wiring(from); k >= tries/2 && len(w) > 0 { // the track hides it: the wires cannot
				from = w
			}
			f := bounded(simulate.DrawFault(from, rng), &o.Hide[i], o.Difficulty, rng)
			t.Faults = append(t.Faults, hidden{f.Suspect.ID, f.Ohms, f.Position})
		}
		if s, ok := shows(n, t, o, sound, rng); ok {
			return t, s, nil
		}
	}
	return t, hunt.Symptom{}, fmt.Errorf("no fault as asked for shows on this layout")
}

// wiring are the suspects that are no track: feeders, toggles, buses.
func wiring(list []fault.Suspect) []fault.Suspect {
	var out []fault.Suspect
	for _, s := range list {
		if s.PieceIndex < 0 {
			out = append(out, s)
		}
	}
	return out
}

// within says that no tunnel is in the way, and that it is track.
func within(n *conductor.Network, s *fault.Suspect) bool {
	return s.PieceIndex >= 0 && n.Layout.Pieces[s.PieceIndex].ExtraMinutes == 0
}

// weakFelt is the least resistance of a contact that a train feels, ohm: with
// less the share of the volts at a train of 18 ohm stays above weakBelow.
const weakFelt = 1.3

// bounded moves a fault's resistance into the bounds asked for.
func bounded(f simulate.Fault, h *Hide, difficulty string, rng *rand.Rand) simulate.Fault {
	lo, hi := f.Suspect.MinOhms, f.Suspect.MaxOhms
	if f.Suspect.Mode != track.Bridged && f.Suspect.Mode != track.Weak {
		return f
	}
	middle, bridged := math.Sqrt(lo*hi), f.Suspect.Mode == track.Bridged
	if !bridged { // what a train feels at all
		lo, middle = math.Max(lo, weakFelt), math.Sqrt(math.Max(lo, weakFelt)*hi)
	}
	switch {
	case h.MinOhms > 0 || h.MaxOhms > 0:
		lo = math.Max(lo, h.MinOhms)
		if h.MaxOhms > 0 {
			hi = math.Max(h.MaxOhms, lo)
		}
	case difficulty == Easy && bridged, difficulty == Hard && !bridged:
		hi = middle
	case difficulty == Easy || difficulty == Hard:
		lo = middle
	}
	f.Ohms = math.Exp(math.Log(lo) + rng.Float64()*math.Log(hi/lo))
	return f
}

// shows says what the faults look like from outside; with more than one, each
// of them must do so alone, and they must lie apart.
func shows(n *conductor.Network, t truth, o *Options, sound []float64, rng *rand.Rand) (hunt.Symptom, bool) {
	w := newWorld(n, t, 0)
	want := map[string]hunt.SymptomKind{KindShort: hunt.SymptomShort, KindTwo: hunt.SymptomShort, KindDead: hunt.SymptomDead, KindWeak: hunt.SymptomWeak}[o.Fault]
	if o.Symptom != "" {
		want = o.Symptom
	}
	if want.OfAccessory() {
		if h := w.check(sound); h.short {
			return hunt.Symptom{}, false
		}
		return w.accessorySymptom(want)
	}
	s, ok := w.symptom(sound, rng)
	if !ok || want != "" && s.Kind != want {
		return s, false
	}
	if len(t.Faults) == 2 && near(n, w, t) {
		return s, false
	}
	for i := range t.Faults {
		if len(t.Faults) == 1 {
			break
		}
		alone := t
		alone.Faults = t.Faults[i : i+1]
		if a, ok := newWorld(n, alone, 0).symptom(sound, rng); !ok || a.Kind != s.Kind {
			return s, false
		}
	}
	return s, true
}

// near says that two faults lie in the same piece or in neighbours.
func near(n *conductor.Network, w *world, t truth) bool {
	a, b := w.suspect(t.Faults[0].ID), w.suspect(t.Faults[1].ID)
	if a.PieceIndex < 0 || b.PieceIndex < 0 {
		return a.Piece == b.Piece
	}
	p, q := &n.Layout.Pieces[a.PieceIndex], &n.Layout.Pieces[b.PieceIndex]
	d := p.Number - q.Number
	return p.Run == q.Run && d > -3 && d < 3
}

// ClassGenerator is the generator of a class number on a layout: the same
// number and the same layout give the same fault, the same meter and the same
// words. The layout is known by what can fail on it, so that a remark added to
// its file changes nothing.
func ClassGenerator(n *conductor.Network, number int) *rand.Rand {
	return rand.New(rand.NewPCG(uint64(number), Fingerprint(n)))
}

// Fingerprint is a number that two layouts share only when the same can fail
// on them.
func Fingerprint(n *conductor.Network) uint64 {
	h := fnv.New64a()
	for _, s := range fault.List(n) {
		fmt.Fprintf(h, "%s|%.9g|%.9g|%.9g\n", s.ID, s.Odds, s.MinOhms, s.MaxOhms)
	}
	return h.Sum64()
}
