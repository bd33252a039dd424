package sitting

import (
	"fmt"
	"strings"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/hunt"
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
		if len(r.Pieces) == 0 {
			continue
		}
		t := l.RowName(r.Pieces[0], r.Pieces[len(r.Pieces)-1])
		if r.Closed {
			t += " (closed)"
		}
		runs = append(runs, t)
	}
	out := []string{fmt.Sprintf("%s: %s; %s; %s.", l.Name, strings.Join(runs, ", "), supplies(l),
		plural("feeder", feeders)) + extras(l),
		fmt.Sprintf("The customer: %q", d.Told()), "On the table: " + onTheTable(d) + "."}
	if len(d.Log()) == 0 { // a drill that is gone on with stands as it was left
		out[2] += " The supply is off; the train stands where it was left."
	}
	if o := d.Options(); o.Minutes > 0 {
		out = append(out, fmt.Sprintf("About %s of yours: some %d acts (assumed). The minutes that are counted are a "+
			"bench's, by what each act is assumed to take there. Nothing ends when they are over.",
			count(o.Minutes, "minute"), o.Acts()))
	}
	return out
}

func plural(what string, names []string) string {
	if len(names) > 1 {
		what += "s"
	}
	return what + " " + strings.Join(names, ", ")
}

// supplies names what feeds the layout: its posts are where a hunt begins.
func supplies(l *track.Layout) string {
	var names []string
	for i := range l.Supplies {
		names = append(names, l.Supplies[i].Name)
	}
	if len(names) > 1 {
		return "supplies " + strings.Join(names, ", ")
	}
	return "supply " + strings.Join(names, ", ")
}

// extras names what else is wired: toggles, what is insulated, accessories.
func extras(l *track.Layout) string {
	var parts []string
	add := func(what string, names []string) {
		if len(names) > 0 {
			parts = append(parts, what+" "+strings.Join(names, ", "))
		}
	}
	var toggles, gaps, accessories []string
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
		t := fmt.Sprintf("%s (%s, %s", r.Name, r.Rail, l.RowName(r.Pieces[0], r.Pieces[len(r.Pieces)-1]))
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

// Help lists what can be typed in a drill, as far as there is something to do it
// with.
func Help(d *drill.Drill) []string {
	var out []string
	for _, r := range helpRows(d) {
		out = append(out, fmt.Sprintf("%-36s %s", r[0], r[1]))
	}
	return out
}

func helpRows(d *drill.Drill) [][2]string {
	l, kit := d.Layout(), d.Options().Kit
	p := &l.Pieces[min(2, len(l.Pieces)-1)]
	piece, rail, feeder := p.ID(), string(p.Construction.Hot), l.Feeders[0].Name
	first := meterWords(kit)[0]
	rows := [][2]string{
		{first + " " + l.Supplies[0].Name, "the " + first + " setting across the supply's posts"},
		{first + " " + piece, "from rail to rail there"},
		{fmt.Sprintf("%s %s hot to %s %s", first, feeder, piece, rail), "between two points"},
	}
	if more := meterWords(kit)[1:]; len(more) > 0 {
		rows = append(rows, [2]string{strings.Join(more, ", "), "the same with the other settings"})
	}
	if kit.Ohms {
		rows = append(rows, [2]string{"ohms leads", "the two leads touched together"})
	}
	if len(l.Joints) > 0 {
		rows = append(rows, [2]string{"lift " + l.Joints[0].Name + ", seat " + l.Joints[0].Name,
			"open a joint, close it"})
	}
	rows = append(rows, [2]string{"pull " + feeder + ", plug " + feeder, "a feeder off the supply, and back"})
	rows = append(rows, wiringRows(l)...)
	rows = append(rows, [2]string{"train off, train on " + piece, "trains off the rails, and on"},
		[2]string{"supply on, supply off", "full volts, where that is safe"})
	if len(l.Supplies) > 1 {
		rows = append(rows, [2]string{"supply on " + l.Supplies[len(l.Supplies)-1].Name,
			"that one; both only with every feeder pulled"})
	}
	if kit.Lamp {
		rows = append(rows, [2]string{"supply lamp", "on through the lamp in series"},
			[2]string{"load " + piece + ", load off", "lay the lamp across the rails, take it away"})
	}
	if len(l.InsulatedRails) > 0 || len(l.Supplies) > 1 {
		rows = append(rows, [2]string{"jumper " + piece + " left to " + piece + " right",
			"a clip lead in place of wheels; jumper off"})
	}
	return append(rows,
		[2]string{"run", "run a train past every place"},
		[2]string{"look " + piece, "lift a piece and look"},
		[2]string{"accuse " + piece + " (or " + feeder + ")", "this is it: repair it"},
		[2]string{"accuse train", "a train is it, not the track"},
		[2]string{"goal, status, log", "what to do, how it stands, what was done"},
		[2]string{"hint, best", "ask the coach: a word of what to do, or all"},
		[2]string{"coach silent, hint, explain", "how much the coach says by itself"},
		[2]string{"give up", "show the answer"},
		[2]string{"quit", "leave; the drill is saved"})
}

// wiringRows are the acts on turnouts, accessories and toggles, one of each.
func wiringRows(l *track.Layout) [][2]string {
	var rows [][2]string
	for i := range l.Pieces {
		if l.Pieces[i].Name != "" && len(l.Pieces[i].Ends) == 3 {
			rows = append(rows, [2]string{"throw " + l.Pieces[i].Name + " diverging", "throw a turnout, or through"})
			break
		}
	}
	for i := range l.Toggles {
		rows = append(rows, [2]string{"throw " + l.Toggles[i].Name + " off", "switch a toggle, or on"})
	}
	for i := range l.Accessories {
		rows = append(rows, [2]string{"pull " + l.Accessories[i].Name, "unplug an accessory; plug"})
	}
	return rows
}

// meterWords are the settings on the table, as they are typed.
func meterWords(k hunt.Kit) []string {
	var out []string
	for _, m := range []struct {
		has  bool
		name string
	}{{k.Beeper, "beep"}, {k.Ohms, "ohms"}, {k.Volts, "volts"}, {k.Millivolts, "mv"}, {k.Amps, "amps"}} {
		if m.has {
			out = append(out, m.name)
		}
	}
	if len(out) == 0 {
		out = []string{"beep"}
	}
	return out
}
