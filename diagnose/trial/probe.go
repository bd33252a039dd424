// Package trial runs hunts against hidden faults: it takes a layout, a fault,
// a meter and a person who may slip, lets a hunter ask, and says what the hunt
// cost and where the truth stood in the list of pieces to look at. Readings
// come from package simulate, which shares nothing with the predictions that
// the hunt rests on. It has no clock and no files; all randomness comes from
// seeds that the caller hands over.
package trial

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
)

// ProbeOf turns an ask, which names points, joints and feeders, into what a
// bench can read. It fails where a name is not on this layout.
func ProbeOf(n *conductor.Network, a *hunt.Ask) (simulate.Probe, error) {
	q, err := a.On(n)
	return simulate.Probe{Function: simulate.Function(a.Meter), Setup: q.Setup, Red: q.Red, Black: q.Black}, err
}
