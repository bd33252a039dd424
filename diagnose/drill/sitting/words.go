package sitting

import (
	"fmt"
	"strings"

	"fishplate/diagnose/drill"
)

// Opening is what is said before the first act: the layout, what the customer
// says, and what lies on the table.
func Opening(d *drill.Drill) []string {
	l := d.Layout()
	var feeders []string
	for i := range l.Feeders {
		feeders = append(feeders, fmt.Sprintf("%s at %s", l.Feeders[i].Name, l.PlaceName(l.Feeders[i].At)))
	}
	var runs []string
	for _, r := range l.Runs {
		t := fmt.Sprintf("%s 1 to %d", r.Name, len(r.Pieces))
		if r.Closed {
			t += " (closed)"
		}
		runs = append(runs, t)
	}
	out := []string{fmt.Sprintf("%s: %s; feeders %s.", l.Name, strings.Join(runs, ", "), strings.Join(feeders, ", ")),
		fmt.Sprintf("The customer: %q", d.Told()), "On the table: " + onTheTable(d) + ". The supply is off; the train stands where it was left."}
	return out
}

func onTheTable(d *drill.Drill) string {
	k := d.Options().Kit
	var out []string
	for _, m := range []struct {
		has  bool
		name string
	}{{k.Beeper, "beeper"}, {k.Ohms, "ohms"}, {k.Volts, "volts"}, {k.Millivolts, "millivolts"}, {k.Amps, "amps"}} {
		if m.has {
			out = append(out, m.name)
		}
	}
	t := "a meter (" + strings.Join(out, ", ") + ")"
	if k.Lamp {
		t += " and a lamp"
	}
	return t
}

// Help lists what can be typed in a drill.
func Help(d *drill.Drill) []string {
	l := d.Layout()
	p := &l.Pieces[min(2, len(l.Pieces)-1)]
	piece, rail, feeder := p.ID(), string(p.Construction.Hot), l.Feeders[0].Name
	joint := piece
	if len(l.Joints) > 0 {
		joint = l.Joints[0].Name
	}
	out := []string{
		"beep " + piece + "            the beeper from rail to rail there",
		fmt.Sprintf("beep %s hot to %s %s   between two points; also ohms, volts, mv", feeder, piece, rail),
		"lift " + joint + "          open a joint; seat closes it",
		"pull " + feeder + "                 a feeder off the supply; plug puts it back",
		"supply off, on, lamp    lamp: on through the lamp in series",
		"load " + piece + "            lay a lamp across the rails; load off",
		"train off               trains off the rails; train on " + piece,
		"run                     run a train past every place",
		"look " + piece + "            lift a piece and look; accuse " + piece + " repairs it",
		"accuse off the track    the train is it",
		"status, log             how it stands; what was done",
		"best                    ask the coach what to do now",
		"coach silent, hint, explain",
		"give up                 show the answer",
		"quit                    leave; the drill is saved",
	}
	for i := range l.Pieces {
		if l.Pieces[i].Name != "" && len(l.Pieces[i].Ends) == 3 {
			out = append(out[:4:4], append([]string{"throw " + l.Pieces[i].Name + " diverging     throw a turnout, or through"}, out[4:]...)...)
			break
		}
	}
	return out
}
