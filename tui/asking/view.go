package asking

import (
	"fmt"
	"strings"

	"fishplate/diagnose/gear"
	"fishplate/tui/card"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// The width from which map and reading stand side by side.
const sideBySide = 72

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	if a := sc.View.Step.Ask; a != nil && a.N != m.asked {
		m.asked, m.scroll = a.N, text.Scroll{}
	}
	if m.Big {
		return m.viewBig(sc, w, h)
	}
	m.wide = w >= sideBySide && h >= 16
	if m.wide && m.page == pageKnown {
		m.page = pageAsk
	}
	if m.wide && (m.page != pageMap || w >= 120) { // else the map needs the whole width
		return m.viewWide(sc, w, h)
	}
	return m.viewNarrow(sc, w, h)
}

func (m *Model) viewWide(sc *scene.Scene, w, h int) scene.Frame {
	rw := min(max(w*9/20, 43), 72)
	lw := w - rw - 2
	rows := 3
	if h > 30 {
		rows = 6
	}
	known := m.known(sc, lw, rows)
	mapH := h - len(known)
	left := m.lamp(sc, lw)
	m.mapX, m.mapY = 0, h+1                  // out of the mouse's reach
	if room := mapH - len(left); room >= 8 { // else the lamp is more worth than a map that small
		m.mapX, m.mapY = 0, 1+len(left)
		left = append(left, m.plan.View(sc, plan.Show{Ask: sc.View.Step.Ask, Chosen: -1, Detail: m.page == pageMap}, lw, room)...)
	}
	for len(left) < mapH {
		left = append(left, "")
	}
	left = append(left, known...)
	right, x, y := m.right(sc, rw, h)
	f := scene.Frame{Lines: text.Beside(left, right, lw, h, "  "), X: lw + 2 + x, Y: y}
	if m.page == pageMap && m.input.Value() == "" {
		f = m.mapCursor(f)
	}
	return f
}

// lamp draws the lamp's hook-up where a step puts it in and the map does not
// have the keys.
func (m *Model) lamp(sc *scene.Scene, w int) []string {
	a := sc.View.Step.Ask
	if a == nil || m.page == pageMap || w < gear.DrawWidth {
		return nil
	}
	return card.Hookup(sc, a)
}

// mapCursor puts the cursor on the map while that has the keys: where a name
// is typed, at the chosen piece, at the red probe.
func (m *Model) mapCursor(f scene.Frame) scene.Frame {
	f.X, f.Y = 0, m.mapY-1
	if x, y, ok := m.plan.Cursor(); ok {
		f.X, f.Y = x, y+m.mapY-1
	}
	return f
}

// right is the column of the reading: the card above, the answer below.
func (m *Model) right(sc *scene.Scene, w, h int) (lines []string, x, y int) {
	answer, x := m.answer(sc, w)
	room := h - len(answer)
	var body []string
	if a := sc.View.Step.Ask; a != nil {
		body = m.fitted(sc, a, w, room)
	}
	lines = body
	for len(lines) < room {
		lines = append(lines, "")
	}
	// The answer's own line is its second: the first one is a rule.
	return append(lines, answer...), x, room + 1
}

func more(sc *scene.Scene) func(above, below int) string {
	return func(above, below int) string {
		s := "-- "
		if below > 0 {
			s += fmt.Sprintf("%d more below: Enter  ", below)
		}
		if above > 0 {
			s += fmt.Sprintf("%d above: Up", above)
		}
		return sc.Theme.Paint(style.Key, s)
	}
}

// answer gives the lines of the answer: a rule, the line itself, and a hint or
// what was wrong with it. x is the caret's column.
func (m *Model) answer(sc *scene.Scene, w int) (lines []string, x int) {
	t := &sc.Theme
	prompt := "SHOWS > "
	if a := sc.View.Step.Ask; a != nil && a.OfLamp() {
		prompt = "IT IS > "
	}
	in, x := m.input.View(w-len(prompt)-1, func(s string) string { return t.Paint(style.Caret, s) })
	lines = []string{t.Paint(style.Dim, strings.Repeat("-", w)), t.Paint(style.Label, prompt) + in}
	x += len(prompt)
	return append(lines, m.hint(sc, w)...), x
}

// hint is one or two lines below the answer.
func (m *Model) hint(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	switch {
	case m.fault != "":
		lines := text.Wrap("! "+m.fault, w)
		if len(lines) > 4 {
			lines = lines[:4]
		}
		for i := range lines {
			lines[i] = t.Paint(style.Bad, lines[i])
		}
		return lines
	case sc.Busy:
		return []string{t.Paint(style.Warn, "thinking... (this is the reading before)")}
	case m.padSays(sc) != "":
		return []string{text.Fit(t.Paint(style.Good, "= "+m.padSays(sc)+": Enter"), w)}
	case oneKey(sc, m.input.Value()) != "":
		return []string{text.Fit(t.Paint(style.Good, "= "+oneKey(sc, m.input.Value())+": Enter; or type on for a figure"), w)}
	case m.input.Value() != "":
		return []string{t.Paint(style.Dim, "Enter takes it, - erases, Esc clears")}
	}
	if a := sc.View.Step.Ask; a != nil && a.Digits() != "" {
		return []string{t.Paint(style.Dim, a.Digits())}
	}
	return []string{text.Fit(t.Paint(style.Dim, "as shown: 0.4  212 mV  1.2k  OL (or +)"), w)}
}

func (m *Model) padSays(sc *scene.Scene) string {
	says, _ := pad(sc, m.input.Value())
	return says
}

// known is what is known so far: suspects, then the newest readings.
func (m *Model) known(sc *scene.Scene, w, rows int) []string {
	t := &sc.Theme
	out := []string{t.Paint(style.Title, "SUSPECTS") + t.Paint(style.Dim, fmt.Sprintf("  %d pieces hold 95%%", sc.View.Hidden95))}
	out = append(out, Suspects(sc, w, rows)...)
	out = append(out, t.Paint(style.Title, "EVIDENCE"))
	ev := sc.View.Evidence
	if len(ev) == 0 {
		out = append(out, t.Paint(style.Dim, "no reading yet"))
	}
	for k := len(ev) - 1; k >= 0 && k >= len(ev)-rows; k-- {
		e := &ev[k]
		odd := ""
		if e.Odd {
			odd = t.Paint(style.Warn, " ?odd")
		}
		s := fmt.Sprintf("%s: %s", e.Reading, e.Said)
		lines := text.Hang(fmt.Sprintf("%d%s", e.N, odd), s, 3+text.Width(odd), w)
		if k < len(ev)-1 { // the newest in full, the others in a line
			lines = []string{text.Fit(fmt.Sprintf("%-3d", e.N)+odd+s, w)}
		}
		out = append(out, lines[:min(len(lines), 2)]...)
	}
	return append(out, card.Warnings(sc, w)...)
}

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
		bar := t.Paint(role, strings.Repeat("#", int(c.P*10+0.5)))
		s := fmt.Sprintf("%d  %-10s %3.0f%% ", i+1, c.Piece, c.P*100)
		out = append(out, text.Fit(s+bar+" "+c.What, w))
	}
	if p := sc.View.NotOnMap; p >= 0.05 {
		out = append(out, text.Fit(t.Paint(style.Warn, fmt.Sprintf("?  nothing in the file: %.0f%%", p*100)), w))
	}
	return out
}

func (m *Model) viewNarrow(sc *scene.Scene, w, h int) scene.Frame {
	answer, x := m.answer(sc, w)
	if h < 14 { // no room for the rule
		answer = answer[1:]
	}
	tabs := m.tabs(sc, w)
	room := h - len(answer) - 1
	var body []string
	switch m.page {
	case pageMap:
		body = m.plan.View(sc, plan.Show{Ask: sc.View.Step.Ask, Chosen: -1, Detail: true}, w, room)
		m.mapX, m.mapY = 0, 2
	case pageKnown:
		body = m.scroll.View(m.known(sc, w, 20), room, more(sc))
	default:
		if a := sc.View.Step.Ask; a != nil {
			body = m.fitted(sc, a, w, room)
		}
	}
	for len(body) < room {
		body = append(body, "")
	}
	lines := append([]string{tabs}, body[:room]...)
	y := len(lines)
	if h >= 14 {
		y++
	}
	f := scene.Frame{Lines: append(lines, answer...), X: x, Y: y}
	if m.page == pageMap && m.input.Value() == "" {
		f = m.mapCursor(f)
	}
	return f
}

func (m *Model) tabs(sc *scene.Scene, w int) string {
	t := &sc.Theme
	s := ""
	names := []string{"READING", "MAP", "KNOWN"}
	if m.wide { // what is known stands beside the reading
		names = names[:2]
	}
	for p, name := range names {
		if page(p) == m.page {
			s += t.Paint(style.Title, "["+name+"]") + " "
		} else {
			s += t.Paint(style.Dim, " "+name+" ") + " "
		}
	}
	return s + t.Paint(style.Key, "Tab")
}
