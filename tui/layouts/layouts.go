// Package layouts is the list of the layouts near by: what the program begins with
// where no layout is named and some lie in the folder. What each is, and where it
// leads, is the caller's.
package layouts

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/charmbracelet/bubbles/key"
	"github.com/charmbracelet/bubbles/table"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"

	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Row is one thing to open.
type Row struct {
	Key  string // the letter that opens it; empty: its number, for the first nine
	Name string // of the file
	Says string // what it is
}

// Options is what the screen shows.
type Options struct {
	Rows []Row
	More int // so many older layouts of the folder are not listed
}

// Pick asks for the Nth row, counted from 0.
type Pick struct{ N int }

// Model is the screen's own state.
type Model struct {
	o     Options
	table table.Model
}

// New makes the screen.
func New(o Options) *Model {
	for i := range o.Rows {
		if r := &o.Rows[i]; r.Key == "" && i < 9 {
			r.Key = strconv.Itoa(i + 1)
		}
	}
	m := &Model{o: o, table: table.New(table.WithFocused(true))}
	m.table.KeyMap = table.KeyMap{
		LineUp:   key.NewBinding(key.WithKeys("up", "-")),
		LineDown: key.NewBinding(key.WithKeys("down", "+")),
		PageUp:   key.NewBinding(key.WithKeys("pgup")), PageDown: key.NewBinding(key.WithKeys("pgdown")),
		GotoTop: key.NewBinding(key.WithKeys("home")), GotoBottom: key.NewBinding(key.WithKeys("end")),
	}
	return m
}

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	k, ok := msg.(tea.KeyMsg)
	if !ok {
		return nil
	}
	switch k.String() {
	case "enter":
		return Pick{m.table.Cursor()}
	case "esc", "q":
		return scene.Quit{}
	}
	for i, r := range m.o.Rows {
		if r.Key == k.String() {
			m.table.SetCursor(i)
			return Pick{i}
		}
	}
	m.table, _ = m.table.Update(k)
	return nil
}

// Title is what stands at the head.
func (m *Model) Title() (left, right string) { return "fishplate", "layouts" }

// nameWidth is the room of a file's name: as much as the longest needs, in a half of the window.
func (m *Model) nameWidth(w int) int {
	most := 0
	for _, r := range m.o.Rows {
		most = max(most, text.Width(r.Name))
	}
	return min(most, w/2-4)
}

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	m.table.SetStyles(table.Styles{Selected: lipgloss.NewStyle().Transform(func(s string) string {
		return t.Paint(style.Select, s)
	})})
	name := m.nameWidth(w)
	says := max(w-name-6, 1)
	m.table.SetColumns([]table.Column{{Width: 2}, {Width: 2}, {Width: name + 2}, {Width: says}})
	var rows []table.Row
	for i, r := range m.o.Rows {
		mark := " "
		if i == m.table.Cursor() {
			mark = ">"
		}
		rows = append(rows, table.Row{mark, r.Key, text.Fit(r.Name, name), text.Fit(r.Says, says)})
	}
	head := text.Wrap(t.Paint(style.Title, "Which layout?"), w)
	var foot []string
	if m.o.More > 0 {
		foot = text.Wrap(t.Paint(style.Dim, fmt.Sprintf("and %d older: fishplate FILE", m.o.More)), w)
	}
	m.table.SetWidth(w)
	m.table.SetHeight(max(min(len(rows), h-len(head)-len(foot)), 1) + 1) // its empty head takes one
	m.table.SetRows(rows)
	lines := strings.Split(m.table.View(), "\n")[1:]
	lines = append(append(head, lines...), foot...)
	return scene.Frame{Y: -1, Lines: lines[:min(len(lines), h)]}
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	out := []scene.Key{{Press: "1-9", Does: "open that one", Hint: "1-9 open"},
		{Press: "up, down, - +, Enter", Does: "choose with the arrows", Hint: "Enter that one"}}
	for i, r := range m.o.Rows {
		if i >= 9 && r.Key != "" || i < 9 && r.Key != strconv.Itoa(i+1) {
			out = append(out, scene.Key{Press: r.Key, Does: r.Name + ": " + r.Says, Hint: r.Key + " " + r.Name})
		}
	}
	return append(out, scene.Key{Press: "q, Esc", Does: "leave", Hint: "q leave"})
}
