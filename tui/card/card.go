// Package card says one reading in full: where each probe goes, the meter's
// setting, the set-up, why, and what each outcome would mean. Several screens
// show the same card, so that the words are the same everywhere.
package card

import (
	"fmt"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// indent is the width of the labels' column.
const indent = 7

// phone is the width below which the meter's setting stands in the title where
// lines are short: it must be in sight without scrolling.
const phone = 43

// Lines gives the whole card in w columns.
func Lines(sc *scene.Scene, a *hunt.Ask, w int) []string {
	out := Top(sc, a, w, false)
	out = append(out, Outcomes(sc, a, w)...)
	return append(out, Why(sc, a, w)...)
}

// Top gives what the hands need: cautions, probes, dial, what to do first.
// Tight says the same in fewer lines.
func Top(sc *scene.Scene, a *hunt.Ask, w int, tight bool) []string {
	t := &sc.Theme
	dial := a.Dial
	if dial == "" {
		dial = a.Meter
	}
	head := fmt.Sprintf("READING %d", a.N)
	about := t.Paint(style.Dim, fmt.Sprintf("  about %s min", minutes(a.Minutes)))
	inHead := tight && !a.OfLamp() && w < phone && text.Width(head)+2+text.Width(dial) <= w
	if inHead {
		about = "  " + t.Paint(style.Label, dial)
	}
	out := []string{t.Paint(style.Title, head) + about}
	out = append(out, Cautions(sc, a, w)...)
	if (a.Red != "" || a.Black != "") && !a.OfLamp() {
		if tight {
			out = append(out, tightProbes(sc, a, w)...)
		} else {
			out = append(out, Probes(sc, a, w)...)
		}
	}
	if !inHead {
		out = append(out, Dial(sc, a, w)...)
	}
	out = append(out, Steps(sc, a, w)...)
	return append(out, Keep(sc, a, w)...)
}

// Dial says what the meter is set to, or what eyes look at.
func Dial(sc *scene.Scene, a *hunt.Ask, w int) []string {
	label, dial := "METER", a.Dial
	switch {
	case a.OfLamp():
		label, dial = "LOOK", "at the lamp in series: bright, glowing or dark?"
	case dial == "":
		dial = a.Meter
	}
	return text.Hang(sc.Theme.Paint(style.Label, label), dial, indent, w)
}

// Why gives the reason for a reading.
func Why(sc *scene.Scene, a *hunt.Ask, w int) []string {
	if a.Why == "" {
		return nil
	}
	return text.Hang(sc.Theme.Paint(style.Label, "WHY"), a.Why, indent, w)
}

// tightProbes says each probe in one flow of words.
func tightProbes(sc *scene.Scene, a *hunt.Ask, w int) []string {
	t := &sc.Theme
	var out []string
	r := spot.Describe(sc.Layout, spot.Parse(sc.Layout, a.Red))
	b := spot.Describe(sc.Layout, spot.Parse(sc.Layout, a.Black))
	same := r.Where == b.Where && r.Where != ""
	for i, d := range []spot.Words{r, b} {
		label, role := "RED", style.ProbeRed
		if i == 1 {
			label, role = "BLACK", style.ProbeBlack
		}
		s := t.Paint(style.Label, d.What)
		if d.Side != "" {
			s += " (" + d.Side + ")"
		}
		switch {
		case same && i == 1:
			s += ", same place"
		case d.Where != "" && d.Near != "":
			s += ", " + d.Where + ": " + d.Near
		case d.Where != "":
			s += ", " + d.Where
		}
		out = append(out, text.Hang(t.Paint(role, label[:1])+t.Paint(style.Label, label[1:]), s, indent, w)...)
	}
	return out
}

// Cautions gives the cautions of a reading: in full the first time, in one line
// each once they were shown ("w" has them in full).
func Cautions(sc *scene.Scene, a *hunt.Ask, w int) []string {
	t := &sc.Theme
	var out []string
	for _, c := range a.Cautions {
		lines := text.Hang(t.Paint(style.Warn, "CARE"), c, indent, w)
		if len(lines) > 1 && known(sc, c) {
			lines = lines[:1]
			lines[0] = text.Fit(text.Hang(t.Paint(style.Warn, "CARE"), c, indent, w-8)[0], w-7) + t.Paint(style.Key, "... w")
		}
		out = append(out, lines...)
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

// Probes says where both probes go; what the second shares with the first is
// said once.
func Probes(sc *scene.Scene, a *hunt.Ask, w int) []string {
	out := Probe(sc, "RED", style.ProbeRed, a.Red, w)
	r := spot.Describe(sc.Layout, spot.Parse(sc.Layout, a.Red))
	b := spot.Describe(sc.Layout, spot.Parse(sc.Layout, a.Black))
	if r.Where != b.Where || r.Where == "" {
		return append(out, Probe(sc, "BLACK", style.ProbeBlack, a.Black, w)...)
	}
	t := &sc.Theme
	s := "same place"
	if b.Side != "" {
		s += " (" + b.Side + ")"
	}
	label := t.Paint(style.ProbeBlack, "B") + t.Paint(style.Label, "LACK")
	return append(out, text.Hang(label, t.Paint(style.Label, b.What)+", "+s, indent, w)...)
}

func minutes(m float64) string {
	return strings.TrimSuffix(fmt.Sprintf("%.1f", m), ".0")
}

// Probe says where one probe goes.
func Probe(sc *scene.Scene, label string, role style.Role, point string, w int) []string {
	t := &sc.Theme
	d := spot.Describe(sc.Layout, spot.Parse(sc.Layout, point))
	// The first letter is reversed, as on the map.
	painted := t.Paint(role, label[:1]) + t.Paint(style.Label, label[1:])
	first := d.What
	if d.Side != "" {
		first += " (" + d.Side + ")"
	}
	out := text.Hang(painted, bold(t, first, d.What), indent, w)
	if d.Where != "" {
		out = append(out, text.Hang("", d.Where, indent, w)...)
	}
	if d.Near != "" {
		out = append(out, paintAll(t, style.Dim, text.Hang("", d.Near, indent, w))...)
	}
	return out
}

func bold(t *style.Theme, s, part string) string {
	return t.Paint(style.Label, part) + strings.TrimPrefix(s, part)
}

func paintAll(t *style.Theme, r style.Role, lines []string) []string {
	for i := range lines {
		lines[i] = t.Paint(r, lines[i])
	}
	return lines
}

// Steps lists what to do before the reading; what stands already is Keep's.
func Steps(sc *scene.Scene, a *hunt.Ask, w int) []string {
	var steps []string
	for _, s := range a.Steps {
		for _, j := range a.Setup.Lifted { // where the joint to open is
			if at, ok := spot.FindPlace(sc.Layout, j); ok && mentions(s, j) {
				s += ": " + spot.Near(sc.Layout, at)
			}
		}
		steps = append(steps, s)
	}
	return Do(sc, steps, w)
}

// Do lists steps.
func Do(sc *scene.Scene, steps []string, w int) []string {
	t := &sc.Theme
	var out []string
	for i, s := range steps {
		label := "FIRST"
		if i > 0 {
			label = "then"
		}
		out = append(out, text.Hang(t.Paint(style.Label, label), s, indent, w)...)
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
	}{{"open joints", s.Lifted}, {"feeders off", s.Pulled}, {"toggles in their second position", s.Off}, {"accessories off their wires", s.Unplugged}} {
		if len(list.names) > 0 {
			out = append(out, list.what+": "+strings.Join(list.names, ", "))
		}
	}
	for _, name := range sortedKeys(s.Thrown) {
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

func sortedKeys(m map[string]string) []string {
	var out []string
	for k := range m {
		i := len(out)
		for i > 0 && out[i-1] > k {
			i--
		}
		out = append(out[:i], append([]string{k}, out[i:]...)...)
	}
	return out
}

// Brief gives the outcomes in at most `rows` lines each, for a place where they
// always stand.
func Brief(sc *scene.Scene, a *hunt.Ask, w, rows int) []string {
	var out []string
	short := *a
	short.Expect = append([]hunt.Outcome(nil), a.Expect...)
	for i := range short.Expect { // what every outcome says alike is left out
		means := strings.TrimPrefix(short.Expect[i].Means, "the fault is ")
		short.Expect[i].Means = strings.TrimPrefix(means, "in or near ")
	}
	for _, one := range outcomes(sc, &short, w) {
		if len(one) > rows {
			one = one[:rows]
			one[rows-1] = text.Fit(one[rows-1], w-3) + "..."
		}
		out = append(out, one...)
	}
	return out
}

// Outcomes says what the meter may show and what each would mean.
func Outcomes(sc *scene.Scene, a *hunt.Ask, w int) []string {
	var out []string
	for _, one := range outcomes(sc, a, w) {
		out = append(out, one...)
	}
	return out
}

// outcomes gives the lines of each outcome.
func outcomes(sc *scene.Scene, a *hunt.Ask, w int) [][]string {
	t := &sc.Theme
	var out [][]string
	for i, e := range a.Expect {
		label := "IF"
		if i > 0 {
			label = "or"
		}
		s := fmt.Sprintf("%s (%.0f%%): %s", e.Shows, e.P*100, e.Means)
		lines := text.Hang(t.Paint(style.Label, label), s, indent, w)
		lines[0] = strings.Replace(lines[0], e.Shows, t.Paint(style.Label, e.Shows), 1)
		out = append(out, lines)
	}
	return out
}
