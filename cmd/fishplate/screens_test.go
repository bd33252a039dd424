//go:build !windows

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sys/unix"
)

// begun is the demo with its tour skipped and a hunt for a short begun, the
// first reading along the rails on the screen.
func begun(t *testing.T, win window, args ...string) *console {
	c := openConsole(t, win, program(t), args...)
	c.see("TOUR 1/")
	c.press("\x1b")
	c.gone("TOUR 1/")
	c.press("1")
	c.see("What lies on the table?")
	c.press("\r")
	c.see("Before you touch anything")
	c.press("\r")
	armed(c)
	return c
}

// armed answers what every hunt behind a lamp begins with, its light and the
// volts behind it, so that the third reading stands on the screen.
func armed(c *console) {
	c.see("reading 1")
	c.press("bright\r")
	c.see("reading 2")
	c.press("0.1\r")
	c.see("reading 3")
}

// question is what a program asks a terminal: its colours, where the cursor is,
// what it is (OSC 10 and 11, ECMA-48: DSR and DA).
var question = regexp.MustCompile(`\x1b\]1[01];\?|\x1b\[\??[56]n|\x1b\[[>=]?0?c`)

// TestSilentTerminal: a terminal that answers no question does not hold up the
// start, since none is asked (the framework's own start asks for colours, and
// waits five seconds for them).
func TestSilentTerminal(t *testing.T) {
	c := openConsole(t, window{w: 80, h: 24, silent: true}, program(t), "demo")
	c.see("TOUR 1/")
	assert.NotRegexp(t, question, c.written())
	c = openConsole(t, window{w: 80, h: 24, silent: true}, program(t), "--version")
	assert.Equal(t, 0, c.status())
	assert.NotRegexp(t, question, c.written())
}

// TestBurstInTerminal: keys that arrive in one read are single keys.
func TestBurstInTerminal(t *testing.T) {
	c := begun(t, window{w: 80, h: 24})
	c.press("123.4")
	c.see("METER SHOWS  123.4")
	c.press("\x15") // ctrl+u
	c.see("METER SHOWS\n")
	c.press("e\x1bw")
	c.see("[1 Why this?]")
}

// TestHardwareCursor: the terminal's cursor stands where one types and at the
// selected row.
func TestHardwareCursor(t *testing.T) {
	c := begun(t, window{w: 80, h: 24})
	at := func(words string, column int) {
		c.until("the cursor after "+words, func() bool {
			x, y, shown := c.cursor()
			lines := strings.Split(c.screen(), "\n")
			if !shown || y >= len(lines) {
				return false
			}
			row := []rune(lines[y])
			i := strings.Index(lines[y], words)
			// two blanks stand behind the prompt
			return i >= 0 && x == len([]rune(lines[y][:i]))+column && x <= len(row)+2
		})
	}
	at("METER SHOWS", 13)
	c.press("42")
	at("METER SHOWS  42", 15)
	c.press("\x15k")
	c.see("What lies on the table?")
	at(">r [", 0)
	c.press("\x1b[B")
	at(">1 ", 0)
	c.press("\x1b")
	c.see("METER SHOWS")
	c.press("e")
	c.see("> 1  bright")
}

// colours are the escape sequences that set a colour (ECMA-48 SGR 30 to 49 and
// 90 to 107).
var colours = regexp.MustCompile(`\x1b\[([0-9]+;)*(3[0-9]|4[0-9]|9[0-7]|10[0-7])(;[0-9]+)*m`)

// TestColoursAsked: each terminal gets the colours it can show and wants.
func TestColoursAsked(t *testing.T) {
	for _, c := range []struct {
		name, has, hasNot string
		env               []string
	}{
		{"true colour", "38;2;", "", nil},
		{"256", "38;5;", "38;2;", []string{"COLORTERM="}},
		{"16", "", "38;", []string{"COLORTERM=", "TERM=xterm"}},
		{"none wanted", "", "38;", []string{"NO_COLOR=1"}},
		{"tmux", "38;5;", "", []string{"COLORTERM=", "TERM=tmux-256color"}},
		{"screen", "38;5;", "", []string{"COLORTERM=", "TERM=screen-256color"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			k := begun(t, window{w: 80, h: 24, env: c.env})
			k.press("e\x1b") // something selected
			k.see("METER SHOWS")
			out := k.written()
			if c.has != "" {
				assert.Contains(t, out, c.has)
			}
			if c.hasNot != "" {
				assert.NotContains(t, out, c.hasNot)
			}
			if c.name == "none wanted" {
				assert.Nil(t, colours.FindStringIndex(out), "a colour in spite of NO_COLOR")
				assert.Contains(t, out, "\x1b[7m", "the selection is seen without colour")
				k.press("k")
				k.see(">r [")
			}
		})
	}
}

// TestASCIIInTerminal: with --ascii not one byte beyond 7 bits is written.
func TestASCIIInTerminal(t *testing.T) {
	c := begun(t, window{w: 80, h: 24}, "demo", "--ascii")
	c.press("\t")
	c.see("+/- zoom")
	for _, b := range []byte(c.written()) {
		require.Less(t, b, byte(0x80))
	}
}

// TestResizeInTerminal: the window may change at any time; too small a one
// says so and loses nothing.
func TestResizeInTerminal(t *testing.T) {
	c := begun(t, window{w: 80, h: 24})
	c.press("98.7")
	c.see("METER SHOWS  98.7")
	for _, s := range [][2]int{{40, 15}, {200, 60}, {300, 100}, {40, 20}, {120, 40}} {
		c.resize(s[0], s[1])
		c.see("METER SHOWS  98.7")
		c.until("a frame that fits", func() bool {
			lines := strings.Split(strings.TrimRight(c.screen(), "\n"), "\n")
			return len(lines) == s[1] && strings.Contains(lines[len(lines)-1], "? help")
		})
	}
	c.resize(30, 10)
	c.see("is too small")
	c.resize(80, 24)
	c.see("METER SHOWS  98.7")
}

// afterwards runs a command line in a shell and then says how it ended and
// what the terminal is like. The program's own process id lies in DIR/pid.
func afterwards(t *testing.T, dir string, line string) *console {
	script := "sh -c 'echo $$ >pid; exec " + line + "'; echo ended with $?; stty -a; echo that is all; cat >/dev/null"
	return openConsole(t, window{w: 80, h: 24, dir: dir}, "sh", "-c", script)
}

// restored holds a terminal to being as it was before the program.
func restored(t *testing.T, c *console) {
	c.see("that is all")
	out := c.written()
	assert.Greater(t, strings.LastIndex(out, "\x1b[?1049l"), strings.LastIndex(out, "\x1b[?1049h"),
		"the alternate screen is left")
	assert.Greater(t, strings.LastIndex(out, "\x1b[?25h"), strings.LastIndex(out, "\x1b[?25l"), "the cursor shows")
	stty := out[strings.LastIndex(out, "ended with"):]
	assert.Contains(t, stty, " icanon")
	assert.NotContains(t, stty, "-icanon")
	assert.Contains(t, stty, " echo ")
	assert.NotContains(t, stty, "-echo ")
}

// kill sends a signal to the program that afterwards runs.
func kill(t *testing.T, dir string, s unix.Signal) {
	text, err := os.ReadFile(filepath.Join(dir, "pid"))
	require.NoError(t, err)
	pid, err := strconv.Atoi(strings.TrimSpace(string(text)))
	require.NoError(t, err)
	require.NoError(t, unix.Kill(pid, s))
}

// TestEnds: however the program ends, the terminal is as it was.
func TestEnds(t *testing.T) {
	for _, e := range []struct {
		name string
		end  func(*testing.T, *console, string)
	}{
		{"q", func(t *testing.T, c *console, _ string) { c.press("\x1bq") }},
		{"ctrl+c", func(_ *testing.T, c *console, _ string) { c.press("\x03") }},
		{"hangup", func(t *testing.T, _ *console, dir string) { kill(t, dir, unix.SIGHUP) }},
		{"terminate", func(t *testing.T, _ *console, dir string) { kill(t, dir, unix.SIGTERM) }},
	} {
		t.Run(e.name, func(t *testing.T) {
			dir := t.TempDir()
			c := afterwards(t, dir, program(t)+" demo")
			c.see("TOUR 1/")
			e.end(t, c, dir)
			c.see("ended with 0")
			restored(t, c)
		})
	}
}

// TestCrash: a mistake of ours in the hunt's own goroutine gives the terminal
// back, keeps the hunt, and says where the report is.
func TestCrash(t *testing.T) {
	broken, err := exec.LookPath("fishplate-broken")
	require.NoError(t, err)
	dir := t.TempDir()
	c := afterwards(t, dir, broken+" demo --meters beeper")
	c.see("TOUR 1/")
	c.press("\x1b")
	c.gone("TOUR 1/")
	c.press("1")
	c.see("Before you touch")
	c.press("\r")
	c.see("reading 1")
	c.press("beep\r")
	c.see("reading 2")
	c.press("panic\r")
	c.see("ended with 1")
	restored(t, c)
	assert.Contains(t, c.written(), "broken on purpose")
	where := regexp.MustCompile(`the report is in (\S+crash\.txt)`).FindStringSubmatch(c.written())
	require.Len(t, where, 2, c.written())
	assert.True(t, strings.HasPrefix(where[1], dir), where[1])
	report, err := os.ReadFile(where[1])
	require.NoError(t, err)
	assert.Contains(t, string(report), "goroutine")

	again := openConsole(t, window{w: 80, h: 24, dir: dir}, program(t), "demo")
	again.see("reading 2")
}

// TestStopAndGoOn: Ctrl-Z gives the shell its terminal, fg brings the screen
// back with all that was typed.
func TestStopAndGoOn(t *testing.T) {
	bash, err := exec.LookPath("bash")
	require.NoError(t, err, "this test needs a shell with job control")
	c := openConsole(t, window{w: 80, h: 24, env: []string{"PS1=shell> "}}, bash, "--norc", "--noprofile", "-i")
	c.see("shell>")
	c.press(program(t) + " demo\r")
	c.see("TOUR 1/")
	c.press("\x1b")
	c.gone("TOUR 1/")
	c.press("3")
	c.see("Where do they stall?")
	c.press("main 7")
	c.see("NAME > main 7")
	c.press("\x1a")
	c.see("Stopped")
	c.press("stty -a; echo back in the shell\r")
	c.until("an ordinary terminal", func() bool {
		s := c.screen()
		return strings.Contains(s, " icanon") && strings.Contains(s, " echo ") &&
			strings.Contains(s, "back in the shell")
	})
	c.press("fg\r")
	c.see("NAME > main 7")
	c.press("\x7f8")
	c.see("NAME > main 8")
	c.see("chosen: main 8")
}

// TestNoTerminal: without a terminal the program says what to use instead.
func TestNoTerminal(t *testing.T) {
	cmd := exec.Command(program(t), "demo")
	out, err := cmd.CombinedOutput()
	var e *exec.ExitError
	require.ErrorAs(t, err, &e)
	assert.Equal(t, 2, e.ExitCode())
	assert.Contains(t, string(out), "hunt --plain demo")
	assert.Contains(t, string(out), "hunt --json demo")
	assert.NotContains(t, string(out), "\x1b")

	c := openConsole(t, window{w: 80, h: 24, env: []string{"TERM=dumb"}}, program(t), "demo")
	assert.Equal(t, 2, c.status())
	assert.Contains(t, c.written(), "hunt --plain demo")
}

// TestBellInTerminal: the bell rings when the next reading is here, when asked.
func TestBellInTerminal(t *testing.T) {
	c := begun(t, window{w: 80, h: 24}, "demo", "--bell")
	c.until("the bell", func() bool { return strings.Contains(c.written(), "\a") })
	k := begun(t, window{w: 80, h: 24}, "demo")
	assert.NotContains(t, k.written(), "\a")
}

// TestPasteInTerminal: a paste that never ends leaves the keys alone.
func TestPasteInTerminal(t *testing.T) {
	c := openConsole(t, window{w: 80, h: 24}, program(t), "demo")
	c.see("TOUR 1/")
	c.press("\x1b[200~never ended")
	time.Sleep(1200 * time.Millisecond) // what comes after a second is a hand
	c.press("\x03")
	assert.Equal(t, 0, c.status())
}
