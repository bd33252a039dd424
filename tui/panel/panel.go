// Package panel is the screen of thin wires to one labelled block: what each further pair
// is worth, where they go on the map, and how they are joined, one thing at a time. What
// is worked out is package diagnose/panel's; files are the caller's.
package panel

import (
	"fmt"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/panel"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// Options is what the screen needs to begin.
type Options struct {
	Layout string
	Metric bool
	Pairs  int // asked for; 0: as many as are worth it
	Begun  int // joined before were the wires of so many pairs, 0 of none
	// Plan works a plan out for so many pairs, 0: as many as are worth it. It is slow.
	Plan func(pairs int) (*panel.Plan, error)
	// Write puts the terminals of a plan into the layout's file, and says so; it may be
	// slow. Nil: there is no file.
	Write func(p *panel.Plan) (says string, err error)
	// Keep keeps that a step of a plan with so many new pairs was done, or that it was
	// not; it may be slow. Nil: nothing is kept.
	Keep func(pairs int, w *panel.Wire, s *panel.Step, done bool) error
	// Reads says that the file has a block already.
	Reads bool
}

// phase is what the screen is about now.
type phase uint8

const (
	planning phase = iota
	worth          // what each pair is worth
	wires          // where they go
	joining        // one thing after the other
	joined
)

// Model is the screen's own state.
type Model struct {
	o       Options
	at      phase
	best    *panel.Plan // with as many pairs as are worth it
	plan    *panel.Plan // with as many as were chosen
	steps   []panel.Step
	row     int // of the pairs
	wire    int
	step    int
	busy    bool
	keeping bool
	written bool
	told    string
	fault   string
	named   *[]plan.Named // the wires on the map
	lit     int           // of them
	scroll  text.Scroll
	drawing plan.Model
}

// New makes the screen.
func New(o Options) *Model { return &Model{o: o} }

// Answers come back from what was slow.
type (
	planned struct {
		plan *panel.Plan
		err  error
	}
	wrote struct {
		says string
		err  error
	}
	kept struct {
		step panel.Step
		done bool
		err  error
	}
)

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case scene.Shown:
		return m.work(m.o.Pairs)
	case planned:
		return m.planned(msg)
	case wrote:
		m.busy, m.told = false, msg.says
		if msg.err != nil {
			m.fault = msg.err.Error()
			return nil
		}
		m.written = true
	case kept:
		m.keeping = false
		if msg.err != nil {
			m.fault = msg.err.Error()
			return nil
		}
		m.did(&msg.step, msg.done)
	case tea.KeyMsg:
		return m.key(msg.String())
	}
	return nil
}

// work asks for a plan.
func (m *Model) work(pairs int) tea.Msg {
	m.busy, m.at = true, planning
	work := m.o.Plan
	return scene.Work{Do: func() tea.Msg {
		p, err := work(pairs)
		return planned{p, err}
	}}
}

func (m *Model) planned(msg planned) tea.Msg {
	m.busy = false
	if msg.err != nil {
		m.fault = msg.err.Error()
		return nil
	}
	if m.best == nil {
		m.best, m.row = msg.plan, len(msg.plan.Wires)
		if more := min(m.o.Begun, len(msg.plan.Left)-1); m.o.Pairs == 0 && more > 0 && more != m.row {
			m.row = more
			return m.work(more)
		}
		m.use(msg.plan)
		if m.wire = m.next(); m.plan.Begun() == 0 && len(m.plan.Done) == 0 {
			m.at = worth
		}
		return nil
	}
	m.use(msg.plan)
	return nil
}

// use goes to where the wires of a plan go.
func (m *Model) use(p *panel.Plan) {
	m.plan, m.steps = p, p.Steps()
	m.told, m.written, m.named = "", false, nil
	m.scroll = text.Scroll{}
	m.wire, m.at = m.next(), wires
}

// next is the wire that is joined next.
func (m *Model) next() int {
	if k := m.plan.Next(); k >= 0 {
		return m.steps[k].Wire
	}
	return 0
}

func (m *Model) key(key string) tea.Msg {
	switch {
	case m.keeping:
		return nil
	case key == "q":
		return scene.Quit{}
	case m.busy || m.plan == nil:
		return nil
	case key == "r":
		return m.reads()
	case key == "w" && m.at != worth:
		return m.write()
	}
	m.fault, m.told = "", ""
	switch m.at {
	case worth:
		return m.worthKey(key)
	case wires:
		return m.wireKey(key)
	case joining:
		return m.joinKey(key)
	}
	switch key {
	case "u":
		m.at, m.step = joining, len(m.steps)
		return m.back()
	case "enter", "esc":
		m.at, m.scroll = wires, text.Scroll{}
	default:
		m.scroll.Key(key)
	}
	return nil
}

// reads goes to the hunt that begins at the block.
func (m *Model) reads() tea.Msg {
	if !m.o.Reads && !m.written {
		return scene.Say{Text: m.noBlock()}
	}
	return scene.Onward{}
}

// noBlock says why nothing can be read at a block yet.
func (m *Model) noBlock() string {
	if m.o.Write == nil {
		return "the file has no block yet; a layout of yours can have one"
	}
	return "the file has no block yet: w puts these terminals there, once they are joined"
}

func (m *Model) write() tea.Msg {
	switch {
	case m.o.Write == nil:
		return scene.Say{Text: "there is no file to put them into: fishplate panel FILE"}
	case m.written:
		return scene.Say{Text: "they are in the file"}
	case len(m.plan.Wires) == 0:
		return scene.Say{Text: "there is no wire to put there"}
	}
	m.busy, m.fault, m.told = true, "", ""
	write, p := m.o.Write, m.plan
	return scene.Work{Do: func() tea.Msg {
		says, err := write(p)
		return wrote{says, err}
	}}
}

// worthKey takes a key where the number of pairs is chosen.
func (m *Model) worthKey(key string) tea.Msg {
	switch key {
	case "up", "-":
		m.row = max(0, m.row-1)
	case "down", "+":
		m.row = min(m.row+1, len(m.best.Left)-1)
	case "enter":
		switch {
		case m.row == 0 && m.best.Begun() > 0:
			m.use(m.best.NoMore())
			return nil
		case m.row == 0:
			return scene.Say{Text: "no pair, no panel: Down chooses some"}
		case m.row != len(m.plan.Wires):
			return m.work(m.row)
		}
		m.at, m.scroll = wires, text.Scroll{}
	case "esc":
		return scene.Say{Text: "q leaves"}
	default:
		m.scroll.Key(key)
	}
	return nil
}

// wireKey takes a key on the list of wires.
func (m *Model) wireKey(key string) tea.Msg {
	switch key {
	case "up", "-":
		m.wire = max(0, m.wire-1)
	case "down", "+":
		m.wire = min(m.wire+1, len(m.plan.All())-1)
	case "enter":
		m.on()
	case "esc":
		m.at, m.scroll = worth, text.Scroll{}
	}
	return nil
}

// joinKey takes a key while wires are joined.
func (m *Model) joinKey(key string) tea.Msg {
	switch key {
	case "enter", " ", "pgdown":
		if m.scroll.On() || key != "enter" {
			return nil
		}
		return m.keep(m.step, true)
	case "u":
		return m.back()
	case "esc":
		m.at, m.scroll = wires, text.Scroll{}
	default:
		m.scroll.Key(key)
	}
	return nil
}

// on goes to the first thing that was not done.
func (m *Model) on() {
	m.at, m.scroll, m.step = joining, text.Scroll{}, m.plan.Next()
	if m.step < 0 {
		m.at, m.step = joined, len(m.steps)
	}
}

// back takes back the step before.
func (m *Model) back() tea.Msg {
	if m.step == 0 {
		return scene.Say{Text: "this is the first one"}
	}
	return m.keep(m.step-1, false)
}

// keep keeps that a step was done, or that it was not.
func (m *Model) keep(step int, done bool) tea.Msg {
	s := m.steps[step]
	if m.o.Keep == nil {
		m.did(&s, done)
		return nil
	}
	m.keeping = true
	keep, pairs, w := m.o.Keep, len(m.plan.Wires), m.plan.All()[s.Wire]
	return scene.Work{Do: func() tea.Msg { return kept{s, done, keep(pairs, &w, &s, done)} }}
}

// did takes a step as done and goes on, or as not done and goes back to it.
func (m *Model) did(s *panel.Step, done bool) {
	m.plan.Does(s, done)
	m.on()
}

// Title is what stands at the head.
func (m *Model) Title() (left, right string) {
	if m.plan != nil {
		right = fmt.Sprintf("%.1f pieces left", m.plan.After)
	}
	return m.o.Layout + "   " + m.where(), right
}

// ShortTitle is the same in a narrow window.
func (m *Model) ShortTitle() string { return m.where() }

func (m *Model) where() string {
	switch m.at {
	case wires:
		return "panel: where they go"
	case joining:
		return fmt.Sprintf("panel   step %d of %d", m.step+1, len(m.steps))
	}
	return "panel"
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	leave := scene.Key{Press: "q", Does: "leave", Hint: "q leave"}
	write := scene.Key{Press: "w", Does: "put the terminals into the layout's file", Hint: "w into the file"}
	switch {
	case m.o.Write == nil:
		write.Off = "there is no file of yours"
	case m.written || m.plan != nil && len(m.plan.Wires) == 0:
		write.Off = "they are there"
	}
	read := scene.Key{Press: "r", Does: "something is wrong: hunt for it, at the block first",
		Hint: "r read at the block"}
	if !m.o.Reads && !m.written {
		read.Off = "the file has no block yet"
	}
	switch m.at {
	case planning:
		return []scene.Key{leave}
	case worth:
		return []scene.Key{{Press: "Enter", Does: "where that many go", Hint: "Enter where they go"},
			{Press: "up, down, - +", Does: "fewer or more pairs", Hint: "Up/Down pairs"}, read, leave}
	case wires:
		return []scene.Key{{Press: "up, down", Does: "another wire"},
			{Press: "Enter", Does: "join them, one thing at a time; what was done is kept", Hint: "Enter join them"},
			{Press: "Esc", Does: "what each is worth", Hint: "Esc back"}, write, read, leave}
	case joining:
		return []scene.Key{{Press: "Enter", Does: "it is done", Hint: "Enter done"},
			{Press: "u", Does: "the one before is not done", Hint: "u back"},
			{Press: "up, down", Does: "scroll"}, {Press: "Esc", Does: "the list of wires", Hint: "Esc list"}, write,
			leave}
	}
	return []scene.Key{write, read, {Press: "u", Does: "the last one is not done"}, {Press: "up, down", Does: "scroll"},
		{Press: "Esc", Does: "the list of wires", Hint: "Esc list"}, leave}
}
