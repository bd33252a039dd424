// Package caution shows, before the first reading, what to mind before
// touching anything.
package caution

import (
	tea "github.com/charmbracelet/bubbletea"

	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Model is the screen's own state.
type Model struct{ scroll text.Scroll }

// New makes the screen.
func New() *Model { return &Model{} }

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	if k, ok := msg.(tea.KeyMsg); ok {
		switch k.String() {
		case "enter":
			if !m.scroll.On() {
				return scene.Back{}
			}
		case "esc":
			return scene.Back{}
		case "q":
			return scene.Quit{}
		default:
			m.scroll.Key(k.String())
		}
	}
	return nil
}

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	lines := text.Wrap(t.Paint(style.Warn, "Before you touch anything"), w)
	if a := sc.View.Step.Ask; a != nil {
		for _, c := range a.Cautions {
			lines = append(lines, "")
			lines = append(lines, text.Hang(t.Paint(style.Warn, "! "), c, 2, min(w, 76))...)
		}
	}
	out := m.scroll.View(t, lines, h, "Enter")
	return scene.Frame{Lines: out, X: 0, Y: min(len(out), h) - 1}
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	enter := scene.Key{Press: "Enter", Does: "understood, go on to the first reading", Hint: "Enter understood, go on"}
	if m.scroll.Below() > 0 {
		enter = scene.Key{Press: "Enter", Does: "read on, then go on to the first reading", Hint: "Enter read on"}
	}
	return []scene.Key{
		enter,
		{Press: "up, down", Does: "scroll"},
		{Press: "q", Does: "leave; the hunt is saved"},
	}
}
