package tui

import (
	"time"

	tea "github.com/charmbracelet/bubbletea"
)

// usualWait is how long a digit that is a whole answer waits for another key.
const usualWait = 700 * time.Millisecond

// oneKey is a line that goes off by itself.
type oneKey struct {
	wait    time.Duration
	turns   int  // keys so far: an older timer is void
	entered bool // it went off just now: an Enter is still meant for it
}

// soon is the timer of such a line, still of the time in which an Enter is meant for it.
type (
	soon  struct{ turn int }
	still struct{ turn int }
)

func (o *oneKey) begin() tea.Cmd {
	turn := o.turns
	return tea.Tick(o.wait, func(time.Time) tea.Msg { return soon{turn} })
}

// goes says whether the line goes off now.
func (o *oneKey) goes(m soon) bool {
	o.entered = m.turn == o.turns
	return o.entered
}

// answered begins the time for an Enter, once the next reading is here.
func (o *oneKey) answered() tea.Cmd {
	if !o.entered {
		return nil
	}
	turn := o.turns
	return tea.Tick(o.wait, func(time.Time) tea.Msg { return still{turn} })
}

// over ends it.
func (o *oneKey) over(m still) { o.entered = o.entered && m.turn != o.turns }

// takes says whether a key is the Enter of a line that went off by itself: it turns no
// steps over unread.
func (o *oneKey) takes(k tea.KeyMsg) bool {
	was := o.entered
	o.turns++
	o.entered = false
	return was && k.Type == tea.KeyEnter
}
