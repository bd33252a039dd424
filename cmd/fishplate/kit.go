package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"strconv"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/meter"
)

// kitFlags adds the flags that say what the user owns.
func kitFlags(fs *flag.FlagSet, k *kitFlag) {
	fs.Var(k, "meters", "")
	fs.Func("meter", "", func(s string) error {
		name := strings.ToLower(strings.TrimSpace(s))
		if strings.HasSuffix(name, ".json") {
			own, err := ownMeter(strings.TrimSpace(s))
			if err != nil {
				return err
			}
			k.over = append(k.over, func(kit *hunt.Kit) { kit.Own = own })
			k.kit.Own = own
			return nil
		}
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
	fs.Func("dc", "", func(s string) error {
		number := strings.TrimRight(strings.TrimSpace(strings.ReplaceAll(s, ",", ".")), "vV ")
		volts, err := strconv.ParseFloat(number, 64)
		if err != nil || !(volts >= 3 && volts <= 30) {
			return fmt.Errorf("%q is no DC supply for this; write its volts, 3 to 30, for example 12", s)
		}
		k.over = append(k.over, func(kit *hunt.Kit) { kit.DCVolts = volts })
		k.kit.DCVolts = volts
		return nil
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

// ownMeter reads the figures of the user's own meter: what the file leaves out
// is that of the first preset.
func ownMeter(path string) (*meter.Meter, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, fmt.Errorf("the meter's figures cannot be read: %w", err)
	}
	m, _ := meter.ByName("", true)
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&m); err != nil {
		return nil, fmt.Errorf(`%s: %w; write figures as {"Millivolts": {"Step": 0.0001, "Percent": 0.5, "Digits": 3, "Over": [0.4, 0.4]}, "Beeper": [30, 30], "LeadOhms": 0.2, "LeadSD": 0.05} (volt and ohm)`, path, err)
	}
	if err := m.Check(); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return &m, nil
}

// lampFits says what is wrong with a lamp's current, ampere.
func lampFits(amps float64) error {
	if amps >= 0.05 && amps <= 20 {
		return nil
	}
	return fmt.Errorf("a lamp of %g A is of no use here; write what is on it (its watts by the volts), for example 2.1", amps)
}
