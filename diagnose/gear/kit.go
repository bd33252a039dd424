// Package gear is what the user owns, in words: it reads what is written on a
// lamp and told of a supply, says a kit in a sentence, what to mind about it, and
// how a lamp is hooked up. It decides nothing about a hunt.
package gear

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Range is what the dial's lowest voltage range ("200 mV", "400 mV", "mV") is
// marked with.
type Range int

// The marks of a millivolt range: a wave (AC), a straight bar (DC), or both.
const (
	NoRange Range = iota
	BarOnly
	WaveOnly
	BarAndWave
)

// dcPreset is the usual meter without an AC range below 200 V.
const dcPreset = "dc-millivolts"

// RangeOf is what a kit says of its meter's millivolts. A wave alone is kept as
// a wave and a bar: on the AC track that has one to read it is the same.
func RangeOf(k *hunt.Kit) Range {
	switch {
	case !k.Millivolts:
		return NoRange
	case k.Meter == dcPreset || k.Own != nil && k.Own.NoMillivoltAC:
		return BarOnly
	}
	return BarAndWave
}

// SetRange puts it into a kit for a layout.
func SetRange(k *hunt.Kit, r Range, ac bool) {
	k.Millivolts = r != NoRange && (r != WaveOnly || ac)
	switch {
	case r == BarOnly && RangeOf(k) != BarOnly:
		k.Meter, k.Own = dcPreset, nil
	case r != BarOnly && k.Meter == dcPreset:
		k.Meter = ""
	}
}

// UsualDC is what a battery has, and a power pack that stands in, volt (common
// practice, no source).
const UsualDC = 12

// Feed is what stands behind the lamp while a short is hunted.
type Feed int

// What can: the layout's own supply, or one that takes its place.
const (
	OwnSupply Feed = iota
	Battery
	PowerPack
)

// FeedOf is what a kit says of it.
func FeedOf(k *hunt.Kit) Feed {
	switch {
	case !(k.DCVolts > 0):
		return OwnSupply
	case k.Battery:
		return Battery
	}
	return PowerPack
}

// SetFeed puts it into a kit; volts that were told stay.
func SetFeed(k *hunt.Kit, f Feed) {
	k.Battery = f == Battery
	switch {
	case f == OwnSupply:
		k.DCVolts = 0
	case !(k.DCVolts > 0):
		k.DCVolts = UsualDC
	}
}

// Recommend makes a kit the set that hunts best: an ordinary meter with a
// straight bar at its millivolts, a lamp, and on an AC layout a battery in place
// of the transformer; a DC layout's own power pack stays. What is known of the
// lamp stays.
func Recommend(k *hunt.Kit, ac bool) {
	k.Beeper, k.Ohms, k.Volts, k.Millivolts, k.Lamp = true, true, true, true, true
	if !ac {
		SetFeed(k, OwnSupply)
		return
	}
	SetRange(k, BarOnly, ac)
	SetFeed(k, Battery)
}

// IsRecommended says whether a kit has that set: in the transformer's place a
// battery or a DC power pack.
func IsRecommended(k *hunt.Kit, ac bool) bool {
	return k.Beeper && k.Ohms && k.Volts && k.Millivolts && k.Lamp && ac == (k.DCVolts > 0)
}

// Recommended names that set, and says why in a line.
func Recommended(ac bool) (set, why string) {
	if !ac {
		return "your DC power pack, and a lamp", "it carries a short, or loads the track as a train does"
	}
	return "a battery or DC power pack, and a lamp, in place of the transformer", "every meter reads DC; fewer readings"
}

// AC says whether a layout's own supply is AC.
func AC(l *track.Layout) bool { return len(l.Supplies) > 0 && l.Supplies[0].AC }

// Volts is what stands across the lamp when a short is hunted, volt: of what
// takes the supply's place, else of the layout's own.
func Volts(k *hunt.Kit, l *track.Layout) float64 {
	if len(l.Supplies) == 0 {
		return k.DCVolts
	}
	if k.DCVolts > 0 {
		return k.DCVolts
	}
	return l.Supplies[0].Volts
}

// CanMeasure says whether a kit can find anything at all.
func CanMeasure(k *hunt.Kit) bool {
	return k.Beeper || k.Ohms || k.Volts || k.Millivolts || k.Amps || k.Lamp
}

// Says tells a kit in a sentence without a stop.
func Says(k *hunt.Kit, l *track.Layout) string {
	parts := []string{meterSays(k)}
	if k.Lamp {
		_, trip := Trips(k, l)
		parts = append(parts, lampSays(Of(k), Volts(k, l), trip), "fed by "+FeedSays(k, l))
	} else {
		parts = append(parts, "no lamp")
	}
	parts = append(parts, "leads of "+Metres(k.Lead())+" each")
	if k.Extension {
		parts = append(parts, "an extension lead")
	}
	if k.Bisect {
		parts = append(parts, "readings chosen by bisection")
	}
	return strings.Join(parts, "; ")
}

func meterSays(k *hunt.Kit) string {
	var has []string
	for _, f := range []struct {
		has  bool
		name string
	}{{k.Beeper, "beeper"}, {k.Ohms, "ohms"}, {k.Volts, "volts"}, {k.Millivolts, "millivolts " + rangeSays(RangeOf(k))},
		{k.Amps, "amps"}} {
		if f.has {
			has = append(has, f.name)
		}
	}
	if len(has) == 0 {
		return "no meter"
	}
	return "a meter with " + unit.And(has)
}

func rangeSays(r Range) string {
	if r == BarOnly {
		return "on DC only (200 mV with a straight bar)"
	}
	return "on AC too (200 mV with a wave)"
}

func lampSays(l Lamp, volts, trip float64) string {
	if !l.Known() {
		return "a lamp (nobody knows what is written on it: fine)"
	}
	return fmt.Sprintf("a lamp (%s at %s)", l.On(volts, trip), Volt(volts))
}

// FeedSays names what stands behind the lamp.
func FeedSays(k *hunt.Kit, l *track.Layout) string {
	switch f := FeedOf(k); {
	case f == OwnSupply && AC(l):
		return "the layout's own transformer"
	case f == OwnSupply:
		return "the layout's own power pack"
	case f == Battery:
		return "a battery of " + Volt(k.DCVolts)
	}
	return "a DC power pack of " + Volt(k.DCVolts)
}

// Volt says volts.
func Volt(v float64) string { return unit.Format(v, unit.Volt) }

// Ampere says a current.
func Ampere(a float64) string { return unit.Format(a, unit.Ampere) }

// Metres says a length.
func Metres(m float64) string { return strconv.FormatFloat(m, 'g', 3, 64) + " m" }

// pieceOhms is a piece with its joint: 10 mV at 2.1 A, as read on a layout by
// one who hunted a short there with a lamp of that current (source not named).
const pieceOhms = 0.010 / 2.1

// Small is the current, ampere, below which a lamp misleads.
const small = 0.5

// lampFuse is the fuse at a battery, ampere.
const lampFuse = 3

// Mind says what to mind about a kit on a layout, the worst first; nil for
// nothing. The symptom is nil where none was told yet.
func Mind(k *hunt.Kit, l *track.Layout, s *hunt.Symptom) []string {
	var out []string
	if k.Lamp {
		_, trip := Trips(k, l)
		out = mindLamp(Of(k), Volts(k, l), trip, FeedOf(k) == Battery)
		out = append(out, mindTrip(k, l)...)
	}
	switch {
	case !k.Lamp && s != nil && s.Loaded(): // NoLamp says it
	case !k.Lamp && k.Millivolts:
		out = append(out, "without a lamp a short leaves no millivolts to read: the hunt goes by the other ranges, "+
			"and joints are opened")
	case k.Lamp && RangeOf(k) == BarOnly && AC(l) && FeedOf(k) == OwnSupply:
		out = append(out, "your millivolts are DC only and the transformer is AC: a battery or a DC power pack in "+
			"its place makes them count")
	}
	return out
}

// NoLamp says what a hunt does without a lamp.
func NoLamp(s *hunt.Symptom) string {
	if s != nil && s.Loaded() {
		return "No lamp: a lit car, or an engine held still, is the load across the rails in its place."
	}
	return "No lamp: a short is hunted by opening joints, half of the track at a time."
}

func mindLamp(lamp Lamp, volts, trip float64, battery bool) []string {
	var out []string
	each := volts / float64(max(lamp.InSeries, 1))
	if lamp.Watts > 0 && each > meter.MostOver*lamp.Volts {
		out = append(out, fmt.Sprintf("a lamp for %s on %s runs far too hot and dies %.0f times sooner; %d such "+
			"lamps in series do not",
			Volt(lamp.Volts), Volt(each), 1/meter.LampLife(lamp.Volts, each),
			meter.LampsInSeries(lamp.Watts, lamp.Volts, volts, trip)))
	}
	amps := lamp.Current(volts, trip)
	if lamp.Known() && amps < small {
		mv := 1000 * amps * pieceOhms
		out = append(out, fmt.Sprintf("a small bulb misleads: at %s a piece drops about %.1f mV, which drowns in the "+
			"meter's last digit (0.1 mV, two to five of them off); it also lights with any car on the rails",
			Ampere(amps), mv))
	}
	if battery && amps > lampFuse {
		out = append(out, fmt.Sprintf("it takes %s: the 3 A fuse at the battery blows", Ampere(amps)))
	}
	return out
}

// Trips is what lets no more current through the lamp: the layout's own supply
// that trips first, and at how many ampere. None where something stands in for it.
func Trips(k *hunt.Kit, l *track.Layout) (supply string, amps float64) {
	if FeedOf(k) != OwnSupply {
		return "", math.Inf(1)
	}
	amps = math.Inf(1)
	for i := range l.Supplies {
		if s := &l.Supplies[i]; s.Trip() < amps {
			supply, amps = s.Name, s.Breaker
		}
	}
	return supply, amps
}

// mindTrip says that the lamp's own current trips what feeds it.
func mindTrip(k *hunt.Kit, l *track.Layout) []string {
	supply, trip := Trips(k, l)
	if amps := Of(k).Current(Volts(k, l), trip); amps > meter.NearTrip*trip {
		return []string{fmt.Sprintf("it takes %s, and %s trips at %s with or without a lamp: put two such lamps in "+
			"series, or a battery with a fuse of %d A in its place",
			Ampere(amps), supply, Ampere(trip), lampFuse)}
	}
	return nil
}

// Bulb is so many of the bulb that anyone can buy, in series.
func Bulb(n int) Lamp {
	l := Lamp{Watts: meter.BulbWatts, Volts: meter.BulbVolts}
	if n > 1 {
		l.InSeries = n
	}
	return l
}

// Buy says which bulb anyone can buy for a kit on a layout, and its current: as
// many in series as its volts and its supply's breaker want.
func Buy(k *hunt.Kit, l *track.Layout) string {
	volts := Volts(k, l)
	if volts == 0 {
		volts = UsualDC
	}
	_, trip := Trips(k, l)
	n := meter.LampsInSeries(meter.BulbWatts, meter.BulbVolts, volts, trip)
	bulb := fmt.Sprintf("a car's signal bulb, category %s of UN R37, %d V %d W", meter.BulbName, meter.BulbVolts,
		meter.BulbWatts)
	if n > 1 {
		bulb = fmt.Sprintf("%d of a car's signal bulb in series, category %s of UN R37, %d V %d W each", n,
			meter.BulbName, meter.BulbVolts, meter.BulbWatts)
	}
	return fmt.Sprintf("%s, not LED: %s on %s", bulb,
		Ampere(Bulb(n).Current(volts, trip)), Volt(volts))
}
