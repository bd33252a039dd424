// Package around is the list of the work around a hunt: what keeps an evening from going
// wrong. What each is, and where it leads, is the caller's.
package around

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Row is one kind of work.
type Row struct {
	ID   scene.ID
	Says string
	Off  string // why it cannot be done here, empty where it can
}

// Model is the screen's own state.
type Model struct {
	rows   []Row
	row    int
	scroll text.Scroll
}

// New makes the screen.
func New(rows []Row) *Model { return &Model{rows: rows} }

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	k, ok := msg.(tea.KeyMsg)
	if !ok {
		return nil
	}
	switch key := k.String(); key {
	case "up", "-":
		m.row = max(m.row-1, 0)
	case "down", "+":
		m.row = min(m.row+1, len(m.rows)-1)
	case "enter":
		return m.choose(m.row)
	case "esc", "q":
		return scene.Back{}
	default:
		if len(key) == 1 && key[0] >= '1' && int(key[0]-'1') < len(m.rows) {
			return m.choose(int(key[0] - '1'))
		}
	}
	return nil
}

func (m *Model) choose(row int) tea.Msg {
	m.row = row
	if off := m.rows[row].Off; off != "" {
		return scene.Say{Text: off}
	}
	return scene.Open{ID: m.rows[row].ID}
}

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	lines := text.Wrap(t.Paint(style.Title, "Around the hunt"), w)
	at := 0
	for i, r := range m.rows {
		mark, role := "  ", style.Plain
		switch {
		case i == m.row:
			mark, role, at = "> ", style.Select, len(lines)
		case r.Off != "":
			role = style.Dim
		}
		for k, l := range text.Hang(fmt.Sprintf("%d ", i+1), string(r.ID)+": "+r.Says, 2, w-2) {
			if k > 0 {
				mark = "  "
			}
			lines = append(lines, mark+t.Paint(role, l))
		}
	}
	lines = append(lines, "")
	lines = append(lines, text.Wrap(t.Paint(style.Dim, "The hunt stays as it is: q comes back to it from each."), w)...)
	m.scroll.Show(at, h)
	return scene.Frame{X: 0, Y: at - m.scroll.Top(), Lines: m.scroll.View(t, lines, h, "Down")}
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	return []scene.Key{{Press: "1-9", Does: "choose", Hint: fmt.Sprintf("1-%d choose", len(m.rows))},
		{Press: "up, down, - +, Enter", Does: "choose with the arrows", Hint: "Enter that one"},
		{Press: "Esc", Does: "back", Hint: "Esc back"}}
}
