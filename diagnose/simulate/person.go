package simulate

import (
	"math/rand/v2"
	"strings"

	"fishplate/diagnose/conductor"
)

// Probe is one reading that someone is asked to take.
type Probe struct {
	Function   Function
	Setup      conductor.Setup
	Red, Black int // points; not used for Amps, which reads the source's current
}

// Slip is what went wrong with a reading.
type Slip string

// The slips: none, a probe on a neighbouring joint, a wrong digit written
// down, the beeper misheard.
const (
	SlipNone  Slip = ""
	SlipJoint Slip = "neighbouring joint"
	SlipDigit Slip = "wrong digit"
	SlipHeard Slip = "misheard"
)

// Person takes readings on a bench with a meter, and now and then gets one
// wrong. The slips are assumed; no published rate for meter work was found.
type Person struct {
	Bench *Bench
	Meter Meter
	// AC says that the supplies are AC.
	AC bool
	// Wrong is the probability that a reading is taken or written down wrong.
	Wrong float64
	// Hands is what contacts and hands add to a value, by function, in volt or
	// ampere, and Share what they add as a part of it: standard deviations.
	Hands map[Function]float64
	Share float64
	Rng   *rand.Rand
}

// Read takes a reading: what is said to the hunt, and what went wrong with it.
// A meter that lacks the function says "".
func (p *Person) Read(a Probe) (text string, slip Slip) {
	wrong := p.Rng.Float64() < p.Wrong
	red, black := a.Red, a.Black
	if wrong && a.Function != Amps && a.Function != Lamp && p.Rng.IntN(2) == 0 {
		if moved := Neighbour(p.Bench.Network(), red, p.Rng); moved != red {
			red, slip = moved, SlipJoint
		}
	}
	text = p.Meter.Show(a.Function, p.unsteady(a.Function, p.exact(a, red, black)), p.AC, p.Rng)
	if !wrong || slip != SlipNone {
		return text, slip
	}
	if a.Function == Beeper {
		if text == "beep" {
			return "silent", SlipHeard
		}
		return "beep", SlipHeard
	}
	if a.Function == Lamp {
		return map[string]string{"bright": "glowing", "glowing": "dark", "dark": "glowing"}[text], SlipHeard
	}
	if slipped := SlipOneDigit(text, p.Rng); slipped != text {
		return slipped, SlipDigit
	}
	return text, SlipNone
}

// unsteady adds what hands and contacts do to a value.
func (p *Person) unsteady(f Function, v float64) float64 {
	if hands := p.Hands[f]; hands > 0 {
		v += hands * p.Rng.NormFloat64()
	}
	if p.Share > 0 && f != Beeper {
		v *= 1 + p.Share*p.Rng.NormFloat64()
	}
	return v
}

// exact is the value at the meter's terminals, its leads left out. Between
// points that nothing joins a voltmeter reads zero.
func (p *Person) exact(a Probe, red, black int) float64 {
	switch a.Function {
	case Beeper, Ohms:
		return p.Bench.Ohms(a.Setup, red, black)
	case Amps:
		return p.Bench.Amps(a.Setup)
	case Lamp:
		if a.Setup.LightsLoad() {
			volts := p.Bench.MeterVolts(a.Setup, red, black, MeterOhms) // 10 megohm are nothing beside a lamp
			return LampPart(volts / a.Setup.Source.Volts)
		}
		if a.Setup.Source.Amps <= 0 {
			return 0
		}
		return p.Bench.Amps(a.Setup) / a.Setup.Source.Amps
	}
	return p.Bench.MeterVolts(a.Setup, red, black, MeterOhms)
}

// Neighbour is a point that is easily taken for this one: for an end of a piece
// the same rail at another end of it, for a middle the middle of a piece next to
// it. It is the point itself when there is none (a post, a feeder).
func Neighbour(n *conductor.Network, point int, rng *rand.Rand) int {
	p := &n.Points[point]
	if p.Piece < 0 {
		return point
	}
	var near []int
	for i := range n.Points {
		q := &n.Points[i]
		if i != point && q.Piece == p.Piece && q.Rail == p.Rail && q.Kind == p.Kind {
			near = append(near, i)
		}
	}
	if len(near) == 0 && p.Kind == conductor.PointMiddle {
		near = besideMiddle(n, p)
	}
	if len(near) == 0 {
		return point
	}
	return near[rng.IntN(len(near))]
}

// besideMiddle lists the middles of the pieces that a piece is joined to, on
// the same conductor.
func besideMiddle(n *conductor.Network, p *conductor.Point) []int {
	var out []int
	for i := range n.Links {
		k := &n.Links[i]
		if k.Kind != conductor.KindJoint {
			continue
		}
		a, b := &n.Points[k.A], &n.Points[k.B]
		if b.Piece == p.Piece && b.Rail == p.Rail {
			a, b = b, a
		}
		if a.Piece != p.Piece || a.Rail != p.Rail {
			continue
		}
		if m := n.Middle(b.Piece, b.Rail); m >= 0 {
			out = append(out, m)
		}
	}
	return out
}

// SlipOneDigit makes one slip in writing a display down: two different digits
// changed places, one digit wrong, or the point one place off. A text without
// digits stays as it is.
func SlipOneDigit(text string, rng *rand.Rand) string {
	var at []int
	for i := range len(text) {
		if text[i] >= '0' && text[i] <= '9' {
			at = append(at, i)
		}
	}
	if len(at) == 0 {
		return text
	}
	b := []byte(text)
	switch rng.IntN(3) {
	case 0:
		for k := range len(at) - 1 {
			if i, j := at[k], at[k+1]; b[i] != b[j] && j == i+1 {
				b[i], b[j] = b[j], b[i]
				return string(b)
			}
		}
	case 1:
		if moved, ok := movePoint(text, rng); ok {
			return moved
		}
	}
	i := at[rng.IntN(len(at))]
	b[i] = '0' + (b[i]-'0'+byte(1+rng.IntN(9)))%10
	return string(b)
}

// movePoint sets the decimal point one place to the left or right: 21.24 for
// 212.4.
func movePoint(text string, rng *rand.Rand) (string, bool) {
	dot := strings.IndexByte(text, '.')
	digit := func(i int) bool { return i >= 0 && i < len(text) && text[i] >= '0' && text[i] <= '9' }
	left, right := digit(dot-1) && digit(dot-2), digit(dot+1) && digit(dot+2)
	if dot < 0 || !left && !right {
		return text, false
	}
	b := []byte(text)
	to := dot - 1
	if !left || right && rng.IntN(2) == 0 {
		to = dot + 1
	}
	b[dot], b[to] = b[to], b[dot]
	return string(b), true
}
