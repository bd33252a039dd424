package evidence

import (
	"fmt"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/unit"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// The width from which list and map stand side by side.
const sideBySide = 100

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	if w < sideBySide || h < 14 {
		return m.list(sc, w, h)
	}
	lw := w/2 + 6
	f := m.list(sc, lw, h)
	shown := *sc // the map shows the belief without the reading, where that was asked for
	title := "now"
	if v := m.left(sc); v != nil {
		shown.View = *v
		title = fmt.Sprintf("without reading %d", m.without.N)
	}
	show := plan.Show{Chosen: -1}
	if ev := sc.View.Evidence; m.row < len(ev) { // where the probes stood
		show.Ask = &ev[m.row].Ask
	}
	right := append([]string{sc.Theme.Paint(style.Dim, "suspicion "+title)}, m.plan.View(&shown, show, w-lw-2, h-1)...)
	f.Lines = text.Beside(f.Lines, right, lw, h, "  ")
	return f
}

// list is the time line and what is known of the selected reading.
func (m *Model) list(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	ev := sc.View.Evidence
	m.row = max(min(m.row, len(ev)-1), 0)
	lines := text.Wrap(t.Paint(style.Title, "Evidence")+
		t.Paint(style.Dim, "  pieces left before > after; what each told"), w)
	if len(ev) == 0 {
		lines = append(lines, "no reading yet; Esc goes back")
	}
	at := 0
	for i := range ev {
		mark := "  "
		if i == m.row {
			mark, at = "> ", len(lines)
		}
		lines = append(lines, mark+m.line(sc, &ev[i], i == m.row, w-2))
		if i == m.row {
			lines = append(lines, m.detail(sc, &ev[i], w)...)
		}
	}
	foot := m.foot(sc, w)
	room := max(h-len(foot), 1)
	m.scroll.Show(min(at+m.detailRows(sc, w), len(lines)-1), room)
	m.scroll.Show(at, room)
	body := m.scroll.View(t, lines, room, "Down")
	f := scene.Frame{Lines: append(append([]string(nil), body...), foot...), X: 0, Y: at - m.scroll.Top()}
	if m.edit {
		const prompt = "SHOWED > "
		_, x := m.input.View(w-len(prompt)-1, func(s string) string { return s })
		f.X, f.Y = len(prompt)+x, len(body)
	}
	return f
}

// line is one reading: its number, what was shown, pieces left before and after, what it said.
func (m *Model) line(sc *scene.Scene, e *hunt.Evidence, selected bool, w int) string {
	t := &sc.Theme
	odd := ""
	if e.Odd {
		odd = t.Paint(style.Warn, "?odd ")
	}
	role := style.Plain
	if selected {
		role = style.Select
	}
	head := fmt.Sprintf("%-2d %-9s", e.N, e.Reading)
	did := fmt.Sprintf(" %3d>%-3d ", e.Before, e.After)
	if e.Untold {
		did = " thinking... "
	}
	return text.Fit(t.Paint(role, head)+did+odd+e.Said, w)
}

func (m *Model) detailRows(sc *scene.Scene, w int) int {
	ev := sc.View.Evidence
	if m.row >= len(ev) {
		return 0
	}
	return len(m.detail(sc, &ev[m.row], w))
}

func (m *Model) foot(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	var foot []string
	if m.edit {
		const prompt = "SHOWED > "
		in, _ := m.input.View(w-len(prompt)-1, func(s string) string { return t.Paint(style.Caret, s) })
		if ev := sc.View.Evidence; m.row < len(ev) {
			in += t.Paint(style.Dim, "  (was "+ev[m.row].Reading+")")
		}
		foot = append(foot, text.Fit(t.Paint(style.Label, prompt)+in, w))
	}
	if m.fault != "" {
		foot = append(foot, text.Wrap(t.Paint(style.Bad, "! "+m.fault), w)...)
	}
	return foot
}

func (m *Model) detail(sc *scene.Scene, e *hunt.Evidence, w int) []string {
	t := &sc.Theme
	var out []string
	add := func(label, s string) {
		if s != "" {
			out = append(out, text.Hang("    "+t.Paint(style.Dim, label), s, 15, w)...)
		}
	}
	point := func(name string) string {
		d := spot.Describe(sc.Layout, spot.Parse(sc.Layout, name))
		return strings.TrimSuffix(d.What+", "+d.Where, ", ")
	}
	if m.waits && m.left(sc) == nil {
		add("without", "thinking...")
	}
	out = append(out, m.compare(sc, w)...)
	add("said", e.Said)
	add("expected", e.Expected)
	if !e.Untold {
		add("ruled out", ruledOut(e))
	}
	if e.Odd {
		add(t.Paint(style.Warn, "odd"), "it fits badly with the rest: take it again if you can; o shows what would "+
			"be believed without it")
	}
	if e.Ask.Red != "" {
		add("red", point(e.Ask.Red))
		add("black", point(e.Ask.Black))
	}
	add("meter", e.Ask.Dial)
	return out
}

// ruledOut says what a reading did, in pieces.
func ruledOut(e *hunt.Evidence) string {
	if e.After >= e.Before {
		return fmt.Sprintf("none: in question %s before, %d after", unit.Count(e.Before, "piece"), e.After)
	}
	return fmt.Sprintf("%d of %s (in question now: %d)", e.Before-e.After, unit.Count(e.Before, "piece"), e.After)
}

// compare says what would be believed without the selected reading.
func (m *Model) compare(sc *scene.Scene, w int) []string {
	v := m.left(sc)
	if v == nil {
		return nil
	}
	t := &sc.Theme
	s := fmt.Sprintf("%s would be in question (now %d): ", unit.Count(v.Hidden95, "piece"), sc.View.Hidden95)
	var parts []string
	for i, c := range v.Ranked {
		if i >= 3 {
			break
		}
		parts = append(parts, fmt.Sprintf("%s %.0f%% (now %.0f%%)", c.Piece, c.P*100, now(&sc.View, c.Piece)*100))
	}
	s += strings.Join(parts, ", ")
	if len(v.Ranked) > 0 && len(sc.View.Ranked) > 0 && v.Ranked[0].Piece != sc.View.Ranked[0].Piece {
		s += ". The likeliest piece hangs on this reading"
	}
	return text.Hang("    "+t.Paint(style.Label, "without it"), s, 15, w)
}

// now is how much a piece is suspected at present.
func now(v *hunt.View, piece string) float64 {
	for _, c := range v.Ranked {
		if c.Piece == piece {
			return c.P
		}
	}
	return 0
}

// Keys lists what works now.
func (m *Model) Keys(sc *scene.Scene) []scene.Key {
	if m.edit {
		return []scene.Key{
			{Press: "Enter", Does: "change the reading to what is typed", Hint: "Enter change"},
			{Press: "Esc", Does: "leave it as it was", Hint: "Esc back"},
		}
	}
	none, undo, redo := "", "", ""
	if len(sc.View.Evidence) == 0 {
		none = "no reading yet"
	}
	if !sc.View.CanUndo {
		undo = "nothing to take back"
	}
	if !sc.View.CanRedo {
		redo = "nothing was taken back"
	}
	return []scene.Key{
		{Press: "up, down, - +, 1-9", Does: "select a reading", Off: none},
		{Press: "Enter", Does: "change it", Off: none, Hint: "Enter change"},
		{Press: "x", Does: "remove it (u brings it back)", Off: none, Hint: "x remove"},
		{Press: "o, *", Does: "what would be believed without this one", Off: none, Hint: "o without it"},
		{Press: "u", Does: "undo, as often as you like", Off: undo, Hint: "u undo"},
		{Press: "r", Does: "redo: bring back what was undone", Off: redo, Hint: "r redo"},
		{Press: "z Z", Does: "zoom the map, on a wide screen", Off: none},
		{Press: "Esc", Does: "back", Hint: "Esc back"},
		{Press: "q", Does: "leave; the hunt is saved"},
	}
}
