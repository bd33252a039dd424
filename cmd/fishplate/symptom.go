package main

import (
	"strconv"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/spot"
)

// choice is an answer to the first question.
type choice struct {
	kind  hunt.SymptomKind
	says  string
	where string // how its place is asked for, empty where none is needed
	// names are what can be answered to that, nil for a place on the track.
	names []string
}

// choices are the answers that make sense on a layout.
func choices(l *track.Layout) []choice {
	out := []choice{
		{hunt.SymptomShort, "The breaker trips (or the supply shuts off) at once", "", nil},
		{hunt.SymptomShortTrain, "It trips only when a train is at one place", "Where is the train when it trips?", nil},
		{hunt.SymptomWeak, "Trains slow down or stall at one place", "Where do they stall?", nil},
		{hunt.SymptomDead, "Everything beyond one place is dead", "Where does the dead part begin?", nil},
	}
	var accessories, supplies []string
	for i := range l.Accessories {
		accessories = append(accessories, l.Accessories[i].Name)
	}
	for i := range l.Supplies {
		if l.Supplies[i].AC {
			supplies = append(supplies, l.Supplies[i].Name)
		}
	}
	if len(accessories) > 0 {
		const which = "Which accessory?"
		out = append(out, choice{hunt.SymptomAccessoryDead, "An accessory never works", which, accessories},
			choice{hunt.SymptomAccessoryOn, "An accessory works all the time", which, accessories},
			choice{hunt.SymptomAccessoryElsewhere, "An accessory works with the train beside its rail", which, accessories},
			choice{hunt.SymptomAccessoryFlickers, "An accessory works weakly, or comes and goes", which, accessories})
	}
	if len(supplies) > 1 {
		out = append(out, choice{hunt.SymptomPhase, "It sparks or trips where a train passes from one supply's track to another's", "Which is the other supply?", supplies[1:]})
	}
	return out
}

// symptoms asks the first question.
func (s *plainSession) symptoms() {
	s.say("")
	s.say("What is wrong?")
	for i, c := range choices(s.src.layout) {
		s.say("  %d. %s", i+1, c.says)
	}
	s.say("Type its number; if it comes and goes, also the word sometimes, as in: 1 sometimes")
}

// symptom takes the answer to the first question, and asks for the place.
func (s *plainSession) symptom(text string) (show, done bool) {
	list := choices(s.src.layout)
	kind, place, _ := strings.Cut(text, " ")
	i := -1
	for k, c := range list {
		if kind == strconv.Itoa(k+1) || strings.EqualFold(kind, string(c.kind)) {
			i = k
		}
	}
	if i < 0 {
		s.say("Type a number from 1 to %d.", len(list))
		return false, false
	}
	sometimes := false
	words := strings.Fields(place)
	if n := len(words); n > 0 && strings.EqualFold(words[n-1], "sometimes") {
		sometimes, words = true, words[:n-1]
	}
	place = strings.Join(words, " ")
	c := list[i]
	for c.where != "" && (place == "" || !s.placed(&c, place)) {
		if place != "" {
			s.say("There is no %s %q on this layout.", c.sort(), place)
		}
		s.say("%s %s Enter alone goes back.", c.where, s.offered(&c))
		var err error
		if place, err = s.prompt("place"); err != nil || place == "" {
			return true, false // the end of the input shows itself again
		}
		if q := strings.ToLower(place); q == "quit" || q == "q" {
			s.leave()
			return false, true
		}
	}
	return s.apply(hunt.Event{Symptom: &hunt.Symptom{Kind: c.kind, At: place, Sometimes: sometimes}}), false
}

// placed says whether a choice's place is there.
func (s *plainSession) placed(c *choice, place string) bool {
	if c.names == nil {
		_, ok := spot.FindPlace(s.src.layout, place)
		return ok
	}
	for _, n := range c.names {
		if strings.EqualFold(n, place) {
			return true
		}
	}
	return false
}

func (c *choice) sort() string {
	switch {
	case c.names == nil:
		return "piece or joint"
	case c.kind.OfAccessory():
		return "accessory"
	}
	return "other supply"
}

// offered says what can be answered to the question for the place.
func (s *plainSession) offered(c *choice) string {
	if c.names == nil {
		return "Name a piece or a joint, as in " + s.src.layout.Pieces[0].ID() + "."
	}
	return "There is " + strings.Join(c.names, ", ") + "."
}
