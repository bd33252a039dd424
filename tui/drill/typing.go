package drill

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// history is what was typed, for Up and Down.
type history struct {
	typed []string
	at    int
}

func (m *Model) typeKey(k tea.KeyMsg) tea.Msg {
	switch key := k.String(); {
	case key == "enter":
		return m.enter()
	case key == "?" && m.input.Value() == "" && !k.Paste: // as on every screen, at once
		m.help()
	case key == "ctrl+u":
		m.input.Set("")
	case key == "up":
		m.recall(-1, &m.input)
	case key == "down":
		m.recall(1, &m.input)
	default:
		m.input.Update(k)
	}
	return nil
}

// recall puts what was typed before, or after that, into the line.
func (h *history) recall(by int, line *text.Input) {
	at := h.at + by
	if at < 0 || at > len(h.typed) {
		return
	}
	h.at = at
	if at == len(h.typed) {
		line.Set("")
		return
	}
	line.Set(h.typed[at])
}

func (m *Model) enter() tea.Msg {
	line := strings.TrimSpace(m.input.Value())
	if line == "" {
		line = m.snap.far
	}
	if line == "" {
		return nil
	}
	m.typed = append(m.typed, line)
	m.at = len(m.typed)
	m.input.Set("")
	if m.busy {
		m.typedAhead = append(m.typedAhead, line)
		return nil
	}
	return m.line(line)
}

// line does what was typed.
func (m *Model) line(line string) tea.Msg {
	switch strings.ToLower(line) {
	case "help", "h", "?":
		m.help()
		return nil
	case "quit", "q", "exit":
		return scene.Quit{}
	case "menu":
		return m.toMenu()
	}
	return m.act(line)
}

// goOn does the next of the lines that were typed ahead.
func (m *Model) goOn() tea.Msg {
	for len(m.typedAhead) > 0 && !m.busy {
		line := m.typedAhead[0]
		m.typedAhead = m.typedAhead[1:]
		if out := m.line(line); out != nil {
			return out
		}
	}
	if m.page == inMenu { // left while it was at work
		return m.shown()
	}
	return nil
}
