// Package quiz is the screen of a drill before a class, for a projector: one thing a
// screen, in large letters, and keys for the teacher alone. What is called and what it is
// worth is package diagnose/drill/quiz's, which works on goroutines of the root, one thing
// at a time; what is drawn is a picture made there.
package quiz

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/drill/quiz"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// Options is what the screen needs to begin.
type Options struct {
	Number int                    // of the fault, for the head of the screen
	Begin  func() *quiz.Quiz      // it is slow
	Keep   func(*quiz.Quiz) error // writes it down as it stands, nil where nothing is kept
}

// page is what the screen shows.
type page uint8

const (
	begins page = iota
	tells       // the case
	rules
	calls  // what the class would read
	beside // the calls beside the best
	shows  // what was seen
	over
	helps
)

// picture is a quiz as it is drawn.
type picture struct {
	opening []string
	told    string
	stands  string
	calls   []quiz.Call
	best    quiz.Call
	winner  int
	shown   []sitting.Line
	points  string
	over    bool
	end     []string
	found   bool
	help    []string
	rules   []string
	noCall  string
}

// Model is the screen's own state.
type Model struct {
	o       Options
	q       *quiz.Quiz
	at      page
	was     page // behind help
	pic     picture
	input   text.Input
	busy    bool
	ahead   *string // a line entered while something was worked out, nil for none
	fault   string
	leaving bool
	done    string // the call that was done
	scroll  text.Scroll
	drawing plan.Model
	last    hunt.Ask // where the call was read that was done last
}

// New makes the screen.
func New(o Options) *Model { return &Model{o: o, input: text.NewInput()} }

// Answers come back from what was slow.
type (
	begun struct {
		q   *quiz.Quiz
		pic picture
	}
	went struct {
		pic  picture
		to   page
		done string
		err  error
		// unsaved says why it could not be written down, empty when it was.
		unsaved string
	}
)

func pictured(q *quiz.Quiz) picture {
	p := picture{opening: q.Opening(), told: q.Told(), stands: q.Stands(), calls: q.Calls(), winner: q.Winner(),
		shown: q.Shown(), points: q.Points(), over: q.Over(), help: q.Help(),
		rules: q.Rules(), noCall: q.NoCall()}
	if p.over {
		p.end, p.found = q.End(), q.Found()
	}
	return p
}

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case scene.Shown:
		if m.at != begins || m.busy {
			return nil
		}
		m.busy = true
		begin := m.o.Begin
		return scene.Work{Do: func() tea.Msg {
			q := begin()
			return begun{q, pictured(q)}
		}}
	case begun:
		m.q, m.pic, m.busy, m.at = msg.q, msg.pic, false, tells
		if msg.q.Begun() {
			m.at = calls
			return scene.Say{Text: "it goes on where the class was"}
		}
	case went:
		return m.went(msg)
	case tea.KeyMsg:
		return m.key(msg)
	}
	return nil
}

// went takes what became of the last line; the next one that was typed follows.
func (m *Model) went(msg went) tea.Msg {
	m.busy, m.fault = false, ""
	next := m.ahead
	m.ahead = nil
	if msg.err != nil {
		m.fault = msg.err.Error()
		m.input.Set(msg.done)
		return nil
	}
	m.pic, m.at, m.done, m.scroll, m.fault = msg.pic, msg.to, msg.done, text.Scroll{}, msg.unsaved
	switch {
	case next == nil:
	case m.at == calls:
		return m.take(*next)
	case m.input.Value() == "":
		m.input.Set(*next)
	}
	return nil
}

// work has something done to the quiz.
func (m *Model) work(do func(q *quiz.Quiz) went) tea.Msg {
	m.busy, m.fault = true, ""
	q := m.q
	return scene.Work{Do: func() tea.Msg {
		w := do(q)
		best := w.pic.best
		w.pic = pictured(q)
		w.pic.best = best
		if m.o.Keep != nil && w.err == nil {
			if err := m.o.Keep(q); err != nil {
				w.unsaved = "could not save the quiz: " + err.Error()
			}
		}
		return w
	}}
}

func (m *Model) key(k tea.KeyMsg) tea.Msg {
	key := k.String()
	if key == "q" && (m.at != calls || m.input.Value() == "") && !k.Paste {
		if m.leaving || m.at == begins || m.at == over {
			return scene.Quit{}
		}
		m.leaving = true
		return scene.Say{Text: m.leaves()}
	}
	m.leaving = false
	switch {
	case m.at == calls:
		return m.callKey(k)
	case m.busy:
		return nil
	}
	switch key {
	case "enter", " ", "pgdown":
		if !m.scroll.On() && key == "enter" {
			return m.on()
		}
	case "esc":
		m.escape()
	default:
		m.scroll.Key(key)
	}
	return nil
}

// leaves says what leaving comes to.
func (m *Model) leaves() string {
	if m.o.Keep != nil {
		return "q once more leaves; it is kept, and goes on where the class was"
	}
	return "q once more leaves; the number of this fault brings it back"
}

// on goes on from a page.
func (m *Model) on() tea.Msg {
	m.scroll = text.Scroll{}
	switch m.at {
	case tells:
		m.at = rules
	case rules, shows:
		m.at = calls
		if m.pic.over {
			m.at = over
		}
	case helps:
		m.at = m.was
	case beside:
		won := m.pic.calls[m.pic.winner]
		best, does := m.pic.best, won.Says()
		m.last = hunt.Ask{Red: won.Red, Black: won.Black}
		return m.work(func(q *quiz.Quiz) went {
			q.Do()
			return went{to: shows, done: does, pic: picture{best: best}}
		})
	case over:
		return scene.Quit{}
	}
	return nil
}

func (m *Model) escape() {
	m.scroll = text.Scroll{}
	switch m.at {
	case rules:
		m.at = tells
	case beside:
		m.at = calls
	case helps:
		m.at = m.was
	}
}

// callKey takes a key where calls are typed.
func (m *Model) callKey(k tea.KeyMsg) tea.Msg {
	line := strings.TrimSpace(m.input.Value())
	switch key := k.String(); {
	case key == "enter" && m.busy && m.ahead != nil:
	case key == "enter":
		m.input.Set("")
		return m.take(line)
	case key == "esc" && line != "":
		m.input.Set("")
		m.fault = ""
	case key == "esc" && !m.busy:
		if len(m.pic.calls) == 0 {
			return scene.Say{Text: "nobody has called yet; q leaves"}
		}
		return m.work(func(q *quiz.Quiz) went {
			q.Drop()
			return went{to: calls}
		})
	default:
		if m.input.Update(k) {
			m.fault = ""
		}
	}
	return nil
}

// take takes a line: a call, something to set up, or nothing: on to the best.
func (m *Model) take(line string) tea.Msg {
	switch {
	case m.busy:
		m.ahead = &line
		return nil
	case line == "help":
		m.was, m.at = calls, helps
		return nil
	case line == "" && len(m.pic.calls) == 0:
		m.fault = m.pic.noCall
		return nil
	case line == "":
		return m.work(func(q *quiz.Quiz) went { return went{to: beside, pic: picture{best: q.Best()}} })
	}
	n := len(m.pic.calls)
	m.last = hunt.Ask{}
	return m.work(func(q *quiz.Quiz) went {
		if err := q.Type(line); err != nil {
			return went{err: err, done: line}
		}
		if len(q.Calls()) > n {
			return went{to: calls}
		}
		return went{to: shows, done: line}
	})
}

// Typing says that letters go into the line.
func (m *Model) Typing() bool { return m.at == calls && m.input.Value() != "" }

// Title is what stands at the head.
func (m *Model) Title() (left, right string) {
	left = fmt.Sprintf("Quiz %d", m.o.Number)
	if m.busy {
		return left, "one moment"
	}
	return left, m.pic.points
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	leave := scene.Key{Press: "q q", Does: m.leaves(), Hint: "q leave"}
	on := scene.Key{Press: "Enter", Does: "go on", Hint: "Enter go on"}
	move := scene.Key{Press: "up, down", Does: "scroll"}
	switch m.at {
	case begins:
		return []scene.Key{leave}
	case calls:
		return []scene.Key{
			{Press: "Enter", Does: "take the call (red: mv T1 hot to main 12); on an empty line: beside the best",
				Hint: "Enter take, alone: best"},
			{Press: "Esc", Does: "clear the line; on an empty one: take the last call back", Hint: "Esc take back"},
			{Press: "help Enter", Does: "what can be typed"}, leave}
	case beside:
		return []scene.Key{{Press: "Enter", Does: "do the best call of the class", Hint: "Enter do it"},
			{Press: "Esc", Does: "back to the calls", Hint: "Esc back"}, move, leave}
	case rules, helps:
		return []scene.Key{on, {Press: "Esc", Does: "back", Hint: "Esc back"}, move, leave}
	}
	return []scene.Key{on, move, leave}
}
