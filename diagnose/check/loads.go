package check

import (
	"fmt"

	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
)

// overVolts is how many times its own volts an accessory may get, and leastLife
// the part of its life that a lamp must keep (both assumed).
const overVolts, leastLife = 1.3, 0.1

// loadCheck sums what accessories take from each supply.
type loadCheck struct{ *checker }

// loads looks whether every accessory gets current, and compares its volts with
// those of its supply and the amperes of all with the breaker.
func (c loadCheck) loads() {
	f := newFeed(c.wired)
	sum := make([]float64, len(c.l.Supplies))
	for i := range c.l.Accessories {
		a := &c.l.Accessories[i]
		if a.Turnout >= 0 {
			continue // the coil of a turnout works for a moment only
		}
		s := c.feeds(f, a)
		if on, _, _ := f.circuit(c.contactsAt(a.At.Piece, a.At.End)); s < 0 && a.OnTrack && on < 0 {
			continue // told with the track
		}
		if s < 0 {
			c.add(Finding{Severity: WontWork, Kind: "accessory-dead", Place: a.Name, Basis: Arithmetic,
				What: fmt.Sprintf("the rails that it lies across at %s are not hot and common of one supply",
					c.l.PlaceName(a.At)),
				Why: "it gets no current, though trains run there",
				Do:  "join its wires to a hot and a common rail, or to a supply"}, []int{a.At.Piece})
			continue
		}
		sum[s] += a.Amps
		c.tooManyVolts(a, &c.l.Supplies[s])
	}
	for s := range sum {
		c.load(s, sum[s])
	}
}

// feeds is the supply of an accessory, -1 where it lies across rails that close
// no circuit.
func (c loadCheck) feeds(f *feed, a *track.Accessory) int {
	if !a.OnTrack {
		return a.Supply
	}
	hot, common := c.pointAt(a.At, a.Hot), c.pointAt(a.At, a.Common)
	for _, p := range f.of(hot) {
		if f.has(common, p.supply, 1-p.side) {
			return p.supply
		}
	}
	return -1
}

func (c loadCheck) tooManyVolts(a *track.Accessory, u *track.Supply) {
	life := 1.0
	if a.Kind == track.Lamp && a.Volts > 0 && u.Volts > a.Volts {
		life = meter.LampLife(a.Volts, u.Volts)
	}
	if a.Volts*overVolts >= u.Volts && life >= leastLife {
		return
	}
	var pieces []int
	if a.OnTrack {
		pieces = []int{a.At.Piece}
	}
	f := Finding{Severity: Badly, Kind: "accessory-volts", Place: a.Name,
		What: fmt.Sprintf("made for %.3g V, and gets %.3g V from %s", a.Volts, u.Volts, u.Name),
		Why: fmt.Sprintf("that makes %.1f times the heat it is made for: a lamp burns out soon, a coil scorches",
			u.Volts*u.Volts/a.Volts/a.Volts),
		Do:      "feed it from a post with fewer volts",
		Caution: "a lamp or coil that is driven too hard is hot enough to burn skin and scenery",
		Basis:   "heat goes with the square of the volts; the limit of 1.3 times the volts is assumed"}
	if life < leastLife {
		f.Why = fmt.Sprintf("a filament at %.2g times its volts lasts about 1/%.0f of its time, and gets hotter than "+
			"its shade is made for", u.Volts/a.Volts, 1/life)
		f.Do = "feed it from a post with fewer volts, put two alike in series, or take a lamp for these volts"
		f.Basis = "life of a filament goes with the volts to the power -12 to -16 (Fink and Beaty, Standard Handbook " +
			"for Electrical Engineers, 11th ed., 22-8); that a tenth is too little: assumed"
	}
	c.add(f, pieces)
}

// load compares what the accessories of a supply take with its breaker.
func (c loadCheck) load(s int, sum float64) {
	u, train := &c.l.Supplies[s], c.amps(s)
	f := Finding{Severity: WontWork, Kind: "accessory-load", Place: u.Name, Basis: Arithmetic,
		What: fmt.Sprintf("the accessories on %s take %.3g A together, and its breaker opens at %.3g A", u.Name, sum,
			u.Breaker),
		Why: "with all of them on, the breaker opens before a train has moved",
		Do:  "move some of them to a supply of their own"}
	switch {
	case sum > u.Breaker:
	case sum > 0 && sum+train > u.Breaker && train <= u.Breaker && c.runsTrains(s):
		f.Severity = Badly
		f.What = fmt.Sprintf("the accessories on %s (%.3g A) and a train (%.3g A) take more than its breaker lets "+
			"through (%.3g A)", u.Name, sum, train, u.Breaker)
		f.Why = "the breaker opens when a train comes by while they are on"
		f.Do = "give the accessories a supply of their own"
	default:
		return
	}
	c.add(f, nil)
}

// runsTrains says whether a supply has a feeder to the track.
func (c *design) runsTrains(s int) bool {
	for i := range c.l.Feeders {
		if c.l.Feeders[i].Supply == s {
			return true
		}
	}
	return false
}
