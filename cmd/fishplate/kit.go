package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/outside"
)

// kitFlags adds the flags that say what the user owns.
func kitFlags(c *cobra.Command, k *kitFlag) {
	fs := c.Flags()
	fs.Var(k, "meters", "what you own: a `LIST` of "+strings.Join(hasWords, ",")+" (see: fishplate help kit)")
	fs.Lookup("meters").DefValue = "" // who says nothing is asked
	fs.Func("meter", "`NAME` of the kind of meter: "+strings.Join(presetNames(), ", ")+
		"; or FILE.json with figures of your own", k.meter)
	for i := range kitFacts {
		factFlag(c, k, &kitFacts[i])
	}
	offer(c, "meters", lists(hasWords...))
	offer(c, "meter", meterFor)
}

// factFlag adds the flag of one fact.
func factFlag(c *cobra.Command, k *kitFlag, f *kitFact) {
	take := func(s string) error { return k.tell(*f, s) }
	if f.onlyYes {
		c.Flags().BoolFunc(f.name, f.about, func(string) error { return take("true") })
		return
	}
	c.Flags().Func(f.name, f.about, take)
	if f.name == methodFlag {
		offer(c, f.name, choices(gear.Methods()...))
	} else {
		offer(c, f.name, cobra.NoFileCompletions)
	}
}

// methodFlag is how a hunt chooses its readings: nothing that is owned.
const methodFlag = "method"

// blockFlag is where it begins to read: nothing that is owned either.
const blockFlag = "block"

// meterFor offers the kinds of meter; a file can be named too.
func meterFor(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
	return presetNames(), cobra.ShellCompDirectiveDefault
}

// kitFact is one thing that is told of what the user owns, behind a flag or in
// the settings.
type kitFact struct {
	name    string
	about   string // for the help; what stands behind the flag in `quotes`
	onlyYes bool
	read    func(s string) (change func(*hunt.Kit), err error)
}

var kitFacts = []kitFact{
	{"lamp", "`LAMP` as written on it: \"21W 12V\", \"2 x 21W 12V\" in series, \"1.75 A\", unknown; or its current " +
		"as measured into the short: \"0.83 measured\", 0.42V/0.5ohm", false, func(s string) (func(*hunt.Kit), error) {
		lamp, err := gear.ReadLamp(s)
		return func(k *hunt.Kit) { lamp.Into(k) }, err
	}},
	{"dc", "a DC power pack or another battery of so many `VOLTS` takes the transformer's place, with the lamp", false,
		func(s string) (func(*hunt.Kit), error) {
			volts, err := gear.ReadDC(s)
			return func(k *hunt.Kit) { k.DCVolts = volts }, err
		}},
	{"battery", "a battery (12 V, a 3 A fuse at it) and the lamp take the transformer's place", true,
		func(string) (func(*hunt.Kit), error) {
			return func(k *hunt.Kit) { gear.SetFeed(k, gear.Battery) }, nil
		}},
	{"leads", "`LENGTH` that one lead of the meter reaches (1.2 m, 4 ft)", false,
		func(s string) (func(*hunt.Kit), error) {
			metres, err := gear.ReadLead(s)
			return func(k *hunt.Kit) { k.LeadMetres = metres }, err
		}},
	{methodFlag, "how readings are chosen: `NAME` is " + strings.Join(gear.Methods(), " or ") +
		" (each halves what is left)", false, func(s string) (func(*hunt.Kit), error) {
		bisect, err := gear.ReadMethod(s)
		return func(k *hunt.Kit) { k.Bisect = bisect }, err
	}},
	{blockFlag, gear.BlockSays, true, func(string) (func(*hunt.Kit), error) {
		return func(k *hunt.Kit) { k.Block = true }, nil
	}},
	{"extension", "you have a wire to lengthen a lead", true, func(string) (func(*hunt.Kit), error) {
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
	k.noted = k.noted || f.name != methodFlag && f.name != blockFlag
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
	k.noted = true
	change(&k.kit)
	return nil
}

// ownMeter reads the figures of the user's own meter.
func ownMeter(path string) (*meter.Meter, error) {
	data, err := readOutside(path, outside.Meter)
	if err != nil {
		return nil, fmt.Errorf("the meter's figures cannot be read: %w", err)
	}
	m, err := meterFrom(data)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return m, nil
}

// figures is how a meter's own figures are written.
const figures = `write figures as {"Millivolts": {"Step": 0.0001, "Percent": 0.5, "Digits": 3, "Over": [0.4, 0.4]}, ` +
	`"Beeper": [30, 30], "LeadOhms": 0.2, "LeadSD": 0.05} (volt and ohm)`

// meterFrom understands a meter's figures: what they leave out is that of the
// first preset.
func meterFrom(data []byte) (*meter.Meter, error) {
	if err := outside.Meter.JSON(data); err != nil {
		return nil, err
	}
	if !bytes.HasPrefix(bytes.TrimSpace(data), []byte("{")) {
		return nil, fmt.Errorf("there is no object { } in it; %s", figures)
	}
	m, _ := meter.ByName("", true)
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&m); err != nil {
		return nil, fmt.Errorf("%w; %s", err, figures)
	}
	if err := m.Check(); err != nil {
		return nil, err
	}
	return &m, nil
}
