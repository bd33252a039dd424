// Package health is the screen of the check before a show: what is made ready, one
// reading at a time, and what the evenings say. What is read and judged is package
// diagnose/health's; files and the chart are the caller's.
package health

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/health"
	"fishplate/diagnose/hunt"
	"fishplate/tui/reader"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// Options is what the screen needs to begin.
type Options struct {
	Check *health.Check
	// Held names the evening that this one is held against, empty for the first.
	Held string
	N    int // of this evening, from 1
	// Last is what a reading showed on the evening before, nil: nothing.
	Last func(k int) *health.Shown
	// Keep keeps an evening as typed and gives what it comes to; it may be slow.
	Keep func(showed []string) (*Evening, error)
}

// Evening is what an evening came to.
type Evening struct {
	Says  []string
	Chart func(width int) (drawn, said string)
	Kept  string // where, and what comes next
	Worse bool   // there is something to hunt
}

// Kept is the answer of Keep on its way back to the screen.
type Kept struct {
	Evening *Evening
	Err     error
}

// Model is the screen's own state.
type Model struct {
	o       Options
	sitting *health.Sitting
	begun   bool
	keeping bool
	evening *Evening // once it is kept
	read    reader.Model
	scroll  text.Scroll
	ask     *hunt.Ask // of the reading that comes next
}

// New makes the screen.
func New(o Options) *Model {
	return &Model{o: o, sitting: o.Check.Sit(o.Last), read: reader.New()}
}

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case Kept:
		m.keeping = false
		if msg.Err != nil {
			m.read.Fault = msg.Err.Error()
			return nil
		}
		m.evening, m.scroll = msg.Evening, text.Scroll{}
	case tea.KeyMsg:
		switch {
		case m.evening != nil:
			return m.told(msg.String())
		case !m.begun:
			return m.ready(msg.String())
		}
		return m.reading(msg)
	}
	return nil
}

// ready takes a key while it is said what is made ready.
func (m *Model) ready(k string) tea.Msg {
	switch k {
	case "enter", " ", "pgdown":
		if !m.scroll.On() && k == "enter" {
			m.begun = true
		}
	case "q", "esc":
		return scene.Quit{}
	default:
		m.scroll.Key(k)
	}
	return nil
}

// told takes a key under the verdict.
func (m *Model) told(k string) tea.Msg {
	switch {
	case k == "h" && m.evening.Worse:
		return scene.Onward{}
	case k == "q" || k == "esc":
		return scene.Quit{}
	case k == "enter" && !m.scroll.On():
		return scene.Quit{}
	}
	m.scroll.Key(k)
	return nil
}

// reading takes a key where the meter is read.
func (m *Model) reading(k tea.KeyMsg) tea.Msg {
	empty := m.read.Empty() && !k.Paste
	switch key := k.String(); {
	case key == "enter":
		return m.enter()
	case m.read.Turn(key):
		return nil
	case key == "esc":
		return m.escape()
	case empty && key == "u":
		return m.back()
	case empty && key == "q":
		return scene.Quit{}
	}
	m.read.Type(k)
	return nil
}

// escape clears the line, else goes back to what is made ready; before the first
// answer alone, so that none is lost.
func (m *Model) escape() tea.Msg {
	switch {
	case !m.read.Empty() || m.read.Fault != "":
		m.read.Input.Set("")
		m.read.Fault = ""
	case len(m.sitting.Showed()) == 0:
		m.begun = false
	default:
		return scene.Say{Text: "u takes the last reading back; q leaves, and nothing is kept of this evening"}
	}
	return nil
}

func (m *Model) back() tea.Msg {
	m.read.Begin()
	m.ask = nil
	if !m.sitting.Back() {
		return scene.Say{Text: "nothing to take back yet"}
	}
	return nil
}

// enter turns to the next leaf, or takes what was typed.
func (m *Model) enter() tea.Msg {
	typed := strings.TrimSpace(m.read.Input.Value())
	switch {
	case m.keeping:
		return nil
	case m.sitting.Next() < 0: // keeping it failed
		return m.keep()
	case typed == "" && m.read.On():
		return nil
	case typed == "":
		m.read.Fault = "type what the meter shows, then Enter"
		return nil
	case typed == "-":
		return m.back()
	}
	fault := m.sitting.Take(typed)
	if fault != "" {
		m.read.Input.Set("")
		m.read.Fault = fault
		return nil
	}
	m.read.Begin()
	m.ask = nil
	if m.sitting.Next() < 0 {
		return m.keep()
	}
	return nil
}

func (m *Model) keep() tea.Msg {
	m.keeping, m.read.Fault = true, ""
	keep, showed := m.o.Keep, append([]string(nil), m.sitting.Showed()...)
	return scene.Work{Do: func() tea.Msg {
		e, err := keep(showed)
		return Kept{e, err}
	}}
}

// asked is the next reading as a hunt would ask for it, so that dial, probes and map are
// drawn as there. Where the lamp has just been laid elsewhere the steps say so.
func (m *Model) asked() *hunt.Ask {
	k := m.sitting.Next()
	if k < 0 || m.ask != nil && m.ask.N == k+1 {
		return m.ask
	}
	c := m.o.Check
	r := c.Plan.Readings[k]
	at := &c.Plan.Places[r.Place]
	a := &hunt.Ask{N: k + 1, Meter: "millivolts", Current: hunt.DC, Dial: health.Dial, Red: r.Red, Black: r.Black,
		Cautions: []string{health.WhileOn},
		Setup: hunt.Setup{Source: hunt.Source{Kind: "volts", From: at.Supply + " hot", To: at.Supply + " common"},
			Trains: "off",
			Loads:  []hunt.Load{{From: at.Hot, To: at.Common, Ohms: 10}}}}
	if k == 0 || c.Plan.Readings[k-1].Place != r.Place {
		a.Steps = append(a.Steps, c.At(r.Place))
	}
	if long := c.Lengthen(k); long != "" {
		a.Steps = append(a.Steps, long)
	}
	m.ask = a
	return a
}

// Title is what stands at the head.
func (m *Model) Title() (left, right string) {
	if m.o.Held == "" {
		return m.where(), "the baseline"
	}
	return m.where(), fmt.Sprintf("evening %d", m.o.N)
}

// ShortTitle is the same in a narrow window.
func (m *Model) ShortTitle() string { return m.where() }

func (m *Model) where() string {
	switch k := m.sitting.Next(); {
	case m.evening != nil || k < 0:
		return "health"
	case !m.begun:
		return "health: get ready"
	default:
		return fmt.Sprintf("health   reading %d of %d", k+1, len(m.o.Check.Plan.Readings))
	}
}

// Typing says that letters go into the line.
func (m *Model) Typing() bool { return m.begun && m.evening == nil && !m.read.Empty() }

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	switch {
	case m.evening != nil && m.evening.Worse:
		return []scene.Key{{Press: "h", Does: "hunt for it, beginning with what these evenings say",
			Hint: "h hunt for it"},
			{Press: "up, down", Does: "scroll"}, {Press: "q", Does: "leave; the evening is kept", Hint: "q leave"}}
	case m.evening != nil:
		return []scene.Key{{Press: "up, down", Does: "scroll"}, {Press: "q", Does: "leave; the evening is kept",
			Hint: "q leave"}}
	case !m.begun:
		return []scene.Key{{Press: "Enter", Does: "read on; at the end: to the first reading", Hint: "Enter go on"},
			{Press: "up, down", Does: "scroll"}, {Press: "q", Does: "leave; nothing is kept", Hint: "q leave"}}
	}
	off := ""
	if len(m.sitting.Showed()) == 0 {
		off = "nothing is typed yet"
	}
	return []scene.Key{{Press: "Enter", Does: "take what is typed; on an empty line: the next page",
		Hint: "Enter take"},
		{Press: "up, down", Does: "turn the pages of a long set-up"},
		{Press: "u", Does: "take the last reading back (also - Enter)", Off: off, Hint: "u undo"},
		{Press: "Esc", Does: "clear the line; before the first reading: back to what is made ready"},
		{Press: "q", Does: "leave; nothing is kept of this evening", Hint: "q leave"}}
}
