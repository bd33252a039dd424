// Package help shows what works now on the screen that it was called from.
package help

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Model is the screen's own state.
type Model struct {
	// About and Keys are set by the root: the screen that help was called from.
	About  scene.ID
	Keyed  []scene.Key
	scroll text.Scroll
	search text.Input
	find   bool
}

// New makes the screen.
func New() *Model { return &Model{search: text.NewInput()} }

// Reset begins anew for a screen.
func (m *Model) Reset(about scene.ID, keys []scene.Key) {
	m.About, m.Keyed, m.scroll, m.find = about, keys, text.Scroll{}, false
	m.search.Set("")
}

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	k, ok := msg.(tea.KeyMsg)
	if !ok {
		return nil
	}
	switch s := k.String(); {
	case s == "esc" && m.find:
		m.find = false
		m.search.Set("")
	case s == "esc":
		return scene.Back{}
	case s == "up":
		m.scroll.Move(-1)
	case s == "down":
		m.scroll.Move(1)
	case s == "pgup":
		m.scroll.Move(-8)
	case s == "pgdown":
		m.scroll.Move(8)
	case m.find && s == "enter":
		m.find = false
	case m.find:
		m.search.Update(k)
	case s == "/":
		m.find = true
	case s == "q" || s == "enter" || s == "?":
		return scene.Back{}
	}
	return nil
}

// about says in a sentence what each screen is for.
var about = map[scene.ID]string{
	scene.Symptom:  "Say what is wrong and, where it matters, at which place. Choose the place on the map or type its name.",
	scene.Kit:      "Say what your meter can do and whether you have a lamp to put in series with the supply. Readings are chosen from what you have.",
	scene.Caution:  "What to mind before touching anything.",
	scene.Hunt:     "One reading at a time: put the probes where R and B stand, type what the meter shows. The map shows which pieces are still suspected.",
	scene.Why:      "Why this reading, and what each outcome would mean.",
	scene.Inspect:  "Enough is known: look at these pieces in this order, and say for each whether it was the bad one.",
	scene.Done:     "Found. After the repair, one reading proves it.",
	scene.Evidence: "All readings so far. A wrong one can be changed or removed; the hunt goes on as if it had been so from the start.",
}

func (m *Model) lines(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	out := text.Wrap(t.Paint(style.Title, "Help: "+string(m.About)), w)
	out = append(out, text.Wrap(about[m.About], w)...)
	out = append(out, "", t.Paint(style.Title, "Keys that work here now"))
	keys := append(append([]scene.Key(nil), m.Keyed...),
		scene.Key{Press: "?", Does: "this help, on every screen"},
		scene.Key{Press: "Esc", Does: "one step back, always"},
		scene.Key{Press: "Ctrl-T", Does: "the mouse on or off (on: click a piece on the map; off: your terminal selects text)"},
		scene.Key{Press: "Ctrl-Z", Does: "stop for a while; the shell's fg comes back"},
		scene.Key{Press: "Ctrl-C", Does: "leave at once; nothing is lost"})
	for _, k := range keys {
		s := k.Does
		if k.Off != "" {
			s += " (not now: " + k.Off + ")"
		}
		out = append(out, text.Hang(t.Paint(style.Key, k.Press)+" ", s, min(18, w/3), w)...)
	}
	out = append(out, "", t.Paint(style.Title, "On the map"))
	out = append(out, plan.Legend(sc, plan.Show{Chosen: -1, Ask: sc.View.Step.Ask}, w)...)
	for _, s := range []string{
		"1, 2, 3 stand on the most suspected pieces. The thicker a piece is drawn, the more it is suspected.",
		"R and B stand on their rail's side of the track: left and right are seen going up the numbers. A letter beside the track stands for a landmark listed below the map.",
	} {
		out = append(out, text.Wrap(s, w)...)
	}
	out = append(out, "", t.Paint(style.Title, "What you can type as an answer"))
	for _, k := range [][2]string{{"0.4  0,4", "a figure in the unit of the setting"}, {"212 mV  1.2k", "a figure with its unit or prefix"},
		{"OL", "over the range: open"}, {"beep  no", "the beeper (also 1 and 0)"}} {
		out = append(out, text.Hang(t.Paint(style.Key, k[0]), k[1], 14, w)...)
	}
	return out
}

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	lines := m.lines(sc, min(w, 96))
	if s := strings.ToLower(m.search.Value()); s != "" {
		var hits []string
		for _, l := range lines {
			if strings.Contains(strings.ToLower(l), s) {
				hits = append(hits, l)
			}
		}
		lines = hits
		if len(hits) == 0 {
			lines = []string{"nothing about \"" + m.search.Value() + "\" here"}
		}
	}
	in, x := m.search.View(w-9, func(s string) string { return t.Paint(style.Caret, s) })
	foot := t.Paint(style.Dim, "/ search, Esc back")
	if m.find {
		foot = "SEARCH > " + in
	}
	body := m.scroll.View(lines, max(h-1, 1), func(above, below int) string {
		return t.Paint(style.Key, fmt.Sprintf("-- %d lines below, %d above: Down, Up", below, above))
	})
	f := scene.Frame{Lines: append(body, foot), X: 0, Y: 0}
	if m.find {
		f.X, f.Y = 9+x, len(body)
	}
	return f
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	return []scene.Key{{Press: "up, down", Does: "scroll", Hint: "Up/Down scroll"}, {Press: "/", Does: "search", Hint: "/ search"}, {Press: "Esc", Does: "back", Hint: "Esc back"}}
}
