// Package why explains the reading that is wanted: what it splits, what each
// outcome would mean, how to take it safely, with a drawing of the probes on
// the rails.
package why

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/tui/card"
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
		case "esc", "enter", "w":
			m.scroll = text.Scroll{}
			return scene.Back{}
		case "up":
			m.scroll.Move(-1)
		case "down":
			m.scroll.Move(1)
		case "pgup":
			m.scroll.Move(-8)
		case "pgdown", " ":
			m.scroll.Move(8)
		case "q":
			return scene.Quit{}
		}
	}
	return nil
}

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	a := sc.View.Step.Ask
	if a == nil {
		return scene.Frame{Lines: text.Wrap("No reading is wanted now.", w)}
	}
	cw := min(w, 96)
	var lines []string
	block := func(title string, body []string) {
		if len(body) == 0 {
			return
		}
		if len(lines) > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, t.Paint(style.Title, title))
		lines = append(lines, body...)
	}
	block(fmt.Sprintf("Why reading %d", a.N), text.Wrap(a.Why, cw))
	block("What it may show", card.Outcomes(sc, a, cw))
	if a.Bits > 0 {
		for _, l := range text.Wrap(fmt.Sprintf("It is worth %.1f bits: 1 bit halves the pieces in question.", a.Bits), cw) {
			lines = append(lines, t.Paint(style.Dim, l))
		}
	}
	if a.Red != "" || a.Black != "" {
		block("The probes, seen from above", card.Rails(sc, a, cw))
		lines = append(lines, card.Probes(sc, a, cw)...)
	}
	block("How to take it", card.Steps(sc, a, cw))
	lines = append(lines, text.Hang(t.Paint(style.Label, "METER"), a.Dial, 7, cw)...)
	var setup []string
	for _, s := range card.Setup(a) {
		setup = append(setup, text.Hang("- ", s, 2, cw)...)
	}
	block("While reading", setup)
	var care []string
	for _, c := range a.Cautions {
		care = append(care, text.Hang(t.Paint(style.Warn, "! "), c, 2, cw)...)
	}
	block("Take care", care)
	out := m.scroll.View(lines, h, func(above, below int) string {
		return t.Paint(style.Key, fmt.Sprintf("-- %d lines below, %d above: Down, Up", below, above))
	})
	return scene.Frame{Lines: out, X: 0, Y: 0}
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	return []scene.Key{
		{Press: "up, down, PgUp, PgDn", Does: "scroll", Hint: "Down scroll"},
		{Press: "Esc", Does: "back to the reading", Hint: "Esc back"},
		{Press: "q", Does: "leave; the hunt is saved"},
	}
}
