package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/meter"
)

// kitFlags adds the flags that say what the user owns.
func kitFlags(fs *flag.FlagSet, k *kitFlag) {
	fs.Var(k, "meters", "")
	fs.Func("meter", "", k.meter)
	for _, f := range kitFacts {
		take := func(s string) error { return k.tell(f, s) }
		if f.onlyYes {
			fs.BoolFunc(f.name, "", func(string) error { return take("true") })
		} else {
			fs.Func(f.name, "", take)
		}
	}
}

// kitFact is one thing that is told of what the user owns, behind a flag or in
// the settings.
type kitFact struct {
	name    string
	onlyYes bool
	read    func(s string) (change func(*hunt.Kit), err error)
}

var kitFacts = []kitFact{
	{"lamp", false, func(s string) (func(*hunt.Kit), error) {
		lamp, err := gear.ReadLamp(s)
		return func(k *hunt.Kit) { lamp.Into(k) }, err
	}},
	{"dc", false, func(s string) (func(*hunt.Kit), error) {
		volts, err := gear.ReadDC(s)
		return func(k *hunt.Kit) { k.DCVolts = volts }, err
	}},
	{"battery", true, func(string) (func(*hunt.Kit), error) {
		return func(k *hunt.Kit) { gear.SetFeed(k, gear.Battery) }, nil
	}},
	{"leads", false, func(s string) (func(*hunt.Kit), error) {
		metres, err := gear.ReadLead(s)
		return func(k *hunt.Kit) { k.LeadMetres = metres }, err
	}},
	{"extension", true, func(string) (func(*hunt.Kit), error) {
		return func(k *hunt.Kit) { k.Extension = true }, nil
	}},
}

// kitFactNamed is the fact behind a flag, nil where that is none.
func kitFactNamed(flag string) *kitFact {
	for i := range kitFacts {
		if kitFacts[i].name == flag {
			return &kitFacts[i]
		}
	}
	return nil
}

// tell takes a fact from the command line: it holds for a hunt that is gone on
// with too.
func (k *kitFlag) tell(f kitFact, s string) error {
	change, err := f.read(s)
	if err != nil {
		return err
	}
	if k.told == nil {
		k.told = map[string]bool{}
	}
	k.told[f.name] = true
	k.over = append(k.over, change)
	change(&k.kit)
	return nil
}

// meter takes the kind of meter, or a file with its figures.
func (k *kitFlag) meter(s string) error {
	name := strings.ToLower(strings.TrimSpace(s))
	change := func(kit *hunt.Kit) { kit.Meter = name }
	switch {
	case strings.HasSuffix(name, ".json"):
		own, err := ownMeter(strings.TrimSpace(s))
		if err != nil {
			return err
		}
		change = func(kit *hunt.Kit) { kit.Own = own }
	case slices.Contains(presetNames(), name):
	default:
		if n := nearest(name, presetNames()); n != "" {
			return fmt.Errorf("there is no kind of meter %q; did you mean %q?", s, n)
		}
		return fmt.Errorf("there is no kind of meter %q; there are %s", s, strings.Join(presetNames(), ", "))
	}
	k.over = append(k.over, change)
	change(&k.kit)
	return nil
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
