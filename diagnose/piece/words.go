package piece

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/diagnose/wire"
)

// Row is one line of the sheet: black stays on, red goes from one end to the next.
type Row struct {
	Readings []int
	Position string // what the points are thrown to, in words; empty without points
	Black    string
	Reds     []string
	Must     string // "beep", "be silent", "read about 5 ohm"
}

// Rows puts readings together that keep black where it is.
func (c *Check) Rows() []Row {
	var out []Row
	for i := range c.Readings {
		r := &c.Readings[i]
		at, must := c.Thrown(r.Position), r.Must()
		if n := len(out) - 1; n >= 0 && out[n].Position == at && out[n].Black == r.Black && out[n].Must == must {
			out[n].Readings, out[n].Reds = append(out[n].Readings, r.N), append(out[n].Reds, r.Red)
			continue
		}
		out = append(out, Row{Readings: []int{r.N}, Position: at, Black: r.Black, Reds: []string{r.Red}, Must: must})
	}
	return out
}

// Thrown says how the points stand; empty without points.
func (c *Check) Thrown(position string) string {
	switch {
	case position == "":
		return ""
	case !c.net.Layout.Pieces[0].Slips():
		return "thrown to " + position
	case position == c.Positions[0]:
		return "thrown straight across"
	}
	return "thrown to the slips"
}

// Must says what the meter must do.
func (r *Reading) Must() string {
	switch r.Want {
	case Beeps:
		return fmt.Sprintf("beep (ohms: at most %.1f over the leads)", r.Most())
	case Coil:
		return fmt.Sprintf("read about %.2g ohm, the coil, and the other coil alike", r.Ohms)
	}
	return "be silent (ohms: OL)"
}

// Loose says which piece is taken from the box, where no number is on it yet: what it is,
// and where it will lie.
func Loose(l *track.Layout, piece int) string {
	p := &l.Pieces[piece]
	return fmt.Sprintf("a %s, to lie at %s", p.Kind, p.ID())
}

// Says is reading n in a line: where the leads went and what had to be.
func (c *Check) Says(n int) string {
	i := slices.IndexFunc(c.Readings, func(r Reading) bool { return r.N == n })
	if i < 0 {
		return ""
	}
	r := &c.Readings[i]
	s := fmt.Sprintf("%d: black on %s, red on %s, must %s", n, r.Black, r.Red, r.Must())
	if at := c.Thrown(r.Position); at != "" {
		s += ", " + at
	}
	return s
}

// Numbers writes numbers of readings short: "1-4, 9".
func Numbers(list []int) string {
	var out []string
	for i := 0; i < len(list); {
		j := i
		for j+1 < len(list) && list[j+1] == list[j]+1 {
			j++
		}
		switch j - i {
		case 0:
			out = append(out, strconv.Itoa(list[i]))
		case 1:
			out = append(out, strconv.Itoa(list[i]), strconv.Itoa(list[j]))
		default:
			out = append(out, strconv.Itoa(list[i])+"-"+strconv.Itoa(list[j]))
		}
		i = j + 1
	}
	return strings.Join(out, ", ")
}

// Before says how the bench is made ready, and what can hurt.
func Before() []string {
	return []string{
		"Take the piece off everything: no neighbour, no wire, no supply, no train on it. A dry table, nothing of " +
			"metal under it.",
		"Meter on the beeper, or on its lowest range of ohms: touch the leads together first, and note what they " +
			"show alone.",
		"Probes on the pins, sprung contacts or joiners where there are some: so these are tested too. Touch no tip " +
			"with a finger: you are read along.",
		"left and right are as seen from the points of a turnout, from a1 of a crossing (its other way from b1), " +
			"from either end of all else, kept the same.",
		"Silent means no beep, and OL on the highest range of ohms. Some kiloohms are dirt or damp: dry it, clean " +
			"it, read again.",
		"Press and bend the piece a little while it should be silent: what slips under a train slips then.",
	}
}

// TakeOff says what comes off the rails before such a piece is read; empty for nothing.
func (c *Check) TakeOff() string {
	if len(c.OnTrack) == 0 {
		return ""
	}
	return "First off the rails: " + strings.Join(c.OnTrack, ", ") + ". It would be read along."
}

// Motor says how the motor of a turnout is read (common practice, no source; the
// fifth is assumed).
func Motor() []string {
	return []string{
		"A motor, if there is one, with its leads off: from its common lug to each other lug the same few ohms, " +
			"within a fifth; no lug may beep to any rail, but where it is wired to one on purpose.",
		"Never hold power on a coil: a second, no more. It burns, and burns fingers.",
	}
}

// Say is what is wrong and what to do, in one sentence.
func (m *Mend) Say() string {
	s := m.What + ". Do: " + m.Look
	if m.Solder {
		s += ". " + strings.TrimSuffix(wire.Soldering, ".")
	}
	return s + "."
}

// Aside is said of a piece that did not pass.
const Aside = "Put it aside with a tag, or mend it and read all of it again: a repair can make a fault."

// Unexplained is said where no single fault of the list spoils just those readings.
const Unexplained = "no one fault on the list of its kind does that: read them again with the probes on bright " +
	"metal; if it stays so, a rail or a pin inside is broken, or more than one thing is wrong."
