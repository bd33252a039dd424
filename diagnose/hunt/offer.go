package hunt

import "fishplate/diagnose/track"

// Offer is an answer to the first question of a hunt, what is wrong.
type Offer struct {
	Kind  SymptomKind
	Says  string
	Where string // how its place is asked for, empty where none is needed
	// Names are what can be answered to that, nil for a place on the track.
	Names []string
}

// Offers are the answers that make sense on a layout: accessories and second
// supplies are asked for only where there are some.
func Offers(l *track.Layout) []Offer {
	out := []Offer{
		{SymptomShort, "The breaker trips (or the supply shuts off) at once", "", nil},
		{SymptomShortTrain, "It trips only when a train is at one place", "Where is the train when it trips?", nil},
		{SymptomWeak, "Trains slow down or stall at one place", "Where do they stall?", nil},
		{SymptomDead, "Everything beyond one place is dead", "Where does the dead part begin?", nil},
	}
	if names := accessoryNames(l); len(names) > 0 {
		const which = "Which accessory?"
		out = append(out, Offer{SymptomAccessoryDead, "An accessory never works", which, names},
			Offer{SymptomAccessoryOn, "An accessory works all the time", which, names},
			Offer{SymptomAccessoryElsewhere, "An accessory works with the train beside its rail", which, names},
			Offer{SymptomAccessoryFlickers, "An accessory works weakly, or comes and goes", which, names})
	}
	if names := otherSupplies(l); len(names) > 0 {
		out = append(out, Offer{SymptomPhase,
			"It sparks or trips where a train passes from one supply's track to another's",
			"Which is the other supply?", names})
	}
	if names := switchedPieces(l); len(names) > 0 {
		out = append(out, Offer{SymptomLive, "A block stays live with its toggle off", "A piece of that block", names})
	}
	return out
}

// switchedPieces names the first piece of every block that a toggle switches.
func switchedPieces(l *track.Layout) []string {
	var out []string
	for i := range l.Blocks {
		if b := &l.Blocks[i]; b.Toggle >= 0 && len(b.Pieces) > 0 {
			out = append(out, l.Pieces[b.Pieces[0]].ID())
		}
	}
	return out
}

func accessoryNames(l *track.Layout) []string {
	var out []string
	for i := range l.Accessories {
		out = append(out, l.Accessories[i].Name)
	}
	return out
}

// otherSupplies are the AC supplies after the first one.
func otherSupplies(l *track.Layout) []string {
	var out []string
	for i := range l.Supplies {
		if l.Supplies[i].AC {
			out = append(out, l.Supplies[i].Name)
		}
	}
	return out[min(1, len(out)):]
}
