package main

import (
	"flag"
	"fmt"
	"io"
	"strings"

	"fishplate/diagnose/hunt"
)

// parse reads flags that may stand before, between and after the other words,
// and gives those words. Nothing behind "--" is a flag.
func parse(fs *flag.FlagSet, args []string) ([]string, error) {
	fs.SetOutput(io.Discard)
	fs.Usage = func() {}
	var words []string
	for {
		if err := fs.Parse(args); err != nil {
			return nil, flagError(fs, err)
		}
		rest := fs.Args()
		if n := len(args) - len(rest); n > 0 && args[n-1] == "--" {
			return append(words, rest...), nil
		}
		if len(rest) == 0 {
			return words, nil
		}
		words = append(words, rest[0])
		args = rest[1:]
	}
}

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
}

// known says whether the user need not be asked.
func (k *kitFlag) known() bool { return k.given || k.configured }

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
	}{{"beeper", k.kit.Beeper}, {"ohms", k.kit.Ohms}, {"volts", k.kit.Volts}, {"millivolts", k.kit.Millivolts}, {"amps", k.kit.Amps}} {
		if m.has {
			out = append(out, m.name)
		}
	}
	return strings.Join(out, ",")
}

// Set reads the list. Who measures millivolts has a lamp: without one in
// series, a short leaves no millivolts to measure.
func (k *kitFlag) Set(s string) error {
	kit := hunt.Kit{Meter: k.kit.Meter, Own: k.kit.Own, LampAmps: k.kit.LampAmps, LampSpread: k.kit.LampSpread, DCVolts: k.kit.DCVolts}
	for _, word := range strings.Split(s, ",") {
		switch strings.ToLower(strings.TrimSpace(word)) {
		case "beeper":
			kit.Beeper = true
		case "ohms":
			kit.Ohms = true
		case "volts":
			kit.Volts = true
		case "millivolts":
			kit.Millivolts, kit.Lamp = true, true
		case "amps":
			kit.Amps = true
		default:
			return fmt.Errorf("%q is none of beeper, ohms, volts, millivolts, amps", word)
		}
	}
	k.kit, k.given = kit, true
	return nil
}
