package main

import (
	"flag"
	"fmt"
	"strconv"
	"strings"

	"fishplate/diagnose/hunt"
)

// kitFlags adds the flags that say what the user owns.
func kitFlags(fs *flag.FlagSet, k *kitFlag) {
	fs.Var(k, "meters", "")
	fs.Func("meter", "", func(s string) error {
		name := strings.ToLower(strings.TrimSpace(s))
		for _, known := range presetNames() {
			if name == known {
				k.over = append(k.over, func(kit *hunt.Kit) { kit.Meter = name })
				k.kit.Meter = name
				return nil
			}
		}
		if n := nearest(name, presetNames()); n != "" {
			return fmt.Errorf("there is no kind of meter %q; did you mean %q?", s, n)
		}
		return fmt.Errorf("there is no kind of meter %q; there are %s", s, strings.Join(presetNames(), ", "))
	})
	fs.Func("lamp", "", func(s string) error {
		number := strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(strings.ReplaceAll(s, ",", ".")), "A"))
		amps, err := strconv.ParseFloat(number, 64)
		if err != nil {
			return fmt.Errorf("%q is no current; write the lamp's amperes, for example 2.1", s)
		}
		if err := lampFits(amps); err != nil {
			return err
		}
		k.over = append(k.over, func(kit *hunt.Kit) { kit.LampAmps = amps })
		k.kit.LampAmps = amps
		return nil
	})
}

// lampFits says what is wrong with a lamp's current, ampere.
func lampFits(amps float64) error {
	if amps >= 0.05 && amps <= 20 {
		return nil
	}
	return fmt.Errorf("a lamp of %g A is of no use here; write what is on it (its watts by the volts), for example 2.1", amps)
}
