// Package evidence is the time line of a hunt: the readings taken, what was
// expected of each, what it ruled out, and what would be believed without it.
// An earlier one can be changed or removed; undo and redo go to any depth.
package evidence

import (
	"fmt"
	"strconv"
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
	edit   bool
	input  text.Input
	scroll text.Scroll
	plan   plan.Model
	fault  string
	was    string // what a reading was before the change that was sent off
	// without is what would be believed without a reading, as long as the
	// readings are those of sign.
	without *scene.WithoutIs
	sign    string
	waits   bool // the hunt was asked and has not answered
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
	case scene.WithoutIs:
		m.waits = false
		if msg.Err != nil {
			m.fault = msg.Err.Error()
		} else {
			m.without, m.sign = &msg, sign(sc.View.Evidence)
		}
	case scene.Taken:
		m.edit, m.fault = false, ""
		m.input.Set("")
		return m.changed(msg.Event)
	}
	return nil
}

// sign tells one list of readings from another.
func sign(ev []hunt.Evidence) string {
	var b strings.Builder
	for i := range ev {
		fmt.Fprintf(&b, "%d %s;", ev[i].N, ev[i].Reading)
	}
	return b.String()
}

// left gives what would be believed without the selected reading, nil when it
// was not asked for.
func (m *Model) left(sc *scene.Scene) *hunt.View {
	ev := sc.View.Evidence
	if m.without == nil || m.row >= len(ev) || m.without.N != ev[m.row].N || m.sign != sign(ev) {
		return nil
	}
	return &m.without.View
}

func (m *Model) listKey(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	ev := sc.View.Evidence
	m.fault = ""
	switch k.String() {
	case "up", "-":
		m.row = max(m.row-1, 0)
	case "down", "+":
		m.row = max(min(m.row+1, len(ev)-1), 0)
	case "home":
		m.row = 0
	case "end":
		m.row = max(len(ev)-1, 0)
	case "enter", "c":
		if m.row < len(ev) {
			m.edit = true
		}
	case "x", "delete":
		if m.row < len(ev) {
			return m.change(sc, ev[m.row].N, "")
		}
	case "o", "*":
		return m.leaveOut(sc)
	case "u":
		if !sc.View.CanUndo {
			return scene.Say{Text: "nothing to take back"}
		}
		return scene.Do{Event: hunt.Event{Undo: 1}}
	case "r":
		if !sc.View.CanRedo {
			return scene.Say{Text: "nothing to bring back"}
		}
		return scene.Do{Event: hunt.Event{Redo: 1}}
	case "z", "Z":
		m.plan.ViewKey(k)
	case "esc", "e":
		return scene.Back{}
	case "q":
		return scene.Quit{}
	default:
		if n, err := strconv.Atoi(k.String()); err == nil && n >= 1 && n <= len(ev) {
			m.row = n - 1
		}
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
			m.fault = "type what the meter shows now, all of it; to remove the reading: Esc, then x"
			return nil
		}
		if m.row < len(sc.View.Evidence) {
			m.was = sc.View.Evidence[m.row].Reading
			return m.change(sc, sc.View.Evidence[m.row].N, typed)
		}
	default:
		if m.input.UpdatePad(k) {
			m.fault = ""
		}
	}
	return nil
}

// changed says what a reading was and is now, once the hunt has taken it.
func (m *Model) changed(e hunt.Event) tea.Msg {
	if e.Change == nil || e.Change.Reading == "" {
		return nil
	}
	return scene.Say{Text: fmt.Sprintf("reading %d was %s, now %s (u takes that back)", e.Change.N, m.was,
		e.Change.Reading)}
}

// leaveOut asks what would be believed without the selected reading, or puts
// the answer away again.
func (m *Model) leaveOut(sc *scene.Scene) tea.Msg {
	switch {
	case m.row >= len(sc.View.Evidence):
		return nil
	case m.left(sc) != nil:
		m.without = nil
		return nil
	case m.waits:
		return scene.Say{Text: "still thinking about it"}
	}
	m.waits = true
	return scene.Without{N: sc.View.Evidence[m.row].N}
}

func (m *Model) change(sc *scene.Scene, n int, reading string) tea.Msg {
	if sc.Busy {
		return scene.Say{Text: "still thinking: press it again in a moment"}
	}
	return scene.Do{Event: hunt.Event{Change: &hunt.Change{N: n, Reading: reading}}}
}
