package asking

import (
	"fmt"

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
	out = append(out, card.Suspects(sc, w, rows)...)
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
