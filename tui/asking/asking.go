// Package asking is the main screen of a hunt: the reading that is wanted, the
// line where its answer is typed, the map, and what is known so far.
package asking

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// page is what Tab turns to.
type page int

const (
	pageAsk page = iota
	pageMap
	pageKnown
	numPages
)

// Model is the screen's own state.
type Model struct {
	Big    bool // the reading in big letters
	input  text.Input
	plan   plan.Model
	scroll text.Scroll
	page   page
	fault  string
	asked  *hunt.Ask // the ask that leaf and scroll belong to
	leaf   int       // the leaf of its sheet that is shown
	laid   [][]string
	sent   string // a sign of the number pad that was sent off
	digit  string // a lone digit that was sent off as an answer
	cannot bool   // it is asked which probe cannot get to its place
	mapX   int    // where the map was drawn, for the mouse
	mapY   int
	laidFor
}

// laidFor is all that a laid out sheet hangs on, so that typing lays out none.
type laidFor struct {
	ask    *hunt.Ask
	layout *track.Layout
	theme  style.Theme
	warned bool
	w, h   int
}

// New makes the screen.
func New() *Model { return &Model{input: text.NewInput()} }

// Typed is what stands in the answer line.
func (m *Model) Typed() string { return m.input.Value() }

// Picked is the piece chosen on the map, -1 for none.
func (m *Model) Picked() int { return m.plan.Picked() }

// Update takes a message and gives back what to do.
func (m *Model) Update(sc *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case tea.KeyMsg:
		return m.key(sc, msg)
	case scene.Taken:
		// Only what was sent is cleared: more may have been typed since. The
		// ask may be another one by now, so what a digit stood for was kept.
		if typed := strings.TrimSpace(m.input.Value()); msg.Event.Reading != "" &&
			(msg.Event.Reading == meant(sc, typed) || m.digit != "" && typed == m.digit) {
			m.input.Set("")
		}
		m.digit = ""
		if m.sent != "" && strings.TrimSpace(m.input.Value()) == m.sent {
			m.input.Set("")
		}
		m.sent, m.fault = "", ""
	case scene.Refused:
		m.fault = msg.Err.Error()
	case tea.MouseMsg:
		return m.mouse(sc, msg)
	}
	return nil
}

func (m *Model) key(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	if m.cannot {
		m.cannot = false
		return unreached(k.String())
	}
	if m.page == pageMap && (m.plan.Finding() || m.input.Value() == "" && !k.Paste) && m.plan.Key(sc, k) {
		return nil
	}
	switch k.String() {
	case "tab":
		m.next(1)
		return nil
	case "shift+tab":
		m.next(-1)
		return nil
	case "esc":
		return m.back()
	case "enter":
		return m.enter(sc)
	case "up", "pgup", "down", "pgdown":
		m.scrollBy(k.String())
		return nil
	}
	if m.input.Value() == "" && !k.Paste {
		if c, ok := m.command(sc, k.String()); ok {
			return c
		}
	}
	if before := len(m.input.Value()); m.input.UpdatePad(k) {
		m.fault = ""
		// What is left after erasing is no answer yet: it waits for Enter.
		if len(m.input.Value()) > before && oneKey(sc, m.input.Value()) != "" && !sc.Busy {
			return scene.Soon{}
		}
	}
	return nil
}

func (m *Model) next(by page) {
	m.Big = false
	m.page = (m.page + by + numPages) % numPages
	m.scroll = text.Scroll{}
}

func (m *Model) back() tea.Msg {
	switch {
	case m.input.Value() != "":
		m.input.Set("")
		m.fault = ""
	case m.Big:
		m.Big = false
	case m.page != pageAsk:
		m.page, m.scroll = pageAsk, text.Scroll{}
	case m.fault != "":
		m.fault = ""
	default:
		return scene.Say{Text: "this is the first screen: q leaves (the hunt is saved), u takes back the last answer"}
	}
	return nil
}

func (m *Model) scrollBy(k string) {
	if m.page == pageAsk && !m.Big {
		m.leaf += map[string]int{"up": -1, "pgup": -1, "down": 1, "pgdown": 1}[k]
		return
	}
	m.scroll.Key(k)
}

// command takes the letters that are commands on an empty line. No answer
// begins with one of them.
func (m *Model) command(sc *scene.Scene, k string) (tea.Msg, bool) {
	switch k {
	case "u":
		if !sc.View.CanUndo {
			return scene.Say{Text: "nothing to take back yet"}, true
		}
		return scene.Do{Event: hunt.Event{Undo: 1}}, true
	case "r":
		if !sc.View.CanRedo {
			return scene.Say{Text: "nothing to bring back"}, true
		}
		return scene.Do{Event: hunt.Event{Redo: 1}}, true
	case "g", "*":
		if a := sc.View.Step.Ask; k == "g" && a != nil && a.OfLamp() { // glowing
			return nil, false
		}
		m.Big, m.page, m.scroll = !m.Big, pageAsk, text.Scroll{}
		return nil, true
	case "w", "/":
		return scene.Open{ID: scene.Why}, true
	case "e":
		return scene.Open{ID: scene.Evidence}, true
	case "k":
		return scene.Open{ID: scene.Kit}, true
	case "c":
		if sc.Busy {
			return scene.Say{Text: "still thinking: wait for the next reading"}, true
		}
		if a := sc.View.Step.Ask; a == nil || a.OfLamp() || a.OfLeads() {
			return scene.Do{Event: hunt.Event{Skip: "cannot reach"}}, true
		}
		m.cannot, m.Big, m.page, m.leaf = true, false, pageAsk, len(m.laid)-1 // both places in sight
		return nil, true
	case "q":
		return scene.Quit{}, true
	}
	return nil, false
}

// unreached is what the key says of the probe that cannot get to its place: that
// one's place is kept away from, or this pair alone is left out. Any other key
// calls it off.
func unreached(key string) tea.Msg {
	switch key {
	case "r":
		return scene.Do{Event: hunt.Event{Skip: "cannot reach with red", Probe: hunt.RedProbe}}
	case "b":
		return scene.Do{Event: hunt.Event{Skip: "cannot reach with black", Probe: hunt.BlackProbe}}
	case "c", ".", "enter":
		return scene.Do{Event: hunt.Event{Skip: "cannot reach"}}
	}
	return nil
}

func (m *Model) enter(sc *scene.Scene) tea.Msg {
	typed := strings.TrimSpace(m.input.Value())
	if typed == "" {
		switch {
		case m.page == pageAsk && !m.Big && m.leaf < len(m.laid)-1:
			m.leaf++
		case m.page != pageAsk || !m.scroll.On():
			m.fault = "type what the meter shows, then Enter"
			if a := sc.View.Step.Ask; a != nil && a.OfLamp() {
				m.fault = a.Digits()
			}
		}
		return nil
	}
	if sc.Busy {
		return scene.Say{Text: "still thinking: your typing is kept, press Enter when the next reading is here"}
	}
	if _, do := pad(sc, typed); do != nil {
		if _, said := do.(scene.Say); said {
			m.input.Set("")
		} else {
			m.sent = typed
		}
		return do
	}
	if oneKey(sc, typed) != "" {
		m.digit = typed
	}
	return scene.Do{Event: said(sc, typed)}
}

// said is what a typed line tells the hunt: a reading, or a piece that was seen
// to be bad, or good, before it was asked for.
func said(sc *scene.Scene, typed string) hunt.Event {
	if e, ok := scene.Looked(typed); ok {
		return e
	}
	return hunt.Event{Reading: meant(sc, typed)}
}

func (m *Model) mouse(sc *scene.Scene, e tea.MouseMsg) tea.Msg {
	if e.Action != tea.MouseActionPress || m.Big {
		return nil
	}
	switch e.Button {
	case tea.MouseButtonWheelUp, tea.MouseButtonWheelDown:
		by := 3
		if e.Button == tea.MouseButtonWheelUp {
			by = -3
		}
		m.scroll.Move(by)
	case tea.MouseButtonLeft:
		return m.plan.Click(sc, e.X-m.mapX, e.Y-m.mapY)
	}
	return nil
}
