package hunt

import (
	"fmt"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// usualLamp is the current of a lamp of which nothing is known, ampere.
const usualLamp = 1.0

// LampCurrent is the current that the kit's lamp takes with so many volts across
// it (ampere), and how far that may be off (log-sd). Watts and volts as written
// on it count where no current is given; lamps in series share the volts.
func (k *Kit) LampCurrent(volts float64) (amps, spread float64) {
	amps, spread = usualLamp, infer.UnknownLamp
	switch {
	case k.LampAmps > 0:
		amps, spread = k.LampAmps, infer.RatedLamp
	case k.LampWatts > 0:
		rated := k.LampVolts
		if rated <= 0 { // only the watts are known: taken for a lamp of the supply's volts
			rated = volts
		}
		amps, spread = meter.LampAmps(k.LampWatts, rated, volts, k.LampsInSeries), infer.RatedLamp
	}
	if k.LampSpread > 0 {
		spread = k.LampSpread
	}
	return amps, spread
}

// NearTrip is the part of a breaker's current that a lamp behind it may take
// (assumed: a cold filament takes several times its current for a moment).
const NearTrip = 0.9

// tripped says that the lamp of the kit, as far as it is known, takes more than a
// supply gives: it trips with a short behind the lamp, as it does without one.
func (gd guide) tripped(x conductor.Source) string {
	i := gd.supplyAt(x.From)
	if x.Kind != conductor.SourceLamp || i < 0 || gd.hands().isStandIn(x, i) {
		return ""
	}
	k, s := gd.kit, &gd.layout.Supplies[i]
	if amps, _ := k.LampCurrent(s.Volts); (k.LampAmps > 0 || k.LampWatts > 0) && s.Breaker > 0 && amps > NearTrip*s.Breaker {
		return fmt.Sprintf("This lamp takes %s and %s trips at %s: put two such lamps in series, or a battery in its place.",
			unit.Format(amps, unit.Ampere), s.Name, unit.Format(s.Breaker, unit.Ampere))
	}
	return ""
}
