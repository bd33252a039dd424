package tui

import (
	"bytes"
	"os"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
)

// cursor is where the terminal's own cursor belongs: at the line being typed
// or the selected row, since screen readers, braille displays and magnifiers
// follow it. The framework hides it and leaves it at the top.
type cursor struct {
	at   atomic.Int64 // (y+1)<<32 | x, 0 for nowhere
	bell atomic.Bool  // ring with the next write
}

// ring sounds the terminal's bell with the next frame that is written.
func (c *cursor) ring() { c.bell.Store(true) }

func (c *cursor) set(x, y int) {
	if x < 0 || y < 0 {
		c.at.Store(0)
		return
	}
	c.at.Store(int64(y+1)<<32 | int64(x))
}

// seq gives the escape sequence that puts the cursor there (ECMA-48: CUP; the
// DEC private mode 25 shows and hides it).
func (c *cursor) seq() string {
	v := c.at.Load()
	if v == 0 {
		return "\x1b[?25l"
	}
	return "\x1b[" + strconv.Itoa(int(v>>32)) + ";" + strconv.Itoa(int(v&0xffffffff)+1) + "H\x1b[?25h"
}

// output is the terminal. While the alternate screen is on it paints the frames
// itself: at once when they are drawn (show), where the framework would wait
// for the next tick of its clock. Frames that follow each other faster than
// gap wait a little, so that a burst of keys on a slow line is not drawn key by
// key. After each write the cursor is put in its place. It embeds the
// file so that the framework still finds a terminal in it.
type output struct {
	*os.File
	cursor *cursor
	gap    time.Duration // between paintings, at least

	mu    sync.Mutex // show and the framework's clock are two goroutines
	on    bool
	frame []string // to be painted; nil before the first
	width int
	shown []string // what stands on the screen; nil: not known
	tail  string   // where the cursor was put last
	last  time.Time
	due   bool // a repaint is on its way
}

// repaint is the message that a frame has waited long enough.
type repaint struct{}

// gapAt is how long a frame waits behind another at that many redraws a second:
// their time; where a fast screen is said to be there, a moment.
func gapAt(fps int) time.Duration {
	if fps > 60 {
		return 2 * time.Millisecond
	}
	return time.Second / time.Duration(fps)
}

var (
	altOn  = []byte("\x1b[?1049h")
	altOff = []byte("\x1b[?1049l")
	erase  = []byte("\x1b[2J")
	home   = []byte("\x1b[H")
)

const eraseLine, eraseBelow = "\x1b[K", "\x1b[J" // from the cursor on (ECMA-48: EL, ED)

// show takes a frame for a window of that width, and paints it at once. Where
// another was painted just before, the command that it gives asks for it later.
func (o *output) show(frame string, width int) tea.Cmd {
	if o == nil || width < 1 {
		return nil
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	o.frame, o.width = strings.Split(frame, "\n"), width
	wait := o.gap - time.Since(o.last)
	switch {
	case !o.on || o.due:
		return nil
	case wait <= 0:
		_ = o.paint() // as the framework does: a terminal that is gone ends the program in another way
		return nil
	}
	o.due = true
	return tea.Tick(wait, func(time.Time) tea.Msg { return repaint{} })
}

// catchUp paints the frame that had to wait.
func (o *output) catchUp() {
	o.mu.Lock()
	defer o.mu.Unlock()
	if o.due = false; o.on {
		_ = o.paint()
	}
}

// forget says that the screen may hold anything now: its size has changed.
func (o *output) forget() {
	if o == nil {
		return
	}
	o.mu.Lock()
	defer o.mu.Unlock()
	o.shown = nil
}

// paint writes the lines that are not there yet.
func (o *output) paint() error {
	var b bytes.Buffer
	if o.shown == nil {
		b.WriteString("\x1b[H" + eraseBelow)
	}
	for i, l := range o.frame {
		if i < len(o.shown) && o.shown[i] == l {
			continue
		}
		toLine(&b, i)
		b.WriteString(l)
		if ansi.StringWidth(l) < o.width { // behind the last column it would erase that one
			b.WriteString(eraseLine)
		}
	}
	if len(o.shown) > len(o.frame) {
		toLine(&b, len(o.frame))
		b.WriteString(eraseBelow)
	}
	was := o.tail
	tail := o.end()
	if b.Len() == 0 && tail == was {
		return nil
	}
	o.shown, o.last = o.frame, time.Now()
	b.WriteString(tail)
	_, err := o.File.Write(b.Bytes())
	return err
}

// toLine moves to the start of line i, from 0 (ECMA-48: CUP).
func toLine(b *bytes.Buffer, i int) {
	b.WriteString("\x1b[" + strconv.Itoa(i+1) + ";1H")
}

// end is what ends each write: the cursor, and the bell when it is to ring.
func (o *output) end() string {
	o.tail = o.cursor.seq()
	if o.cursor.bell.Swap(false) {
		return o.tail + "\a"
	}
	return o.tail
}

// Write implements io.Writer. The framework calls it under its own lock. Its
// frames, which alone begin at home and go on, are the clock of ours.
func (o *output) Write(p []byte) (int, error) {
	o.mu.Lock()
	defer o.mu.Unlock()
	switch {
	case bytes.Contains(p, altOff):
		o.on = false
	case bytes.Contains(p, altOn):
		o.on, o.shown = true, nil
	case bytes.Contains(p, erase):
		o.shown = nil
	}
	if !o.on {
		return o.File.Write(p)
	}
	if o.frame != nil && bytes.HasPrefix(p, home) && len(p) > len(home) {
		return len(p), o.paint()
	}
	buf := append(bytes.Clone(p), o.end()...)
	n, err := o.File.Write(buf)
	return min(n, len(p)), err
}

// WriteString keeps io.WriteString from going round Write to the file's own.
func (o *output) WriteString(s string) (int, error) { return o.Write([]byte(s)) }
