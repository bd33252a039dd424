// Package inspect lists the pieces to lift or look at, in order: how likely,
// what to look for, how to lift; and takes found or not found.
package inspect

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/card"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
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

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	lw := w
	wide := w >= 72 && h >= 16
	if wide {
		lw = min(w*9/20+4, 80)
	}
	lines, at := m.list(sc, lw)
	m.row = max(min(m.row, len(pieces(sc))-1), 0)
	out := m.scroll.View(lines, h, func(above, below int) string {
		return sc.Theme.Paint(style.Key, fmt.Sprintf("-- %d lines below, %d above: Enter, PgUp", below, above))
	})
	y := at - m.scroll.Top
	if y < 0 || y >= h {
		y = 0
	}
	if !wide {
		return scene.Frame{Lines: out, X: 0, Y: y}
	}
	chosen := -1
	if list := pieces(sc); m.row < len(list) {
		chosen = sc.Layout.FindPiece(list[m.row].Piece)
	}
	right := m.plan.View(sc, plan.Show{Chosen: chosen}, w-lw-2, h)
	return scene.Frame{Lines: text.Beside(out, right, lw, h, "  "), X: 0, Y: y}
}

// list gives the lines and the line of the selected piece.
func (m *Model) list(sc *scene.Scene, w int) (lines []string, at int) {
	t := &sc.Theme
	in := sc.View.Step.Inspect
	if in == nil {
		return []string{"nothing to inspect now"}, 0
	}
	lines = text.Wrap(t.Paint(style.Title, "Time to look: in this order"), w)
	for _, c := range in.Cautions {
		lines = append(lines, text.Hang(t.Paint(style.Warn, "! "), c, 2, w)...)
	}
	lines = append(lines, card.Do(sc, in.Steps, w)...)
	lines = append(lines, card.Warnings(sc, w)...)
	if m.fault != "" {
		lines = append(lines, text.Wrap(t.Paint(style.Bad, "! "+m.fault), w)...)
	}
	for i, c := range in.Pieces {
		mark, role := "  ", style.Plain
		if i == m.row {
			mark, role, at = "> ", style.Select, len(lines)
		}
		head := fmt.Sprintf("%d %s  %s", i+1, c.Piece, strings.Replace(c.Share(), " %", "%", 1))
		lines = append(lines, text.Fit(mark+t.Paint(role, head)+"  "+c.What, w))
	}
	if m.row < len(in.Pieces) {
		lines = append(lines, "")
		lines = append(lines, detail(sc, &in.Pieces[m.row], w)...)
	}
	if in.Why != "" {
		lines = append(lines, "")
		lines = append(lines, text.Hang(t.Paint(style.Label, "WHY"), in.Why, 7, w)...)
	}
	return lines, at
}

func detail(sc *scene.Scene, c *hunt.Candidate, w int) []string {
	t := &sc.Theme
	var out []string
	add := func(label, s string) {
		if s != "" {
			out = append(out, text.Hang(t.Paint(style.Label, label), s, 6, w)...)
		}
	}
	keys := t.Paint(style.Label, c.Piece) + ": " + t.Paint(style.Key, "f") + " found it   " + t.Paint(style.Key, "n") + " this one is good"
	out = append(out, text.Fit(keys, w))
	if i := sc.Layout.FindPiece(c.Piece); i >= 0 {
		add("where", spot.Near(sc.Layout, track.Place{Piece: i, End: -1}))
	}
	add("fault", c.What)
	add("look", c.Look)
	add("lift", c.Lift)
	return out
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
