package symptom

import (
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// choice is one thing that may be wrong.
type choice struct {
	kind  hunt.SymptomKind
	says  string
	place string // what to ask for the place, empty when none is needed
	// names are what can be answered to that, nil for a place on the track.
	names []string
}

// choices are the answers that make sense on a layout: accessories and second
// supplies are asked for only where there are some.
func choices(l *track.Layout) []choice {
	out := []choice{
		{hunt.SymptomShort, "The breaker trips (or the supply shuts off) at once", "", nil},
		{hunt.SymptomShortTrain, "It trips only when a train is at one place", "Where is the train when it trips?", nil},
		{hunt.SymptomWeak, "Trains slow down or stall at one place", "Where do they stall?", nil},
		{hunt.SymptomDead, "Everything beyond one place is dead", "Where does the dead part begin?", nil},
	}
	var accessories, supplies []string
	for i := range l.Accessories {
		accessories = append(accessories, l.Accessories[i].Name)
	}
	for i := range l.Supplies {
		if l.Supplies[i].AC {
			supplies = append(supplies, l.Supplies[i].Name)
		}
	}
	if len(accessories) > 0 {
		const which = "Which accessory?"
		out = append(out, choice{hunt.SymptomAccessoryDead, "An accessory never works", which, accessories},
			choice{hunt.SymptomAccessoryOn, "An accessory works all the time", which, accessories},
			choice{hunt.SymptomAccessoryElsewhere, "An accessory works with the train beside its rail", which, accessories},
			choice{hunt.SymptomAccessoryFlickers, "An accessory works weakly, or comes and goes", which, accessories})
	}
	if len(supplies) > 1 {
		out = append(out, choice{hunt.SymptomPhase, "It sparks or trips where a train passes from one supply's track to another's", "Which is the other supply?", supplies[1:]})
	}
	return out
}

// choice is the selected one.
func (m *Model) choice(sc *scene.Scene) choice {
	all := choices(sc.Layout)
	return all[min(m.row, len(all)-1)]
}

// said is the symptom with its place, as an event.
func (m *Model) said(sc *scene.Scene, at string) tea.Msg {
	return scene.Do{Event: hunt.Event{Symptom: &hunt.Symptom{Kind: m.choice(sc).kind, At: at, Sometimes: m.sometimes}}}
}

// nameKey takes the keys of a list of names: accessories, supplies.
func (m *Model) nameKey(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	names := m.choice(sc).names
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
	lines := text.Wrap(t.Paint(style.Title, c.place), w)
	at := 0
	for i, name := range c.names {
		mark, role := "  ", style.Plain
		if i == min(m.name, len(c.names)-1) {
			mark, role, at = "> ", style.Select, len(lines)
		}
		lines = append(lines, text.Fit(mark+t.Paint(role, strconv.Itoa(i+1)+" "+name), w))
	}
	lines = append(lines, m.faults(sc, w)...)
	m.scroll.Show(at, h)
	out := m.scroll.View(lines, h, func(int, int) string { return t.Paint(style.Key, "-- more: Down, Up") })
	return scene.Frame{Lines: out, X: 0, Y: at - m.scroll.Top}
}
