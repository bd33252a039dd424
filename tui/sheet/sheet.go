// Package sheet shows a page to be read and gone back from: the check of a design, the
// list of wires, what past hunts say.
package sheet

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Width is the widest that the text is asked for.
const Width = 80

// Is is the page, once it is there.
type Is struct {
	Text string
	Err  error
}

// Model is the screen's own state.
type Model struct {
	title, back string
	text        string // empty while it is being worked out
	fault       string
	scroll      text.Scroll
}

// New makes the screen, waiting for the page. Back says where Esc leads ("back to the
// walk, where it is mended").
func New(title, back string) *Model { return &Model{title: title, back: back} }

// Title is what stands at the head.
func (m *Model) Title() (left, right string) { return "fishplate, " + m.title, "" }

// ShortTitle is what stands at the head of a narrow window.
func (m *Model) ShortTitle() string { return m.title }

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case Is:
		m.text = msg.Text
		if msg.Err != nil {
			m.fault = msg.Err.Error()
		}
	case tea.KeyMsg:
		return m.key(msg.String())
	}
	return nil
}

func (m *Model) key(k string) tea.Msg {
	switch k {
	case "esc", "q", "k", "-":
		return scene.Back{}
	case "enter", " ", "pgdown":
		if !m.scroll.On() && k == "enter" {
			return scene.Back{}
		}
	default:
		m.scroll.Key(k)
	}
	return nil
}

// View draws the page.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	switch {
	case m.fault != "":
		return scene.Frame{Lines: text.Wrap(t.Paint(style.Bad, "! "+m.fault), w), Y: -1}
	case m.text == "":
		return scene.Frame{Lines: []string{t.Paint(style.Dim, "One moment...")}, Y: -1}
	}
	var lines []string
	for _, l := range strings.Split(strings.TrimRight(m.text, "\n"), "\n") {
		if l != "" && strings.ToUpper(l) == l && !strings.HasPrefix(l, " ") {
			l = t.Paint(style.Title, l)
		}
		lines = append(lines, text.Wrap(l, w)...) // the window may have become narrower
	}
	return scene.Frame{Y: -1, Lines: m.scroll.View(t, lines, h, "Enter")}
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	back, _, _ := strings.Cut(m.back, ",")
	return []scene.Key{{Press: "Enter", Does: "read on; at the end: " + back, Hint: "Enter on"},
		{Press: "up, down", Does: "a line up or down"}, {Press: "PgUp", Does: "a page back"},
		{Press: "Esc, q", Does: m.back, Hint: "Esc " + back}}
}
