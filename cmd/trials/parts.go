package main

import (
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
)

// part is one kind of fault of one kind of part, on a layout of
// testdata/layouts that has it.
type part struct {
	group  string // the part
	fault  string // in words
	layout string // of testdata/layouts
	// symptom is what is seen, and at where: piece, accessory or supply.
	symptom hunt.SymptomKind
	at      string
	// mode, place and rail name the suspect; nth tells apart several (from 0).
	mode  track.FaultMode
	place string
	rail  string
	nth   int
	// ohms of the bridge or the weak contact; 0: the geometric mean of its
	// bounds.
	ohms float64
	// thrown are turnouts that stand to their diverging route meanwhile.
	thrown []string
	// beeper says that the hunter owns a beeper only.
	beeper bool
}

// parts are the rows of the table of kinds.
var parts = []part{
	{group: "turnout, left", fault: "center touches the ties inside", layout: "loop-siding", symptom: hunt.SymptomShort, mode: track.Bridged, place: "main 2", rail: "center-left"},
	{group: "turnout, right", fault: "center touches the ties inside", layout: "loop-siding", symptom: hunt.SymptomShort, mode: track.Bridged, place: "main 11", rail: "center-left"},
	{group: "turnout, right", fault: "jumper of the center open", layout: "lamps", symptom: hunt.SymptomDead, at: "bay 3", mode: track.Open, place: "main 6", rail: "center"},
	{group: "turnout, right", fault: "jumper of the center weak", layout: "lamps", symptom: hunt.SymptomWeak, at: "bay 3", mode: track.Weak, place: "main 6", rail: "center"},
	{group: "turnout, left", fault: "metal at the points", layout: "double", symptom: hunt.SymptomShort, mode: track.Bridged, place: "outer 3", rail: "center-right"},
	{group: "turnout, dead frog", fault: "jumper behind the frog open", layout: "shelf-two-rail", symptom: hunt.SymptomDead, at: "main 7", mode: track.Open, place: "main 6", rail: "right"},
	{group: "turnout, dead frog", fault: "jumper behind the frog weak", layout: "shelf-two-rail", symptom: hunt.SymptomWeak, at: "main 8", mode: track.Weak, place: "main 6", rail: "right"},
	{group: "turnout, dead frog", fault: "gap at the frog bridged", layout: "shelf-two-rail", symptom: hunt.SymptomShort, mode: track.Bridged, place: "main 6"},
	{group: "turnout, power routing", fault: "points make no contact, thrown", layout: "shelf-two-rail", symptom: hunt.SymptomDead, at: "stub 1", mode: track.Open, place: "back 6", rail: "right", thrown: []string{"W2"}},
	{group: "turnout, power routing", fault: "points make no contact, through", layout: "shelf-two-rail", symptom: hunt.SymptomDead, at: "back 7", mode: track.Open, place: "back 6", rail: "left"},
	{group: "turnout, power routing", fault: "points touch both stock rails", layout: "shelf-two-rail", symptom: hunt.SymptomShort, mode: track.Bridged, place: "back 6"},
	{group: "turnout, sensing", fault: "gap behind the frog bridged", layout: "rail-tied", symptom: hunt.SymptomAccessoryOn, at: "W1 through coil", mode: track.Bridged, place: "main 2/3"},
	{group: "turnout, sensing", fault: "gap behind the frog bridged", layout: "rail-tied", symptom: hunt.SymptomAccessoryOn, at: "W1 diverging coil", mode: track.Bridged, place: "main 2/spur 1"},
	{group: "turnout, sensing", fault: "wire of its coil off", layout: "rail-tied", symptom: hunt.SymptomAccessoryDead, at: "W1 diverging coil", mode: track.Open, place: "W1 diverging coil", rail: "hot"},
	{group: "turnout, wye", fault: "jumper open", layout: "wye-two-rail", symptom: hunt.SymptomDead, at: "east 2", mode: track.Open, place: "east 5"},
	{group: "turnout, wye", fault: "gap at the frog bridged", layout: "wye-two-rail", symptom: hunt.SymptomShort, mode: track.Bridged, place: "north 5"},
	{group: "turnout, three-way", fault: "jumper of the third leg open", layout: "three-way", symptom: hunt.SymptomDead, at: "south 3", mode: track.Open, place: "lead 7", nth: 1},
	{group: "turnout, three-way", fault: "center touches the ties inside", layout: "three-way", symptom: hunt.SymptomShort, mode: track.Bridged, place: "lead 7"},
	{group: "turnout, three-way", fault: "jumper behind a frog open, two rails", layout: "single-slip", symptom: hunt.SymptomDead, at: "yard2 2", mode: track.Open, place: "yard 3", rail: "right", nth: 1},
	{group: "turnout, curved", fault: "points touch both stock rails", layout: "slip-yard", symptom: hunt.SymptomShort, mode: track.Bridged, place: "lead 8"},
	{group: "turnout, curved", fault: "points make no contact", layout: "slip-yard", symptom: hunt.SymptomDead, at: "yard2 2", mode: track.Open, place: "lead 8", rail: "left", thrown: []string{"W1"}},
	{group: "double slip", fault: "points make no contact", layout: "slip-yard", symptom: hunt.SymptomDead, at: "yard1 2", mode: track.Open, place: "lead 5", rail: "right", nth: 2},
	{group: "double slip", fault: "gap at a frog bridged", layout: "slip-yard", symptom: hunt.SymptomShort, mode: track.Bridged, place: "lead 5"},
	{group: "single slip", fault: "points make no contact", layout: "single-slip", symptom: hunt.SymptomDead, at: "main 7", mode: track.Open, place: "main 5", rail: "left", nth: 1},
	{group: "single slip", fault: "points touch both stock rails", layout: "single-slip", symptom: hunt.SymptomShort, mode: track.Bridged, place: "main 5"},
	{group: "crossing, 90", fault: "center touches the base", layout: "figure-eight", symptom: hunt.SymptomShort, mode: track.Bridged, place: "main 1", rail: "center-left"},
	{group: "crossing, 90", fault: "jumper of one way open", layout: "crossings", symptom: hunt.SymptomDead, at: "mill2 2", mode: track.Open, place: "main 5", nth: 2},
	{group: "crossing, 45", fault: "a gap bridged", layout: "crossings", symptom: hunt.SymptomShort, mode: track.Bridged, place: "main 9"},
	{group: "crossing, 20", fault: "jumper of one way weak", layout: "crossings", symptom: hunt.SymptomWeak, at: "pit2 3", mode: track.Weak, place: "main 13", nth: 2},
	{group: "crossover", fault: "center touches the ties in it", layout: "crossover", symptom: hunt.SymptomShort, mode: track.Bridged, place: "outer 18"},
	{group: "crossover", fault: "center touches a rail, two supplies", layout: "two-supplies", symptom: hunt.SymptomShort, mode: track.Bridged, place: "inner 4", rail: "center-left"},
	{group: "reversing loop", fault: "gap at its far end bridged", layout: "balloon-two-rail", symptom: hunt.SymptomShort, mode: track.Bridged, place: "main 15/8", rail: "left"},
	{group: "reversing loop", fault: "toggle open", layout: "balloon-two-rail", symptom: hunt.SymptomDead, at: "main 12", mode: track.Open, place: "turn", rail: "hot"},
	{group: "reversing loop", fault: "its feeder crossed: a train at the gap trips", layout: "balloon-two-rail", symptom: hunt.SymptomShortTrain, at: "main 9", mode: track.Swapped, place: "F2"},
	{group: "wye (track)", fault: "gap of its cut side bridged", layout: "wye-two-rail", symptom: hunt.SymptomShort, mode: track.Bridged, place: "ca 2/north 5"},
	{group: "block", fault: "toggle open", layout: "blocks", symptom: hunt.SymptomDead, at: "main 4", mode: track.Open, place: "S1"},
	{group: "block", fault: "toggle welded: it stays live", layout: "blocks", symptom: hunt.SymptomLive, at: "main 12", mode: track.Bridged, place: "S2"},
	{group: "block", fault: "gap bridged: it stays live", layout: "blocks", symptom: hunt.SymptomLive, at: "main 12", mode: track.Bridged, place: "main 8/9"},
	{group: "block", fault: "toggle weak", layout: "blocks", symptom: hunt.SymptomWeak, at: "main 12", mode: track.Weak, place: "S2"},
	{group: "block", fault: "toggle open, two cabs", layout: "two-cabs", symptom: hunt.SymptomDead, at: "main 17", mode: track.Open, place: "S2"},
	{group: "block, off in the middle", fault: "toggle open on its second side", layout: "middle-off", symptom: hunt.SymptomDead, at: "main 22", mode: track.Open, place: "S2 side", nth: 1},
	{group: "block, off in the middle", fault: "toggle weak on its first side", layout: "middle-off", symptom: hunt.SymptomWeak, at: "main 6", mode: track.Weak, place: "S1 side"},
	{group: "bus", fault: "wire out of its terminal", layout: "blocks", symptom: hunt.SymptomDead, at: "main 12", mode: track.Open, place: "B1 2", rail: "hot"},
	{group: "bus", fault: "screw of a terminal loose", layout: "blocks", symptom: hunt.SymptomWeak, at: "main 20", mode: track.Weak, place: "B1 3", rail: "hot"},
	{group: "bus", fault: "strand at the neighbour terminal", layout: "blocks", symptom: hunt.SymptomShort, mode: track.Bridged, place: "B1 2"},
	{group: "bus, ring", fault: "pair that comes home crossed", layout: "ring-bus", symptom: hunt.SymptomShort, mode: track.Swapped, place: "B1 ring"},
	{group: "bus, ring", fault: "strand at the neighbour terminal", layout: "ring-bus", symptom: hunt.SymptomShort, mode: track.Bridged, place: "B1 4"},
	{group: "strip", fault: "wire out of its terminal", layout: "blocks", symptom: hunt.SymptomDead, at: "main 20", mode: track.Open, place: "P1 2", rail: "hot"},
	{group: "strip", fault: "strand at the neighbour terminal", layout: "blocks", symptom: hunt.SymptomShort, mode: track.Bridged, place: "P1 3"},
	{group: "feeder", fault: "the only one open", layout: "dead-end", symptom: hunt.SymptomDead, at: "main 10", mode: track.Open, place: "F1", rail: "hot"},
	{group: "feeder", fault: "one of three open, its block dead", layout: "shelf-two-rail", symptom: hunt.SymptomDead, at: "main 10", mode: track.Open, place: "F3", rail: "common"},
	{group: "feeder", fault: "one of two open on a long oval", layout: "ring-bus", symptom: hunt.SymptomWeak, at: "main 15", mode: track.Open, place: "F2", rail: "hot"},
	{group: "feeder", fault: "weak clip", layout: "loop", symptom: hunt.SymptomWeak, at: "main 20", mode: track.Weak, place: "main 1/2", rail: "hot"},
	{group: "feeder", fault: "its two wires crossed", layout: "shelf-two-rail", symptom: hunt.SymptomShort, mode: track.Swapped, place: "F2"},
	{group: "feeder", fault: "its two wires crossed, three rails", layout: "double", symptom: hunt.SymptomShort, mode: track.Swapped, place: "F2"},
	{group: "feeder", fault: "its wires touch", layout: "loop-siding", symptom: hunt.SymptomShort, mode: track.Bridged, place: "F1"},
	{group: "feeder", fault: "hot wires of two blocks changed", layout: "feeders", symptom: hunt.SymptomDead, at: "main 6", mode: track.Swapped, place: "F1", rail: "hot"},
	{group: "feeder", fault: "on the wrong side of a gap", layout: "feeders", symptom: hunt.SymptomDead, at: "main 6", mode: track.Misplaced, place: "F1"},
	{group: "supplies", fault: "out of phase", layout: "two-supplies", symptom: hunt.SymptomPhase, at: "T2", mode: track.Swapped, place: "T2"},
	{group: "supplies", fault: "out of phase, two cabs", layout: "two-cabs", symptom: hunt.SymptomPhase, at: "T2", mode: track.Swapped, place: "T2"},
	{group: "supplies", fault: "wire between the commons off", layout: "rail-separate", symptom: hunt.SymptomAccessoryDead, at: "gate", mode: track.Open, place: "T2", rail: "common"},
	{group: "insulated rail, tied", fault: "tap off: never fires", layout: "rail-tied", symptom: hunt.SymptomAccessoryDead, at: "bell", mode: track.Open, place: "bell rail"},
	{group: "insulated rail, tied", fault: "gap bridged: always on", layout: "rail-tied", symptom: hunt.SymptomAccessoryOn, at: "bell", mode: track.Bridged, place: "main 18/19"},
	{group: "insulated rail, tied", fault: "metal across in it: always on", layout: "rail-tied", symptom: hunt.SymptomAccessoryOn, at: "bell", mode: track.Bridged, place: "main 16", rail: "left-right"},
	{group: "insulated rail, tied", fault: "tap weak: flickers", layout: "rail-tied", symptom: hunt.SymptomAccessoryFlickers, at: "bell", mode: track.Weak, place: "bell rail", ohms: 10},
	{group: "insulated rail, separate", fault: "wire of the motor off: never fires", layout: "rail-separate", symptom: hunt.SymptomAccessoryDead, at: "gate", mode: track.Open, place: "gate", rail: "hot"},
	{group: "insulated rail, separate", fault: "tap off: never fires", layout: "rail-separate", symptom: hunt.SymptomAccessoryDead, at: "gate", mode: track.Open, place: "road"},
	{group: "insulated rail, separate", fault: "gap bridged: always on", layout: "rail-separate", symptom: hunt.SymptomAccessoryOn, at: "gate", mode: track.Bridged, place: "main 14/15"},
	{group: "insulated rail, separate", fault: "metal across in it: always on", layout: "rail-separate", symptom: hunt.SymptomAccessoryOn, at: "gate", mode: track.Bridged, place: "main 17", rail: "left-right"},
	{group: "insulated rail, separate", fault: "gap bridged: works beside its rail", layout: "rail-far", symptom: hunt.SymptomAccessoryElsewhere, at: "flasher", mode: track.Bridged, place: "main 18/19"},
	{group: "insulated rail, separate", fault: "tap weak: flickers", layout: "rail-separate", symptom: hunt.SymptomAccessoryFlickers, at: "gate", mode: track.Weak, place: "road", ohms: 5},
	{group: "accessories", fault: "shorted inside, all left plugged", layout: "lamps", symptom: hunt.SymptomShort, mode: track.Bridged, place: "bay bumper"},
	{group: "accessories", fault: "strip missing, all left plugged", layout: "lamps", symptom: hunt.SymptomShort, mode: track.Bridged, place: "main 10", rail: "center-left"},
	{group: "accessories", fault: "strip missing, lamps plugged, beeper only", layout: "lamps", symptom: hunt.SymptomShort, mode: track.Bridged, place: "main 8", rail: "center-left", beeper: true},
	{group: "accessories", fault: "shorted inside, lamps plugged, beeper only", layout: "lamps", symptom: hunt.SymptomShort, mode: track.Bridged, place: "platform lamps", beeper: true},
	{group: "accessories", fault: "wire of the lamps off", layout: "lamps", symptom: hunt.SymptomAccessoryDead, at: "platform lamps", mode: track.Open, place: "platform lamps", rail: "hot"},
	{group: "train", fault: "center on an unfed rail: only with wheels there", layout: "roadbed-oval", symptom: hunt.SymptomShortTrain, at: "main 7", mode: track.Bridged, place: "main 7", rail: "center-left"},
	{group: "train", fault: "the same inside an insulated rail", layout: "rail-far", symptom: hunt.SymptomShortTrain, at: "main 16", mode: track.Bridged, place: "main 16", rail: "center-left"},
	{group: "rail joint", fault: "open on a dead end", layout: "dead-end", symptom: hunt.SymptomDead, at: "main 15", mode: track.Open, place: "main 11/12", rail: "center"},
	{group: "rail joint", fault: "weak on a dead end", layout: "dead-end", symptom: hunt.SymptomWeak, at: "main 17", mode: track.Weak, place: "main 11/12", rail: "center"},
	{group: "piece", fault: "strip of insulation missing", layout: "loop", symptom: hunt.SymptomShort, mode: track.Bridged, place: "main 28", rail: "center-left"},
}
