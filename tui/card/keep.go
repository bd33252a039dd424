package card

import (
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Keep says in a few words what must be true while reading, whoever made it so
// and how long ago: the steps say only what changes, and a joint opened three
// readings ago must still be open.
func Keep(sc *scene.Scene, a *hunt.Ask, w int) []string {
	load := "lamp"
	if !sc.Kit.Lamp {
		load = "load"
	}
	kept := keep(sc.Layout, &a.Setup, load, standIn(sc, a))
	if len(kept) == 0 {
		return nil
	}
	return text.Hang(sc.Theme.Paint(style.Label, "KEEP"), strings.Join(kept, "; "), Indent, w)
}

// standIn is what feeds the track in the place of the supply, empty where that does
// itself.
func standIn(sc *scene.Scene, a *hunt.Ask) string {
	x, bears := &a.Setup.Source, false
	for _, l := range a.Setup.Loads {
		bears = bears || l.Ohms >= 1
	}
	switch {
	case !sc.Kit.Lamp || sc.Kit.DCVolts <= 0 || x.Volts != sc.Kit.DCVolts || x.Kind != "lamp" && !bears:
		return ""
	case sc.Kit.Battery:
		return "battery"
	}
	return "DC pack"
}

// keep lists what must stay so; load is what a load across the rails is called.
func keep(l *track.Layout, s *hunt.Setup, load, standIn string) []string {
	out := listed("joint", " open", s.Lifted)
	out = append(out, listed("feeder", " off", s.Pulled)...)
	var off, second []string
	for _, name := range s.Off {
		if goesOff(l, name) {
			off = append(off, name)
		} else {
			second = append(second, name)
		}
	}
	out = append(out, listed("toggle", " off", off)...)
	out = append(out, listed("toggle", " in second position", second)...)
	for _, name := range s.Diverted() {
		out = append(out, name+" to "+s.Thrown[name])
	}
	out = append(out, listed("", " unplugged", s.Unplugged)...)
	for i, x := range s.Loads {
		// the same lead, with a clip more
		if i > 0 && x.Ohms < 1 && s.Loads[i-1].Ohms < 1 && x.From == s.Loads[i-1].From {
			out[len(out)-1] += " and " + x.To
			continue
		}
		what := load + " across "
		if x.Ohms < 1 {
			what = "clip lead from "
		}
		join := map[bool]string{true: " to ", false: " and "}[x.Ohms < 1]
		out = append(out, what+x.From+join+x.To)
	}
	several := len(l.Supplies) > 1
	out = append(out, fed(&s.Source, standIn, several)...)
	for i := range s.Also {
		out = append(out, fed(&s.Also[i], "", several)...)
	}
	if s.Trains != "" {
		out = append(out, "trains "+s.Trains)
	}
	return out
}

// fed says what stands at a supply. A reading with none on is taken with its
// leads off: its winding is a path to an ohmmeter.
func fed(s *hunt.Source, standIn string, several bool) []string {
	which := "supply"
	if name, post := strings.CutSuffix(s.From, " hot"); post && several {
		which = name
	}
	switch {
	case s.Kind == "lamp" && standIn != "":
		return []string{standIn + " on through the lamp, " + which + " off its wires"}
	case s.Kind == "volts" && standIn != "":
		return []string{standIn + " on, " + which + " off its wires"}
	}
	switch s.Kind {
	case "none":
		if several {
			return []string{"supplies off, leads off their posts"}
		}
		return []string{"supply off, leads off its posts"}
	case "volts":
		return []string{which + " on, full volts"}
	case "lamp":
		return []string{which + " on through the lamp"}
	}
	return nil
}

// goesOff says whether a toggle's second position opens its wires; others
// reverse or choose.
func goesOff(l *track.Layout, name string) bool {
	for i := range l.Toggles {
		if t := &l.Toggles[i]; t.Name == name {
			return t.Middle || !t.Reverses && !t.Chooses && !t.Side
		}
	}
	return true
}

// listed is "joint main 2/3 open" or "joints main 2/3, main 5/6 open".
func listed(what, how string, names []string) []string {
	if len(names) == 0 {
		return nil
	}
	switch {
	case what != "" && len(names) > 1:
		what += "s "
	case what != "":
		what += " "
	}
	return []string{what + strings.Join(names, ", ") + how}
}
