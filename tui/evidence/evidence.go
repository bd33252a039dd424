// Package evidence lists the readings taken and what each did; an earlier one
// can be changed or removed.
package evidence

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Model is the screen's own state.
type Model struct {
	row    int
	edit   bool
	input  text.Input
	scroll text.Scroll
	fault  string
}

// New makes the screen.
func New() *Model { return &Model{input: text.NewInput()} }

// Typed is what stands in the line for a changed reading.
func (m *Model) Typed() string { return m.input.Value() }

// Update takes a message and gives back what to do.
func (m *Model) Update(sc *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case tea.KeyMsg:
		if m.edit {
			return m.editKey(sc, msg)
		}
		return m.listKey(sc, msg)
	case scene.Refused:
		m.fault = msg.Err.Error()
	case scene.Taken:
		m.edit, m.fault = false, ""
		m.input.Set("")
	}
	return nil
}

func (m *Model) listKey(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	ev := sc.View.Evidence
	m.fault = ""
	switch k.String() {
	case "up":
		m.row = max(m.row-1, 0)
	case "down":
		m.row = max(min(m.row+1, len(ev)-1), 0)
	case "enter", "c":
		if m.row < len(ev) {
			m.edit = true
			if m.input.Value() == "" {
				m.input.Set(ev[m.row].Reading)
			}
		}
	case "x", "delete":
		if m.row < len(ev) {
			return m.change(sc, ev[m.row].N, "")
		}
	case "u":
		if !sc.View.CanUndo {
			return scene.Say{Text: "nothing to take back"}
		}
		return scene.Do{Event: hunt.Event{Undo: 1}}
	case "esc", "e":
		return scene.Back{}
	case "q":
		return scene.Quit{}
	}
	return nil
}

func (m *Model) editKey(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	switch k.String() {
	case "esc":
		m.edit, m.fault = false, ""
		m.input.Set("")
	case "enter":
		typed := strings.TrimSpace(m.input.Value())
		if typed == "" {
			m.fault = "type the reading as the meter showed it; to remove it: Esc, then x"
			return nil
		}
		if m.row < len(sc.View.Evidence) {
			return m.change(sc, sc.View.Evidence[m.row].N, typed)
		}
	default:
		if m.input.Update(k) {
			m.fault = ""
		}
	}
	return nil
}

func (m *Model) change(sc *scene.Scene, n int, reading string) tea.Msg {
	if sc.Busy {
		return scene.Say{Text: "still thinking: press it again in a moment"}
	}
	return scene.Do{Event: hunt.Event{Change: &hunt.Change{N: n, Reading: reading}}}
}

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	ev := sc.View.Evidence
	m.row = max(min(m.row, len(ev)-1), 0)
	lines := text.Wrap(t.Paint(style.Title, "Evidence so far"), w)
	if len(ev) == 0 {
		lines = append(lines, "no reading yet; Esc goes back")
	}
	at := 0
	for i := range ev {
		mark, role := "  ", style.Plain
		if i == m.row {
			mark, role, at = "> ", style.Select, len(lines)
		}
		odd := ""
		if ev[i].Odd {
			odd = t.Paint(style.Warn, " ?odd")
		}
		s := fmt.Sprintf("%d  %s: %s", ev[i].N, ev[i].Reading, ev[i].Said)
		lines = append(lines, mark+t.Paint(role, strings.TrimRight(text.Fit(s, w-3-text.Width(odd)), " "))+odd)
		if i == m.row {
			lines = append(lines, m.detail(sc, &ev[i], w)...)
		}
	}
	foot := m.foot(sc, w)
	room := max(h-len(foot), 1)
	m.scroll.Show(at, room)
	body := m.scroll.View(lines, room, func(above, below int) string {
		return t.Paint(style.Key, fmt.Sprintf("-- %d lines below, %d above", below, above))
	})
	f := scene.Frame{Lines: append(body, foot...), X: 0, Y: at - m.scroll.Top}
	if m.edit {
		prompt := "SHOWED > "
		_, x := m.input.View(w-len(prompt)-1, func(s string) string { return s })
		f.X, f.Y = len(prompt)+x, len(body)
	}
	return f
}

func (m *Model) foot(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	var foot []string
	if m.edit {
		prompt := "SHOWED > "
		in, _ := m.input.View(w-len(prompt)-1, func(s string) string { return t.Paint(style.Caret, s) })
		foot = append(foot, t.Paint(style.Label, prompt)+in)
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
			out = append(out, text.Hang("    "+t.Paint(style.Dim, label), s, 11, w)...)
		}
	}
	point := func(name string) string {
		d := spot.Describe(sc.Layout, spot.Parse(sc.Layout, name))
		return strings.TrimSuffix(d.What+", "+d.Where, ", ")
	}
	if e.Ask.Red != "" {
		add("red", point(e.Ask.Red))
		add("black", point(e.Ask.Black))
	}
	add("meter", e.Ask.Dial)
	add("said", e.Said)
	add("did", fmt.Sprintf("%.1f bits; 95%% of the belief: %d pieces before, %d after", e.Bits, e.Before, e.After))
	if e.Odd {
		add("odd", "it fits badly with the rest: take it again if you can")
	}
	return out
}

// Keys lists what works now.
func (m *Model) Keys(sc *scene.Scene) []scene.Key {
	if m.edit {
		return []scene.Key{
			{Press: "Enter", Does: "change the reading to what is typed", Hint: "Enter change"},
			{Press: "Esc", Does: "leave it as it was", Hint: "Esc back"},
		}
	}
	none, undo := "", ""
	if len(sc.View.Evidence) == 0 {
		none = "no reading yet"
	}
	if !sc.View.CanUndo {
		undo = "nothing to take back"
	}
	return []scene.Key{
		{Press: "up, down", Does: "select a reading", Off: none},
		{Press: "Enter", Does: "change it", Off: none, Hint: "Enter change"},
		{Press: "x", Does: "remove it (u brings it back)", Off: none, Hint: "x remove"},
		{Press: "u", Does: "undo", Off: undo, Hint: "u undo"},
		{Press: "Esc", Does: "back", Hint: "Esc back"},
		{Press: "q", Does: "leave; the hunt is saved"},
	}
}
