package meter

import "math"

// The bulb that anyone can buy: category P21W of UN Regulation 37, a filament
// lamp of 12 V and 21 W (its rated values there).
const (
	BulbName  = "P21W"
	BulbWatts = 21
	BulbVolts = 12
)

// filamentPower is how a filament's current goes with the volts across it, and
// filamentLife how its life does, at the mild end: I = I0 (V/V0)^0.55, life
// (V/V0)^-12 to ^-16 (D. G. Fink and H. W. Beaty, Standard Handbook for
// Electrical Engineers, 11th ed., 1978, p. 22-8).
const filamentPower, filamentLife = 0.55, -12

// LampAmps is the current, ampere, of n equal filament lamps in series (0 is
// one) with so many volts across all of them, each rated for watts at rated
// volts.
func LampAmps(watts, rated, volts float64, n int) float64 {
	return watts / rated * math.Pow(volts/float64(max(n, 1))/rated, filamentPower)
}

// LampPart is the part of its current that a filament lamp takes with a part of its
// volts across it.
func LampPart(volts float64) float64 { return math.Pow(volts, filamentPower) }

// LampLife is the part of its rated life that a filament lamp has left with
// volts across it in place of rated volts.
func LampLife(rated, volts float64) float64 { return math.Pow(volts/rated, filamentLife) }

// MostOver is how many times its written volts a lamp may have across it (assumed;
// a fresh battery of 12 V has 13 to 14). NearTrip is the part of a breaker's current
// that it may take (assumed: a cold filament takes several times its current for a
// moment).
const (
	MostOver = 1.2
	NearTrip = 0.9
)

// mostLamps is how many lamps in series anyone is told to take.
const mostLamps = 4

// LampsInSeries is how many lamps of these watts at rated volts go in series on so
// many volts behind a breaker (ampere, +Inf for none), so that none burns out and
// nothing trips.
func LampsInSeries(watts, rated, volts, breaker float64) int {
	n := 1
	for n < mostLamps && (0.999*volts > MostOver*rated*float64(n) ||
		LampAmps(watts, rated, volts, n) > NearTrip*breaker) {
		n++
	}
	return n
}
