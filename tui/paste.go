package tui

import (
	"os"
	"time"
)

// What a terminal puts around pasted text.
const (
	pasteStart = "\x1b[200~"
	pasteEnd   = "\x1b[201~"
)

const (
	pastePause = time.Second // pasted text comes in one go: after so long it is a hand that types
	pasteMost  = 16 << 10    // bytes, far more than any answer has
)

// pasteGuard is the terminal's input, with an end to every paste: the framework
// waits for it and hears no key before, and a terminal that is cut off, or a
// text that holds the start alone, never sends it. Of a very long paste the rest
// is left out.
type pasteGuard struct {
	*os.File
	read func([]byte) (int, error) // the file's own
	now  func() time.Time
	open bool
	size int // of the paste so far
	last time.Time
	// start and end are how many bytes of the two marks have just been read.
	start, end int
	rest       []byte // what there was no room for
}

func guardPaste(f *os.File) *pasteGuard {
	return &pasteGuard{File: f, read: f.Read, now: time.Now}
}

// Read implements io.Reader.
func (g *pasteGuard) Read(p []byte) (int, error) {
	if len(g.rest) > 0 {
		n := copy(p, g.rest)
		g.rest = g.rest[n:]
		return n, nil
	}
	n, err := g.read(p)
	now := g.now()
	out := make([]byte, 0, n+len(pasteEnd))
	if g.open && now.Sub(g.last) > pastePause {
		out, g.open, g.end = append(out, pasteEnd...), false, 0
	}
	g.last = now
	for _, b := range p[:n] {
		out = g.byte(out, b)
	}
	copied := copy(p, out)
	g.rest = append(g.rest[:0], out[copied:]...)
	return copied, err
}

// byte passes one on, unless the paste is over its bounds.
func (g *pasteGuard) byte(out []byte, b byte) []byte {
	if !g.open {
		if g.start = matched(pasteStart, g.start, b); g.start == len(pasteStart) {
			g.open, g.size, g.start, g.end = true, 0, 0, 0
		}
		return append(out, b)
	}
	g.size++
	if g.end = matched(pasteEnd, g.end, b); g.end == len(pasteEnd) {
		g.open, g.end = false, 0
		if g.size > pasteMost { // its first bytes may have been left out
			return append(out, pasteEnd...)
		}
	}
	if g.size > pasteMost {
		return out
	}
	return append(out, b)
}

// matched is how many bytes of a mark end with this one, of which n came before.
// A mark has its first byte nowhere else.
func matched(mark string, n int, b byte) int {
	switch b {
	case mark[n]:
		return n + 1
	case mark[0]:
		return 1
	}
	return 0
}
