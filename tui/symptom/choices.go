package symptom

import (
	"maps"
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// choice is the selected one.
func (m *Model) choice(sc *scene.Scene) hunt.Offer {
	all := hunt.Offers(sc.Layout)
	return all[min(m.row, len(all)-1)]
}

// said is the symptom with its place, as an event.
func (m *Model) said(sc *scene.Scene, at string) tea.Msg {
	y := &hunt.Symptom{Kind: m.choice(sc).Kind, At: at, Sometimes: m.sometimes}
	if len(m.points.of(sc, y.Kind)) > 0 && len(m.points.stood) > 0 {
		y.Thrown = maps.Clone(m.points.stood)
	}
	return scene.Do{Event: hunt.Event{Symptom: y}}
}

// nameKey takes the keys of a list of names: accessories, supplies.
func (m *Model) nameKey(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	names := m.choice(sc).Names
	m.name = min(m.name, len(names)-1)
	switch s := k.String(); s {
	case "up":
		m.name = max(m.name-1, 0)
	case "down":
		m.name = min(m.name+1, len(names)-1)
	case "+":
		m.name = (m.name + 1) % len(names)
	case "-":
		m.name = (m.name - 1 + len(names)) % len(names)
	case "esc":
		m.where, m.fault = false, ""
	case "enter":
		return m.said(sc, names[m.name])
	case "q":
		return scene.Quit{}
	default:
		if n, err := strconv.Atoi(s); err == nil && n >= 1 && n <= len(names) {
			m.name = n - 1
			return m.said(sc, names[m.name])
		}
	}
	return nil
}

// viewNames draws the question for a name.
func (m *Model) viewNames(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	c := m.choice(sc)
	lines := text.Wrap(t.Paint(style.Title, c.Where), w)
	at := 0
	for i, name := range c.Names {
		mark, role := "  ", style.Plain
		if i == min(m.name, len(c.Names)-1) {
			mark, role, at = "> ", style.Select, len(lines)
		}
		lines = append(lines, text.Fit(mark+t.Paint(role, strconv.Itoa(i+1)+" "+name), w))
	}
	lines = append(lines, m.faults(sc, w)...)
	m.scroll.Show(at, h)
	out := m.scroll.View(t, lines, h, "Down")
	return scene.Frame{Lines: out, X: 0, Y: at - m.scroll.Top()}
}
