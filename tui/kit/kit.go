// Package kit asks what the user owns: the meter's functions and a lamp.
package kit

import (
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

type item struct {
	name, what string
	of         func(*hunt.Kit) *bool
}

var items = []item{
	{"beeper", "continuity: it beeps when the probes are joined", func(k *hunt.Kit) *bool { return &k.Beeper }},
	{"ohms", "resistance, usually to 0.1 ohm", func(k *hunt.Kit) *bool { return &k.Ohms }},
	{"volts", "AC and DC volts", func(k *hunt.Kit) *bool { return &k.Volts }},
	{"millivolts", "a range that shows 0.1 mV (200 mV or 400 mV)", func(k *hunt.Kit) *bool { return &k.Millivolts }},
	{"amps", "current, through the meter or with a clamp", func(k *hunt.Kit) *bool { return &k.Amps }},
	{"lamp", "a lamp in series with the supply: it lets about 1 A into a short, which makes far fewer readings do", func(k *hunt.Kit) *bool { return &k.Lamp }},
}

// Model is the screen's own state.
type Model struct {
	kit    hunt.Kit
	row    int
	scroll text.Scroll
	fault  string
}

// New makes the screen for a kit.
func New(k hunt.Kit) *Model { return &Model{kit: k} }

// Update takes a message and gives back what to do.
func (m *Model) Update(sc *scene.Scene, msg tea.Msg) tea.Msg {
	k, ok := msg.(tea.KeyMsg)
	if !ok {
		return nil
	}
	if sc.KitFixed != "" {
		m.kit = sc.Kit
	}
	switch s := k.String(); s {
	case "up":
		m.row = max(m.row-1, 0)
	case "down":
		m.row = min(m.row+1, len(items)-1)
	case " ", "x":
		return m.toggle(sc, m.row)
	case "esc":
		m.kit, m.fault = sc.Kit, ""
		return scene.Back{}
	case "enter":
		return m.done(sc)
	case "q":
		return scene.Quit{}
	default:
		if n, err := strconv.Atoi(s); err == nil && n >= 1 && n <= len(items) {
			m.row = n - 1
			return m.toggle(sc, m.row)
		}
	}
	return nil
}

func (m *Model) toggle(sc *scene.Scene, i int) tea.Msg {
	if sc.KitFixed != "" {
		return scene.Say{Text: sc.KitFixed}
	}
	v := items[i].of(&m.kit)
	*v = !*v
	m.fault = ""
	return nil
}

func (m *Model) done(sc *scene.Scene) tea.Msg {
	if sc.KitFixed != "" {
		return scene.Back{}
	}
	if !m.kit.Beeper && !m.kit.Ohms && !m.kit.Volts && !m.kit.Millivolts && !m.kit.Amps {
		m.fault = "choose at least one function of a meter: without one nothing can be measured"
		return nil
	}
	return scene.SetKit{Kit: m.kit}
}

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	lines := text.Wrap(t.Paint(style.Title, "What do you have at hand?"), w)
	k := m.kit
	if sc.KitFixed != "" {
		k = sc.Kit
	}
	at := 0
	for i, it := range items {
		box := "[ ] "
		if *it.of(&k) {
			box = "[x] "
		}
		mark := "  "
		if i == m.row {
			mark, at = "> ", len(lines)
		}
		for n, l := range text.Hang(strconv.Itoa(i+1)+" "+box, it.name+": "+it.what, 6, w-3) {
			role := style.Plain
			if i == m.row {
				role = style.Select
			}
			if n > 0 {
				mark = "  "
			}
			lines = append(lines, mark+t.Paint(role, l))
		}
	}
	note := "1-6 or Space turns one on or off, Enter goes on"
	if sc.KitFixed != "" {
		note = sc.KitFixed
	}
	if m.fault != "" {
		note = t.Paint(style.Bad, "! "+m.fault)
	}
	lines = append(lines, "")
	lines = append(lines, text.Wrap(note, w)...)
	m.scroll.Show(at, h)
	out := m.scroll.View(lines, h, func(int, int) string { return t.Paint(style.Key, "-- more: Down, Up") })
	return scene.Frame{Lines: out, X: 0, Y: at - m.scroll.Top}
}

// Keys lists what works now.
func (m *Model) Keys(sc *scene.Scene) []scene.Key {
	return []scene.Key{
		{Press: "1-6", Does: "have it or not", Off: sc.KitFixed, Hint: "1-6 on/off"},
		{Press: "up, down, Space", Does: "the same with the arrows", Off: sc.KitFixed},
		{Press: "Enter", Does: "go on", Hint: "Enter go on"},
		{Press: "Esc", Does: "back, nothing changed", Hint: "Esc back"},
		{Press: "q", Does: "leave"},
	}
}
