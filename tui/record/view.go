package record

import (
	"fmt"
	"strings"

	"fishplate/diagnose/report"
	"fishplate/tui/paper"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	foot, x := m.foot(t, w)
	room := max(h-len(foot), 1)
	var lines []string
	at := -1
	switch m.mode {
	case inList:
		lines, at = m.viewList(t, w)
	case inFields, inTyping:
		lines, at = m.viewFields(t, w)
	case inPage:
		lines = append(paper.Page(t, m.page.Page(), min(w, 110)), m.further(sc, min(w, 110))...)
	case inCompare:
		lines = m.viewCompare(t, w)
	}
	if at >= 0 {
		m.scroll.Show(at, room)
	}
	body := m.scroll.View(t, lines, room, "Down")
	f := scene.Frame{Lines: append(body, foot...), X: 0, Y: max(at-m.scroll.Top(), 0)}
	if m.mode == inTyping {
		f.X, f.Y = x, len(body)
	}
	return f
}

// foot is the line being typed and what is wrong.
func (m *Model) foot(t *style.Theme, w int) (foot []string, x int) {
	if m.mode == inTyping {
		prompt := strings.ToUpper(Fields[m.field][0]) + " > "
		in, at := m.input.View(w-len(prompt)-1, func(s string) string { return t.Paint(style.Caret, s) })
		foot, x = append(foot, t.Paint(style.Label, prompt)+in), len(prompt)+at
	}
	if m.fault != "" {
		lines := text.Wrap("! "+m.fault, w)
		for _, l := range lines[:min(len(lines), 4)] {
			foot = append(foot, t.Paint(style.Bad, l))
		}
	}
	return foot, x
}

func (m *Model) viewList(t *style.Theme, w int) (lines []string, at int) {
	lines = text.Wrap(t.Paint(style.Title, "Hunts on this layout, the newest first"), w)
	switch {
	case m.keeper == nil:
		return append(lines, "hunts are not kept here"), -1
	case m.busy && len(m.list) == 0:
		return append(lines, "reading..."), -1
	case len(m.list) == 0 && m.fault == "":
		return append(lines, text.Wrap("None is kept yet: this one is, after its first answer.", w)...), -1
	}
	at = len(lines)
	for i := range m.list {
		e := &m.list[i]
		mark, role := "  ", style.Plain
		if i == m.row {
			mark, role, at = "> ", style.Select, len(lines)
		}
		if e.ID == m.marked {
			mark = mark[:1] + "*"
		}
		head := fmt.Sprintf("%d  %s", i+1, strings.TrimSpace(e.ID+"  "+e.Name))
		if e.Current {
			head += "  (now)"
		}
		words := detail(e)
		lines = append(lines, mark+t.Paint(role, strings.TrimRight(text.Fit(head, w-2), " ")))
		for _, l := range text.Wrap(words, w-5) {
			lines = append(lines, "     "+l)
		}
	}
	return lines, at
}

func detail(e *Entry) string {
	if e.Broken != "" {
		return "cannot be read: " + e.Broken
	}
	parts := []string{e.State, e.Symptom}
	if e.Piece != "" {
		parts = append(parts, e.Piece)
	}
	return strings.Join(append(parts, e.Effort), ", ")
}

func (m *Model) viewFields(t *style.Theme, w int) (lines []string, at int) {
	lines = text.Wrap(t.Paint(style.Title, "Add to the record "+m.selectedBefore()), w)
	for i, f := range Fields {
		mark, role := "  ", style.Label
		if i == m.field {
			mark, role, at = "> ", style.Select, len(lines)
		}
		lines = append(lines, text.Hang(mark+t.Paint(role, fmt.Sprintf("%d %s", i+1, f[0])), f[1], 16, w)...)
	}
	return lines, at
}

// further says how to go on with an older hunt that is not over.
func (m *Model) further(sc *scene.Scene, w int) []string {
	if m.page.State != report.Open {
		return nil
	}
	for i := range m.list {
		if m.list[i].ID == m.page.ID && m.list[i].Current {
			return nil
		}
	}
	layout := sc.Path
	if sc.Demo {
		layout = "demo"
	}
	return append([]string{""}, text.Wrap("To go on with this one: fishplate --record "+m.page.ID+" "+layout, w)...)
}

// viewCompare sets two records side by side where there is room, else one below
// the other.
func (m *Model) viewCompare(t *style.Theme, w int) []string {
	lines := text.Wrap(t.Paint(style.Title, "Side by side: "+m.sides[0]+" and "+m.sides[1])+
		t.Paint(style.Dim, "  (= the same, ! different)"), w)
	for i := range m.rows {
		r := &m.rows[i]
		mark, role := "! ", style.Warn
		if r.Same {
			mark, role = "= ", style.Dim
		}
		label := t.Paint(role, mark) + t.Paint(style.Label, r.Label)
		if w < 72 {
			lines = append(lines, text.Wrap(label, w)...)
			if r.Same {
				lines = append(lines, text.Hang("", r.A, 4, w)...)
				continue
			}
			lines = append(lines, text.Hang("  A", or(r.A), 5, w)...)
			lines = append(lines, text.Hang("  B", or(r.B), 5, w)...)
			continue
		}
		lines = append(lines, sideBySide(label, r, w)...)
	}
	return lines
}

// sideBySide is one row in columns; a long label stands above its values.
func sideBySide(label string, r *report.Row, w int) []string {
	const lw = 16
	var out []string
	if text.Width(label) > lw-1 {
		out, label = text.Wrap(label, w), ""
	}
	cw := (w - lw - 2) / 2
	a, b := text.Wrap(or(r.A), cw), text.Wrap(or(r.B), cw)
	for i := 0; i < max(len(a), len(b)); i++ {
		l, x, y := "", "", ""
		if i == 0 {
			l = label
		}
		if i < len(a) {
			x = a[i]
		}
		if i < len(b) {
			y = b[i]
		}
		out = append(out, strings.TrimRight(text.Fit(l, lw)+text.Fit(x, cw)+"  "+y, " "))
	}
	return out
}

func or(s string) string {
	if s == "" {
		return "-"
	}
	return s
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	none := ""
	if m.selected() == "" {
		none = "no hunt is kept yet"
	}
	switch m.mode {
	case inTyping:
		return []scene.Key{{Press: "Enter", Does: "add what is typed", Hint: "Enter add"},
			{Press: "Esc", Does: "leave it", Hint: "Esc back"}}
	case inFields:
		return []scene.Key{{Press: "up, down, 1-8", Does: "choose what to add", Hint: "Up/Down choose"},
			{Press: "Enter", Does: "type it", Hint: "Enter type"}, {Press: "Esc", Does: "back", Hint: "Esc back"}}
	case inCompare:
		return []scene.Key{{Press: "up, down", Does: "scroll", Hint: "Up/Down scroll"},
			{Press: "Esc", Does: "back to the list", Hint: "Esc list"}, {Press: "q", Does: "leave"}}
	}
	more := []scene.Key{
		{Press: "p", Does: "write a page to print (HTML) beside the layout", Off: none, Hint: "p print page"},
		{Press: "m", Does: "write the page as Markdown", Off: none},
		{Press: "n", Does: "add a note", Off: none, Hint: "n note"},
		{Press: "a", Does: "add the repair, the last change, a name, ...", Off: none, Hint: "a add"},
	}
	if m.mode == inPage {
		return append(append([]scene.Key{{Press: "up, down", Does: "scroll", Hint: "Up/Down scroll"}}, more...),
			scene.Key{Press: "Esc", Does: "back to the list", Hint: "Esc list"}, scene.Key{Press: "q", Does: "leave"})
	}
	out := []scene.Key{
		{Press: "up, down, 1-9", Does: "choose a hunt", Off: none},
		{Press: "Enter", Does: "open it", Off: none, Hint: "Enter open"},
		{Press: "Space", Does: "mark it for comparing", Off: none, Hint: "Space mark"},
		{Press: "c", Does: "compare the marked hunt with the chosen one", Off: none, Hint: "c compare"},
	}
	return append(append(out, more...), scene.Key{Press: "Esc", Does: "back", Hint: "Esc back"},
		scene.Key{Press: "q", Does: "leave; the hunt is saved"})
}
