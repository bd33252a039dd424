//go:build !windows

package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/hinshun/vt10x"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// patience is how long a test waits for something that must come; it is not a
// measure of anything, and a busy machine stays far below.
const patience = time.Minute

// console is a program that runs in a terminal of its own.
type console struct {
	t    *testing.T
	cmd  *exec.Cmd
	tty  *os.File
	done chan struct{} // closed when the program's output has ended

	mu    sync.Mutex
	vt    vt10x.Terminal
	raw   bytes.Buffer
	last  time.Time // when output came last
	heard chan struct{}
}

// window is how a console is set up.
type window struct {
	w, h   int
	silent bool // a terminal that answers no question
	env    []string
	dir    string
}

// environment is that of the tests before any of them sets a home of its own: a
// build from an empty home compiles the whole of Go's library again.
var environment = os.Environ()

// built is the program, built once, from the packages that the tests are compiled
// from.
var built = sync.OnceValues(func() (string, error) {
	dir, err := os.MkdirTemp("", "fishplate-test")
	if err != nil {
		return "", err
	}
	path := filepath.Join(dir, "fishplate")
	cmd := exec.Command("go", "build", "-ldflags", "-s -w", "-o", path, ".")
	cmd.Env = environment
	out, err := cmd.CombinedOutput()
	if err != nil {
		return "", fmt.Errorf("%w: %s", err, out)
	}
	return path, nil
})

// program gives the path of the program, built.
func program(t *testing.T) string {
	t.Helper()
	path, err := built()
	require.NoError(t, err)
	return path
}

// hearHangup lets programs in a terminal end with it, where the tests run under
// nohup too: what a process ignores its children ignore, and a program that
// does not hear of its terminal's end holds that open. A caught signal is not
// handed on.
var hearHangup = sync.OnceFunc(func() {
	if signal.Ignored(unix.SIGHUP) {
		signal.Notify(make(chan os.Signal, 1), unix.SIGHUP)
	}
})

// open starts a program in a terminal.
func openConsole(t *testing.T, win window, name string, args ...string) *console {
	t.Helper()
	hearHangup()
	if win.dir == "" {
		win.dir = t.TempDir()
	}
	c := &console{t: t, done: make(chan struct{}), heard: make(chan struct{}, 1)}
	c.cmd = exec.Command(name, args...)
	c.cmd.Dir = win.dir
	c.cmd.Env = append([]string{"PATH=" + os.Getenv("PATH"), "HOME=" + win.dir, "XDG_CONFIG_HOME=" + win.dir,
		"TERM=xterm-256color", "COLORTERM=truecolor", "LANG=C.UTF-8"}, win.env...)
	tty, err := pty.StartWithSize(c.cmd, &pty.Winsize{Cols: uint16(win.w), Rows: uint16(win.h)})
	require.NoError(t, err)
	c.tty = tty
	var replies io.Writer = tty
	if win.silent {
		replies = io.Discard
	}
	c.vt = vt10x.New(vt10x.WithSize(win.w, win.h), vt10x.WithWriter(replies))
	go c.listen()
	t.Cleanup(c.end)
	return c
}

func (c *console) listen() {
	defer close(c.done)
	buf := make([]byte, 1<<16)
	for {
		n, err := c.tty.Read(buf)
		now := time.Now() // before whoever looks at the screen is waited for
		if n > 0 {
			c.mu.Lock()
			c.last = now
			c.raw.Write(buf[:n])
			_, _ = c.vt.Write(buf[:n])
			c.mu.Unlock()
			select {
			case c.heard <- struct{}{}:
			default:
			}
		}
		if err != nil {
			return
		}
	}
}

func (c *console) end() {
	if c.cmd.ProcessState == nil {
		_ = c.cmd.Process.Kill()
		_, _ = c.cmd.Process.Wait()
	}
	_ = c.tty.Close()
	<-c.done
}

// screen is what stands on the terminal.
func (c *console) screen() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	lines := strings.Split(c.vt.String(), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " ")
	}
	return strings.Join(lines, "\n")
}

// written is everything that the program wrote so far.
func (c *console) written() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.raw.String()
}

// size is how many bytes came so far, and when the last.
func (c *console) size() (int, time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.raw.Len(), c.last
}

// cursor is where the terminal's cursor stands, and whether it shows.
func (c *console) cursor() (x, y int, shown bool) {
	c.mu.Lock()
	defer c.mu.Unlock()
	at := c.vt.Cursor()
	return at.X, at.Y, c.vt.CursorVisible()
}

// press types into the terminal, all at once.
func (c *console) press(s string) {
	_, err := io.WriteString(c.tty, s)
	require.NoError(c.t, err)
}

// until waits until something holds; every output is looked at.
func (c *console) until(what string, ok func() bool) {
	c.t.Helper()
	deadline := time.NewTimer(patience)
	defer deadline.Stop()
	for !ok() {
		select {
		case <-c.heard:
		case <-c.done:
			if ok() {
				return
			}
			c.t.Fatalf("the program ended before: %s\n%s", what, c.screen())
		case <-deadline.C:
			c.t.Fatalf("never came: %s\n%s", what, c.screen())
		}
	}
}

// see waits for words on the screen.
func (c *console) see(words string) {
	c.t.Helper()
	c.until(words, func() bool { return strings.Contains(c.screen(), words) })
}

// gone waits until words have left the screen.
func (c *console) gone(words string) {
	c.t.Helper()
	c.until("no more "+words, func() bool { return !strings.Contains(c.screen(), words) })
}

// resize changes the window, as a terminal does.
func (c *console) resize(w, h int) {
	c.mu.Lock()
	c.vt.Resize(w, h)
	c.mu.Unlock()
	require.NoError(c.t, pty.Setsize(c.tty, &pty.Winsize{Cols: uint16(w), Rows: uint16(h)}))
}

// status waits for the end of the program and gives its exit status.
func (c *console) status() int {
	c.t.Helper()
	select {
	case <-c.done:
	case <-time.After(patience):
		c.t.Fatalf("the program does not end\n%s", c.screen())
	}
	_ = c.cmd.Wait()
	return c.cmd.ProcessState.ExitCode()
}
