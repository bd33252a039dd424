package main

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
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
	typed := place
	for c.Where != "" && !s.placed(&c, &place) {
		s.missing(&c, place)
		s.say("%s %s Enter alone goes back.", c.Where, s.offered(&c))
		var err error
		if place, err = s.prompt("place"); err != nil || place == "" {
			return true, false // the end of the input shows itself again
		}
		if q := strings.ToLower(place); q == "quit" || q == "q" {
			s.leave()
			return false, true
		}
		typed = place
	}
	if c.Where != "" && c.Names == nil && !strings.EqualFold(place, typed) {
		s.say("Taken: %s.", place)
	}
	y := &hunt.Symptom{Kind: c.Kind, At: place, Sometimes: sometimes}
	if names := hunt.Points(s.src.layout); c.Kind == hunt.SymptomShort && len(names) > 0 {
		said := place
		if at, ok := spot.Find(s.src.layout, place); ok {
			said, y.At = "", s.src.layout.PlaceName(at)
		} else {
			y.At = ""
		}
		var err error
		if y.Thrown, err = s.stood(said, names); err != nil {
			if errors.Is(err, errLeft) {
				s.leave()
			}
			return !errors.Is(err, errLeft), errors.Is(err, errLeft)
		}
	}
	return s.apply(hunt.Event{Symptom: y}), false
}

// errLeft says that quit was typed.
var errLeft = errors.New("left")

// stood reads how turnouts stood when it tripped, or asks for it; nil where
// nobody knows.
func (s *plainSession) stood(said string, names []string) (map[string]string, error) {
	if said == "" {
		s.say("How did the turnouts stand when it tripped? Name those that were thrown, as in %s diverging.", names[0])
		s.say("There is %s. Enter alone: all as usual, or you do not know.", strings.Join(names, ", "))
	}
	for {
		if said == "" {
			line, err := s.prompt("points")
			if said = strings.TrimSpace(line); err != nil || said == "" {
				return nil, err
			}
			if q := strings.ToLower(said); q == "quit" || q == "q" {
				return nil, errLeft
			}
		}
		out, wrong := routesOf(said, names)
		if wrong == "" {
			return out, nil
		}
		s.say("%s", wrong)
		said = ""
	}
}

// routesOf reads "W1 diverging, W2 through"; wrong says what is no turnout or
// no way for one to stand.
func routesOf(said string, names []string) (out map[string]string, wrong string) {
	out = map[string]string{}
	var name []string
	for _, word := range strings.FieldsFunc(said, func(r rune) bool { return r == ' ' || r == ',' || r == '=' }) {
		route := nearest(strings.ToLower(word), []string{track.EndThrough, track.EndDiverging})
		if len(name) == 0 || route == "" {
			name = append(name, word)
			continue
		}
		i := slices.IndexFunc(names, func(n string) bool { return strings.EqualFold(n, strings.Join(name, " ")) })
		if i < 0 {
			near := nearest(strings.Join(name, " "), names)
			if near != "" {
				near = " Did you mean " + near + "?"
			}
			return nil, fmt.Sprintf("No turnout %q switches current on this layout.%s There is %s.",
				strings.Join(name, " "), near, strings.Join(names, ", "))
		}
		out[names[i]], name = route, nil
	}
	if len(name) > 0 {
		return nil, fmt.Sprintf("Say how %q stood, through or diverging, as in: %s diverging", strings.Join(name, " "),
			names[0])
	}
	return out, ""
}

// placed says whether a choice's place is there, and writes it as the layout does.
func (s *plainSession) placed(c *hunt.Offer, place *string) bool {
	if c.Names == nil {
		at, ok := spot.Find(s.src.layout, *place)
		if ok {
			*place = s.src.layout.PlaceName(at)
		}
		return ok
	}
	for _, n := range c.Names {
		if strings.EqualFold(n, *place) {
			return true
		}
	}
	return false
}

// missing says what is wrong with a place, or lists what there is.
func (s *plainSession) missing(c *hunt.Offer, place string) {
	switch q := strings.ToLower(place); {
	case place == "":
	case c.Names == nil && (q == "help" || q == "?" || q == "list"):
		for _, line := range spot.Names(s.src.layout) {
			s.say("%s", line)
		}
	case c.Names == nil:
		s.say("%s", spot.Missing(s.src.layout, place))
	default:
		s.say("There is no %s %q on this layout.", sortOf(c), place)
	}
}

// sortOf says what the place of an offer is.
func sortOf(c *hunt.Offer) string {
	switch {
	case c.Kind.OfAccessory():
		return "accessory"
	}
	return "other supply"
}

// offered says what can be answered to the question for the place.
func (s *plainSession) offered(c *hunt.Offer) string {
	if c.Names == nil {
		return "Name a piece or a joint, as in " + s.src.layout.Pieces[0].ID() + ", or a landmark; help lists them."
	}
	return "There is " + strings.Join(c.Names, ", ") + "."
}
