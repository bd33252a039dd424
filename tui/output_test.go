package tui

import (
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/hinshun/vt10x"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestCursorFollows: after each write the terminal's cursor is put where it
// belongs while the alternate screen is on, and left alone otherwise, also
// when the framework writes strings.
func TestCursorFollows(t *testing.T) {
	r, w, err := os.Pipe()
	require.NoError(t, err)
	c := &cursor{}
	o := &output{File: w, cursor: c}
	c.set(7, 2)
	say := func(s string) {
		n, err := io.WriteString(o, s)
		require.NoError(t, err)
		require.Equal(t, len(s), n)
	}
	say("before")
	say("\x1b[?1049h")
	say("frame")
	c.set(-1, -1)
	n, err := o.Write([]byte("none"))
	require.NoError(t, err)
	require.Equal(t, 4, n)
	say("\x1b[?1049l")
	say("after")
	require.NoError(t, w.Close())
	got, err := io.ReadAll(r)
	require.NoError(t, err)
	assert.Equal(t, "before\x1b[?1049h\x1b[3;8H\x1b[?25hframe\x1b[3;8H\x1b[?25hnone\x1b[?25l\x1b[?1049lafter",
		string(got))
}

// painted is an output whose writes go to a terminal in memory.
type painted struct {
	*output
	t    require.TestingT
	r    *os.File
	term vt10x.Terminal
}

func newPainted(t require.TestingT, w, h int) *painted {
	r, f, err := os.Pipe()
	require.NoError(t, err)
	p := &painted{output: &output{File: f, cursor: &cursor{}}, t: t, r: r, term: vt10x.New(vt10x.WithSize(w, h))}
	_, err = p.Write(altOn)
	require.NoError(t, err)
	p.taken()
	return p
}

// taken brings to the terminal what was written since, and gives it.
func (p *painted) taken() string {
	const mark = "\x00" // tells where the pipe ends for now
	_, err := p.File.WriteString(mark)
	require.NoError(p.t, err)
	var all []byte
	buf := make([]byte, 1<<16)
	for len(all) == 0 || all[len(all)-1] != 0 {
		n, err := p.r.Read(buf)
		require.NoError(p.t, err)
		all = append(all, buf[:n]...)
	}
	all = all[:len(all)-1]
	_, err = p.term.Write(all)
	require.NoError(p.t, err)
	return string(all)
}

// screen is what stands on the terminal, without the blanks at the ends.
func (p *painted) screen() string {
	p.taken()
	lines := strings.Split(p.term.String(), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.TrimRight(strings.Join(lines, "\n"), "\n")
}

// TestPaintsAtOnce: a frame is on the screen when it is drawn; one that follows
// too fast comes by itself a little later, also when it is the frame before
// the last, which the framework takes for painted.
func TestPaintsAtOnce(t *testing.T) {
	p := newPainted(t, 20, 4)
	require.Nil(t, p.show("one\ntwo", 20))
	assert.Equal(t, "one\ntwo", p.screen())
	p.gap = time.Hour
	cmd := p.show("one\n2", 20)
	require.NotNil(t, cmd)
	assert.Nil(t, p.show("one\ntwo!", 20), "one is enough")
	assert.Equal(t, "one\ntwo", p.screen())
	p.catchUp()
	assert.Equal(t, "one\ntwo!", p.screen())
	p.gap = 0
	n, err := p.Write([]byte("\x1b[Hthe framework's own"))
	require.NoError(t, err)
	assert.Equal(t, len("\x1b[Hthe framework's own"), n)
	assert.Empty(t, p.taken(), "nothing is written twice")
	require.Nil(t, p.show("one\ntwo!", 20))
	assert.Empty(t, p.taken(), "nothing changed")
	p.cursor.set(3, 1)
	require.Nil(t, p.show("one\ntwo!", 20))
	assert.Equal(t, "\x1b[2;4H\x1b[?25h", p.taken(), "but the cursor")
	require.Nil(t, p.show("one\ntwo?", 20))
	assert.NotContains(t, p.taken(), "one", "lines that stay are not written again")
}

// TestScreenIsTheFrame: whatever frames and sizes follow each other, and
// whatever the framework writes between, the terminal holds the last frame.
func TestScreenIsTheFrame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := 12, 6
		p := newPainted(t, w, h)
		line := rapid.SampledFrom([]string{"", "a", "main 7", "twelve cells", " spur 12", "é b"})
		frame := ""
		for i := rapid.IntRange(1, 12).Draw(t, "n"); i > 0; i-- {
			switch rapid.IntRange(0, 5).Draw(t, "act") {
			case 0:
				p.taken()
				w, h = rapid.IntRange(12, 30).Draw(t, "w"), rapid.IntRange(1, 9).Draw(t, "h")
				p.term.Resize(w, h)
				p.forget()
			case 1:
				_, err := p.Write([]byte("\x1b[2J\x1b[H"))
				require.NoError(t, err)
			case 2:
				_, err := p.Write([]byte("\x1b[Hframe"))
				require.NoError(t, err)
			}
			frame = strings.Join(rapid.SliceOfN(line, 1, h).Draw(t, "frame"), "\n")
			p.gap = time.Duration(rapid.IntRange(0, 1).Draw(t, "late")) * time.Hour
			if p.show(frame, w) != nil {
				p.catchUp()
			}
			require.Equal(t, tidy(frame), p.screen())
		}
	})
}

func tidy(frame string) string {
	lines := strings.Split(frame, "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.TrimRight(strings.Join(lines, "\n"), "\n")
}

// TestCursorIsAtTheLine: the cursor stands in the answer line after what was
// typed, and at the selected row of a list.
func TestCursorIsAtTheLine(t *testing.T) {
	a, _ := at(scripted(), "1", "enter", "enter", "1", "212")
	frame := trimmed(a.View())
	x, y := pos(a)
	line := []rune(lineAt(frame, y))
	assert.Equal(t, " METER SHOWS  212", string(line[x-17:x]))
	a, _ = at(scripted(), "down", "down")
	frame = trimmed(a.View())
	x, y = pos(a)
	assert.Equal(t, '>', []rune(lineAt(frame, y))[x])
}

func pos(a *app) (x, y int) {
	v := a.cursor.at.Load()
	return int(v & 0xffffffff), int(v>>32) - 1
}

func lineAt(frame string, y int) string {
	start := 0
	for ; y > 0; y-- {
		for frame[start] != '\n' {
			start++
		}
		start++
	}
	end := start
	for frame[end] != '\n' {
		end++
	}
	return frame[start:end]
}
