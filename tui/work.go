package tui

import (
	tea "github.com/charmbracelet/bubbletea"

	"fishplate/tui/scene"
)

// worked is what a screen's work came to, on its way back to the screen.
type worked struct {
	id  scene.ID
	msg tea.Msg
}

// work runs what a screen wants done outside the hunt.
func work(id scene.ID, in scene.Work) tea.Cmd {
	return func() tea.Msg { return worked{id, in.Do()} }
}

// show opens a screen and tells it so.
func (a *app) show(id scene.ID) tea.Cmd {
	if id == a.at || a.screens[id] == nil {
		return nil
	}
	a.open(id)
	return a.tell(id, scene.Shown{})
}

// typing says whether letters, also those that are keys elsewhere, go into a
// text on this screen.
func typing(s screen) bool {
	t, ok := s.(interface{ Typing() bool })
	return ok && t.Typing()
}
