package card

import (
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/unit"
)

// worthDividing is the minutes that a division must save to be asked for
// (assumed).
const worthDividing = 0.3

// divides says whether a reading may be divided by an earlier one.
func divides(a, b *hunt.Ask) bool {
	volts := func(m string) bool { return m == "millivolts" || m == "volts" }
	return volts(a.Meter) && volts(b.Meter) && a.Setup.Source == b.Setup.Source && a.Setup.Source.Kind == "lamp"
}

// ratios divides readings by earlier ones. What cannot be divided counts as
// over the limit.
func ratios(crowd []*one, reads []unit.Reading, by map[*one]unit.Reading) []unit.Reading {
	out := make([]unit.Reading, len(reads))
	for i, r := range reads {
		out[i] = ratio(r, by[crowd[i]])
	}
	return out
}

// ratio is one reading divided by another.
func ratio(r, by unit.Reading) unit.Reading {
	if r.Kind != unit.Value || by.Kind != unit.Value || by.Value == 0 {
		return unit.Reading{Kind: unit.OverLimit, Unit: unit.None}
	}
	return unit.Reading{Kind: unit.Value, Value: r.Value / by.Value, Unit: unit.None}
}

// whole is a box of which the numbers are written down and not told apart.
func (g *grower) whole(t *tree) *tree {
	reads := make([]unit.Reading, len(t.crowd))
	for i, x := range t.crowd {
		reads[i] = t.reads[x]
	}
	out := *t
	out.slices, out.bits, out.whole = g.cut(t.crowd, reads, reads, 1)
	return &out
}
