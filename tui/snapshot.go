package tui

import (
	tea "github.com/charmbracelet/bubbletea"
)

// Snapshot shows the screens without a terminal: it feeds keys to them, waits
// for the hunt after each, and gives the frame that would then stand in a
// window of w by h. A key is a name ("enter", "tab", "up", "ctrl+t") or else
// text that is typed. Pictures and tests are made with it.
func Snapshot(o Options, w, h int, keys ...string) string {
	o.defaults()
	a := newApp(o)
	settle(a, a.Init())
	typeInto(a, w, h, keys)
	return a.View()
}

// typeInto gives a root its window and keys, drawing before each key.
func typeInto(a tea.Model, w, h int, keys []string) {
	send(a, tea.WindowSizeMsg{Width: w, Height: h})
	for _, k := range keys {
		a.View()
		for _, m := range keyMsgs(k) {
			send(a, m)
		}
	}
}

// send gives a message to a root and runs what comes of it to the end. Both
// roots are pointers and change in place.
func send(a tea.Model, m tea.Msg) {
	_, c := a.Update(m)
	settle(a, c)
}

// settle runs a command and all that follow from it. Quitting and waiting for
// a timer end a branch.
func settle(a tea.Model, c tea.Cmd) {
	if c == nil {
		return
	}
	switch m := c().(type) {
	case nil, tea.QuitMsg, tea.SuspendMsg:
	case tea.BatchMsg:
		for _, one := range m {
			settle(a, one)
		}
	default:
		send(a, m)
	}
}

var named = map[string]tea.KeyType{"enter": tea.KeyEnter, "tab": tea.KeyTab, "shift+tab": tea.KeyShiftTab,
	"esc": tea.KeyEsc, "up": tea.KeyUp,
	"down": tea.KeyDown, "left": tea.KeyLeft, "right": tea.KeyRight, "pgup": tea.KeyPgUp, "pgdown": tea.KeyPgDown,
	"home":      tea.KeyHome,
	"backspace": tea.KeyBackspace, "delete": tea.KeyDelete, "ctrl+c": tea.KeyCtrlC, "ctrl+p": tea.KeyCtrlP,
	"ctrl+r": tea.KeyCtrlR, "ctrl+t": tea.KeyCtrlT, "ctrl+u": tea.KeyCtrlU,
	"ctrl+z": tea.KeyCtrlZ, " ": tea.KeySpace}

func keyMsgs(k string) []tea.KeyMsg {
	if t, ok := named[k]; ok {
		m := tea.KeyMsg{Type: t}
		if t == tea.KeySpace {
			m.Runes = []rune{' '}
		}
		return []tea.KeyMsg{m}
	}
	return []tea.KeyMsg{{Type: tea.KeyRunes, Runes: []rune(k)}}
}
