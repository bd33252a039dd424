package hunt

import (
	"fmt"
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/unit"
)

// usualLamp is the current of a lamp of which nothing is known, ampere (assumed).
const usualLamp = 1.0

// LampCurrent is the current that the kit's lamp takes with so many volts across
// it (ampere) from what trips at so many (+Inf: never), and how far that may be off
// (log-sd). Watts and volts as written on it count where no current is given; lamps
// in series share the volts.
func (k *Kit) LampCurrent(volts, trip float64) (amps, spread float64) {
	amps, spread = usualLamp, infer.UnknownLamp
	switch {
	case k.LampAmps > 0:
		amps, spread = k.LampAmps, infer.RatedLamp
	case k.LampWatts > 0:
		rated := k.LampVolts
		if rated <= 0 { // only the watts are known: taken for a lamp of the supply's volts
			rated = volts
		}
		amps, spread = meter.LampAmps(k.LampWatts, rated, volts, k.LampsFor(volts, trip)), infer.RatedLamp
	}
	if k.LampSpread > 0 {
		spread = k.LampSpread
	}
	return amps, spread
}

// KnowsLamp says whether the lamp's current is known as well as by what is written on it.
func (k *Kit) KnowsLamp() bool {
	_, spread := k.LampCurrent(k.LampVolts, math.Inf(1))
	return spread <= infer.RatedLamp
}

// LampsFor is how many of the kit's lamps are put in series on so many volts from
// what trips at so many ampere: as many as it says, else so many that none burns out
// and nothing trips.
func (k *Kit) LampsFor(volts, trip float64) int {
	if k.LampsInSeries > 0 || k.LampWatts <= 0 || k.LampVolts <= 0 {
		return max(k.LampsInSeries, 1)
	}
	return meter.LampsInSeries(k.LampWatts, k.LampVolts, volts, trip)
}

// wordLampIn puts the lamp, or lamps in series, between what feeds and the hot wires.
func (say wording) wordLampIn(m *Move, see func(do, seen string) string) string {
	s := &say.layout.Supplies[m.Of]
	volts, trip := s.Volts, s.Trip()
	if m.Battery {
		volts, trip = say.kit.DCVolts, math.Inf(1)
	}
	if n := say.kit.LampsFor(volts, trip); n > 1 {
		return see(fmt.Sprintf("put %d lamps in series between %s", n, say.ends(m)),
			fmt.Sprintf("%d lamps in series are between %s", n, say.ends(m)))
	}
	return see("put the lamp between "+say.ends(m), "the lamp is between "+say.ends(m))
}

// tripped says that the lamp of the kit, as far as it is known, takes more than a
// supply gives: it trips with a short behind the lamp, as it does without one.
func (gd guide) tripped(x conductor.Source) string {
	i := gd.supplyAt(x.From)
	if x.Kind != conductor.SourceLamp || i < 0 || gd.hands().isStandIn(x, i) {
		return ""
	}
	k, s := gd.kit, &gd.layout.Supplies[i]
	if amps, _ := k.LampCurrent(s.Volts, s.Trip()); (k.LampAmps > 0 || k.LampWatts > 0) &&
		amps > meter.NearTrip*s.Trip() {
		return fmt.Sprintf("This lamp takes %s and %s trips at %s: put two such lamps in series, or a battery in its "+
			"place",
			unit.Format(amps, unit.Ampere), s.Name, unit.Format(s.Breaker, unit.Ampere))
	}
	return ""
}

// laid is how many of the kit's lamps are laid in series across the rails, so that
// none burns out and no supply trips; 0 where nothing is known of the lamp.
func (m *matter) laid(supply int) int {
	k, s := &m.kit, &m.layout.Supplies[supply]
	if !(k.LampWatts > 0 && k.LampVolts > 0) {
		return 0
	}
	return max(k.LampsInSeries, meter.LampsInSeries(k.LampWatts, k.LampVolts, s.Volts, s.Trip()))
}

// laysLamp says whether the kit's lamp is what is laid across the rails. Whoever has a
// battery has the one lamp for it: where the layout's own supply would burn that out, what
// stands on every shelf is laid.
func (m *matter) laysLamp() bool {
	if !m.kit.Lamp || m.standsBare() || m.kit.DCVolts <= 0 || m.kit.LampsInSeries > 0 {
		return m.kit.Lamp
	}
	for i := range m.layout.Supplies {
		if n := m.laid(i); n > 1 || n == 0 && m.layout.Supplies[i].Volts > meter.MostOver*meter.BulbVolts {
			return false
		}
	}
	return true
}

// loadOhms is what is laid across the rails of a supply, hot: the kit's lamps, else
// a lamp of one ampere.
func (m *matter) loadOhms(supply int) float64 {
	if m.standsBare() {
		amps, _ := m.kit.LampCurrent(m.kit.DCVolts, math.Inf(1))
		return m.kit.DCVolts / amps
	}
	volts := m.layout.Supplies[supply].Volts
	if n := m.laid(supply); n > 0 && m.laysLamp() {
		return volts / meter.LampAmps(m.kit.LampWatts, m.kit.LampVolts, volts, n)
	}
	return volts
}

// wordLoad names what is laid across the rails.
func (say wording) wordLoad(l *conductor.Load) string {
	about := " of about " + unit.FormatDigits(l.Ohms, unit.Ohm, 2)
	if !say.laysLamp() {
		return "a load" + about + " (a lit car or an engine held still, and no other)"
	}
	if say.standsBare() {
		return "the lamp"
	}
	most := 0
	for i := range say.layout.Supplies {
		most = max(most, say.laid(i))
		if volts := say.layout.Supplies[i].Volts; say.laid(i) == 0 && volts > meter.MostOver*meter.BulbVolts {
			return "a lamp" + about + fmt.Sprintf(" (for %s: of those for %d V two in series)",
				unit.Format(volts, unit.Volt), meter.BulbVolts)
		}
	}
	switch {
	case most > 1:
		return fmt.Sprintf("%d lamps in series", most) + about
	case most > 0:
		return "the lamp"
	}
	return "a lamp" + about
}

// mayTrip says of a lamp of which nothing is known that the one which anyone buys
// takes more than a small supply gives.
func (m *matter) mayTrip(x conductor.Source) string {
	i := m.supplyAt(x.From)
	if i < 0 || m.standIn() || m.kit.LampAmps > 0 || m.kit.LampWatts > 0 {
		return ""
	}
	s := &m.layout.Supplies[i]
	if amps := meter.LampAmps(meter.BulbWatts, meter.BulbVolts, s.Volts, 1); amps > meter.NearTrip*s.Trip() {
		return fmt.Sprintf("A bulb of %d W trips %s, which gives %s: two in series, or a battery in its place",
			meter.BulbWatts, s.Name, unit.Format(s.Breaker, unit.Ampere))
	}
	return ""
}

// after is a sentence that comes after another, whose full stop it brings.
func after(said string) string {
	if said == "" {
		return ""
	}
	return ". " + said
}
