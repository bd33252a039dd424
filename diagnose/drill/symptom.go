package drill

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// health is what a layout gives to a train, piece by piece.
type health struct {
	short bool
	share []float64 // of the sound layout's volts under a train; NaN where no train can stand
}

// check works out what the layout does. The source's place is taken by a wire
// across the posts: the resistance seen from a piece is then all that a train
// there has in its way.
func (w *world) check(sound []float64) health {
	h := health{share: make([]float64, len(w.n.Layout.Pieces))}
	for i := range w.n.Posts {
		if w.bench.Amps(volts(w.n, i)) > trips(&w.n.Layout.Supplies[i]) {
			h.short = true
		}
	}
	ways := w.ways()
	load := soundTrain(w.n)
	for i, r := range ways {
		h.share[i] = load / (load + r)
		if sound != nil {
			h.share[i] *= (load + sound[i]) / load
		}
		if math.IsInf(r, 1) {
			h.share[i] = 0
		}
	}
	return h
}

// volts is the set-up in which one supply is on, full volts.
func volts(n *conductor.Network, supply int) conductor.Setup {
	s := conductor.Usual(n.Layout)
	s.Source = conductor.Source{Kind: conductor.SourceVolts, From: n.Posts[supply][0], To: n.Posts[supply][1],
		Volts: n.Layout.Supplies[supply].Volts}
	return s
}

// trips is the current from which a customer sees the breaker trip, ampere: 0.8
// of its rating, since a supply sags and a breaker is never exact (assumed).
func trips(s *track.Supply) float64 {
	if s.Breaker > 0 {
		return 0.8 * s.Breaker
	}
	return 8
}

// ways is, for each piece, the resistance from the posts to a train there and
// back; NaN where no train can stand.
func (w *world) ways() []float64 {
	fed := conductor.Bare(w.n.Layout) // a cold lamp would look like a way
	for _, p := range w.n.Posts {
		fed.Loads = append(fed.Loads, conductor.Load{From: p[0], To: p[1], Ohms: 1e-6})
	}
	out := make([]float64, len(w.n.Layout.Pieces))
	for i := range out {
		out[i] = math.NaN()
		if hot, common := Across(w.n, i); hot >= 0 && w.n.Layout.Pieces[i].Kind != track.Bumper {
			out[i] = w.bench.Ohms(fed, hot, common)
		}
	}
	return out
}

// soundWays is the same on the layout as drawn but without faults.
func soundWays(n *conductor.Network, t truth) []float64 {
	t.Faults, t.Train = nil, false
	return newWorld(n, t, 0).ways()
}

// told is what the customer tells of when asked for one kind of symptom, or for
// whatever shows. What the sound layout shows as well is no symptom of a fault.
func (w *world) told(want hunt.SymptomKind, kind string, sound []float64, rng *rand.Rand) (hunt.Symptom, bool) {
	s, ok := w.symptom(sound, rng)
	switch {
	case want.OfAccessory() || kind == KindAccessory:
		if ok && s.Kind == hunt.SymptomShort || len(w.trainShorts()) > 0 { // it would be told as a short
			return s, false
		}
		s, ok = w.accessorySymptom(want)
	case want == hunt.SymptomShortTrain || want == hunt.SymptomPhase:
		if ok {
			return s, false
		}
		s, ok = w.hiddenFrom(want, rng)
	case !ok && want == "":
		for _, k := range []hunt.SymptomKind{hunt.SymptomShortTrain, hunt.SymptomAccessoryDead, hunt.SymptomPhase} {
			if s, ok = w.hiddenFrom(k, rng); ok {
				break
			}
		}
	}
	if !ok || want != "" && s.Kind != want {
		return s, false
	}
	return s, !w.shownSound(s, rng)
}

// hiddenFrom looks for a symptom that a train running by itself does not show:
// a short that its wheels bring, an accessory, a phase.
func (w *world) hiddenFrom(kind hunt.SymptomKind, rng *rand.Rand) (hunt.Symptom, bool) {
	switch {
	case kind == hunt.SymptomPhase:
		return w.outOfPhase()
	case kind.OfAccessory():
		return w.accessorySymptom("")
	}
	list := w.trainShorts()
	if len(list) == 0 {
		return hunt.Symptom{}, false
	}
	return hunt.Symptom{Kind: hunt.SymptomShortTrain, At: w.n.Layout.Pieces[list[rng.IntN(len(list))]].ID()}, true
}

// shownSound says that the layout shows a symptom with nothing wrong.
func (w *world) shownSound(s hunt.Symptom, rng *rand.Rand) bool {
	t := w.truth
	t.Faults, t.Train = nil, false
	still := newWorld(w.n, t, 0)
	switch {
	case s.Kind.OfAccessory():
		for i := range w.n.Layout.Accessories {
			if kind, ok := still.accessory(i); ok && w.n.Layout.Accessories[i].Name == s.At {
				return kind == s.Kind
			}
		}
		return false
	case s.Kind == hunt.SymptomShortTrain:
		return len(still.trainShorts()) > 0
	case s.Kind == hunt.SymptomPhase:
		_, ok := still.outOfPhase()
		return ok
	}
	return false
}

// symptom is what the customer sees of a train that runs: nothing when the
// faults do not show so.
func (w *world) symptom(sound []float64, rng *rand.Rand) (hunt.Symptom, bool) {
	if w.truth.Train {
		return hunt.Symptom{Kind: hunt.SymptomShort}, true
	}
	h := w.check(sound)
	if h.short {
		return hunt.Symptom{Kind: hunt.SymptomShort}, true
	}
	dead, weak := h.worse(sound)
	pick := func(list []int) string { return w.n.Layout.Pieces[list[rng.IntN(len(list))]].ID() }
	switch {
	case len(dead) > 0:
		return hunt.Symptom{Kind: hunt.SymptomDead, At: pick(h.begins(w.n.Layout, dead))}, true
	case len(weak) > 0:
		return hunt.Symptom{Kind: hunt.SymptomWeak, At: pick(weak)}, true
	}
	return hunt.Symptom{}, false
}

// worse lists the pieces where a train gets nothing, and those where it gets
// too little, of what the sound layout gives.
func (h *health) worse(sound []float64) (dead, weak []int) {
	for i, x := range h.share {
		switch {
		case math.IsNaN(x) || math.IsInf(sound[i], 1):
		case fault.Shows(fault.SeenDead(x)):
			dead = append(dead, i)
		case fault.Shows(fault.SeenWeak(x)):
			weak = append(weak, i)
		}
	}
	return dead, weak
}

// begins are the dead pieces at which the dead part begins: a neighbour has current.
// All of them where none has any.
func (h *health) begins(l *track.Layout, dead []int) []int {
	live := func(j int) bool {
		if j < 0 {
			return false
		}
		for _, p := range [2]int{l.Joints[j].A.Piece, l.Joints[j].B.Piece} {
			if x := h.share[p]; !math.IsNaN(x) && !fault.Shows(fault.SeenDead(x)) {
				return true
			}
		}
		return false
	}
	var out []int
	for _, i := range dead {
		if slices.ContainsFunc(l.Pieces[i].Ends, func(e track.End) bool { return live(e.Joint) }) {
			out = append(out, i)
		}
	}
	if len(out) == 0 {
		return dead
	}
	return out
}

var told = map[hunt.SymptomKind][]string{
	hunt.SymptomShort: {
		"It ran last week. Now the breaker goes the moment I turn the throttle up, every time.",
		"I switch on, the supply clicks off. Wait, switch on, click: off again. It never moves an inch.",
		"We set it up for the show and the breaker will not hold. Nobody touched a thing, they say."},
	hunt.SymptomDead: {
		"At %s all is dead: no light, no sound. Push it about by hand there and it stays dead.",
		"Not a sign of life from the engine at %s, not even the headlight."},
	hunt.SymptomWeak: {
		"It slows to a crawl at %s and the headlight goes yellow. It never did that before.",
		"At %s the train has no breath: with three cars it stalls. The beeper says the track is good."},
	hunt.SymptomShortTrain: {
		"Without a train it holds all day. The moment the engine comes to %s the breaker goes.",
		"It trips when a train is at %s, and nowhere else. Two different engines, the same."},
	hunt.SymptomPhase: {
		"Where the engine passes onto the track of %s it sparks, and one of the supplies clicks off.",
		"Since we have %s on the layout, there is a flash at every gap between the two. Each side alone runs fine."},
	hunt.SymptomAccessoryElsewhere: {
		"The %s goes off before the train is on its rail, and goes on after it.",
		"With the train beside its own stretch the %s works just the same."},
	hunt.SymptomAccessoryFlickers: {
		"The %s hums and trembles, as if it were too weak to move.",
		"The %s works now and then, and weakly, with the train right on its rail."},
	hunt.SymptomAccessoryOn: {
		"The %s is on all day, with no train in sight. It got hot enough to smell.",
		"Since we relaid the track the %s never goes off again."},
	hunt.SymptomAccessoryDead: {
		"The %s does not move any more, train or no train.",
		"A train goes by, and the %s sleeps. The trains themselves run fine."},
}

// toldSometimes are the words for what comes and goes.
var toldSometimes = map[hunt.SymptomKind][]string{
	hunt.SymptomShort: {
		"It trips, I reset it, it runs for an hour. Then it trips again. When I show someone, it behaves.",
		"Some evenings the breaker goes off every few minutes, some not at all."},
	hunt.SymptomDead: {
		"Now and then %s is dead. I lean on the table, and it runs again.",
		"%s was dead all morning; I came back with the meter, and there was current. Now it is dead again."},
	hunt.SymptomWeak: {
		"Some laps it crawls at %s, some laps it does not.",
		"On a warm evening it slows down at %s. In the morning there is nothing wrong."},
}

// Tell puts a symptom into a customer's words.
func Tell(s hunt.Symptom, l *track.Layout, rng *rand.Rand) string {
	list := told[s.Kind]
	if s.Sometimes && len(toldSometimes[s.Kind]) > 0 {
		list = toldSometimes[s.Kind]
	}
	if len(list) == 0 {
		return "Something is wrong with it."
	}
	t := list[rng.IntN(len(list))]
	if strings.Contains(t, "%s") {
		t = fmt.Sprintf(t, s.At)
	}
	return upper(t)
}

// upper begins a sentence.
func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// runs says how a train gets on that runs past every piece.
func (w *world) runs(sound []float64) string {
	x := w
	if w.now(w.draw()) == w.calm {
		still := *w
		still.bench = w.calm
		x = &still
	}
	h := x.check(sound)
	dead, weak := h.worse(sound)
	tail := x.watched()
	if s, ok := x.outOfPhase(); ok {
		tail += "; it sparks where it passes onto the track of " + s.At
	}
	switch {
	case len(dead) > 0:
		return "the train stops: no current at " + Span(w.n.Layout, ids(w.n.Layout, dead)) + tail
	case len(weak) > 0:
		return "the train slows down at " + Span(w.n.Layout, ids(w.n.Layout, weak)) + tail
	}
	return "the train runs well everywhere" + tail
}

func ids(l *track.Layout, pieces []int) []string {
	var out []string
	for _, p := range pieces {
		out = append(out, l.Pieces[p].ID())
	}
	return out
}

// Span names pieces in rows: "main 3 to 9, spur 1".
func Span(l *track.Layout, ids []string) string {
	in := map[string]bool{}
	for _, id := range ids {
		in[id] = true
	}
	var parts []string
	for _, r := range l.Runs {
		for a := 0; a < len(r.Pieces); a++ {
			if !in[l.Pieces[r.Pieces[a]].ID()] {
				continue
			}
			b := a
			for b+1 < len(r.Pieces) && in[l.Pieces[r.Pieces[b+1]].ID()] {
				b++
			}
			parts = append(parts, l.RowName(r.Pieces[a], r.Pieces[b]))
			a = b
		}
	}
	return strings.Join(parts, ", ")
}
