package tui

import (
	"io"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
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
	assert.Equal(t, "before\x1b[?1049h\x1b[3;8H\x1b[?25hframe\x1b[3;8H\x1b[?25hnone\x1b[?25l\x1b[?1049lafter", string(got))
}

// TestCursorIsAtTheLine: the cursor stands in the answer line after what was
// typed, and at the selected row of a list.
func TestCursorIsAtTheLine(t *testing.T) {
	a, _ := at(scripted(), "1", "enter", "enter", "1", "212")
	frame := trimmed(a.View())
	x, y := pos(a)
	line := []rune(lineAt(frame, y))
	assert.Equal(t, "SHOWS > 212", string(line[x-11:x]))
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
