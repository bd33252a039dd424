package card

import (
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/trial"
)

// probes turns the readings of all boxes into what a bench can read.
func (c *Card) probes(f *fair) ([]simulate.Probe, error) {
	out := make([]simulate.Probe, len(c.Boxes))
	for i := range c.Boxes {
		p, err := trial.ProbeOf(f.n, &c.Boxes[i].Ask)
		if err != nil {
			return nil, err
		}
		out[i] = p
	}
	return out, nil
}
