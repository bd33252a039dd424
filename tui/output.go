package tui

import (
	"bytes"
	"os"
	"strconv"
	"sync/atomic"
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

// output is the terminal, with the cursor put in its place after each write of
// the framework while the alternate screen is on. It embeds the file so that
// the framework still finds a terminal in it.
type output struct {
	*os.File
	cursor *cursor
	on     bool
}

var (
	altOn  = []byte("\x1b[?1049h")
	altOff = []byte("\x1b[?1049l")
)

// Write implements io.Writer. The framework calls it under its own lock.
func (o *output) Write(p []byte) (int, error) {
	switch {
	case bytes.Contains(p, altOff):
		o.on = false
	case bytes.Contains(p, altOn):
		o.on = true
	}
	if !o.on {
		return o.File.Write(p)
	}
	tail := o.cursor.seq()
	if o.cursor.bell.Swap(false) {
		tail += "\a"
	}
	buf := make([]byte, 0, len(p)+len(tail))
	buf = append(append(buf, p...), tail...)
	n, err := o.File.Write(buf)
	return min(n, len(p)), err
}

// WriteString keeps io.WriteString from going round Write to the file's own.
func (o *output) WriteString(s string) (int, error) { return o.Write([]byte(s)) }
