package hunt

import (
	"slices"

	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// Proved is what good proof readings prove, and no more than that.
type Proved string

// All that can be proven.
const (
	ProvedNoShort     Proved = "no short any more"
	ProvedTrack       Proved = "no short on the track and its wires" // accessories were off theirs
	ProvedAccessories Proved = "no accessory is shorted"
	ProvedCarries     Proved = "this place carries under load"
	ProvedPath        Proved = "the path to this place is whole"
	ProvedWays        Proved = "each way to this place carries under load by itself"
	ProvedWaysWhole   Proved = "each way to this place is whole by itself"
	ProvedWorks       Proved = "the accessory gets its volts"
	ProvedQuiet       Proved = "the accessory gets no volts unasked"
	ProvedPhase       Proved = "the two supplies are in phase"
	ProvedDead        Proved = "the block is dead with its toggle off"
)

// proves is what a proof reading proves together with all others that prove the
// same.
func (pv prover) proves(a *Ask) Proved {
	switch {
	case pv.symptom.Kind == SymptomPhase:
		return ProvedPhase
	case pv.symptom.Kind.OfAccessory() && pv.symptom.wantsQuiet():
		return ProvedQuiet
	case pv.symptom.Kind.OfAccessory():
		return ProvedWorks
	case pv.shortHunt() && a.Above > 0: // across accessories that are back on their wires
		return ProvedAccessories
	case pv.shortHunt() && pv.accessoriesCount():
		return ProvedTrack
	case pv.shortHunt():
		return ProvedNoShort
	case pv.symptom.Kind == SymptomLive:
		return ProvedDead
	case pv.ofWay(a) && a.reads(meter.Beeper, meter.Ohms):
		return ProvedWaysWhole
	case pv.ofWay(a):
		return ProvedWays
	case a.reads(meter.Beeper, meter.Ohms):
		return ProvedPath
	}
	return ProvedCarries
}

// reads says whether an ask is one of these dial settings.
func (a *Ask) reads(dials ...meter.Function) bool {
	return slices.Contains(dials, meter.Function(a.Meter))
}

// proven are what is proven by readings of which each was good, or was not.
func (pv prover) proven(list []*Ask, good []bool) []Proved {
	var all, not []Proved
	for i, a := range list {
		p := pv.proves(a)
		if !slices.Contains(all, p) {
			all = append(all, p)
		}
		if !good[i] {
			not = append(not, p)
		}
	}
	if all = slices.DeleteFunc(all, func(p Proved) bool { return slices.Contains(not, p) }); len(all) == 0 {
		return nil // as it is written out
	}
	return all
}

// saidProven says it at the end of a verdict.
func saidProven(list []Proved) string {
	var words []string
	for _, p := range list {
		words = append(words, string(p))
	}
	return ": " + unit.And(words)
}

// accessoriesCount says whether an accessory can be shorted without any reading
// seeing it while all are off their wires.
func (pv prover) accessoriesCount() bool {
	for i := range pv.net.Posts {
		if pv.engine.OnlyPlugged(i) {
			return true
		}
	}
	return false
}
