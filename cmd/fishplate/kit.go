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
	"fishplate/diagnose/unit"
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
		amps, spread, err := readLamp(s)
		if err != nil {
			return err
		}
		k.over = append(k.over, func(kit *hunt.Kit) { kit.LampAmps, kit.LampSpread = amps, spread })
		k.kit.LampAmps, k.kit.LampSpread = amps, spread
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

// measuredSpread is how far a current that was measured may be off: a meter's
// percent, and what the lamp drifts as it warms (assumed).
const measuredSpread = 0.01

// readLamp reads the current of a lamp, ampere: as it stands on the lamp
// ("1"), or measured into the short ("0.83 measured"; "0.42V/0.5ohm": the volts
// across a known resistor in series), which is known better.
func readLamp(s string) (amps, spread float64, err error) {
	text := strings.TrimSpace(strings.ToLower(s))
	if over, under, ok := strings.Cut(text, "/"); ok {
		volts, e1 := unit.Parse(strings.TrimSpace(over), unit.Volts)
		ohms, e2 := unit.Parse(strings.TrimSpace(under), unit.Ohms)
		if e1 != nil || e2 != nil || volts.Kind != unit.Value || ohms.Kind != unit.Value || !(ohms.Value > 0) {
			return 0, 0, fmt.Errorf("write the volts across a known resistor by its ohms, for example 0.42V/0.5ohm")
		}
		return volts.Value / ohms.Value, measuredSpread, lampFits(volts.Value / ohms.Value)
	}
	if number, ok := strings.CutSuffix(text, "measured"); ok {
		text, spread = strings.TrimSpace(number), measuredSpread
	}
	if plain, err := strconv.ParseFloat(strings.ReplaceAll(text, ",", "."), 64); err == nil { // a lone 1 is OL to a meter
		return plain, spread, lampFits(plain)
	}
	r, err := unit.Parse(text, unit.Amps)
	if err != nil || r.Kind != unit.Value {
		return 0, 0, fmt.Errorf("write the lamp's current in ampere, for example 2.1, or as measured: \"0.83 measured\", 0.42V/0.5ohm")
	}
	return r.Value, spread, lampFits(r.Value)
}

// lampFits says what is wrong with a lamp's current, ampere.
func lampFits(amps float64) error {
	if amps >= 0.05 && amps <= 20 {
		return nil
	}
	return fmt.Errorf("a lamp of %g A is of no use here; write what is on it (its watts by the volts), for example 2.1", amps)
}
