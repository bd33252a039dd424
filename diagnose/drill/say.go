package drill

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/agext/levenshtein"
)

// meters are the words for the settings of the dial.
var meters = map[string]string{
	"beep": "beeper", "beeper": "beeper", "tone": "beeper", "ohm": "ohms", "ohms": "ohms", "volt": "volts",
	"volts": "volts", "v": "volts",
	"mv": "millivolts", "millivolt": "millivolts", "millivolts": "millivolts", "amp": "amps", "amps": "amps",
}

// Parse reads an act as it is typed. Names of places are looked up when it is
// done. The error says what to write.
//
//	beep main 7            hot to common at a place
//	mv F1 hot to main 9 center
//	lift main 7/8          seat main 7/8
//	pull F1                plug F1
//	throw W1 diverging     supply off, on or lamp
//	load main 12           load off
//	jumper main 14 left to main 14 right
//	train off              train on main 3
//	run                    look main 7
//	accuse main 7          give up
func Parse(text string) (Act, error) {
	word, rest := cutFirst(text)
	verb, rest := plainly(strings.ToLower(word), rest)
	if verb == "read" {
		word, rest = cutFirst(rest)
		if verb = strings.ToLower(word); meters[verb] == "" {
			return Act{}, fmt.Errorf("write the setting of the meter behind read, as in: read ohms main 7")
		}
	}
	if m := meters[verb]; m != "" {
		return parseRead(m, rest)
	}
	switch Do(verb) {
	case DoLift, DoSeat, DoPull, DoPlug, DoLook, DoAccuse:
		if rest == "" {
			return Act{}, fmt.Errorf("say what to %s, as in: %s %s", verb, verb, exampleOf[Do(verb)])
		}
		return Act{Do: Do(verb), At: rest}, nil
	case DoThrow:
		head, last := cutLast(rest)
		return Act{Do: DoThrow, At: head, To: strings.ToLower(last)}, nil
	case DoSupply:
		to, name := cutFirst(rest)
		return Act{Do: DoSupply, To: strings.ToLower(to), At: name}, nil
	case Jumper:
		return parseJumper(rest)
	case DoLoad:
		return parseLoad(rest)
	case DoTrain:
		return parseTrain(rest)
	case DoRun:
		return Act{Do: DoRun}, nil
	case "give", "giveup":
		return Act{Do: DoGiveUp}, nil
	case "off", "on", "lamp":
		return Act{Do: DoSupply, To: verb}, nil
	}
	if n := meantWord(verb); n != "" {
		return Act{}, fmt.Errorf("%q is nothing that can be done here; did you mean %s?", word,
			strings.TrimSpace(n+" "+rest))
	}
	return Act{}, fmt.Errorf("%q is nothing that can be done here; help lists what can", word)
}

// ParseAll reads a line that may name several joints or feeders, as in
// "lift main 3/4, main 7/8": an act for each.
func ParseAll(text string) ([]Act, error) {
	a, err := Parse(text)
	if err != nil || !slices.Contains([]Do{DoLift, DoSeat, DoPull, DoPlug}, a.Do) {
		return []Act{a}, err
	}
	var acts []Act
	for _, at := range namesIn(a.At) {
		acts = append(acts, Act{Do: a.Do, At: at})
	}
	return acts, nil
}

// joints are names of joints one behind the other: each ends in two numbers.
var joints = regexp.MustCompile(`\d+/\d+\s+`)

// namesIn parts "main 3/4 main 7/8", with or without commas and "and", into its names.
func namesIn(text string) []string {
	text = joints.ReplaceAllString(text+" ", "$0,")
	var out []string
	for _, part := range strings.FieldsFunc(strings.ReplaceAll(text, " and ", ","), func(r rune) bool {
		return r == ','
	}) {
		if part = strings.TrimPrefix(strings.TrimSpace(part), "and "); strings.TrimSpace(part) != "" {
			out = append(out, strings.TrimSpace(part))
		}
	}
	return out
}

// likeWords are other words for the acts.
var likeWords = map[string]string{"trains": "train", "power": "supply", "transformer": "supply", "open": "lift",
	"separate": "lift", "close": "seat", "join": "seat",
	"unplug": "pull", "disconnect": "pull", "connect": "plug", "inspect": "look", "measure": "read", "drive": "run",
	"repair": "accuse", "fix": "accuse",
	"continuity": "beep"}

// plainly turns a line into the words of the acts: "take trains off" is "train off".
func plainly(verb, rest string) (string, string) {
	low := strings.ToLower(rest)
	switch {
	case (verb == "take" || verb == "remove" || verb == "clear") && strings.Contains(low, "train"):
		return "train", Off
	case verb == "switch" && (low == On || low == Off):
		return "supply", rest
	case verb == "look" && (strings.HasPrefix(low, "at ") || strings.HasPrefix(low, "under ")):
		_, rest = cutFirst(rest)
	}
	if w := likeWords[verb]; w != "" {
		return w, rest
	}
	return verb, rest
}

// meantWord is the word of an act that was probably meant: one or two letters off, and
// fewer than half of them. Of two as near it is the first in the alphabet.
func meantWord(word string) string {
	known := []string{"read", "throw", "supply", "jumper", "load", "train", "run", "give", "lift", "seat", "pull",
		"plug", "look", "accuse"}
	for w := range meters {
		known = append(known, w)
	}
	slices.Sort(known)
	best, at := "", 3
	for _, w := range known {
		if d := levenshtein.Distance(word, w, nil); d < at && 2*d < len(w) {
			best, at = w, d
		}
	}
	return best
}

var exampleOf = map[Do]string{DoLift: "main 7/8", DoSeat: "main 7/8", DoPull: "F1", DoPlug: "F1", DoLook: "main 7",
	DoAccuse: "main 7"}

func cutFirst(text string) (first, rest string) {
	first, rest, _ = strings.Cut(strings.TrimSpace(text), " ")
	return first, strings.TrimSpace(rest)
}

func parseRead(meter, rest string) (Act, error) {
	a := Act{Do: DoRead, Meter: meter}
	for _, cut := range []string{" to ", ", ", ",", " and "} {
		if red, black, ok := strings.Cut(rest, cut); ok {
			a.Red, a.Black = strings.TrimSpace(red), strings.TrimSpace(black)
			break
		}
	}
	if a.Black == "" {
		a.Red = rest
	}
	if a.Red == "" && meter != "amps" {
		return a, fmt.Errorf("say where the probes go: one place for its two rails (%[1]s main 7), or two points "+
			"(%[1]s F1 hot to main 9 center)", meter)
	}
	return a, nil
}

func parseLoad(rest string) (Act, error) {
	if rest == "" {
		return Act{}, fmt.Errorf("say where the lamp is laid across the rails, as in: load main 12; load off takes " +
			"it away")
	}
	if strings.EqualFold(rest, Off) {
		return Act{Do: DoLoad, To: Off}, nil
	}
	a, err := parseRead("load", rest)
	if err != nil {
		return a, err
	}
	a.Do, a.Meter, a.To = DoLoad, "", On
	if a.Black == "" {
		a.At, a.Red = a.Red, ""
	}
	return a, nil
}

func parseJumper(rest string) (Act, error) {
	if strings.EqualFold(rest, Off) {
		return Act{Do: DoLoad, To: Off}, nil
	}
	a, err := parseRead("jumper", rest)
	if err != nil {
		return a, err
	}
	a.Do, a.Meter, a.To = DoLoad, "", Jumper
	if a.Black == "" {
		a.At, a.Red = a.Red, ""
	}
	return a, nil
}

func parseTrain(rest string) (Act, error) {
	word, at := cutFirst(rest)
	switch to := strings.ToLower(word); to {
	case Off:
		return Act{Do: DoTrain, To: Off}, nil
	case On:
		return Act{Do: DoTrain, To: On, At: at}, nil
	}
	return Act{}, fmt.Errorf("write train off, or train on and a piece, as in: train on main 3")
}

// String is the act as it would be typed.
func (a Act) String() string {
	switch a.Do {
	case DoRead:
		s := a.Meter
		if a.Red != "" {
			s += " " + a.Red
		}
		if a.Black != "" {
			s += " to " + a.Black
		}
		return s
	case DoThrow:
		return "throw " + a.At + " " + a.To
	case DoSupply:
		return strings.TrimSpace("supply " + a.To + " " + a.At)
	case DoLoad:
		if a.To == Off {
			return "load off"
		}
		word := "load"
		if a.To == Jumper {
			word = Jumper
		}
		if a.At == "" {
			return word + " " + a.Red + " to " + a.Black
		}
		return word + " " + a.At
	case DoTrain:
		if a.To == On {
			return strings.TrimSpace("train on " + a.At)
		}
		return "train off"
	}
	return strings.TrimSpace(string(a.Do) + " " + a.At)
}
