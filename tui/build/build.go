// Package build is the screen of a layout that is proven in stages while it is laid: what
// to lay, where to stop, one reading at a time with what it must be, and the check list.
// What is read and judged is package diagnose/stage's; files are the caller's.
package build

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/page"
	"fishplate/diagnose/stage"
	"fishplate/diagnose/unit"
	"fishplate/tui/plan"
	"fishplate/tui/reader"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// Options is what the screen needs to begin.
type Options struct {
	Layout string
	// Proof is the plan as far as it was gone through.
	Proof *stage.Proof
	// Tick keeps a reading that was good, Untick takes one back; both may be slow. Nil:
	// nothing is kept.
	Tick   func(s stage.Stop, r *stage.Reading, showed string) error
	Untick func(r *stage.Reading) error
	Kept   string // what is said of where ticks are
	// Mind says what is known against the pieces of stages, by their number.
	Mind map[int][]string
	// Fail says what comes of track that failed; it may be slow. Nil: there is no hunt.
	Fail func(s *stage.Stage, r *stage.Reading) (says []string, err error)
	Done *page.Page // what comes when all is proven
	Big  bool       // large letters
}

// phase is what the screen is about now.
type phase uint8

const (
	ready   phase = iota // what is made ready
	leads                // what the leads show alone
	laying               // the next pieces, or wires
	reading              // a reading of the stop
	closing              // a stop that was good: what is done now
	failed
	proven
)

// Model is the screen's own state.
type Model struct {
	o     Options
	at    phase
	stop  stage.Stop
	stood *stage.Reading // how points and clip lead stand, nil: to through, and none
	read  reader.Model
	told  string   // what became of the last answer
	says  []string // of a stop that failed
	hunts bool     // it can be hunted
	busy  bool     // something is being kept
	again bool     // Enter came meanwhile
	big   bool
	list  bool // the check list stands over all
	plan  plan.Model
	// scroll is of whatever is shown.
	scroll text.Scroll
	// ask is the reading that comes next as a hunt would ask for it.
	ask      *hunt.Ask
	askedFor *stage.Reading
}

// New makes the screen.
func New(o Options) *Model { return &Model{o: o, read: reader.New(), big: o.Big} }

// Answers come back from what was slow.
type (
	ticked struct {
		got unit.Reading
		err error
	}
	unticked struct{ err error }
	halved   struct {
		says []string
		err  error
	}
)

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case ticked:
		again := m.again
		m.busy, m.again = false, false
		if msg.err != nil {
			m.read.Fault = msg.err.Error()
			return nil
		}
		typed := m.read.Input.Value() // it belongs to the next one
		out := m.take(msg.got)
		m.read.Input.Set(typed)
		if again && m.at == reading {
			return m.enter()
		}
		return out
	case unticked:
		m.busy = false
		if msg.err != nil {
			m.read.Fault = msg.err.Error()
		}
	case halved:
		m.busy, m.hunts, m.says = false, msg.err == nil, msg.says
		if msg.err != nil {
			m.says = []string{msg.err.Error()}
		}
	case tea.KeyMsg:
		return m.key(msg)
	}
	return nil
}

func (m *Model) key(k tea.KeyMsg) tea.Msg {
	key := k.String()
	switch {
	case m.list:
		return m.listKey(key)
	case key == "tab":
		m.list = true
		m.scroll.To(-1)
		return nil
	case m.at == leads || m.at == reading:
		return m.meterKey(k)
	case key == "q":
		return scene.Quit{}
	case key == "g" || key == "*":
		m.big = !m.big
		return nil
	}
	return m.pageKey(key)
}

// listKey takes a key over the check list.
func (m *Model) listKey(key string) tea.Msg {
	switch key {
	case "tab", "esc", "enter":
		m.list, m.scroll = false, text.Scroll{}
	case "q":
		return scene.Quit{}
	default:
		m.scroll.Key(key)
	}
	return nil
}

// pageKey takes a key where nothing is read from a meter.
func (m *Model) pageKey(key string) tea.Msg {
	switch key {
	case "enter", " ", "pgdown":
		if !m.scroll.On() && key == "enter" {
			return m.on()
		}
	case "h":
		if m.at == failed && m.hunts {
			return scene.Onward{}
		}
	case "u":
		return m.back()
	case "esc":
		return m.escape()
	default:
		m.scroll.Key(key)
	}
	return nil
}

// on goes on from a page that was read.
func (m *Model) on() tea.Msg {
	m.scroll = text.Scroll{}
	switch m.at {
	case ready:
		m.at = leads
	case laying:
		m.at = reading
	case closing:
		m.come()
	case failed:
		return scene.Say{Text: "Esc reads it once more; q leaves"}
	case proven:
		return scene.Quit{}
	}
	return nil
}

func (m *Model) escape() tea.Msg {
	switch {
	case m.at == failed && !m.busy: // it was misread
		m.at, m.says, m.hunts, m.scroll = reading, nil, false, text.Scroll{}
		m.read.Begin()
	case m.at == laying:
		m.at = ready
	default:
		return scene.Say{Text: "q leaves; what was good is kept"}
	}
	return nil
}

// come goes to what comes next in the plan.
func (m *Model) come() {
	m.scroll, m.told = text.Scroll{}, ""
	m.read.Begin()
	s, _ := m.o.Proof.Next()
	switch {
	case s == nil:
		m.at = proven
	case s != m.stop:
		m.stop, m.at = s, laying
	default:
		m.at = reading
	}
}

// meterKey takes a key where something is typed from the meter.
func (m *Model) meterKey(k tea.KeyMsg) tea.Msg {
	empty := m.read.Empty() && !k.Paste
	switch key := k.String(); {
	case key == "enter" && m.at == leads:
		m.touched()
	case key == "enter":
		return m.enter()
	case m.at == reading && m.read.Turn(key):
	case key == "esc":
		return m.clear()
	case empty && (key == "g" || key == "*"):
		m.big = !m.big
	case empty && key == "u":
		return m.back()
	case empty && key == "q":
		return scene.Quit{}
	default:
		m.read.Type(k)
	}
	return nil
}

// clear empties the line.
func (m *Model) clear() tea.Msg {
	if m.read.Empty() && m.read.Fault == "" {
		if m.at == leads {
			m.at = ready
			return nil
		}
		return scene.Say{Text: "u takes the last one back; q leaves, and what was good is kept"}
	}
	m.read.Input.Set("")
	m.read.Fault = ""
	return nil
}

// touched takes what the leads show alone.
func (m *Model) touched() {
	ok := m.o.Proof.TakeLeads(strings.TrimSpace(m.read.Input.Value()))
	m.read.Begin()
	if !ok {
		m.read.Fault = stage.NoLeads
		return
	}
	m.come()
}

// enter turns to the next leaf, or takes what was typed.
func (m *Model) enter() tea.Msg {
	typed := strings.TrimSpace(m.read.Input.Value())
	switch {
	case m.busy:
		m.again = true
		return nil
	case typed == "" && m.read.On():
		return nil
	case typed == "-":
		return m.back()
	}
	s, r := m.o.Proof.Next()
	got, err := r.Parse(typed)
	if err != nil {
		m.read.Fault = r.Types() + "."
		return nil
	}
	if m.o.Proof.Would(got) != stage.Ticked || m.o.Tick == nil {
		return m.take(got)
	}
	m.busy = true
	m.read.Input.Set("")
	tick := m.o.Tick
	return scene.Work{Do: func() tea.Msg { return ticked{got, tick(s, r, typed)} }}
}

// take takes an answer; a good one is kept by now.
func (m *Model) take(got unit.Reading) tea.Msg {
	s, r := m.o.Proof.Next()
	m.read.Begin()
	switch o := m.o.Proof.Answer(got); o {
	case stage.Ticked:
		m.stood = r
		next, _ := m.o.Proof.Next()
		if next != s && s.Tail() != "" {
			m.at, m.scroll = closing, text.Scroll{}
		} else {
			m.come()
		}
		good, all := m.o.Proof.Count()
		m.told = fmt.Sprintf("%s %d of %d.", o.Says(), good, all)
	case stage.Failed:
		m.at, m.scroll, m.told = failed, text.Scroll{}, ""
		track, ok := s.(*stage.Stage)
		if m.o.Fail == nil || !ok {
			return nil
		}
		m.busy = true
		fail := m.o.Fail
		return scene.Work{Do: func() tea.Msg {
			says, err := fail(track, r)
			return halved{says, err}
		}}
	default:
		m.read.Fault, m.told = o.Says(), ""
	}
	return nil
}

// back takes the last good reading back.
func (m *Model) back() tea.Msg {
	if m.busy || m.at == ready || m.at == failed {
		return nil
	}
	_, was := m.o.Proof.Next()
	if !m.o.Proof.Back() {
		return scene.Say{Text: "nothing is ticked yet"}
	}
	if m.at == reading {
		m.stood = was
	}
	s, r := m.o.Proof.Next()
	m.stop, m.at, m.told, m.scroll = s, reading, "", text.Scroll{}
	m.read.Begin()
	if m.o.Untick == nil {
		return nil
	}
	m.busy = true
	untick := m.o.Untick
	return scene.Work{Do: func() tea.Msg { return unticked{untick(r)} }}
}

// Title is what stands at the head.
func (m *Model) Title() (left, right string) {
	good, all := m.o.Proof.Count()
	return m.o.Layout + "   " + m.where(), fmt.Sprintf("ticked %d of %d", good, all)
}

// ShortTitle is the same in a narrow window.
func (m *Model) ShortTitle() string { return m.where() }

func (m *Model) where() string {
	name := m.o.Proof.Plan.Command()
	switch {
	case m.at == ready || m.at == leads:
		return name + ": get ready"
	case m.at == proven:
		return name
	}
	if s, ok := m.stop.(*stage.Stage); ok {
		return fmt.Sprintf("%s   stop %d of %d", name, s.N, len(m.o.Proof.Plan.Stages))
	}
	return name + "   " + strings.TrimPrefix(m.stop.Head(), "The ")
}

// Typing says that letters go into the line.
func (m *Model) Typing() bool {
	return !m.list && (m.at == leads || m.at == reading) && !m.read.Empty()
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	leave := scene.Key{Press: "q", Does: "leave; what was good is kept", Hint: "q leave"}
	if m.o.Tick == nil {
		leave.Does = "leave; nothing is kept"
	}
	move := scene.Key{Press: "up, down", Does: "scroll, or turn the pages of a long set-up"}
	all := scene.Key{Press: "Tab", Does: "the whole check list, and back", Hint: "Tab list"}
	large := scene.Key{Press: "g, *", Does: "large letters, or not", Hint: "g large"}
	undo := scene.Key{Press: "u", Does: "take the last good reading back (also - Enter)", Hint: "u undo"}
	if good, _ := m.o.Proof.Count(); good == 0 {
		undo.Off = "nothing is ticked yet"
	}
	switch {
	case m.list:
		return []scene.Key{{Press: "Tab, Esc", Does: "back to the work", Hint: "Tab back"}, move, leave}
	case m.at == leads || m.at == reading:
		return []scene.Key{{Press: "Enter", Does: "take what is typed; on an empty line: the next page",
			Hint: "Enter take"}, undo, all, large, move,
			{Press: "Esc", Does: "clear the line"}, leave}
	case m.at == failed:
		hunt := scene.Key{Press: "h", Does: "hunt for it, on what is laid", Hint: "h hunt for it"}
		if !m.hunts {
			hunt.Off = "there is none from here"
		}
		return []scene.Key{hunt, {Press: "Esc", Does: "it was misread: read it once more", Hint: "Esc read again"},
			move, all, leave}
	case m.at == proven:
		return []scene.Key{move, undo, all, leave}
	}
	return []scene.Key{{Press: "Enter", Does: "read on; at the end: go on", Hint: "Enter go on"}, move, undo, all,
		large, leave}
}
