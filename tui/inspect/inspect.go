// Package inspect lists the pieces to lift or look at, in order: how likely,
// what to look for, how to lift; and takes found or not found.
package inspect

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// Model is the screen's own state.
type Model struct {
	row    int
	leaf   int // of what is said of it
	leaves int
	plan   plan.Model
	fault  string
	// input is the line of what was seen; it waits for Enter, since some of its
	// keys answer readings too, and a press meant for one finds no piece.
	input text.Input
}

// New makes the screen.
func New() *Model { return &Model{input: text.NewInput()} }

// Typed is what stands in the line.
func (m *Model) Typed() string { return m.input.Value() }

// Update takes a message and gives back what to do.
func (m *Model) Update(sc *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case tea.KeyMsg:
		m.fault = ""
		if m.chosen(sc, msg.String()) {
			return nil
		}
		if m.input.Value() != "" || msg.Paste {
			return m.typeKey(sc, msg)
		}
		return m.key(sc, msg)
	case scene.Refused:
		m.fault = msg.Err.Error()
	case scene.Taken:
		m.fault, m.row, m.leaf = "", 0, 0
		m.input.Set("")
	}
	return nil
}

// chosen takes the keys that choose a piece, whatever stands in the line.
func (m *Model) chosen(sc *scene.Scene, k string) bool {
	switch k {
	case "up":
		m.row = max(m.row-1, 0)
	case "down":
		m.row = max(min(m.row+1, len(pieces(sc))-1), 0)
	default:
		return false
	}
	m.leaf = 0
	return true
}

func (m *Model) key(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	list := pieces(sc)
	switch s := k.String(); s {
	case "pgdown", " ":
		m.leaf++
	case "pgup":
		m.leaf--
	case "f", "n", "1", "0", "-":
		m.input.Set(s)
	case "+":
		m.row, m.leaf = (m.row+1)%max(len(list), 1), 0
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
		if m.leaves > 1 {
			m.leaf++
			return nil
		}
		return scene.Say{Text: "f, Enter when it was this piece; n, Enter when it is good"}
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

// typeKey takes the keys of the line, once something stands in it.
func (m *Model) typeKey(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	switch k.String() {
	case "esc":
		m.input.Set("")
	case "enter":
		return m.enter(sc)
	default:
		m.input.UpdatePad(k)
	}
	return nil
}

// enter sends off what stands in the line.
func (m *Model) enter(sc *scene.Scene) tea.Msg {
	if m.typed() == "-" {
		m.input.Set("")
		return undo(sc)
	}
	e, ok := m.seen(sc)
	switch {
	case !ok:
		m.fault = "f when this piece is the bad one, n when it is good, or found main 3 for another"
		return nil
	case sc.Busy:
		return scene.Say{Text: "still thinking: your typing is kept, press Enter again in a moment"}
	}
	return scene.Do{Event: e}
}

func (m *Model) typed() string { return strings.ToLower(strings.TrimSpace(m.input.Value())) }

// seen is what the line tells the hunt.
func (m *Model) seen(sc *scene.Scene) (hunt.Event, bool) {
	list := pieces(sc)
	if m.row < len(list) {
		switch m.typed() {
		case "f", "1", "found":
			return hunt.Event{Found: list[m.row].Piece}, true
		case "n", "0", "notfound":
			return hunt.Event{NotFound: list[m.row].Piece}, true
		}
	}
	return scene.Looked(m.input.Value())
}

// means says what the line would tell.
func (m *Model) means(sc *scene.Scene) string {
	e, ok := m.seen(sc)
	switch {
	case m.typed() == "-":
		return "= take back the last answer: Enter"
	case !ok:
		return "f found it, n it is good, or found main 3 for another; Esc clears"
	case e.Found != "":
		return "= " + e.Found + " was the bad one: Enter"
	}
	return "= " + e.NotFound + " is good: Enter"
}

func pieces(sc *scene.Scene) []hunt.Candidate {
	if sc.View.Step.Inspect == nil {
		return nil
	}
	return sc.View.Step.Inspect.Pieces
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
	if m.input.Value() != "" {
		return []scene.Key{
			{Press: "Enter", Does: "take what stands in the line", Off: busy, Hint: "Enter take it"},
			{Press: "Esc", Does: "clear the line", Hint: "Esc clear"},
		}
	}
	return []scene.Key{
		{Press: "found main 3", Does: "it was another piece; notfound main 3: that one is good", Off: busy},
		{Press: "f, Enter (or 1)", Does: "found: the selected piece was bad", Off: busy, Hint: "f found"},
		{Press: "n, Enter (or 0)", Does: "not this one: it is good", Off: busy, Hint: "n not it"},
		{Press: "up, down, +", Does: "select a piece", Hint: "Up/Down select"},
		{Press: "Enter, Space, PgUp", Does: "read on: what to look for, how to lift it"},
		{Press: "u (or -, Enter)", Does: "undo", Off: undo, Hint: "u undo"},
		{Press: "r", Does: "redo: bring back what was undone", Off: redo, Hint: "r redo"},
		{Press: "e", Does: "evidence"},
		{Press: "z Z", Does: "zoom the map in and out"},
		{Press: "q", Does: "leave; the hunt is saved", Hint: "q leave"},
	}
}
