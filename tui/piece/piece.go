// Package piece is the screen of the bench check: a box of pieces taken through, one key
// an answer, before they go down. What is read, and what is wrong where it is not so, is
// package diagnose/piece's; files and the clock are the caller's.
package piece

import (
	"fmt"
	"slices"
	"time"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/piece"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// Options is what the screen needs to begin.
type Options struct {
	Layout string
	Lots   []piece.Lot
	// Only are the pieces that are taken through, of all lots.
	Only []int
	Name func(piece int) string
	// Loose says which one to take from the box: its kind, and where it will lie.
	Loose func(piece int) string
	// Passed says of a piece that it has passed before.
	Passed func(piece int) bool
	Beeper bool // there is a beeper and no ohms
	// Before says of pieces that they were put aside before.
	Before map[int]string
	// Keep keeps that a piece passed, and says so; Aside keeps which readings of one that did
	// not were wrong. Both may be slow.
	Keep  func(lot *piece.Lot, piece int) (says string, at time.Time, err error)
	Aside func(piece int, wrong []int) error
}

// phase is what the screen is about now.
type phase uint8

const (
	ready   phase = iota // what is made ready
	kinds                // which kind
	begin                // what is minded with that kind
	reading              // a reading of a piece
	wrong                // a piece that is not as it must be
)

// Model is the screen's own state.
type Model struct {
	o      Options
	at     phase
	row    int
	lot    *piece.Lot
	piece  int
	done   map[int]bool // passed, put aside or left for later
	n      int          // readings answered
	bad    []int        // those that were not as they must be
	mends  []piece.Mend
	passed int
	aside  []int
	told   string
	fault  string
	busy   bool
	last   time.Time     // when the piece before passed
	spent  time.Duration // on pieces that passed one after the other, timed of them
	timed  int
	scroll text.Scroll
}

// New makes the screen.
func New(o Options) *Model {
	m := &Model{o: o, done: map[int]bool{}}
	for _, lot := range o.Lots {
		for _, p := range lot.Pieces {
			if o.Passed(p) || !slices.Contains(o.Only, p) {
				m.done[p] = true
			}
		}
	}
	return m
}

// kept is the answer of Keep on its way back to the screen, and set that of Aside.
type (
	kept struct {
		says string
		at   time.Time
		err  error
	}
	set struct{ err error }
)

// Update takes a message and gives back what to do.
func (m *Model) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case kept:
		m.kept(msg)
	case set:
		m.setAside(msg)
	case tea.KeyMsg:
		if m.busy {
			return nil
		}
		return m.key(msg.String())
	}
	return nil
}

func (m *Model) key(key string) tea.Msg {
	if key == "q" {
		return scene.Quit{}
	}
	m.fault = ""
	switch m.at {
	case kinds:
		return m.kindKey(key)
	case reading:
		return m.readKey(key)
	case wrong:
		return m.wrongKey(key)
	}
	switch key {
	case "enter", " ", "pgdown":
		switch {
		case m.scroll.On():
		case m.at == ready:
			m.toKinds()
		default:
			m.take()
		}
	case "esc", "tab":
		if m.at == begin {
			m.toKinds()
			return nil
		}
		return scene.Say{Text: "q leaves"}
	default:
		m.scroll.Key(key)
	}
	return nil
}

func (m *Model) toKinds() { m.at, m.scroll = kinds, text.Scroll{} }

// kindKey takes a key on the list of kinds.
func (m *Model) kindKey(key string) tea.Msg {
	n := len(m.o.Lots)
	switch key {
	case "up":
		m.row = max(m.row-1, 0)
	case "down", "+":
		m.row = min(m.row+1, n-1)
	case "esc":
		m.at, m.scroll = ready, text.Scroll{}
	case "enter", " ":
		return m.choose(m.row)
	default:
		if len(key) == 1 && key[0] >= '1' && int(key[0]-'1') < n {
			return m.choose(int(key[0] - '1'))
		}
	}
	return nil
}

func (m *Model) choose(row int) tea.Msg {
	m.row = row
	m.lot, m.told = &m.o.Lots[row], ""
	if m.next() < 0 {
		return scene.Say{Text: "all of this kind are through"}
	}
	m.at, m.scroll, m.last = begin, text.Scroll{}, time.Time{}
	return nil
}

// next is the piece of the kind that comes next, less than 0 for none.
func (m *Model) next() int {
	for _, p := range m.lot.Pieces {
		if !m.done[p] {
			return p
		}
	}
	return -1
}

// take takes the next piece from the box, or goes back to the kinds where none is left.
func (m *Model) take() {
	m.n, m.bad, m.mends = 0, nil, nil
	if m.piece = m.next(); m.piece < 0 {
		m.toKinds()
		return
	}
	m.at, m.scroll = reading, text.Scroll{}
}

// readKey takes an answer.
func (m *Model) readKey(key string) tea.Msg {
	r := &m.lot.Readings[m.n]
	switch key {
	case "enter", " ":
		return m.answer(true)
	case "x", "*":
		return m.answer(false)
	case "1", "0":
		good, known := r.Good(key == "1")
		if !known {
			return scene.Say{Text: "a coil beeps too: does it " + r.Must() + "? Enter, or x where not"}
		}
		return m.answer(good)
	case "u", "-", "backspace":
		return m.back()
	case "s":
		m.done[m.piece] = true
		m.told = m.o.Name(m.piece) + " is left for later"
		m.take()
	case "tab":
		m.toKinds()
	case "esc":
		if m.n == 0 {
			m.toKinds()
			return nil
		}
		return scene.Say{Text: "u takes the last answer back; s leaves this piece for later; Tab: the kinds"}
	}
	return nil
}

// answer notes whether a reading was as it must be; behind the last one the piece passes
// or is put aside.
func (m *Model) answer(good bool) tea.Msg {
	m.told = ""
	if !good {
		m.bad = append(m.bad, m.lot.Readings[m.n].N)
	}
	if m.n++; m.n < len(m.lot.Readings) {
		return nil
	}
	if len(m.bad) == 0 {
		return m.keep()
	}
	var err error
	if m.mends, err = m.lot.Mends(m.bad, m.o.Beeper); err != nil {
		m.fault = err.Error()
	}
	m.at, m.scroll = wrong, text.Scroll{}
	return nil
}

// keep keeps that the piece passed.
func (m *Model) keep() tea.Msg {
	m.busy = true
	keep, lot, p := m.o.Keep, m.lot, m.piece
	return scene.Work{Do: func() tea.Msg {
		says, at, err := keep(lot, p)
		return kept{says, at, err}
	}}
}

func (m *Model) kept(msg kept) {
	m.busy = false
	if msg.err != nil {
		m.n--
		m.fault = msg.err.Error()
		return
	}
	m.told = msg.says
	if !m.last.IsZero() {
		m.spent += msg.at.Sub(m.last)
		m.timed++
		m.told += fmt.Sprintf(" (%.0f s a piece)", m.spent.Seconds()/float64(m.timed))
	}
	m.last = msg.at
	m.passed++
	m.done[m.piece] = true
	m.take()
}

// back takes the last answer to this piece back.
func (m *Model) back() tea.Msg {
	if m.n == 0 {
		return scene.Say{Text: "nothing is answered of this piece yet"}
	}
	m.n--
	if k := len(m.bad) - 1; k >= 0 && m.bad[k] == m.lot.Readings[m.n].N {
		m.bad = m.bad[:k]
	}
	m.at = reading
	return nil
}

// wrongKey takes a key under what may be wrong with a piece.
func (m *Model) wrongKey(key string) tea.Msg {
	switch key {
	case "enter", " ", "pgdown":
		if !m.scroll.On() && key == "enter" {
			return m.putAside()
		}
	case "r":
		m.n, m.bad, m.at = 0, nil, reading
		m.last = time.Time{}
	case "u", "-", "backspace":
		return m.back()
	default:
		m.scroll.Key(key)
	}
	return nil
}

// putAside keeps that the piece is not as it must be, and setAside goes on to the next.
func (m *Model) putAside() tea.Msg {
	m.busy = true
	aside, p, wrong := m.o.Aside, m.piece, m.bad
	return scene.Work{Do: func() tea.Msg { return set{aside(p, wrong)} }}
}

func (m *Model) setAside(msg set) {
	m.busy = false
	if msg.err != nil {
		m.fault = msg.err.Error()
		return
	}
	m.aside = append(m.aside, m.piece)
	m.done[m.piece], m.last = true, time.Time{}
	m.told = m.o.Name(m.piece) + " is put aside"
	m.take()
}

// Title is what stands at the head.
func (m *Model) Title() (left, right string) {
	right = fmt.Sprintf("passed %d", m.passed)
	if n := len(m.aside); n > 0 {
		right += fmt.Sprintf(", aside %d", n)
	}
	return m.o.Layout + "   " + m.where(), right
}

// ShortTitle is the same in a narrow window.
func (m *Model) ShortTitle() string { return m.where() }

func (m *Model) where() string {
	switch m.at {
	case reading:
		return fmt.Sprintf("%s   %d of %d", m.o.Name(m.piece), m.n+1, len(m.lot.Readings))
	case wrong:
		return m.o.Name(m.piece)
	}
	return "pieces on the bench"
}

// Keys lists what works now.
func (m *Model) Keys(*scene.Scene) []scene.Key {
	leave := scene.Key{Press: "q", Does: "leave; who passed is kept", Hint: "q leave"}
	move := scene.Key{Press: "up, down", Does: "scroll"}
	switch m.at {
	case kinds:
		return []scene.Key{{Press: "1-9", Does: "choose a kind", Hint: "1-9 choose"},
			{Press: "up, down, Enter", Does: "choose with the arrows", Hint: "Enter that one"},
			{Press: "Esc", Does: "what is made ready"}, leave}
	case reading:
		undo := scene.Key{Press: "u, -", Does: "take the last answer back", Hint: "u undo"}
		if m.n == 0 {
			undo.Off = "nothing is answered of this piece yet"
		}
		return []scene.Key{{Press: "Enter, Space", Does: "it is as it must be"}, {Press: "x, *", Does: "it is not"},
			{Press: "1, 0", Does: "it beeps, it is silent: right or wrong follows from that"}, undo,
			{Press: "s", Does: "leave this piece for later", Hint: "s later"},
			{Press: "Tab", Does: "the kinds; answers to this piece are dropped", Hint: "Tab kinds"}, leave}
	case wrong:
		return []scene.Key{{Press: "Enter", Does: "put it aside, on to the next piece", Hint: "Enter aside"},
			{Press: "r", Does: "it is mended, or was misread: read all of it again", Hint: "r read again"},
			{Press: "u", Does: "take the last answer back", Hint: "u undo"}, move, leave}
	}
	return []scene.Key{{Press: "Enter", Does: "read on; at the end: go on", Hint: "Enter go on"}, move, leave}
}
