// Package inspect lists the pieces to lift or look at, in order: how likely,
// what to look for, how to lift; and takes found or not found.
package inspect

import (
	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// Model is the screen's own state.
type Model struct {
	row    int
	scroll text.Scroll
	plan   plan.Model
	fault  string
	// armed is a 1, 0 or - that waits for Enter: those keys answer readings
	// too, and a press meant for a reading must not count as a piece found.
	armed string
}

// New makes the screen.
func New() *Model { return &Model{} }

// Update takes a message and gives back what to do.
func (m *Model) Update(sc *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case tea.KeyMsg:
		m.fault = ""
		armed := m.armed
		m.armed = ""
		if armed != "" && msg.String() == "enter" {
			if armed == "-" {
				return undo(sc)
			}
			return m.say(sc, armed == "1")
		}
		return m.key(sc, msg)
	case scene.Refused:
		m.fault = msg.Err.Error()
	case scene.Taken:
		m.fault, m.row, m.scroll = "", 0, text.Scroll{}
	}
	return nil
}

func (m *Model) key(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	list := pieces(sc)
	switch s := k.String(); s {
	case "up":
		m.row = max(m.row-1, 0)
	case "down":
		m.row = max(min(m.row+1, len(list)-1), 0)
	case "pgdown", " ":
		m.scroll.Move(6)
	case "pgup":
		m.scroll.Move(-6)
	case "f", "n":
		return m.say(sc, s == "f")
	case "1", "0", "-":
		return m.arm(sc, s)
	case "+":
		m.row = (m.row + 1) % max(len(list), 1)
	case "u":
		return undo(sc)
	case "r":
		if !sc.View.CanRedo {
			return scene.Say{Text: "nothing to bring back"}
		}
		return scene.Do{Event: hunt.Event{Redo: 1}}
	case "e":
		return scene.Open{ID: scene.Evidence}
	case "q":
		return scene.Quit{}
	case "esc":
		return scene.Say{Text: "u takes back the last answer, q leaves (the hunt is saved)"}
	case "enter":
		if m.scroll.On() {
			return nil
		}
		return scene.Say{Text: "f when it was this piece, n when it is good"}
	case "z", "Z":
		m.plan.ViewKey(k)
	}
	return nil
}

func undo(sc *scene.Scene) tea.Msg {
	if !sc.View.CanUndo {
		return scene.Say{Text: "nothing to take back"}
	}
	return scene.Do{Event: hunt.Event{Undo: 1}}
}

func (m *Model) arm(sc *scene.Scene, s string) tea.Msg {
	list := pieces(sc)
	if m.row >= len(list) {
		return nil
	}
	m.armed = s
	if s == "-" {
		return scene.Say{Text: "Enter: take back the last answer"}
	}
	what := " was the bad one"
	if s == "0" {
		what = " is good"
	}
	return scene.Say{Text: "Enter: " + list[m.row].Piece + what}
}

func pieces(sc *scene.Scene) []hunt.Candidate {
	if sc.View.Step.Inspect == nil {
		return nil
	}
	return sc.View.Step.Inspect.Pieces
}

func (m *Model) say(sc *scene.Scene, found bool) tea.Msg {
	list := pieces(sc)
	if m.row >= len(list) {
		return nil
	}
	if sc.Busy {
		return scene.Say{Text: "still thinking: press it again in a moment"}
	}
	if found {
		return scene.Do{Event: hunt.Event{Found: list[m.row].Piece}}
	}
	return scene.Do{Event: hunt.Event{NotFound: list[m.row].Piece}}
}

// Keys lists what works now.
func (m *Model) Keys(sc *scene.Scene) []scene.Key {
	busy, undo, redo := "", "", ""
	if sc.Busy {
		busy = "still thinking"
	}
	if !sc.View.CanUndo {
		undo = "nothing to take back"
	}
	if !sc.View.CanRedo {
		redo = "nothing was taken back"
	}
	return []scene.Key{
		{Press: "f (or 1, Enter)", Does: "found: the selected piece was bad", Off: busy, Hint: "f found"},
		{Press: "n (or 0, Enter)", Does: "not this one: it is good", Off: busy, Hint: "n not it"},
		{Press: "up, down, +", Does: "select a piece", Hint: "Up/Down select"},
		{Press: "Enter, Space, PgUp", Does: "read on, scroll"},
		{Press: "u (or -, Enter)", Does: "undo", Off: undo, Hint: "u undo"},
		{Press: "r", Does: "redo: bring back what was undone", Off: redo, Hint: "r redo"},
		{Press: "e", Does: "evidence"},
		{Press: "z Z", Does: "zoom the map in and out"},
		{Press: "q", Does: "leave; the hunt is saved", Hint: "q leave"},
	}
}
