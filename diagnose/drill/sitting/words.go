package sitting

import (
	"fmt"
	"strings"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/track"
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
	out := []string{fmt.Sprintf("%s: %s; feeders %s.", l.Name, strings.Join(runs, ", "), strings.Join(feeders, ", ")) + extras(l),
		fmt.Sprintf("The customer: %q", d.Told()), "On the table: " + onTheTable(d) + ". The supply is off; the train stands where it was left."}
	return out
}

// extras names what else is wired: supplies beyond the first, toggles, what is
// insulated, accessories.
func extras(l *track.Layout) string {
	var parts []string
	add := func(what string, names []string) {
		if len(names) > 0 {
			parts = append(parts, what+" "+strings.Join(names, ", "))
		}
	}
	var supplies, toggles, gaps, accessories []string
	for i := range l.Supplies {
		supplies = append(supplies, l.Supplies[i].Name)
	}
	for i := range l.Toggles {
		toggles = append(toggles, l.Toggles[i].Name)
	}
	for i := range l.Joints {
		if len(l.Joints[i].Insulated) > 0 {
			gaps = append(gaps, l.Joints[i].Name)
		}
	}
	for i := range l.Accessories {
		accessories = append(accessories, l.Accessories[i].Name)
	}
	if len(supplies) > 1 {
		add("supplies", supplies)
	}
	add("toggles", toggles)
	add("insulated rails", insulatedRails(l))
	add("insulated at", gaps)
	add("accessories", accessories)
	if len(parts) == 0 {
		return ""
	}
	return " Also: " + strings.Join(parts, "; ") + "."
}

// insulatedRails says where each is and what it works.
func insulatedRails(l *track.Layout) []string {
	var out []string
	for i := range l.InsulatedRails {
		r := &l.InsulatedRails[i]
		if len(r.Pieces) == 0 {
			continue
		}
		first, last := &l.Pieces[r.Pieces[0]], &l.Pieces[r.Pieces[len(r.Pieces)-1]]
		t := fmt.Sprintf("%s (%s, %s to %s", r.Name, r.Rail, first.ID(), last.ID())
		if first.Run == last.Run {
			t = fmt.Sprintf("%s (%s, %s to %d", r.Name, r.Rail, first.ID(), last.Number)
		}
		if r.Accessory >= 0 {
			t += ", works " + l.Accessories[r.Accessory].Name
		}
		out = append(out, t+")")
	}
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
	rows := [][2]string{
		{"beep " + piece, "the beeper from rail to rail there"},
		{fmt.Sprintf("beep %s hot to %s %s", feeder, piece, rail), "between two points; also ohms, volts, mv"},
		{"lift " + joint + ", seat " + joint, "open a joint, close it"},
		{"pull " + feeder + ", plug " + feeder, "a feeder off the supply, and back"},
		{"supply off, on, lamp", "lamp: on through the lamp in series"},
		{"supply on " + l.Supplies[len(l.Supplies)-1].Name, "that one, where there are several"},
		{"load " + piece + ", load off", "lay a lamp across the rails, take it away"},
		{"train off, train on " + piece, "trains off the rails, and on"},
		{"jumper " + piece + " left to " + piece + " right", "a clip lead in place of wheels; jumper off"},
		{"run", "run a train past every place"},
		{"look " + piece, "lift a piece and look"},
		{"accuse " + piece + " (or " + feeder + ")", "this is it: repair it"},
		{"accuse off the track", "a train is it, not the track"},
		{"status, log", "how it stands, what was done"},
		{"best", "ask the coach what to do now"},
		{"coach silent, hint, explain", "how much the coach says by itself"},
		{"give up", "show the answer"},
		{"quit", "leave; the drill is saved"},
	}
	for i := range l.Pieces {
		if l.Pieces[i].Name != "" && len(l.Pieces[i].Ends) == 3 {
			rows = append(rows[:4:4], append([][2]string{{"throw " + l.Pieces[i].Name + " diverging", "throw a turnout, or through"}}, rows[4:]...)...)
			break
		}
	}
	for i := range l.Accessories {
		rows = append(rows[:4:4], append([][2]string{{"pull " + l.Accessories[i].Name, "unplug an accessory; plug"}}, rows[4:]...)...)
	}
	for i := range l.Toggles {
		rows = append(rows[:4:4], append([][2]string{{"throw " + l.Toggles[i].Name + " off", "switch a toggle, or on"}}, rows[4:]...)...)
	}
	var out []string
	for _, r := range rows {
		out = append(out, fmt.Sprintf("%-36s %s", r[0], r[1]))
	}
	return out
}
