package asking

import (
	"fmt"
	"strings"

	"fishplate/tui/card"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// known is what is believed so far: suspects, then the newest readings.
func (m *Model) known(sc *scene.Scene, w, rows int) []string {
	t := &sc.Theme
	rows = max(rows, 3)
	out := []string{t.Paint(style.Title, "SUSPECTS")}
	out = append(out, Suspects(sc, w, rows)...)
	out = append(out, "", t.Paint(style.Title, "READINGS SO FAR"))
	ev := sc.View.Evidence
	if len(ev) == 0 {
		out = append(out, t.Paint(style.Dim, "none yet"))
	}
	for k := len(ev) - 1; k >= 0 && k >= len(ev)-rows; k-- {
		e := &ev[k]
		odd := ""
		if e.Odd {
			odd = t.Paint(style.Warn, " ?odd")
		}
		said := e.Reading
		if !e.Untold {
			said += ": " + e.Said
		}
		lines := text.Hang(fmt.Sprintf("%d%s", e.N, odd), said, 3+text.Width(odd), w)
		out = append(out, lines[:min(len(lines), 2)]...)
	}
	return append(out, card.Warnings(sc, w)...)
}

// meant is what each answer to the reading would mean, and why it is asked for.
func (m *Model) meant(sc *scene.Scene, w int) []string {
	a := sc.View.Step.Ask
	out := []string{sc.Theme.Paint(style.Title, "WHAT IT WOULD MEAN")}
	out = append(out, card.Outcomes(sc, a, w)...)
	return append(out, card.Why(sc, a, w)...)
}

// barFrom is the width from which a suspect has a bar beside its odds.
const barFrom = 60

// Suspects lists the most suspected pieces with a bar each.
func Suspects(sc *scene.Scene, w, rows int) []string {
	t := &sc.Theme
	var out []string
	for i, c := range sc.View.Ranked {
		if i >= rows {
			break
		}
		role := style.Likely
		if i == 0 {
			role = style.Hot
		}
		s := fmt.Sprintf("%-3d%-13s %3.0f%% ", i+1, c.Title(), c.P*100)
		if w >= barFrom {
			s += t.Paint(role, text.Fit(strings.Repeat("#", int(c.P*10+0.5)), 10)) + " "
		}
		out = append(out, text.Fit(s+c.What, w))
	}
	if p := sc.View.NotOnMap; p >= 0.05 {
		out = append(out, text.Fit(t.Paint(style.Warn,
			fmt.Sprintf("?  the file may be wrong, or the fault is of a kind it does not have: %.0f%%", p*100)), w))
	}
	return out
}
