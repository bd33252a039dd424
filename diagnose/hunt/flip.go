package hunt

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
)

// turnTo says how a toggle is put into its second position, or its first.
func (h *Hunt) turnTo(t int, second bool) string {
	k := &h.layout.Toggles[t]
	switch {
	case k.Middle && second:
		return "put toggle " + k.Name + " in the middle (off)"
	case k.Middle:
		return "put toggle " + k.Name + " out of the middle"
	case k.Reverses && second:
		return "put toggle " + k.Part() + " to its second side (reversing)"
	case k.Chooses && second:
		return "put toggle " + k.Part() + " to " + h.layout.OutletName(k.Other)
	case k.Chooses:
		return "put toggle " + k.Part() + " to " + h.layout.OutletName(k.On)
	case k.Reverses || k.Side:
		return "put toggle " + k.Part() + " to its first side"
	case second:
		return "put toggle " + k.Name + " in its second position (off)"
	}
	return "put toggle " + k.Name + " on"
}

// proofOfWiring is the reading that proves a repair of an accessory's circuit
// or of a phase.
func (h *Hunt) proofOfWiring() *Ask {
	if !h.kit.Volts {
		return nil
	}
	y := h.seen()
	q := infer.Question{Func: meter.Volts}
	if h.symptom.Kind == SymptomPhase {
		s, ok := h.engine.PhaseSetup(y.Supply)
		if !ok {
			return nil
		}
		q.Setup, q.Red, q.Black = s, h.net.Posts[h.engine.FirstAC()][0], h.net.Posts[y.Supply][0]
	} else {
		at := h.net.AccessoryPoints[y.Accessory]
		q.Setup, q.Red, q.Black = h.engine.AccessorySetup(y.Accessory), at[0], at[1]
		if w, ok := h.engine.WheelsOn(y.Accessory); ok && !h.wantsQuiet() {
			q.Setup.Loads = []conductor.Load{w}
		}
	}
	a := h.ask(&q, nil, h.now())
	a.Why = "this proves the repair"
	a.Expect = h.proofRows(a, "the repair holds", "something else is wrong too: the hunt goes on")
	return a
}

// wantsQuiet says whether the accessory should do nothing at the proof.
func (m *matter) wantsQuiet() bool {
	return m.symptom.Kind == SymptomAccessoryOn || m.symptom.Kind == SymptomAccessoryElsewhere
}

// wiringLimit is what parts good from bad at the proof of an accessory's circuit
// or of a phase, volt, and whether the good lies below it.
func (m *matter) wiringLimit() (limit float64, goodBelow bool) {
	y := m.seen()
	if m.symptom.Kind == SymptomPhase {
		return (m.layout.Supplies[m.engine.FirstAC()].Volts + m.layout.Supplies[y.Supply].Volts) / 2, true
	}
	full := m.engine.AccessorySetup(y.Accessory).Source.Volts
	if m.wantsQuiet() {
		return 0.3 * full, true
	}
	return 0.7 * full, false
}
