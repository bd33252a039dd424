// Package done shows the verdict, the repair, and takes the one reading that
// proves it.
package done

import (
	"strings"
	"unicode"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// Model is the screen's own state.
type Model struct {
	input  text.Input
	scroll text.Scroll
	plan   plan.Model
	proof  *hunt.Ask // the proof that leaf belongs to
	leaf   int       // the leaf of its sheet that is shown
	parted bool      // the first of them says what was found, and no steps
	leaves int
	fault  string
	minus  bool // a lone "-" waits for Enter, where there is no line for it
}

// New makes the screen.
func New() *Model { return &Model{input: text.NewInput()} }

// Typed is what stands in the answer line.
func (m *Model) Typed() string { return m.input.Value() }

// Update takes a message and gives back what to do.
func (m *Model) Update(sc *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case tea.KeyMsg:
		return m.key(sc, msg)
	case scene.Refused:
		m.fault = msg.Err.Error()
	case scene.Taken:
		if msg.Event.Reading != "" && msg.Event.Reading == strings.TrimSpace(m.input.Value()) {
			m.input.Set("")
		}
		m.fault = ""
	}
	return nil
}

func (m *Model) key(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	switch s := k.String(); s {
	case "up", "pgup":
		m.scroll.Move(-1)
		m.leaf--
		return nil
	case "down", "pgdown":
		m.scroll.Move(1)
		m.leaf++
		return nil
	case "enter":
		return m.enter(sc)
	case "esc":
		if m.input.Value() != "" || m.fault != "" {
			m.input.Set("")
			m.fault = ""
			return nil
		}
		return scene.Say{Text: "u takes back the last answer, q leaves"}
	}
	if m.input.Value() == "" && !k.Paste {
		if c, ok := m.command(sc, k); ok {
			return c
		}
	}
	if m.minus = !wants(sc) && k.String() == "-"; m.minus {
		return scene.Say{Text: "Enter: take back the last answer"}
	}
	if before := len(m.input.Value()); wants(sc) && m.input.UpdatePad(k) {
		m.fault = ""
		if len(m.input.Value()) > before && sc.View.Step.Done.Prove.Digit(m.input.Value()) != "" && !sc.Busy {
			return scene.Soon{}
		}
	}
	return nil
}

// command takes the letters that are commands on an empty line, and refuses
// those that begin no answer. While a reading is wanted "o" begins one (OL,
// open, off): the records are at Ctrl-R then.
func (m *Model) command(sc *scene.Scene, k tea.KeyMsg) (tea.Msg, bool) {
	switch k.String() {
	case "u":
		return scene.Do{Event: hunt.Event{Undo: 1}}, true
	case "r":
		if !sc.View.CanRedo {
			return scene.Say{Text: "nothing to bring back"}, true
		}
		return scene.Do{Event: hunt.Event{Redo: 1}}, true
	case "e":
		return scene.Open{ID: scene.Evidence}, true
	case "p":
		return scene.Export{Form: "html"}, true
	case "q":
		return scene.Quit{}, true
	}
	if !wants(sc) {
		if k.String() == "o" {
			return scene.Open{ID: scene.Records}, true
		}
		return nil, false
	}
	switch k.String() {
	case "w", "/":
		return scene.Open{ID: scene.Why}, true
	case "c":
		return m.leaveOut(sc), true
	case "g", "*":
		return scene.Say{Text: "giant letters are for the readings of a hunt: this one is the proof"}, true
	}
	if k.Type == tea.KeyRunes && unicode.IsLetter(k.Runes[0]) &&
		!strings.ContainsRune(begins, unicode.ToLower(k.Runes[0])) {
		return scene.Say{Text: k.String() + " begins no answer: type what the meter shows; ? lists the keys"}, true
	}
	return nil, false
}

// begins are the letters that words of an answer begin with: beep, yes, no, OL,
// open, tone, true, silent, lit, dark, false, inf.
const begins = "bynotsldfi"

// leaveOut says that the proving reading cannot be taken.
func (m *Model) leaveOut(sc *scene.Scene) tea.Msg {
	if sc.Busy {
		return scene.Say{Text: "still thinking: wait for the next reading"}
	}
	return scene.Do{Event: hunt.Event{Skip: "cannot reach"}}
}

// wants says whether a proving reading is still wanted.
func wants(sc *scene.Scene) bool {
	d := sc.View.Step.Done
	return d != nil && d.Prove != nil && !d.Proven
}

func (m *Model) enter(sc *scene.Scene) tea.Msg {
	typed := strings.TrimSpace(m.input.Value())
	if typed == "-" || (!wants(sc) && m.minus) {
		m.input.Set("")
		m.minus = false
		return scene.Do{Event: hunt.Event{Undo: 1}}
	}
	if !wants(sc) {
		return scene.Say{Text: "the hunt is over: q leaves"}
	}
	switch {
	case typed == "." || typed == ",":
		m.input.Set("")
		return m.leaveOut(sc)
	case typed == "+":
		typed = "OL"
		m.input.Set(typed)
	case typed == "" && m.leaf < m.leaves-1:
		m.leaf++
		return nil
	case typed == "":
		m.fault = "type what the meter shows, then Enter"
		return nil
	case sc.Busy:
		return scene.Say{Text: "still thinking: your typing is kept"}
	case sc.View.Step.Done.Prove.Digit(typed) != "":
		typed = sc.View.Step.Done.Prove.Digit(typed)
		m.input.Set(typed)
	}
	return scene.Do{Event: hunt.Event{Reading: typed}}
}

// Keys lists what works now.
func (m *Model) Keys(sc *scene.Scene) []scene.Key {
	off, redo, line, records := "", "", "", "o"
	if !sc.View.CanRedo {
		redo = "nothing was taken back"
	}
	if !wants(sc) {
		off = "no reading is wanted any more"
	}
	if wants(sc) {
		records = "Ctrl-R"
	}
	if m.input.Value() != "" {
		line = "clear the line first (Esc)"
		redo = line
	}
	return []scene.Key{
		{Press: "Enter", Does: "take the proving reading as typed", Off: off, Hint: "Enter take it"},
		{Press: "up, down", Does: "turn the pages, scroll"},
		{Press: "w, /", Does: "why this reading, what if it shows..., how to take it safely", Off: first(off, line),
			Hint: "w why"},
		{Press: "c (or ., Enter)", Does: "can't take that reading: it is left out, and the repair is not proven",
			Off: first(off, line)},
		{Press: "-, Esc", Does: "in a line that has text: erase a character, clear the line", Off: off},
		{Press: "u (or -, Enter)", Does: "undo", Off: line, Hint: "u undo"},
		{Press: "r", Does: "redo", Off: redo},
		{Press: "e", Does: "evidence", Off: line, Hint: "e evidence"},
		{Press: "p", Does: "write a page on this hunt, to print or to send", Off: line, Hint: "p print page"},
		{Press: "q", Does: "leave", Off: line, Hint: "q leave"},
		{Press: records, Does: "the kept hunts of this layout: notes, the repair, older ones",
			Hint: records + " records"},
	}
}

// first is the first reason that is one.
func first(a, b string) string {
	if a != "" {
		return a
	}
	return b
}
