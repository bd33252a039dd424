package health

import (
	"fmt"
	"math"
	"strings"

	"fishplate/diagnose/unit"
)

// Before is what comes before the first reading of every evening.
func (c *Check) Before() []string {
	supply := c.Plan.Places[0].Supply
	first := "All trains and loose cars off the rails; every turnout to through, every toggle as in daily use."
	if n := len(c.n.Layout.Supplies); n > 1 {
		first += fmt.Sprintf(" All %d supplies unplugged: one that is fed backwards through the track has live pins, "+
			"touch none.", n)
	}
	return []string{first,
		fmt.Sprintf("The "+c.pack()+" off and unplugged, its wires off %s. In its place a battery of %.3g V: plus to "+
			"the hot wires, minus to the common ones. Its plus clip stays off until the lamp lies.", supply, c.o.Volts),
	}
}

// pack is what a person calls what feeds the track.
func (c *Check) pack() string {
	if s := c.n.Layout.Supplies; len(s) > 0 && !s[0].AC {
		return "power pack"
	}
	return "transformer"
}

// Cautions are what can hurt or burn in a health check.
func (c *Check) Cautions() []string {
	return []string{
		"The " + c.pack() + " comes off first, unplugged and with its wires off: never two sources on one track.",
		"A fuse of 3 A stays in at the battery's plus. If it blows there is a short: put in no bigger one, and hunt " +
			"the short.",
		"The lamp across the rails gets hot enough to burn skin and scorch foam: stand it in the open, off ties and " +
			"scenery. Take the clip off the battery's plus whenever you pause between readings, and at the end.",
		WhileOn,
		"Command control on these rails? Its booster comes off before the battery goes on.",
		"Never open a supply. Mains wiring is for licensed electricians, by the local codes.",
	}
}

// WhileOn is what can hurt while the meter is read.
const WhileOn = "While the battery is on: hands off joints and wires, no beeper and no ohms."

// After is how all is put back.
func (c *Check) After() string {
	return "Done with the battery: its plus clip off, then the lamp and the battery away, and only then the " +
		c.pack() + "'s wires back on, and its plug in."
}

// At says how the lamp is laid at a place.
func (c *Check) At(place int) string {
	p := &c.Plan.Places[place]
	what := "Lay the lamp across "
	if place > 0 {
		what = "Clip off the battery's plus, let the lamp cool, and lay it across "
		if was := c.Plan.Places[place-1].Supply; was != p.Supply {
			what = "Clip off the battery's plus. The battery goes from the wires of " + was + " to those of " +
				p.Supply + ". Let the lamp cool, and lay it across "
		}
	}
	side, _, joint := strings.Cut(p.Hot, "/")
	if joint { // behind an insulated one lies another supply's track
		side = ", on " + side
	} else {
		side = ""
	}
	return what + p.Hot + " and " + p.Common + ", every evening the same way" + side +
		"; then the clip onto the battery's plus."
}

// Lengthen says that the probes of a reading are too far apart for the leads, empty where
// they are not.
func (c *Check) Lengthen(reading int) string {
	if m := c.Far(reading); m > 0 {
		return fmt.Sprintf("The probes are about %.1f m apart: lengthen a lead with any thin wire; a meter on volts "+
			"does not mind.", m)
	}
	return ""
}

// Dial is the meter's setting.
const Dial = "DC millivolts (200 mV, or the range that it finds itself)"

// Promise says what the check sees, and what it does not.
func (c *Check) Promise() []string {
	least, most := math.Inf(1), 0.0
	for i := range c.Parts {
		least, most = min(least, c.Parts[i].Sees), max(most, c.Parts[i].Sees)
	}
	out := []string{fmt.Sprintf("%s with the lamp at %s tell %s apart. Once a few good evenings are known, "+
		"one contact that got worse by %s (by %s in the best part) is found on nine evenings of ten; a train feels "+
		"about %s.",
		unit.Count(len(c.Plan.Readings), "reading"), unit.Count(len(c.Plan.Places), "place"),
		unit.Count(len(c.Parts), "part"),
		ohms(most), ohms(least), ohms(TrainFeels))}
	if len(c.Unseen.Links) > 0 {
		out = append(out, fmt.Sprintf("Not watched, for too little of the lamp's current goes there: %s (%s).",
			c.Unseen.Name, c.Unseen.Rails))
	}
	return append(out, fmt.Sprintf("About one quiet evening in %.0f, or fewer, gives an alarm. The battery, the lamp "+
		"and how sound joints drift are assumed until your evenings say better.",
		1/FalseAlarms))
}

// ohms says a resistance as one is told at the table: two digits.
func ohms(x float64) string { return unit.FormatDigits(x, unit.Ohm, 2) }

// Say puts a verdict into words. when names an evening by its index.
func (c *Check) Say(v *Verdict, evenings int, when func(int) string) []string {
	switch {
	case evenings == 1:
		return append([]string{"The baseline is kept. Take the same readings before every show: the next evening is " +
			"held against this one."}, c.Promise()...)
	case v.Quiet:
		return []string{"All as it was.", c.known(v)}
	}
	p := c.where(v)
	var out []string
	if v.Better {
		out = append(out, fmt.Sprintf("Something reads better than on the good evenings, by about %s (%s to %s) of "+
			"one contact: %s. Was something cleaned or mended there? Then begin anew: --new.", ohms(-v.Ohms),
			ohms(-v.High), ohms(-v.Low), p))
	} else {
		out = append(out, fmt.Sprintf("One contact got worse by about %s (%s to %s): %s.", ohms(v.Ohms), ohms(v.Low),
			ohms(v.High), p))
	}
	out = append(out, "Since: "+when(v.Since)+".")
	switch {
	case v.Better:
	case v.Ohms < TrainFeels/2:
		out = append(out, fmt.Sprintf("No train feels it yet: that begins at about %s. Run the show, and look at the "+
			"joints there soon.", ohms(TrainFeels)))
	case v.Ohms < TrainFeels:
		out = append(out, fmt.Sprintf("A train will feel it soon: that begins at about %s.", ohms(TrainFeels)))
	default:
		out = append(out, "A train feels that: find it before the show.")
	}
	return append(out, c.known(v))
}

// where names the parts that it is in.
func (c *Check) where(v *Verdict) string {
	var names []string
	for i, p := range v.Parts {
		name := c.Parts[p].Name + ", " + c.Parts[p].Rails
		if len(v.Parts) > 1 {
			name += fmt.Sprintf(" (%.0f %%)", 100*v.Shares[i])
		}
		names = append(names, name)
	}
	return strings.Join(names, "; or ")
}

// known says how the drift is known.
func (c *Check) known(v *Verdict) string {
	if v.Learned == 0 {
		return fmt.Sprintf("That sound joints drift by a factor of %.2f from evening to evening is assumed; quiet "+
			"evenings will tell.", math.Exp(v.Drift))
	}
	return fmt.Sprintf("Sound joints here drift by a factor of about %.2f from evening to evening, as far as %s "+
		"beside what was assumed.",
		math.Exp(v.Drift), unit.Count(v.Learned, "quiet evening")+plural(v.Learned, " tells", " tell"))
}

func plural(n int, one, more string) string {
	if n == 1 {
		return one
	}
	return more
}

// Times that a sound layout does not read more, or less, than was expected, and volts
// below which it may: one evening in some hundreds (TestNonsenseIsDoubted).
const far, small = 3, 0.01

// Odd says what makes a reading doubtful, empty where nothing does: before the first
// evening against what the file expects, later against the evening before.
func (c *Check) Odd(k int, got float64, before *Shown) string {
	want, from := c.rows[k].volts, "the file expects"
	if before != nil {
		want, from = before.Volts, "the evening before showed"
	}
	switch {
	case got*want < 0 && math.Abs(got) > small/2 && math.Abs(want) > small/2:
		return fmt.Sprintf("That is the other way round than %s (%s): are red and black exchanged?", from,
			unit.Format(want, unit.Volt))
	case math.Abs(got) > far*max(math.Abs(want), small) || max(math.Abs(got), small) < math.Abs(want)/far:
		return fmt.Sprintf("That is far from what %s (%s): the rail asked for, bright metal, lamp lit?", from,
			unit.Format(want, unit.Volt))
	}
	return ""
}

// Doubts are where a hunt for it begins: the contacts, by place and rail, each with how
// likely it is, and the piece that the lamp lies on where most of its current passes them.
func (c *Check) Doubts(v *Verdict) (places map[string]float64, at string) {
	places = map[string]float64{}
	most := 0.0
	for i, p := range v.Parts {
		part := &c.Parts[p]
		for _, j := range part.Links {
			k := &c.n.Links[j]
			places[k.Place+" "+k.Rail] += v.Shares[i] / float64(len(part.Links))
		}
		for k := range c.rows {
			x := v.Shares[i] * math.Abs(c.rows[k].by[part.rep])
			lamp := c.n.Points[c.n.Find(c.Plan.Places[c.rows[k].place].Hot)].Piece
			if x > most && lamp >= 0 {
				most, at = x, c.n.Layout.Pieces[lamp].ID()
			}
		}
	}
	return places, at
}
