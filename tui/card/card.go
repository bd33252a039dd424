// Package card says one reading in full: where each probe goes, the meter's
// setting, the set-up, why, and what each outcome would mean. Several screens
// show the same card, so that the words are the same everywhere.
package card

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Indent is the width of the labels' column.
const Indent = 7

// Dial says what the meter is set to, or what eyes look at.
func Dial(sc *scene.Scene, a *hunt.Ask, w int) []string {
	label, dial := "DIAL", a.Dial
	switch {
	case a.OfTestLamp():
		label, dial = "LOOK", "at the lamp across the rails: bright, glowing or dark?"
	case a.OfLamp():
		label, dial = "LOOK", "at the lamp in series: bright, glowing or dark?"
	case dial == "":
		dial = a.Meter
	}
	return text.Hang(sc.Theme.Paint(style.Label, label), dial, Indent, w)
}

// Why gives the reason for a reading.
func Why(sc *scene.Scene, a *hunt.Ask, w int) []string {
	if a.Why == "" {
		return nil
	}
	return text.Hang(sc.Theme.Paint(style.Label, "WHY"), a.Reasons(), Indent, w)
}

// Care gives the cautions of a reading. One that is new is said in full where
// that is wanted, else in its first sentence, which stands alone; the source's is
// always said, the others when their danger is new or comes back. None is cut.
func Care(sc *scene.Scene, a *hunt.Ask, w int, full bool) []string {
	t := &sc.Theme
	back := sc.View.DangerReturns()
	var out []string
	for i, c := range a.Cautions {
		old := known(sc, c)
		switch {
		case old && i > 0 && !back, old && len(sc.View.Evidence) == 0 && i > 0:
			continue // said on the screen before
		case old || !full:
			c = hunt.Brief(c)
		}
		out = append(out, text.Hang(t.Paint(style.Warn, "!!"), c, 3, w)...)
	}
	return out
}

// Warnings gives what the hunt doubts: readings that fit badly, a repair that
// was not enough.
func Warnings(sc *scene.Scene, w int) []string {
	var out []string
	for _, s := range sc.View.Warnings {
		out = append(out, paintAll(&sc.Theme, style.Warn, text.Wrap("! "+s, w))...)
	}
	return out
}

// known says whether a caution was on the screen before this reading.
func known(sc *scene.Scene, caution string) bool {
	if len(sc.View.Evidence) == 0 {
		return sc.Warned
	}
	for i := range sc.View.Evidence {
		for _, c := range sc.View.Evidence[i].Ask.Cautions {
			if c == caution {
				return true
			}
		}
	}
	return false
}

// Probes says where both probes go, with what to count from where near says so;
// what the second shares with the first is said once. None for a look.
func Probes(sc *scene.Scene, a *hunt.Ask, w int, near bool) []string {
	if a.OfLamp() && !a.OfTestLamp() || a.Red == "" && a.Black == "" {
		return nil
	}
	place := func(name string) spot.Words {
		p := spot.Parse(sc.Layout, name)
		d := spot.Describe(sc.Layout, p)
		if a.Setup.Source.Kind == "lamp" {
			d = d.Lamped(p)
		}
		return d
	}
	r, b := place(a.Red), place(a.Black)
	if a.OfTestLamp() { // its two ends are alike
		black := spot.Words{What: b.What, Side: b.Side, Where: "same place"}
		return append(probeLines(sc, "ACROSS", style.Label, r, w, near),
			probeLines(sc, "AND", style.Label, black, w, near)...)
	}
	out := probeLines(sc, "RED", style.ProbeRed, r, w, near)
	if a.OfLeads() {
		return append(out, probeLines(sc, "BLACK", style.ProbeBlack, spot.Words{What: hunt.TipToTip}, w, near)...)
	}
	if r.SamePlace(b) {
		b.Where = "same place"
	}
	if b.Near == r.Near { // at the same place, or across a joint from it
		b.Near = ""
	}
	return append(out, probeLines(sc, "BLACK", style.ProbeBlack, b, w, near)...)
}

// probeLines says where one probe goes. The first letter of its label is painted
// as on the map.
func probeLines(sc *scene.Scene, label string, role style.Role, d spot.Words, w int, near bool) []string {
	t := &sc.Theme
	painted := t.Paint(role, label[:1]) + t.Paint(style.Label, label[1:])
	s := t.Paint(style.Label, d.What)
	if d.Side != "" {
		s += " (" + d.Side + ")"
	}
	if d.Where != "" {
		s += ", " + d.Where
	}
	if !near && d.Near != "" {
		s += ": " + d.Near
	}
	out := text.Hang(painted, s, Indent, w)
	if near && d.Near != "" {
		out = append(out, paintAll(t, style.Dim, text.Hang("", d.Near, Indent, w))...)
	}
	return out
}

// Again says why an ask comes again: an answer that was not counted, or one that
// is odd. Hands must know, or they take the same reading for the next one. short
// leaves out why.
func Again(sc *scene.Scene, a *hunt.Ask, w int, short bool) []string {
	says := ""
	switch {
	case a.Aside != nil && short:
		says = a.Aside.Reading + " is not counted: read again"
	case a.Aside != nil:
		says = a.Aside.Reading + " is not counted: " + a.Aside.Says
	case a.Again != "" && short:
		says = "THE SAME ONCE MORE"
	case a.Again != "":
		says = "THE SAME ONCE MORE: " + a.Again
	default:
		return nil
	}
	return paintAll(&sc.Theme, style.Bad, text.Hang("!", says, 2, w))
}

func paintAll(t *style.Theme, r style.Role, lines []string) []string {
	for i := range lines {
		lines[i] = t.Paint(r, lines[i])
	}
	return lines
}

// Steps lists what to do before the reading, numbered; what stands already is
// Keep's.
func Steps(sc *scene.Scene, a *hunt.Ask, w int) []string {
	return slices.Concat(Do(sc, StepWords(sc, a), w)...)
}

// Do lists steps, numbered, each with its lines.
func Do(sc *scene.Scene, steps []string, w int) [][]string {
	var out [][]string
	for i, s := range steps {
		out = append(out, text.Hang(sc.Theme.Paint(style.Key, fmt.Sprintf("%2d", i+1)), s, 4, w))
	}
	return out
}

// StepWords are the steps of a reading, each joint to be opened with what to count
// from.
func StepWords(sc *scene.Scene, a *hunt.Ask) []string {
	var out []string
	for _, s := range a.Steps {
		said := s
		for _, j := range a.Setup.Lifted {
			if at, ok := spot.FindPlace(sc.Layout, j); ok && mentions(s, j) {
				said += ": " + spot.Near(sc.Layout, at)
			}
		}
		out = append(out, said)
	}
	return out
}

// mentions says whether s names exactly this joint ("main 2/3" is not in
// "main 2/30").
func mentions(s, joint string) bool {
	i := strings.Index(s, joint)
	if i < 0 {
		return false
	}
	end := i + len(joint)
	return end == len(s) || s[end] < '0' || s[end] > '9'
}

// Setup says in words what must be true while reading.
func Setup(a *hunt.Ask) []string {
	s := &a.Setup
	out := []string{supply(&s.Source, "supply")}
	if out[0] == "" {
		out = nil
	}
	for i := range s.Also {
		out = append(out, supply(&s.Also[i], "another supply"))
	}
	for _, l := range s.Loads {
		what := fmt.Sprintf("a %g ohm load (a lamp)", l.Ohms)
		if l.Ohms < 0.5 {
			what = "a jumper wire"
		}
		out = append(out, fmt.Sprintf("%s from %s to %s", what, l.From, l.To))
	}
	for _, list := range []struct {
		what  string
		names []string
	}{{"open joints", s.Lifted}, {"feeders off", s.Pulled}, {"toggles in their second position", s.Off},
		{"accessories off their wires", s.Unplugged}} {
		if len(list.names) > 0 {
			out = append(out, list.what+": "+strings.Join(list.names, ", "))
		}
	}
	for _, name := range s.Diverted() {
		out = append(out, "turnout "+name+" thrown to "+s.Thrown[name])
	}
	if s.Trains != "" {
		out = append(out, "trains "+s.Trains)
	}
	return out
}

// supply says what feeds the track; empty for a kind that is not known.
func supply(s *hunt.Source, what string) string {
	switch s.Kind {
	case "none":
		return what + " off"
	case "volts":
		return fmt.Sprintf("%s on (%g V) from %s to %s", what, s.Volts, s.From, s.To)
	case "lamp":
		return fmt.Sprintf("%s on with the lamp in series (about %g A) from %s to %s", what, s.Amps, s.From, s.To)
	}
	return ""
}

// Outcomes says what the meter may show and what each would mean.
func Outcomes(sc *scene.Scene, a *hunt.Ask, w int) []string {
	t := &sc.Theme
	var out []string
	for i, e := range a.Expect {
		label := map[bool]string{true: "IF", false: "or"}[i == 0]
		lines := text.Hang(t.Paint(style.Label, label), fmt.Sprintf("%s (%.0f%%): %s", e.Shows, e.P*100, e.Means),
			Indent, w)
		lines[0] = strings.Replace(lines[0], e.Shows, t.Paint(style.Label, e.Shows), 1)
		out = append(out, lines...)
	}
	return out
}
