// Package asking is the main screen of a hunt: the reading that is wanted, the
// line where its answer is typed, the map, and what is known so far.
package asking

import (
	"strings"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// page is what a narrow screen shows.
type page int

const (
	pageAsk page = iota
	pageMap
	pageKnown
	numPages
)

// Model is the screen's own state.
type Model struct {
	// OneKey is how long a lone 1 or 0 waits for more digits before it is
	// taken as "beep" or "silent".
	OneKey time.Duration
	input  text.Input
	plan   plan.Model
	scroll text.Scroll
	page   page // on a wide screen: pageMap says that the map has the keys
	fault  string
	asked  int // the number of the ask that the scroll belongs to
	turn   int // counts keys: an old timer does nothing
	wide   bool
	mapX   int // where the map was drawn, for the mouse
	mapY   int
}

// New makes the screen.
func New() *Model { return &Model{input: text.NewInput(), OneKey: 700 * time.Millisecond} }

// alone is the timer of a one-key answer.
type alone struct{ turn int }

// Typed is what stands in the answer line.
func (m *Model) Typed() string { return m.input.Value() }

// Update takes a message and gives back what to do.
func (m *Model) Update(sc *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case tea.KeyMsg:
		m.turn++
		return m.key(sc, msg)
	case alone:
		if msg.turn == m.turn && oneKey(sc, m.input.Value()) != "" {
			return m.enter(sc)
		}
	case scene.Taken:
		// Only what was sent is cleared: more may have been typed since.
		if msg.Event.Reading != "" && sameAnswer(msg.Event.Reading, m.input.Value()) {
			m.input.Set("")
		}
		m.fault = ""
	case scene.Refused:
		m.fault = msg.Err.Error()
	case tea.MouseMsg:
		return m.mouse(sc, msg)
	}
	return nil
}

func sameAnswer(sent, typed string) bool {
	typed = strings.TrimSpace(typed)
	return sent == typed || sent == words[typed]
}

// words are the one-key answers of the beeper and of questions for the eyes.
var words = map[string]string{"1": "beep", "0": "no"}

// oneKey gives the answer that a lone digit stands for, for this ask.
func oneKey(sc *scene.Scene, typed string) string {
	a := sc.View.Step.Ask
	if a == nil || a.Meter != "beeper" {
		return ""
	}
	return words[strings.TrimSpace(typed)]
}

func (m *Model) key(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	if m.page == pageMap && m.input.Value() == "" && !k.Paste && m.plan.Key(k) {
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
	if m.input.Update(k) {
		m.fault = ""
		if oneKey(sc, m.input.Value()) != "" && !sc.Busy {
			turn := m.turn
			return scene.Wait{For: m.OneKey, Msg: alone{turn}}
		}
	}
	return nil
}

func (m *Model) next(by page) {
	n := numPages
	if m.wide {
		n = pageMap + 1
	}
	m.page = (m.page + by + n) % n
	m.scroll = text.Scroll{}
}

func (m *Model) back() tea.Msg {
	switch {
	case m.page != pageAsk:
		m.page, m.scroll = pageAsk, text.Scroll{}
	case m.fault != "":
		m.fault = ""
	case m.input.Value() != "":
		return scene.Say{Text: "your typing is kept; ctrl+u clears the line"}
	default:
		return scene.Say{Text: "this is the first screen: q leaves (the hunt is saved), u takes back the last answer"}
	}
	return nil
}

func (m *Model) scrollBy(k string) {
	by := map[string]int{"up": -1, "down": 1, "pgup": -6, "pgdown": 6}[k]
	m.scroll.Move(by)
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
	case "w":
		return scene.Open{ID: scene.Why}, true
	case "e":
		return scene.Open{ID: scene.Evidence}, true
	case "k":
		return scene.Open{ID: scene.Kit}, true
	case "c":
		if sc.Busy {
			return scene.Say{Text: "still thinking: wait for the next reading"}, true
		}
		return scene.Do{Event: hunt.Event{Skip: "cannot reach"}}, true
	case "q":
		return scene.Quit{}, true
	}
	return nil, false
}

func (m *Model) enter(sc *scene.Scene) tea.Msg {
	typed := strings.TrimSpace(m.input.Value())
	if typed == "" {
		m.fault = "type what the meter shows, then Enter"
		return nil
	}
	if sc.Busy {
		return scene.Say{Text: "still thinking: your typing is kept, press Enter when the next reading is here"}
	}
	if w := oneKey(sc, typed); w != "" {
		typed = w
	}
	return scene.Do{Event: hunt.Event{Reading: typed}}
}

func (m *Model) mouse(sc *scene.Scene, e tea.MouseMsg) tea.Msg {
	if e.Action != tea.MouseActionPress || e.Button != tea.MouseButtonLeft {
		return nil
	}
	ps := m.plan.At(e.X-m.mapX, e.Y-m.mapY)
	if len(ps) == 0 {
		return nil
	}
	var names []string
	for _, i := range ps {
		names = append(names, sc.Layout.Pieces[i].ID())
	}
	return scene.Say{Text: strings.Join(names, ", ")}
}

// Keys lists what works now.
func (m *Model) Keys(sc *scene.Scene) []scene.Key {
	busy, undo, empty := "", "", ""
	if sc.Busy {
		busy = "still thinking"
	}
	if !sc.View.CanUndo {
		undo = "nothing to take back yet"
	}
	if m.input.Value() != "" {
		empty = "clear the line first (ctrl+u)"
		undo = empty
	}
	var out []scene.Key
	if m.page == pageMap {
		out = []scene.Key{
			{Press: "+ -", Does: "zoom the map", Off: empty, Hint: "+/- zoom"},
			{Press: "arrows", Does: "move it", Off: empty, Hint: "arrows move"},
			{Press: "f", Does: "follow the probes", Off: empty, Hint: "f follow"},
			{Press: "a", Does: "show all of the layout", Off: empty, Hint: "a all"},
			{Press: "Esc", Does: "back to the reading", Hint: "Esc back"},
		}
	}
	out = append(out, scene.Key{Press: "Enter", Does: "take the answer as typed: 0.4  0,4  212 mV  1.2k  OL  beep  no", Off: busy})
	if a := sc.View.Step.Ask; a != nil && a.Meter == "beeper" {
		out = append(out, scene.Key{Press: "1 / 0", Does: "it beeps / it is silent (a lone digit needs no Enter)", Off: busy})
	}
	return append(out,
		scene.Key{Press: "c", Does: "can't reach that: ask for another reading", Off: first(busy, empty), Hint: "c can't reach"},
		scene.Key{Press: "u", Does: "undo the last answer", Off: undo, Hint: "u undo"},
		scene.Key{Press: "w", Does: "why this reading, what each outcome means, a drawing", Off: empty, Hint: "w why"},
		scene.Key{Press: "e", Does: "evidence: change or remove an earlier reading", Off: empty, Hint: "e evidence"},
		scene.Key{Press: "Tab", Does: "the map: zoom, move, follow the probes; Esc back", Hint: "Tab map"},
		scene.Key{Press: "up, down", Does: "scroll the text of the reading"},
		scene.Key{Press: "k", Does: "your kit", Off: empty},
		scene.Key{Press: "q", Does: "leave; the hunt is saved and goes on next time", Off: empty})
}

// first is the first reason that is one.
func first(reasons ...string) string {
	for _, r := range reasons {
		if r != "" {
			return r
		}
	}
	return ""
}
