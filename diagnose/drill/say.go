package drill

import (
	"fmt"
	"strings"
)

// meters are the words for the settings of the dial.
var meters = map[string]string{
	"beep": "beeper", "beeper": "beeper", "tone": "beeper", "ohm": "ohms", "ohms": "ohms", "volt": "volts", "volts": "volts", "v": "volts",
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
	verb := strings.ToLower(word)
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
	return Act{}, fmt.Errorf("%q is nothing that can be done here; help lists what can", word)
}

var exampleOf = map[Do]string{DoLift: "main 7/8", DoSeat: "main 7/8", DoPull: "F1", DoPlug: "F1", DoLook: "main 7", DoAccuse: "main 7"}

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
		return a, fmt.Errorf("say where the probes go: one place for its two rails (%[1]s main 7), or two points (%[1]s F1 hot to main 9 center)", meter)
	}
	return a, nil
}

func parseLoad(rest string) (Act, error) {
	if rest == "" {
		return Act{}, fmt.Errorf("say where the lamp is laid across the rails, as in: load main 12; load off takes it away")
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
