package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
)

// kitIn is what a program can say of the kit; what it leaves out stays as it
// is.
type kitIn struct {
	Meters    *[]string `json:"meters"`
	Meter     *string   `json:"meter"`
	Watts     *float64  `json:"lamp_watts"`
	Volts     *float64  `json:"lamp_volts"`
	Amps      *float64  `json:"lamp_amps"`
	InSeries  *int      `json:"lamps_in_series"`
	DC        *float64  `json:"dc_volts"`
	Battery   *bool     `json:"battery"`
	Lead      *float64  `json:"lead_metres"`
	Extension *bool     `json:"extension"`
	Method    *string   `json:"method"`
	Block     *bool     `json:"block"`
}

// kitKeys are its keys.
var kitKeys = []string{"meters", "meter", "lamp_watts", "lamp_volts", "lamp_amps", "lamps_in_series", "dc_volts",
	"battery", "lead_metres", "extension", "method", "block"}

// kitOut is the kit that a hunt has, for programs. Figures that nobody knows
// are left out.
type kitOut struct {
	Type      string   `json:"type"`
	Meters    []string `json:"meters"`
	Meter     string   `json:"meter"`
	Watts     float64  `json:"lamp_watts,omitempty"`
	Volts     float64  `json:"lamp_volts,omitempty"`
	InSeries  int      `json:"lamps_in_series,omitempty"`
	Amps      float64  `json:"lamp_amps,omitempty"` // with all of the supply's volts across
	DC        float64  `json:"dc_volts,omitempty"`
	Battery   bool     `json:"battery"`
	Lead      float64  `json:"lead_metres"`
	Extension bool     `json:"extension"`
	Method    string   `json:"method"`
	Block     bool     `json:"block,omitempty"`
	Says      string   `json:"says"`
	Warnings  []string `json:"warnings,omitempty"`
}

// setKit takes what a program says of its kit, and answers with the kit.
func (s *jsonSession) setKit(value json.RawMessage) error {
	kit, err := readKit(s.kit, value)
	if err == nil {
		err = s.hunt.Own(kit)
	}
	if err != nil {
		return s.refuse(err)
	}
	s.kit = kit
	if s.keep != nil && s.hunt.View().Symptom != nil {
		if err := save(s.hunt, s.keep); err != nil {
			return s.refuse(err)
		}
	}
	return s.put(s.kitNow())
}

func (s *jsonSession) kitNow() kitOut {
	k, l := &s.kit, s.src.layout
	lamp := gear.Of(k)
	_, trip := gear.Trips(k, l)
	out := kitOut{Type: "kit", Meters: list(kitHas(k)), Meter: k.Meter, Watts: lamp.Watts, Volts: lamp.Volts,
		InSeries: lamp.InSeries,
		Amps:     lamp.Current(gear.Volts(k, l), trip), DC: k.DCVolts, Battery: k.Battery, Lead: k.Lead(),
		Extension: k.Extension, Method: gear.MethodOf(k), Block: k.Block,
		Says: gear.Says(k, l), Warnings: gear.Mind(k, l, s.hunt.View().Symptom)}
	if out.Meter == "" {
		out.Meter = presetNames()[0]
	}
	if k.Own != nil {
		out.Meter = "your own"
	}
	return out
}

// kitHas names what a kit has, as --meters takes it.
func kitHas(k *hunt.Kit) []string {
	var out []string
	for i, has := range []bool{k.Beeper, k.Ohms, k.Volts, k.Millivolts, k.Amps, k.Lamp} {
		if has {
			out = append(out, hasWords[i])
		}
	}
	return out
}

// readKit puts what an object says into a kit.
func readKit(k hunt.Kit, value json.RawMessage) (hunt.Kit, error) {
	var keys map[string]json.RawMessage
	if err := json.Unmarshal(value, &keys); err != nil || keys == nil {
		return k, fmt.Errorf("kit is not written like this; write for example %s", jsonKeys["kit"])
	}
	for _, key := range sortedKeys(keys) {
		if slices.Contains(kitKeys, key) {
			continue
		}
		if n := nearest(key, kitKeys); n != "" {
			return k, fmt.Errorf("kit has no %q; did you mean %q?", key, n)
		}
		return k, fmt.Errorf("kit has no %q; it takes %s", key, strings.Join(kitKeys, ", "))
	}
	var in kitIn
	for _, key := range sortedKeys(keys) {
		one, _ := json.Marshal(map[string]json.RawMessage{key: keys[key]}) // what came in as JSON
		if bytes.Equal(bytes.TrimSpace(keys[key]), []byte("null")) || json.Unmarshal(one, &in) != nil {
			return k, fmt.Errorf(`%s of the kit is not written like this; write for example `+
				`{"kit":{"meters":["beeper","volts","millivolts"],"meter":"dc-millivolts","lamp_watts":21,`+
				`"lamp_volts":12,"dc_volts":12,"battery":true,"lead_metres":1.2,"extension":false,`+
				`"method":"bisection"}}`, key)
		}
	}
	return in.into(k)
}

// into puts it into a kit, unless a figure makes no sense.
func (in *kitIn) into(k hunt.Kit) (hunt.Kit, error) {
	if in.Meters != nil {
		k.Beeper, k.Ohms, k.Volts, k.Millivolts, k.Amps, k.Lamp = false, false, false, false, false, false
		for _, word := range *in.Meters {
			if !setHas(&k, word) {
				return k, fmt.Errorf("meters: %q is none of %s", word, strings.Join(hasWords, ", "))
			}
		}
		if len(*in.Meters) == 0 {
			return k, fmt.Errorf("meters: the list is empty; write what there is of %s", strings.Join(hasWords, ", "))
		}
	}
	if in.Meter != nil {
		if !slices.Contains(presetNames(), *in.Meter) {
			return k, fmt.Errorf("meter: there is no kind of meter %q; there are %s", *in.Meter,
				strings.Join(presetNames(), ", "))
		}
		k.Meter, k.Own = *in.Meter, nil
	}
	if in.DC != nil {
		if err := gear.CheckDC(*in.DC, fmt.Sprint(*in.DC)); err != nil {
			return k, fmt.Errorf("dc_volts: %w", err)
		}
		k.DCVolts = *in.DC
	}
	if in.Battery != nil {
		k.Battery = *in.Battery
		if *in.Battery {
			gear.SetFeed(&k, gear.Battery)
		}
	}
	if in.Lead != nil {
		if err := gear.CheckLead(*in.Lead, fmt.Sprint(*in.Lead)); err != nil {
			return k, fmt.Errorf("lead_metres: %w", err)
		}
		k.LeadMetres = *in.Lead
	}
	if in.Extension != nil {
		k.Extension = *in.Extension
	}
	if in.Method != nil {
		bisect, err := gear.ReadMethod(*in.Method)
		if err != nil {
			return k, fmt.Errorf("method: %w", err)
		}
		k.Bisect = bisect
	}
	if in.Block != nil {
		k.Block = *in.Block
	}
	return k, in.lamp(&k)
}

// lamp puts what is said of the lamp into a kit: it replaces what was known.
func (in *kitIn) lamp(k *hunt.Kit) error {
	if in.Watts == nil && in.Volts == nil && in.Amps == nil && in.InSeries == nil {
		return nil
	}
	l := gear.Lamp{}
	if in.InSeries != nil {
		if l.InSeries = *in.InSeries; l.InSeries < 1 {
			return fmt.Errorf("lamps_in_series: write how many equal lamps stand in a row, 1 or more")
		}
	}
	switch {
	case in.Amps != nil && (in.Watts != nil || in.Volts != nil || in.InSeries != nil):
		return fmt.Errorf("lamp_amps is the current with all of the supply's volts across the lamp; write it alone, " +
			"or lamp_watts and lamp_volts")
	case in.Amps != nil:
		if l.Amps = *in.Amps; l.Amps == 0 {
			return fmt.Errorf("lamp_amps: a lamp of 0 A is of no use; leave it out when nobody knows it")
		}
	case in.Watts == nil || in.Volts == nil:
		return fmt.Errorf(`lamp_watts and lamp_volts go together, as in {"kit":{"lamp_watts":21,"lamp_volts":12}}`)
	default:
		l.Watts, l.Volts = *in.Watts, *in.Volts
	}
	if err := l.Check(); err != nil {
		return err
	}
	l.Into(k)
	return nil
}
