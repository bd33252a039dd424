package asking

import (
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/tui/big"
	"fishplate/tui/card"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
)

// viewBig shows where the probes go and what the dial must stand at in letters
// that are read from the other end of the table; the words in full and the
// answer line stay, in ordinary size, as far as there is room.
func (m *Model) viewBig(sc *scene.Scene, w, h int) scene.Frame {
	answer, x := m.answer(sc, w)
	room := h - len(answer)
	var lines []string
	a := sc.View.Step.Ask
	if a != nil {
		lines = m.blocks(sc, a, w, room)
		rest := append(card.Again(sc, a, w, false), card.Dial(sc, a, w)...)
		for _, part := range [][]string{card.Care(sc, a, w, false), card.Steps(sc, a, w), card.Keep(sc, a, w),
			card.Probes(sc, a, w, true)} {
			rest = append(rest, part...)
		}
		if left := room - len(lines); left > 1 {
			lines = append(lines, m.scroll.View(&sc.Theme, rest, left, "Down")...)
		}
	}
	for len(lines) < room {
		lines = append(lines, "")
	}
	lines = append(lines[:room], answer...)
	return scene.Frame{Lines: lines, X: x, Y: room}
}

// blocks draws the probes and the dial. The typed answer takes the dial's
// place, so that it is seen from afar too.
func (m *Model) blocks(sc *scene.Scene, a *hunt.Ask, w, room int) []string {
	t := &sc.Theme
	var out []string
	line := func(label string, role style.Role, ways []string) {
		if ways[0] == "" || len(out)+big.High > room {
			return
		}
		out = append(out, big.Lettered(t.Paint(role, label), ways, w, sc.ASCII)...)
		if len(out)+big.High+1 <= room {
			out = append(out, "")
		}
	}
	switch {
	case a.OfTestLamp(): // its two ends are alike
		line("L", style.Key, spot.Ways(sc.Layout, a.Red))
		line("L", style.Key, spot.Ways(sc.Layout, a.Black))
	case !a.OfLamp():
		line("R", style.ProbeRed, spot.Ways(sc.Layout, a.Red))
		if a.OfLeads() {
			line("B", style.ProbeBlack, []string{"TIP TO TIP"})
		} else {
			line("B", style.ProbeBlack, spot.Ways(sc.Layout, a.Black))
		}
	}
	if v := strings.TrimSpace(m.input.Value()); v != "" {
		if word := meant(sc, v); word != v {
			line(">", style.Key, []string{strings.ToUpper(word)})
		} else {
			line(">", style.Key, []string{v, tail(v)})
		}
		return out
	}
	if len(a.Steps) == 0 || room-len(out)-big.High > 4 { // what to do first matters more
		line("=", style.Key, bigDial(a))
	}
	return out
}

// tail keeps the end of a long line: what was typed last.
func tail(v string) string {
	r := []rune(v)
	return string(r[max(0, len(r)-7):])
}

// bigDial gives ways to say the meter's setting.
func bigDial(a *hunt.Ask) []string {
	kind := ""
	if a.Current != "" {
		kind = string(a.Current) + " "
	}
	switch a.Meter {
	case "lamp":
		return []string{"LAMP LIT?", "LAMP?"}
	case "beeper":
		return []string{"BEEPER", "BEEP"}
	case "ohms":
		return []string{"OHMS"}
	case "volts":
		return []string{kind + "VOLTS", kind + "V", "V"}
	case "millivolts":
		return []string{kind + "MILLIVOLTS", kind + "mV", "mV"}
	}
	return []string{strings.ToUpper(a.Meter)}
}
