package health

import (
	"strings"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/health"
	"fishplate/diagnose/hunt"
	"fishplate/tui/card"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	switch {
	case m.evening != nil:
		return m.scrolled(sc, m.verdict(sc, w), h)
	case !m.begun:
		return m.scrolled(sc, m.before(sc, min(w, plan.TextWide+10)), h)
	}
	return m.viewReading(sc, w, h)
}

func (m *Model) scrolled(sc *scene.Scene, lines []string, h int) scene.Frame {
	return scene.Frame{Y: -1, Lines: m.scroll.View(lines, h, func(_, below int) string {
		if below > 0 {
			return sc.Theme.Paint(style.Key, "-- more: Down or Enter")
		}
		return sc.Theme.Paint(style.Key, "-- more above: Up")
	})}
}

// before is what can hurt, and what is made ready.
func (m *Model) before(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	head := "Take the baseline on an evening when all runs well: later ones are held against it."
	if m.o.Held != "" {
		head = "The same readings as ever, held against " + m.o.Held + "."
	}
	out := text.Wrap(head, w)
	for _, c := range health.Cautions() {
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
	if drawn, said := e.Chart(min(w-12, 60)); drawn != "" {
		out = append(out, "")
		out = append(out, strings.Split(strings.TrimRight(drawn, "\n"), "\n")...)
		out = append(out, text.Wrap(t.Paint(style.Dim, said), min(w, plan.TextWide+10))...)
	}
	out = append(out, "")
	if e.Worse {
		out = append(out, text.Wrap(t.Paint(style.Key, "h")+" hunts for it now, beginning with what these evenings say", w)...)
	}
	return append(out, text.Wrap(t.Paint(style.Dim, e.Kept), w)...)
}

// viewReading has the reading as in a hunt, the answer right under it, and the map in its
// box.
func (m *Model) viewReading(sc *scene.Scene, w, h int) scene.Frame {
	now := *sc
	now.Warned = true
	now.View = hunt.View{LayoutRef: sc.Layout}
	now.View.Step.Ask = m.asked()
	now.Kit.Lamp = true
	gear.SetFeed(&now.Kit, gear.Battery)
	box := plan.BoxIn(w, h)
	if !box.Beside && box.H > 0 && len(m.sheet(&now, box.Words, box.Y)) > 1 {
		box.H, box.Y = 0, 0
	}
	room := h
	if box.H > 0 && !box.Beside {
		room = box.Y
	}
	f := m.leafOf(&now, box.Words, room)
	if drawn := m.plan.Draw(&now, plan.Show{Ask: m.ask, Chosen: -1}, box); drawn != nil {
		f.Lines = box.Put(f.Lines, drawn, h)
	}
	return f
}

// answerRows is what the answer takes below the reading, and a line of air.
const answerRows = 3

func (m *Model) sheet(sc *scene.Scene, w, h int) [][]string {
	if m.ask == nil {
		return [][]string{nil}
	}
	return card.Leaves(sc, m.ask, w, h-answerRows)
}

// leafOf is the leaf that is turned to, and the answer under it.
func (m *Model) leafOf(sc *scene.Scene, w, h int) scene.Frame {
	leaves := m.sheet(sc, w, h)
	m.leaves = len(leaves)
	if m.input.Value() != "" || m.fault != "" {
		m.leaf = m.leaves - 1
	}
	m.leaf = min(m.leaf, m.leaves-1)
	lines := append([]string(nil), leaves[m.leaf]...)
	answer, x := m.answer(sc, w)
	if len(lines)+len(answer) < h {
		lines = append(lines, "")
	}
	lines = lines[:min(len(lines), max(h-len(answer), 0))]
	return scene.Frame{Lines: append(lines, answer...), X: x, Y: len(lines)}
}

// answer is the line of the answer, and a hint or what was wrong with it.
func (m *Model) answer(sc *scene.Scene, w int) (lines []string, x int) {
	t := &sc.Theme
	switch {
	case m.keeping:
		return []string{t.Paint(style.Dim, "all read: one moment")}, 0
	case m.sitting.Next() < 0: // keeping it failed
		return append(faults(t, m.fault, w), t.Paint(style.Key, "Enter")+" tries to keep it once more"), 0
	case m.leaf < m.leaves-1:
		return []string{t.Paint(style.Key, "Enter") + ": these steps are done"}, 0
	}
	line, x := card.AnswerLine(sc, card.MeterShows, &m.input, w)
	if m.fault != "" {
		return append([]string{line}, faults(t, m.fault, w)...), x
	}
	return []string{line, text.Fit(t.Paint(style.Dim, "mV: 12.5   -3.1   or volts: 0.23 V"), w)}, x
}

func faults(t *style.Theme, fault string, w int) []string {
	lines := text.Wrap("! "+fault, w)
	lines = lines[:min(len(lines), 4)]
	for i := range lines {
		lines[i] = t.Paint(style.Bad, lines[i])
	}
	return lines
}
