package hunt

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
)

// turnTo says how a toggle is put into its second position, or its first.
func (say wording) turnTo(t int, second bool) string {
	k := &say.layout.Toggles[t]
	switch {
	case k.Middle && second:
		return "put toggle " + k.Name + " in the middle (off)"
	case k.Middle:
		return "put toggle " + k.Name + " out of the middle"
	case k.Reverses && second:
		return "put toggle " + k.Part() + " to its second side (reversing)"
	case k.Chooses && second:
		return "put toggle " + k.Part() + " to " + say.layout.OutletName(k.Other)
	case k.Chooses:
		return "put toggle " + k.Part() + " to " + say.layout.OutletName(k.On)
	case k.Reverses || k.Side:
		return "put toggle " + k.Part() + " to its first side"
	case second:
		return "put toggle " + k.Name + " in its second position (off)"
	}
	return "put toggle " + k.Name + " on"
}

// proofOfWiring is the reading that proves a repair of an accessory's circuit
// or of a phase.
func (pv prover) proofOfWiring() *Ask {
	if !pv.kit.Volts {
		return nil
	}
	y := pv.seen()
	q := infer.Question{Func: meter.Volts}
	if pv.symptom.Kind == SymptomPhase {
		s, ok := pv.engine.PhaseSetup(y.Supply)
		if !ok {
			return nil
		}
		q.Setup, q.Red, q.Black = s, pv.net.Posts[pv.engine.FirstAC()][0], pv.net.Posts[y.Supply][0]
	} else {
		at := pv.net.AccessoryPoints[y.Accessory]
		q.Setup, q.Red, q.Black = pv.engine.AccessorySetup(y.Accessory), at[0], at[1]
		if w, ok := pv.engine.WheelsOn(y.Accessory); ok && !pv.symptom.wantsQuiet() {
			q.Setup.Loads = []conductor.Load{w}
		}
	}
	a := pv.scribe().ask(&q, nil, pv.now())
	a.Why = "this proves the repair"
	a.Expect = pv.proofRows(a, "the repair holds", "something else is wrong too")
	return a
}

// wantsQuiet says whether the accessory should do nothing at the proof.
func (s *Symptom) wantsQuiet() bool {
	return s.Kind == SymptomAccessoryOn || s.Kind == SymptomAccessoryElsewhere
}

// wiringLimit is what parts good from bad at the proof of an accessory's circuit
// or of a phase, volt, and whether the good lies below it.
func (m *matter) wiringLimit() (limit float64, goodBelow bool) {
	y := m.seen()
	if m.symptom.Kind == SymptomPhase {
		return (m.layout.Supplies[m.engine.FirstAC()].Volts + m.layout.Supplies[y.Supply].Volts) / 2, true
	}
	full := m.engine.AccessorySetup(y.Accessory).Source.Volts
	if m.symptom.wantsQuiet() {
		return 0.3 * full, true
	}
	return 0.7 * full, false
}
