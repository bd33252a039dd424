package hunt

import (
	"math"

	"fishplate/diagnose/infer"
)

// filament is how the current of a filament lamp goes with its volts: as their
// 0.55th power (D. G. Fink, H. W. Beaty, "Standard Handbook for Electrical
// Engineers", 11th ed. 1978, p. 22-8, as cited by an encyclopedia's page on lamp
// rerating; the page itself was not seen).
const filament = 0.55

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
		each := volts / float64(max(k.LampsInSeries, 1))
		amps, spread = k.LampWatts/rated*math.Pow(each/rated, filament), infer.RatedLamp
	}
	if k.LampSpread > 0 {
		spread = k.LampSpread
	}
	return amps, spread
}
