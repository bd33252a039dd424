package bench

import (
	"math"
	"slices"
)

// burnt is how many times its written volts a lamp may have across it for long.
// Its life goes with the volts to the power of -12 to -16 (the page that lamp.go
// names): at 1.3 times it has a thirtieth of it left.
const burnt = 1.3

// fedBackwards is how many volts on the posts of a supply that is off are taken
// for feeding it backwards.
const fedBackwards = 2

// judge looks at what was solved: breakers trip, fuses blow, lamps burn.
func (b *Bench) judge(c *circuit) {
	for i := range c.feeds {
		s := &c.feeds[i]
		amps := math.Abs(c.amps(s))
		switch {
		case s.supply < 0:
			if b.Battery.Fuse > 0 && amps > b.Battery.Fuse {
				b.hazard("the fuse at the battery blew at %.1f A", amps)
				b.battery.blown = true
				b.touched()
			}
		case s.volts != 0:
			if limit := b.Layout.Supplies[s.supply].Breaker; limit > 0 && amps > limit {
				b.hazard("%s went bare into a short: %.0f A, its breaker tripped", b.Layout.Supplies[s.supply].Name,
					amps)
				b.supplies[s.supply].tripped = true
				b.touched()
			}
		default:
			if back := math.Abs(c.v[s.plus] - c.v[s.minus]); back > fedBackwards {
				b.hazard("%s is off and fed backwards with %.1f V: the pins of its plug are live",
					b.Layout.Supplies[s.supply].Name, back)
			}
		}
	}
	for _, d := range c.bends {
		if volts := math.Abs(c.v[d.u] - c.v[d.v]); d.lamp > 0 && volts/float64(d.lamp) > burnt*b.Lamp.Volts {
			b.hazard("a lamp for %.0f V has %.1f V across it", b.Lamp.Volts, volts)
		}
	}
}

// Seen is how brightly the lamp in the hot side burns, by eye, or the one across the
// rails where none is there; dark where there is no lamp.
func (b *Bench) Seen() (Light, error) {
	c, err := b.now()
	if err != nil {
		return Dark, err
	}
	full := 0.0
	for _, s := range c.feeds {
		if b.lamp.wires < 0 || (s.supply < 0) == b.lamp.battery && (s.supply < 0 || s.supply == b.lamp.wires) {
			full = math.Max(full, s.volts)
		}
	}
	for _, d := range c.bends {
		if d.lamp == 0 {
			continue
		}
		volts := math.Abs(c.v[d.u] - c.v[d.v])
		switch {
		case volts < b.eyes(seenFrom)*b.Lamp.Volts*float64(d.lamp):
			return Dark, nil
		case volts > b.eyes(brightFrom)*full:
			return Bright, nil
		}
		return Glowing, nil
	}
	return Dark, nil
}

// eyes draws where one pair of eyes has its limit.
func (b *Bench) eyes(between [2]float64) float64 {
	if b.Rng == nil {
		return (between[0] + between[1]) / 2
	}
	return between[0] + (between[1]-between[0])*b.Rng.Float64()
}

// Tripped says whether a breaker has tripped.
func (b *Bench) Tripped() bool {
	return slices.ContainsFunc(b.supplies, func(s supply) bool { return s.tripped })
}
