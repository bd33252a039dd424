// Package why explains the reading that is wanted, in three pages: why this
// one, what if it shows this or that, and how to take it safely, with a
// drawing of the probes on the rails.
package why

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/card"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// pages are the questions that are answered.
var pages = [...]string{"Why this?", "What if it shows...", "How, safely?"}

// Model is the screen's own state.
type Model struct {
	page   int
	scroll text.Scroll
}

// New makes the screen.
func New() *Model { return &Model{} }

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	k, ok := msg.(tea.KeyMsg)
	if !ok {
		return nil
	}
	switch k.String() {
	case "esc", "w", "/":
		*m = Model{}
		return scene.Back{}
	case "enter", " ", "pgdown": // reads on, through all pages, and back to the reading
		switch {
		case m.scroll.On():
		case m.page == len(pages)-1 && k.String() == "enter":
			*m = Model{}
			return scene.Back{}
		default:
			m.turn(1)
		}
	case "tab", "right", "+":
		m.turn(1)
	case "shift+tab", "left", "-":
		m.turn(-1)
	case "1", "2", "3":
		m.page, m.scroll = int(k.Runes[0]-'1'), text.Scroll{}
	case "q":
		return scene.Quit{}
	default:
		m.scroll.Key(k.String())
	}
	return nil
}

func (m *Model) turn(by int) {
	m.page, m.scroll = (m.page+by+len(pages))%len(pages), text.Scroll{}
}

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	a := wanted(sc)
	if a == nil {
		return scene.Frame{Lines: text.Wrap("No reading is wanted now.", w)}
	}
	tabs := ""
	for i, p := range pages {
		if w < 60 && i != m.page { // all three titles do not fit
			tabs += t.Paint(style.Dim, fmt.Sprintf(" %d ", i+1))
			continue
		}
		s := fmt.Sprintf("%d %s", i+1, p)
		if i == m.page {
			tabs += t.Paint(style.Title, "["+s+"]") + " "
		} else {
			tabs += t.Paint(style.Dim, " "+s+" ") + " "
		}
	}
	cw := min(w, 96)
	body := [...]func(*scene.Scene, *hunt.Ask, int) []string{reason, outcomes, safely}[m.page](sc, a, cw)
	out := m.scroll.View(t, body, max(h-2, 1), "Enter")
	return scene.Frame{Lines: append([]string{text.Fit(tabs, w), ""}, out...), X: 0, Y: 0}
}

// wanted is the reading that is asked for: of the hunt, or the proof.
func wanted(sc *scene.Scene) *hunt.Ask {
	if d := sc.View.Step.Done; d != nil && !d.Proven {
		return d.Prove
	}
	return sc.View.Step.Ask
}

// reason says why this reading.
func reason(sc *scene.Scene, a *hunt.Ask, w int) []string {
	t := &sc.Theme
	out := text.Wrap(a.Reasons(), w)
	if sc.View.Step.Done != nil { // nothing is suspected any more: this is the proof
		return out
	}
	out = append(out, "", t.Paint(style.Title, "Suspected now"))
	return append(out, card.Suspects(sc, w, 5)...)
}

// outcomes says what each thing the meter may show would mean.
func outcomes(sc *scene.Scene, a *hunt.Ask, w int) []string {
	t := &sc.Theme
	out := card.Outcomes(sc, a, w)
	reach := "Not to be reached: c, and which probe: nothing is asked for there again."
	if sc.View.Step.Done != nil {
		reach = "Not to be reached: c leaves it out; the repair is not proven then."
	}
	for _, s := range []string{
		"Something else, or over the range: type it all the same. What fits badly with the rest is flagged, and you " +
			"can take it again or change it (e).",
		"The numbers jump about: wait until they settle, press the probes harder, scrape the rail bright where they " +
			"touch.",
		reach,
	} {
		out = append(out, "")
		out = append(out, text.Hang(t.Paint(style.Label, "or"), s, 7, w)...)
	}
	return out
}

// safely says how the reading is taken without harm.
func safely(sc *scene.Scene, a *hunt.Ask, w int) []string {
	t := &sc.Theme
	var lines []string
	block := func(title string, body []string) {
		if len(body) == 0 {
			return
		}
		if len(lines) > 0 {
			lines = append(lines, "")
		}
		lines = append(lines, t.Paint(style.Title, title))
		lines = append(lines, body...)
	}
	var care []string
	for _, c := range a.Cautions {
		care = append(care, text.Hang(t.Paint(style.Warn, "! "), c, 2, w)...)
	}
	block("Take care", care)
	block("How to take it", append(card.Steps(sc, a, w), card.Dial(sc, a, w)...))
	block("The probes, seen from above", append(card.Picture(sc, a, w), card.Probes(sc, a, w, true)...))
	block("How the lamp is hooked up", card.Lamp(sc, a))
	var setup []string
	for _, s := range card.Setup(a) {
		setup = append(setup, text.Hang("- ", s, 2, w)...)
	}
	block("While reading", setup)
	return lines
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	return []scene.Key{
		{Press: "1 2 3, Tab, + -", Does: "why this, what if it shows..., how to take it safely", Hint: "1-3 Tab pages"},
		{Press: "Enter", Does: "read on, through all three and back to the reading", Hint: "Enter read on"},
		{Press: "up, down, PgUp", Does: "scroll"},
		{Press: "Esc", Does: "back to the reading", Hint: "Esc back"},
		{Press: "q", Does: "leave; the hunt is saved"},
	}
}
