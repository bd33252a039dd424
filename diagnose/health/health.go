// Package health is the check of a minute before a show: a battery on the track and
// its lamp across the rails at one place, a few volts along the rails, held against
// the same volts of a good evening. Their ratios to one another do not depend on the
// battery, the lamp or the meter's scale, so that a joint that got worse by a fifth
// of what a train feels shows, and which part of the layout it is in.
//
// A reading tonight over the same reading of the good evenings is, for a joint j with
// D ohm more than then,
//
//	r_k = g (1 + S_kj D / (1 + D h_j)) + e_k,   S_kj = i_j a_kj / v_k
//
// exactly, in any network of resistors: i_j is the current in the joint, a_kj the
// current in it when one ampere goes through the probes (S. W. Director, R. A. Rohrer,
// "The generalized adjoint network and network sensitivities", IEEE Trans. Circuit
// Theory 16, 1969, from memory), v_k the volts of the good evenings, and h_j the
// conductance that the joint's own branch sees around it. g is what the battery and the
// lamp do tonight, unknown, one for every place of the lamp. e is Gaussian: the meter's
// last digits, and the drift of every sound joint, whose log-sd is learned from the
// quiet evenings on a grid with a wide prior; a contact drifts by a factor, so that sound
// ones lean to the side of worse (bends).
//
// Each part of the layout (the joints that these readings cannot tell apart) is tested
// by its likelihood ratio against "all as it was", D being what fits best; an alarm is
// a probability below FalseAlarms shared out over all parts, both ways, and two spans
// of evenings (Bonferroni). Since when is the evening that makes the likelihood ratio
// of a change largest (M. Basseville, I. V. Nikiforov, "Detection of Abrupt Changes",
// 1993, the generalised likelihood ratio with unknown time and size, from memory).
package health

import (
	"fmt"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
)

// What a check takes for granted; assumed, no count was found.
const (
	// FalseAlarms is how many of all quiet evenings may give an alarm.
	FalseAlarms = 0.01
	// TrainFeels is the ohms that a joint has more before a train slows there.
	TrainFeels = 0.1
	// Volts and Amps are the battery and the lamp, where nobody says.
	Volts, Amps = 12, 1.75
	// usualDrift is the median of what is believed of the drift of sound joints from evening to evening,
	// as a log-sd, before any evening says; driftSpread the log-sd of that belief.
	usualDrift, driftSpread = 0.2, 0.85
	// What all rails, and all joints, do together from evening to evening: warmth, damp.
	railsTogether, jointsTogether = 0.02, 0.05
	// inBattery is what a battery, its fuse and clips have inside, ohm. It cancels.
	inBattery = 0.1
	// felt is the part of that which must be left with the contact open.
	felt = 0.3
	// good is how many quiet evenings make up what later ones are held against.
	good = 5
	// span is how many evenings are looked at together for what is small and stays, and
	// alone the part of the false alarms that the last evening alone may give.
	span, alone = 4, 0.7
)

// Options are what a check is made with.
type Options struct {
	Meter meter.Meter
	Volts float64 // of the battery
	Amps  float64 // of the lamp with all of them across it
}

// Place is where the lamp lies: across two points of the track; the battery is in the
// place of the supply.
type Place struct {
	Supply string `json:"supply"`
	Hot    string `json:"hot"`
	Common string `json:"common"`
}

// Reading is one of a check: volts between two points, with the lamp at a place.
type Reading struct {
	Place int    `json:"place"` // index into Plan.Places
	Red   string `json:"red"`
	Black string `json:"black"`
}

// Plan is what is read on every evening.
type Plan struct {
	Places   []Place   `json:"places"`
	Readings []Reading `json:"readings"`
}

// Shown is what a meter showed, with the last digit that it showed, volt.
type Shown struct {
	Volts float64 `json:"volts"`
	Step  float64 `json:"step,omitempty"`
}

// Part is a part of the layout whose joints these readings cannot tell apart.
type Part struct {
	Name   string   `json:"part"`   // "main 16 to 30"
	Rails  string   `json:"rails"`  // "center rail"
	Joints []string `json:"joints"` // and wires, as everywhere
	// Sees is by how many ohms one of them must be worse to be found on nine evenings of ten.
	Sees   float64 `json:"sees_ohm"`
	Pieces []int   `json:"-"` // of the layout
	Links  []int   `json:"-"`
	rep    int     // the link that stands for all
}

// Check is a plan on its layout, ready to judge.
type Check struct {
	Plan   *Plan
	Parts  []Part
	Unseen Part // what these readings do not see
	n      *conductor.Network
	o      Options
	rows   []row  // by reading
	lit    []*lit // by place of the lamp
	links  []int  // all that can get worse
}

// row is a reading with what it says of every link: by[j] is the derivative of its
// volts by the ohms of link j, volt per ohm.
type row struct {
	place int
	volts float64
	by    []float64
}

// The limits of a plan that comes from outside.
const (
	mostPlaces   = 4
	mostReadings = 24
)

// On puts a plan onto its layout. It fails where a point is not there any more.
func On(l *track.Layout, p *Plan, o Options) (*Check, error) {
	n, err := conductor.Build(l)
	if err != nil {
		return nil, err
	}
	o.settle()
	if len(p.Places) == 0 || len(p.Places) > mostPlaces || len(p.Readings) < 2 || len(p.Readings) > mostReadings {
		return nil, fmt.Errorf("%d places of the lamp and %d readings are no health check", len(p.Places),
			len(p.Readings))
	}
	c := &Check{Plan: p, n: n, o: o}
	lit := make([]*lit, len(p.Places))
	for i, at := range p.Places {
		supply := slices.IndexFunc(l.Supplies, func(s track.Supply) bool { return s.Name == at.Supply })
		hot, common := n.Find(at.Hot), n.Find(at.Common)
		if supply < 0 || hot < 0 || common < 0 {
			return nil, fmt.Errorf("the lamp's place, %s to %s, is not on this layout any more", at.Hot, at.Common)
		}
		if lit[i], err = light(n, supply, hot, common, &o); err != nil {
			return nil, err
		}
	}
	for _, r := range p.Readings {
		red, black := n.Find(r.Red), n.Find(r.Black)
		if r.Place < 0 || r.Place >= len(lit) || red < 0 || black < 0 {
			return nil, fmt.Errorf("the reading from %s to %s is not on this layout any more", r.Red, r.Black)
		}
		volts, by, ok := lit[r.Place].reading(red, black)
		if !ok {
			return nil, fmt.Errorf("nothing joins %s and %s on this layout any more", r.Red, r.Black)
		}
		c.rows = append(c.rows, row{r.Place, volts, by})
	}
	c.lit, c.links = lit, canWorsen(lit[0])
	c.part()
	return c, nil
}

func (o *Options) settle() {
	if o.Volts <= 0 {
		o.Volts = Volts
	}
	if o.Amps <= 0 {
		o.Amps = Amps
	}
	if o.Meter.Millivolts.Step <= 0 {
		o.Meter = meter.Cheap(false)
	}
}

// canWorsen are the contacts: what gets worse with use, damp and time. One that current
// gets around, as around a joint of one outer rail by the ties, no train ever feels.
func canWorsen(c *lit) []int {
	var out []int
	for i := range c.n.Links {
		if k := &c.n.Links[i]; c.on[i] && contact(k) && c.around(i) < 1/(TrainFeels*felt) {
			out = append(out, i)
		}
	}
	return out
}

// contact says whether a link is one, or a wire with its two ends.
func contact(k *conductor.Link) bool {
	switch k.Kind {
	case conductor.KindJoint, conductor.KindClip, conductor.KindSwitch, conductor.KindJumper, conductor.KindFeeder,
		conductor.KindBus, conductor.KindToggle:
		return true
	}
	return false
}

// drifts says whether a link's ohms change from evening to evening: a wire's do not.
func drifts(k *conductor.Link) bool {
	return contact(k) && k.Kind != conductor.KindFeeder && k.Kind != conductor.KindBus
}
