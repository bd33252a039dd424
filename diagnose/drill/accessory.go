package drill

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
)

// wheels is the resistance of a clip lead, or a pair of wheels, from rail to
// rail, ohm (assumed, as in conductor.DefaultWheels).
const wheels = 0.05

// Limits of what an accessory gets, as a share of its supply's volts: works
// above the first, does nothing below the second. Assumed, as in the hunt's own
// proof of a repair.
const (
	worksAbove  = 0.7
	sleepsBelow = 0.3
)

// accessory says what an accessory that an insulated rail works does wrong;
// false when it does what it should, or when no rail works it.
func (w *world) accessory(i int) (hunt.SymptomKind, bool) {
	l := w.n.Layout
	r := l.RailOf(i)
	if r < 0 || len(l.InsulatedRails[r].Pieces) == 0 {
		return "", false
	}
	rail := &l.InsulatedRails[r]
	middle := rail.Pieces[len(rail.Pieces)/2]
	from, to := w.n.Middle(middle, rail.Rail), w.n.Middle(middle, rail.Rail.Mirror())
	at := w.n.AccessoryPoints[i]
	s := volts(w.n, max(l.Accessories[i].Supply, 0))
	if from < 0 || to < 0 {
		return "", false
	}
	full := s.Source.Volts
	quiet := w.share(s, at, full)
	s.Loads = []conductor.Load{{From: from, To: to, Ohms: wheels}}
	switch on := w.share(s, at, full); {
	case quiet > worksAbove:
		return hunt.SymptomAccessoryOn, true
	case on < sleepsBelow:
		return hunt.SymptomAccessoryDead, true
	}
	return "", false
}

// share is the volts between two points as a share of the full ones.
func (w *world) share(s conductor.Setup, at [2]int, full float64) float64 {
	v, _ := w.bench.Volts(s, at[0], at[1])
	if v < 0 {
		v = -v
	}
	return v / full
}

// accessorySymptom finds the accessory that shows a symptom of that kind.
func (w *world) accessorySymptom(want hunt.SymptomKind) (hunt.Symptom, bool) {
	for i := range w.n.Layout.Accessories {
		if kind, ok := w.accessory(i); ok && kind == want {
			return hunt.Symptom{Kind: kind, At: w.n.Layout.Accessories[i].Name}, true
		}
	}
	return hunt.Symptom{}, false
}
