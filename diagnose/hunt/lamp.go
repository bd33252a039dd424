package hunt

import (
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
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
