package health

import (
	"strings"

	"fishplate/diagnose/gear"
	"fishplate/tui/card"
	"fishplate/tui/plan"
	"fishplate/tui/reader"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	switch {
	case m.evening != nil:
		return reader.Scrolled(sc, &m.scroll, m.verdict(sc, w), h)
	case !m.begun:
		return reader.Scrolled(sc, &m.scroll, m.before(sc, min(w, plan.TextWide+10)), h)
	}
	return m.viewReading(sc, w, h)
}

// before is what can hurt, and what is made ready.
func (m *Model) before(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	head := "Take the baseline on an evening when all runs well: later ones are held against it."
	if m.o.Held != "" {
		head = "The same readings as ever, held against " + m.o.Held + "."
	}
	out := text.Wrap(head, w)
	for _, c := range m.o.Check.Cautions() {
		out = append(out, text.Hang(t.Paint(style.Warn, "!!"), c, 3, w)...)
	}
	out = append(out, t.Paint(style.Label, "GET READY"))
	for _, s := range m.o.Check.Before() {
		out = append(out, text.Hang("-", s, 2, w)...)
	}
	return out
}

// verdict is what the evening says, with the run of the evenings drawn.
func (m *Model) verdict(sc *scene.Scene, w int) []string {
	t, e := &sc.Theme, m.evening
	var out []string
	for i, s := range e.Says {
		lines := text.Wrap(s, min(w, plan.TextWide+10))
		if i == 0 {
			role := style.Good
			if e.Worse {
				role = style.Bad
			}
			for k := range lines {
				lines[k] = t.Paint(role, lines[k])
			}
		}
		out = append(out, lines...)
	}
	out = append(out, text.Hang(t.Paint(style.Warn, "!!"), m.o.Check.After(), 3, w)...)
	if drawn, said := e.Chart(min(w-12, 60)); drawn != "" {
		out = append(out, "")
		out = append(out, strings.Split(strings.TrimRight(drawn, "\n"), "\n")...)
		out = append(out, text.Wrap(t.Paint(style.Dim, said), min(w, plan.TextWide+10))...)
	}
	out = append(out, "")
	if e.Worse {
		out = append(out, text.Wrap(t.Paint(style.Key, "h")+" hunts for it now, beginning with what these evenings say",
			w)...)
	}
	return append(out, text.Wrap(t.Paint(style.Dim, e.Kept), w)...)
}

// answerRows is what the answer takes below the reading, and a line of air.
const answerRows = 3

// viewReading has the reading as in a hunt, the answer right under it, and the map in its
// box.
func (m *Model) viewReading(sc *scene.Scene, w, h int) scene.Frame {
	now := *sc
	now.Kit.Lamp = true
	gear.SetFeed(&now.Kit, gear.Battery)
	ask := m.asked()
	if ask != nil {
		ask.Setup.Source.Volts = now.Kit.DCVolts // the battery's
	}
	return m.read.View(&now, reader.Page{Ask: ask, Rows: answerRows, Answer: func(w int) ([]string, int, int) {
		lines, x := m.answer(sc, w)
		return lines, 0, x
	}}, w, h)
}

// answer is the line of the answer, and a hint or what was wrong with it.
func (m *Model) answer(sc *scene.Scene, w int) (lines []string, x int) {
	t := &sc.Theme
	switch {
	case m.keeping:
		return []string{t.Paint(style.Dim, "all read: one moment")}, 0
	case m.sitting.Next() < 0: // keeping it failed
		return append(reader.Faults(t, m.read.Fault, w), t.Paint(style.Key, "Enter")+" tries to keep it once more"), 0
	}
	line, x := card.AnswerLine(sc, card.MeterShows, &m.read.Input, w)
	if m.read.Fault != "" {
		return append([]string{line}, reader.Faults(t, m.read.Fault, w)...), x
	}
	return []string{line, text.Fit(t.Paint(style.Dim, "mV: 12.5   -3.1   or volts: 0.23 V"), w)}, x
}
