// Package reader is one reading on the screen of work that is no hunt: its leaves, the
// line that is typed under them, and the map in its box, laid out as in a hunt.
package reader

import (
	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/card"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Model is what is typed, and where one is among the leaves.
type Model struct {
	Input  text.Input
	Fault  string // what was wrong with the last answer
	plan   plan.Model
	leaf   int
	leaves int
}

// New makes one.
func New() Model { return Model{Input: text.NewInput()} }

// Begin begins a reading.
func (m *Model) Begin() {
	m.Input.Set("")
	m.Fault, m.leaf, m.leaves = "", 0, 0
}

// Empty says that nothing is typed.
func (m *Model) Empty() bool { return m.Input.Value() == "" }

// Turn takes a key that turns the leaves, and says whether it was one.
func (m *Model) Turn(key string) bool {
	switch key {
	case "up", "pgup":
		m.leaf = max(0, m.leaf-1)
	case "down", "pgdown":
		m.leaf++
	default:
		return false
	}
	return true
}

// On turns to the next leaf; false on the last one, where the meter is read.
func (m *Model) On() bool {
	if m.Last() {
		return false
	}
	m.leaf++
	return true
}

// Last says that the leaf is shown on which the meter is read.
func (m *Model) Last() bool { return m.leaf >= m.leaves-1 }

// Type gives a key to the line.
func (m *Model) Type(k tea.KeyMsg) {
	if m.Input.UpdatePad(k) {
		m.Fault = ""
	}
}

// Page is what is shown of a reading.
type Page struct {
	Ask *hunt.Ask
	// Large are leaves of the caller's own instead of the usual ones; may be nil, and gives
	// none where a window is too small for them.
	Large func(w, h int) [][]string
	// Answer is what stands under the last leaf, rows of it at the most, and the column
	// of the caret in its line.
	Answer func(w int) (lines []string, line, x int)
	Rows   int
	// Beside is what stands under the map where that stands beside the words.
	Beside func(w int) []string
}

// View draws a reading in w by h cells; the scene's kit and belief are not asked for.
func (m *Model) View(sc *scene.Scene, p Page, w, h int) scene.Frame {
	now := *sc
	now.Warned = true
	now.View = hunt.View{LayoutRef: sc.Layout}
	now.View.Step.Ask = p.Ask
	box := plan.BoxIn(w, h)
	if !box.Beside && box.H > 0 && (p.Large != nil || len(m.sheet(&now, p, box.Words, box.Y)) > 1) {
		box.H, box.Y = 0, 0
	}
	room := h
	if box.H > 0 && !box.Beside {
		room = box.Y
	}
	f := m.leafOf(&now, p, box.Words, room)
	drawn := m.plan.Draw(&now, plan.Show{Ask: p.Ask, Chosen: -1}, box)
	if drawn == nil {
		return f
	}
	if box.Beside && p.Beside != nil {
		for len(drawn) < box.H {
			drawn = append(drawn, "")
		}
		below := p.Beside(min(box.W, plan.TextWide+30))
		drawn = append(drawn, below[:min(len(below), h-box.H)]...)
	}
	f.Lines = box.Put(f.Lines, drawn, h)
	return f
}

func (m *Model) sheet(sc *scene.Scene, p Page, w, h int) [][]string {
	if p.Ask == nil {
		return [][]string{nil}
	}
	if p.Large != nil {
		if leaves := p.Large(w, h-p.Rows); leaves != nil {
			return leaves
		}
	}
	return card.Leaves(sc, p.Ask, w, h-p.Rows, max(p.Rows-2, 0)) // under steps stands one line, and one of air
}

// leafOf is the leaf that is turned to, and the answer under it.
func (m *Model) leafOf(sc *scene.Scene, p Page, w, h int) scene.Frame {
	leaves := m.sheet(sc, p, w, h)
	m.leaves = len(leaves)
	if !m.Empty() || m.Fault != "" {
		m.leaf = m.leaves - 1
	}
	m.leaf = min(m.leaf, m.leaves-1)
	lines := append([]string(nil), leaves[m.leaf]...)
	answer, line, x := []string{sc.Theme.Paint(style.Key, "Enter") + ": these steps are done"}, 0, 0
	if m.Last() {
		answer, line, x = p.Answer(w)
	}
	if len(lines)+len(answer) < h {
		lines = append(lines, "")
	}
	lines = lines[:min(len(lines), max(h-len(answer), 0))]
	return scene.Frame{Lines: append(lines, answer...), X: x, Y: len(lines) + line}
}

// Faults are the lines of what was wrong, four at the most.
func Faults(t *style.Theme, fault string, w int) []string {
	lines := text.Wrap("! "+fault, w)
	lines = lines[:min(len(lines), 4)]
	for i := range lines {
		lines[i] = t.Paint(style.Bad, lines[i])
	}
	return lines
}

// Scrolled is lines in a window that may be too low for them.
func Scrolled(sc *scene.Scene, s *text.Scroll, lines []string, h int) scene.Frame {
	return scene.Frame{Y: -1, Lines: s.View(&sc.Theme, lines, h, "Enter")}
}
