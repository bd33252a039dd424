package main

import (
	"fmt"
	"strings"

	"fishplate/diagnose/hunt"
)

// one gives the only word that a command takes, fallback where there is none.
func one(words []string, fallback string) (string, error) {
	switch {
	case len(words) == 1:
		return words[0], nil
	case len(words) > 1:
		return "", fmt.Errorf("one layout at a time: %s came behind %s", words[1], words[0])
	case fallback == "":
		return "", fmt.Errorf("name a layout file, or demo for the one that comes with the program")
	}
	return fallback, nil
}

// kitFlag is what the user owns, as written behind --meters.
type kitFlag struct {
	kit        hunt.Kit
	given      bool // on the command line
	configured bool // in the settings
	// over are single figures given on the command line: they hold for a hunt
	// that is gone on with too.
	over []func(*hunt.Kit)
	// told are the names of those.
	told map[string]bool
	// noted says that they, or the settings, told something that is owned.
	noted bool
}

// known says whether the user need not be asked.
func (k *kitFlag) known() bool { return k.given || k.configured }

// silent says that neither command line nor settings said anything of it.
func (k *kitFlag) silent() bool { return !k.known() && !k.noted }

const usualMeters = "beeper,ohms,volts,millivolts"

func newKit() *kitFlag {
	k := &kitFlag{}
	if err := k.Set(usualMeters); err != nil {
		panic(err) // a constant of ours
	}
	k.given = false
	return k
}

// String is the list as it would be written.
func (k *kitFlag) String() string {
	var out []string
	for _, m := range []struct {
		name string
		has  bool
	}{{"beeper", k.kit.Beeper}, {"ohms", k.kit.Ohms}, {"volts", k.kit.Volts}, {"millivolts", k.kit.Millivolts},
		{"amps", k.kit.Amps}} {
		if m.has {
			out = append(out, m.name)
		}
	}
	return strings.Join(out, ",")
}

// Type is what the flag takes, for the library of flags.
func (k *kitFlag) Type() string { return "list" }

// Set reads the list. Who measures millivolts has a lamp: without one in
// series, a short leaves no millivolts to measure.
func (k *kitFlag) Set(s string) error {
	kit := k.kit
	kit.Beeper, kit.Ohms, kit.Volts, kit.Millivolts, kit.Amps, kit.Lamp = false, false, false, false, false,
		k.told["lamp"]
	for _, word := range strings.Split(s, ",") {
		if !setHas(&kit, strings.ToLower(strings.TrimSpace(word))) {
			return fmt.Errorf("%q is none of %s", word, strings.Join(hasWords, ", "))
		}
	}
	k.kit, k.given = kit, true
	return nil
}

// hasWords are what can be owned, in the order in which they are listed.
var hasWords = []string{"beeper", "ohms", "volts", "millivolts", "amps", "lamp"}

// setHas notes one of them in a kit; false for another word.
func setHas(k *hunt.Kit, word string) bool {
	switch word {
	case "beeper":
		k.Beeper = true
	case "ohms":
		k.Ohms = true
	case "volts":
		k.Volts = true
	case "millivolts":
		k.Millivolts, k.Lamp = true, true
	case "amps":
		k.Amps = true
	case "lamp":
		k.Lamp = true
	default:
		return false
	}
	return true
}
