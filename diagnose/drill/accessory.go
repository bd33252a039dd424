package drill

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
)

// wheels is the resistance of a clip lead, or a pair of wheels, from rail to
// rail, ohm (assumed, as in conductor.DefaultWheels).
const wheels = 0.05

// Limits of what an accessory gets, as a share of its supply's volts: works
// above the first, does nothing below the second, works weakly between. Assumed,
// as in the hunt's own proof of a repair.
const (
	worksAbove  = 0.7
	sleepsBelow = 0.3
)

// accessory says what an accessory that an insulated rail works does wrong;
// false when it does what it should, or when no rail works it.
func (w *world) accessory(i int) (hunt.SymptomKind, bool) {
	r := w.n.Layout.RailOf(i)
	if r < 0 || len(w.n.Layout.InsulatedRails[r].Pieces) == 0 {
		return "", false
	}
	pieces := w.n.Layout.InsulatedRails[r].Pieces
	quiet, on := w.works(i, -1), w.works(i, pieces[len(pieces)/2])
	switch {
	case math.IsNaN(on):
		return "", false
	case quiet > worksAbove:
		return hunt.SymptomAccessoryOn, true
	case w.worksBeside(i, r):
		return hunt.SymptomAccessoryElsewhere, true
	case on < sleepsBelow:
		return hunt.SymptomAccessoryDead, true
	case on < worksAbove:
		return hunt.SymptomAccessoryFlickers, true
	}
	return "", false
}

// works is the share of its volts that an accessory gets with wheels on a
// piece, -1 for none; NaN where no wheels can join the running rails.
func (w *world) works(accessory, piece int) float64 {
	s := volts(w.n, max(w.n.Layout.Accessories[accessory].Supply, 0))
	full := s.Source.Volts
	if piece >= 0 {
		rail := w.n.Layout.InsulatedRails[w.n.Layout.RailOf(accessory)].Rail
		from, to := w.n.Middle(piece, rail), w.n.Middle(piece, rail.Mirror())
		if from < 0 || to < 0 {
			return math.NaN()
		}
		s.Loads = join(w.n, nil, from, to)
	}
	if w.bench.Burnt(accessory) {
		return 0
	}
	return w.share(s, w.n.AccessoryPoints[accessory], full)
}

// worksBeside says that wheels on the piece before or behind its rail work an
// accessory.
func (w *world) worksBeside(accessory, rail int) bool {
	l := w.n.Layout
	in := map[int]bool{}
	for _, p := range l.InsulatedRails[rail].Pieces {
		in[p] = true
	}
	for _, j := range [2]int{l.InsulatedRails[rail].From, l.InsulatedRails[rail].To} {
		if j < 0 {
			continue
		}
		p := l.Joints[j].A.Piece
		if in[p] {
			p = l.Joints[j].B.Piece
		}
		if w.works(accessory, p) > worksAbove {
			return true
		}
	}
	return false
}

// share is the volts between two points as a share of the full ones.
func (w *world) share(s conductor.Setup, at [2]int, full float64) float64 {
	v, _ := w.bench.Volts(s, at[0], at[1])
	return math.Abs(v) / full
}

// accessorySymptom finds the accessory that shows a symptom of that kind, or of
// any kind.
func (w *world) accessorySymptom(want hunt.SymptomKind) (hunt.Symptom, bool) {
	for i := range w.n.Layout.Accessories {
		if kind, ok := w.accessory(i); ok && (want == "" || kind == want) {
			return hunt.Symptom{Kind: kind, At: w.n.Layout.Accessories[i].Name}, true
		}
	}
	return hunt.Symptom{}, false
}

// does is how a train that runs past sees an accessory.
var does = map[hunt.SymptomKind]string{hunt.SymptomAccessoryOn: "is on all the time",
	hunt.SymptomAccessoryDead:      "does nothing",
	hunt.SymptomAccessoryElsewhere: "works already where the train is beside its rail",
	hunt.SymptomAccessoryFlickers:  "works weakly"}

// watched says what the accessories do wrong while a train runs past.
func (w *world) watched() string {
	out := ""
	for i := range w.n.Layout.Accessories {
		if kind, ok := w.accessory(i); ok {
			out += fmt.Sprintf("; %s %s", w.n.Layout.Accessories[i].Name, does[kind])
		}
	}
	return out
}
