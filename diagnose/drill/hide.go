package drill

import (
	"fmt"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
)

// The kinds of hidden faults that can be asked for.
const (
	KindAny        = ""            // whatever the odds give
	KindShort      = "short"       // one bridge
	KindDead       = "dead"        // one open contact or wire
	KindWeak       = "weak"        // one bad contact
	KindTwo        = "two"         // two bridges
	KindTrain      = "train"       // the track is sound, the train is not
	KindShortTrain = "short-train" // a short that only a train brings
	KindAccessory  = "accessory"   // an accessory that an insulated rail works
	KindPhase      = "phase"       // two supplies out of phase
	KindSometimes  = "sometimes"   // a short, a break or a bad contact that comes and goes
)

// Kinds lists what can be asked for.
var Kinds = []string{KindShort, KindDead, KindWeak, KindTwo, KindTrain, KindShortTrain, KindAccessory,
	KindPhase, KindSometimes}

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
	Part     string // one of Parts
	Rail     string // as the suspect has it: "center", "left-center"
	Run      string
	From, To int // piece numbers along Run; 0: no bound
	// MinOhms and MaxOhms bound the fault's resistance, ohm; 0: the suspect's own.
	MinOhms, MaxOhms float64
}

// Parts lists what a Hide can name as the part that is bad.
var Parts = []string{"piece", "joint", "gap", "feeder", "tap", string(track.PartRail), string(track.PartLead),
	string(track.PartLoad), string(track.PartBus),
	string(track.PartToggle), string(track.PartCommon), string(track.PartSupply)}

// under are the parts that lie under the table, and are told by their own name.
var under = Parts[5:]

// fits says whether a suspect may be taken.
func (h *Hide) fits(n *conductor.Network, s *fault.Suspect) bool {
	k := &n.Links[s.Links[0]]
	piece := s.PieceIndex
	switch {
	case h.Mode != "" && s.Mode != h.Mode, h.Rail != "" && s.Rail != h.Rail:
		return false
	case h.Part == "joint" && k.Kind != conductor.KindJoint, h.Part == "gap" && k.Kind != conductor.KindGap:
		return false
	case h.Part == "piece" && k.Piece < 0, h.Part == "feeder" && k.Feeder < 0, h.Part == "tap" &&
		k.Kind != conductor.KindTap:
		return false
	case slices.Contains(under, h.Part) && string(s.Part) != h.Part:
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
	switch {
	case len(o.Hide) > 0:
		return hideListed(n, t, o, rng)
	case o.Fault == KindTrain, o.Fault == KindAny && rng.Float64() < trainsFault:
		t.Train = true
		return t, hunt.Symptom{Kind: hunt.SymptomShort}, nil
	case rare(o.Fault):
		return hideRare(n, t, o, rng)
	}
	return hideKind(n, t, o, rng)
}

// Where nothing is asked for: how often the train is bad, and how often a fault
// comes and goes (not with Easy). Assumed; the hunt takes the first too.
const (
	trainsFault = 0.1
	comesAndGo  = 0.1
)

// hideKind hides a fault of a usual kind.
func hideKind(n *conductor.Network, t truth, o *Options, rng *rand.Rand) (truth, hunt.Symptom, error) {
	kinds := []string{o.Fault}
	switch o.Fault {
	case KindAny:
		t.Fickle = o.Difficulty != Easy && rng.Float64() < comesAndGo
	case KindSometimes:
		t.Fickle = true
		kinds = []string{KindShort, KindDead, KindWeak}
		rng.Shuffle(len(kinds), func(i, j int) { kinds[i], kinds[j] = kinds[j], kinds[i] })
	}
	for _, kind := range kinds {
		o2 := *o
		o2.Fault = kind
		o2.Hide = []Hide{{Mode: modeOf[kind]}}
		if kind == KindTwo {
			o2.Hide = append(o2.Hide, o2.Hide[0])
		}
		if t, s, err := hideListed(n, t, &o2, rng); err == nil {
			return t, s, nil
		}
	}
	return t, hunt.Symptom{}, nothing(o.Fault)
}

// nothing says that a kind does not show on a layout, and why that may be.
func nothing(kind string) error {
	why := map[string]string{KindDead: "a loop hides an open joint: current comes from the other side",
		KindWeak:       "a loop hides a bad joint: current comes from the other side",
		KindShortTrain: "only an insulated rail or a gap makes a train short what is sound without it",
		KindAccessory:  "it takes an accessory that an insulated rail works",
		KindPhase:      "it takes two AC supplies that feed track"}[kind]
	if why == "" {
		why = "nothing on it can fail so"
	}
	if kind == KindAny {
		kind = "any"
	}
	return fmt.Errorf("no fault of the kind %q would show on this layout (%s); choose another kind", kind, why)
}

// rare says that few faults of a layout show as a kind, so that they are gone
// through one by one.
func rare(kind string) bool {
	return kind == KindShortTrain || kind == KindAccessory || kind == KindPhase
}

// hideRare takes suspects by their odds, each once, until one shows.
func hideRare(n *conductor.Network, t truth, o *Options, rng *rand.Rand) (truth, hunt.Symptom, error) {
	list := fault.List(n)
	places := local(n.Layout)
	list = slices.DeleteFunc(list, func(s fault.Suspect) bool { return !canBeRare(&s, places, o.Fault) })
	sound := soundWays(n, t)
	for len(list) > 0 {
		f := simulate.DrawFault(list, rng)
		list = slices.DeleteFunc(list, func(s fault.Suspect) bool { return s.ID == f.Suspect.ID })
		t.Faults = []hidden{{f.Suspect.ID, f.Ohms, f.Position}}
		if s, ok := shows(n, t, o, sound, rng); ok {
			return t, s, nil
		}
	}
	return t, hunt.Symptom{}, nothing(o.Fault)
}

// canBeRare leaves out what cannot show as a kind: for a phase all but plugs, for
// the others the track that no insulated rail and no gap is near.
func canBeRare(s *fault.Suspect, places []int, kind string) bool {
	if kind == KindPhase {
		return s.Part == track.PartSupply
	}
	return s.PieceIndex < 0 || s.Mode == track.Swapped || s.Mode == track.Misplaced ||
		slices.Contains(places, s.PieceIndex)
}

var modeOf = map[string]track.FaultMode{KindShort: track.Bridged, KindTwo: track.Bridged, KindDead: track.Open,
	KindWeak: track.Weak}

// hideListed draws one fault for each Hide, until together they show.
func hideListed(n *conductor.Network, t truth, o *Options, rng *rand.Rand) (truth, hunt.Symptom, error) {
	lists, err := listed(n, o)
	if err != nil {
		return t, hunt.Symptom{}, err
	}
	t.Fickle = t.Fickle || o.Sometimes
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

// listed gives the suspects that each Hide leaves.
func listed(n *conductor.Network, o *Options) ([][]fault.Suspect, error) {
	lists := make([][]fault.Suspect, len(o.Hide))
	all := fault.List(n)
	for i := range o.Hide {
		for _, s := range all {
			if o.Hide[i].fits(n, &s) && (o.Difficulty != Easy || o.Hide[i].Part != "" || within(n, &s)) {
				lists[i] = append(lists[i], s)
			}
		}
		if len(lists[i]) == 0 {
			return nil, fmt.Errorf("nothing on this layout can fail as asked for (%+v)", o.Hide[i])
		}
	}
	return lists, nil
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
// less the share of the volts at a train of 18 ohm stays above the 0.95 at which
// half of all people see it slow (fault.SeenWeak): 18 ohm * (1/0.95 - 1).
const weakFelt = 0.95

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

// wanted is the symptom that a kind must show; none for what may show any.
var wanted = map[string]hunt.SymptomKind{KindShort: hunt.SymptomShort, KindTwo: hunt.SymptomShort,
	KindDead: hunt.SymptomDead, KindWeak: hunt.SymptomWeak,
	KindShortTrain: hunt.SymptomShortTrain, KindPhase: hunt.SymptomPhase}

// shows says what the faults look like from outside; with more than one, each
// of them must do so alone, and they must lie apart.
func shows(n *conductor.Network, t truth, o *Options, sound []float64, rng *rand.Rand) (hunt.Symptom, bool) {
	w := newWorld(n, t, 0)
	want := wanted[o.Fault]
	if o.Symptom != "" {
		want = o.Symptom
	}
	s, ok := w.told(want, o.Fault, sound, rng)
	if !ok {
		return s, false
	}
	if t.Fickle && s.Kind != hunt.SymptomShort && s.Kind != hunt.SymptomDead && s.Kind != hunt.SymptomWeak {
		return s, false
	}
	s.Sometimes = t.Fickle
	return s, len(t.Faults) < 2 || apart(n, w, t, s.Kind, sound, rng)
}

// apart says that two faults lie apart, and that each alone shows the same.
func apart(n *conductor.Network, w *world, t truth, kind hunt.SymptomKind, sound []float64, rng *rand.Rand) bool {
	if near(n, w, t) {
		return false
	}
	for i := range t.Faults {
		alone := t
		alone.Faults = t.Faults[i : i+1]
		if a, ok := newWorld(n, alone, 0).symptom(sound, rng); !ok || a.Kind != kind {
			return false
		}
	}
	return true
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
// words. The layout is known by what can fail on it, so that a remark or a history
// added to its file changes nothing.
func ClassGenerator(n *conductor.Network, number int) *rand.Rand {
	if l := forClass(n.Layout); l != n.Layout {
		if same, err := conductor.Build(l); err == nil { // it was built before
			n = same
		}
	}
	return rand.New(rand.NewPCG(uint64(number), Fingerprint(n)))
}

// forClass is a layout as a class has it: without what happened to its pieces and what
// hunts on it found, which grow from evening to evening and would draw another fault.
func forClass(l *track.Layout) *track.Layout {
	if len(l.Odds)+len(l.Counted) == 0 {
		return l
	}
	plain := *l
	plain.Odds, plain.Counted = nil, nil
	return &plain
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
