package main

import (
	"strconv"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/tui/spot"
)

// symptoms asks the first question.
func (s *plainSession) symptoms() {
	s.say("")
	s.say("What is wrong?")
	for i, c := range hunt.Offers(s.src.layout) {
		s.say("  %d. %s", i+1, c.Says)
	}
	s.say("Type its number; if it comes and goes, also the word sometimes, as in: 1 sometimes")
}

// symptom takes the answer to the first question, and asks for the place.
func (s *plainSession) symptom(text string) (show, done bool) {
	list := hunt.Offers(s.src.layout)
	kind, place, _ := strings.Cut(text, " ")
	i := -1
	for k, c := range list {
		if kind == strconv.Itoa(k+1) || strings.EqualFold(kind, string(c.Kind)) {
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
	for c.Where != "" && (place == "" || !s.placed(&c, place)) {
		if place != "" {
			s.say("There is no %s %q on this layout.", sortOf(&c), place)
		}
		s.say("%s %s Enter alone goes back.", c.Where, s.offered(&c))
		var err error
		if place, err = s.prompt("place"); err != nil || place == "" {
			return true, false // the end of the input shows itself again
		}
		if q := strings.ToLower(place); q == "quit" || q == "q" {
			s.leave()
			return false, true
		}
	}
	return s.apply(hunt.Event{Symptom: &hunt.Symptom{Kind: c.Kind, At: place, Sometimes: sometimes}}), false
}

// placed says whether a choice's place is there.
func (s *plainSession) placed(c *hunt.Offer, place string) bool {
	if c.Names == nil {
		_, ok := spot.FindPlace(s.src.layout, place)
		return ok
	}
	for _, n := range c.Names {
		if strings.EqualFold(n, place) {
			return true
		}
	}
	return false
}

// sortOf says what the place of an offer is.
func sortOf(c *hunt.Offer) string {
	switch {
	case c.Names == nil:
		return "piece or joint"
	case c.Kind.OfAccessory():
		return "accessory"
	}
	return "other supply"
}

// offered says what can be answered to the question for the place.
func (s *plainSession) offered(c *hunt.Offer) string {
	if c.Names == nil {
		return "Name a piece or a joint, as in " + s.src.layout.Pieces[0].ID() + "."
	}
	return "There is " + strings.Join(c.Names, ", ") + "."
}
