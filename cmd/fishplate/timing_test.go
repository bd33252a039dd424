//go:build !windows

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/creack/pty"
	"github.com/stretchr/testify/require"
)

// invented writes an oval of n pieces (n even, 18 or more), with a supply and
// two feeders: an invented layout.
func invented(t *testing.T, dir string, n int) string {
	side := (n - 8) / 2
	text := fmt.Sprintf(`name         = "invented oval of %d"
units        = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["%d x straight 10", "4 x curve left diameter 31 angle 45", "%d x straight 10",
    "4 x curve left diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 2/3"
  supply = "T1"
  wire   = "16 AWG"
  length = "4 ft"
}
feeder "F2" {
  at     = "main %d/%d"
  supply = "T1"
  wire   = "16 AWG"
  length = "9 ft"
}
`, n, side, side, n/2, n/2+1)
	path := filepath.Join(dir, fmt.Sprintf("oval%d.hcl", n))
	require.NoError(t, os.WriteFile(path, []byte(text), 0o600))
	return path
}

// windows are the two sizes that are measured.
var windows = []window{{w: 80, h: 24}, {w: 200, h: 60}}

// spread is a list of measures, printed as smallest / median / 99th of a
// hundred / largest.
type spread []float64

func (s spread) at(share float64) float64 {
	if len(s) == 0 {
		return 0
	}
	sorted := slices.Clone(s)
	slices.Sort(sorted)
	return sorted[min(int(share*float64(len(sorted))), len(sorted)-1)]
}

func (s spread) String() string {
	return fmt.Sprintf("%7.1f /%7.1f /%7.1f /%7.1f  (n %d)", s.at(0), s.at(0.5), s.at(0.99), s.at(1), len(s))
}

// some gives the few cases that every run looks at, or all of them where
// FISHPLATE_MEASURE is set.
func some[T any](few, all []T) []T {
	if os.Getenv("FISHPLATE_MEASURE") != "" {
		return all
	}
	return few
}

// rounds is how many times each start is measured; FISHPLATE_MEASURE takes more.
func rounds(few, many int) int {
	if os.Getenv("FISHPLATE_MEASURE") != "" {
		return many
	}
	return few
}

// TestFirstFrame prints the time from exec to the first frame. What it holds
// is that the terminal is asked nothing before, so that no answer is waited
// for; the times hang on the machine.
func TestFirstFrame(t *testing.T) {
	dir := t.TempDir()
	layouts := []string{"demo", invented(t, dir, 60), invented(t, dir, 200), invented(t, dir, 1000)}
	_ = program(t) // built before the clock runs
	require.NoError(t, os.MkdirAll(filepath.Join(dir, "fishplate"), 0o700))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "fishplate", "tour-seen"), nil, 0o600))
	t.Log("exec to first frame, ms: smallest / median / 99 % / largest")
	for _, layout := range layouts {
		for _, win := range some(windows[:1], windows) {
			for _, silent := range []bool{false, true} {
				win.silent, win.dir = silent, dir
				var s spread
				for range rounds(1, 25) {
					begin := time.Now()
					c := openConsole(t, win, program(t), layout)
					c.until("the first frame", func() bool { return strings.Contains(c.written(), "What is wrong?") })
					_, last := c.size()
					s = append(s, float64(last.Sub(begin).Microseconds())/1000)
					require.NotRegexp(t, question, c.written())
					c.end()
				}
				t.Logf("%-16s %3dx%-2d silent %-5v %v", filepath.Base(layout), win.w, win.h, silent, s)
			}
		}
	}
}

// TestKeyToFrame prints how long a key takes to be seen while the next reading
// is being worked out, and for comparison while nothing is. Beside it stands
// what the machine adds: the echo of a terminal on which no program runs, asked
// for in the same moments. On a machine that has other work, the kernel's own
// part of a pseudo-terminal waits for a processor like everyone else.
func TestKeyToFrame(t *testing.T) {
	if testing.Short() {
		t.Skip("times and bytes of the whole program")
	}
	dir := t.TempDir()
	t.Log("key to frame while thinking, ms: smallest / median / 99 % / largest")
	for _, n := range some([]int{60, 1000}, []int{60, 200, 1000}) {
		layout := invented(t, dir, n)
		for _, win := range some(windows[:1], windows) {
			win.dir = dir
			s, idle, bare := whileThinking(t, win, layout, rounds(20, 300))
			t.Logf("%4d pieces %3dx%-2d %v", n, win.w, win.h, s)
			t.Logf("               idle %v", idle)
			t.Logf("        no program %v", bare)
			require.NotEmpty(t, s, "keys wait for the hunt")
		}
	}
}

// whileThinking types and rubs out a figure, first with nothing to do and then,
// again and again, while the second reading is being worked out.
func whileThinking(t *testing.T, win window, layout string, want int) (s, idle, bare spread) {
	e := openEcho(t)
	c := openConsole(t, win, program(t), layout, "--new", "--meters", "beeper,ohms,volts,millivolts")
	c.see("What is wrong?")
	keys := []string{"4", "\x7f"} // a figure typed and rubbed out, in the answer line
	c.press("1")
	c.see("Before you touch")
	c.press("\r")
	armed(c)
	c.quiet()
	for i := range want / 4 * 2 {
		idle = append(idle, c.answer(keys[i%2], i))
	}
	deadline := time.Now().Add(patience)
	for len(s) < want && time.Now().Before(deadline) {
		c.press("5 mV\r")
		second := func() bool { return !thinking(c) && strings.Contains(c.screen(), "reading 4") }
		c.until("thinking", func() bool { return thinking(c) || second() })
		for i := 0; len(s) < want; i++ {
			if i > 0 && !thinking(c) {
				break
			}
			took, alone := c.answer(keys[i%2], i), e.answer()
			if thinking(c) && i > 0 {
				s, bare = append(s, took), append(bare, alone)
			}
		}
		c.until("the next reading", second)
		c.press("\x15")
		c.see("METER SHOWS\n")
		c.press("u")
		c.until("the reading taken back", func() bool {
			return !thinking(c) && strings.Contains(c.screen(), "reading 3")
		})
	}
	c.end()
	return s, idle, bare
}

// thinking says whether the top line tells that the hunt is at work.
func thinking(c *console) bool {
	return strings.Contains(strings.SplitN(c.screen(), "\n", 2)[0], "thinking")
}

// echo is a terminal on which nothing runs: what is typed comes back from the
// kernel alone.
type echo struct {
	t        *testing.T
	own, far *os.File
}

func openEcho(t *testing.T) *echo {
	own, far, err := pty.Open()
	require.NoError(t, err)
	t.Cleanup(func() { _, _ = own.Close(), far.Close() })
	return &echo{t, own, far}
}

// answer types a letter and gives the milliseconds until it comes back.
func (e *echo) answer() float64 {
	begin := time.Now()
	_, err := e.own.Write([]byte("x"))
	require.NoError(e.t, err)
	_, err = e.own.Read(make([]byte, 8))
	require.NoError(e.t, err)
	return float64(time.Since(begin).Microseconds()) / 1000
}

// answer presses a key and gives the milliseconds until something is written,
// then waits a little, not in step with the redraws.
func (c *console) answer(key string, i int) float64 {
	before, _ := c.size()
	begin := time.Now()
	c.press(key)
	c.until("a frame", func() bool { n, _ := c.size(); return n > before })
	_, last := c.size()
	time.Sleep(time.Duration(3+i*7%11) * time.Millisecond)
	return float64(last.Sub(begin).Microseconds()) / 1000
}

// TestBytesWritten prints what one key costs on a line, and holds it at 80x24:
// no frame of 4096 bytes or more, and no more frames than keys. What a busy
// machine paints late is one frame with the next key's, or comes after that
// was pressed, so neither is counted key by key.
func TestBytesWritten(t *testing.T) {
	if testing.Short() {
		t.Skip("times and bytes of the whole program")
	}
	dir := t.TempDir()
	t.Log("bytes written a frame: smallest / median / 99 % / largest")
	for _, n := range some([]int{60, 1000}, []int{60, 200, 1000}) {
		layout := invented(t, dir, n)
		for _, win := range some(windows[:1], windows) {
			win.dir = dir
			c := openConsole(t, win, program(t), layout, "--new", "--meters", "beeper,ohms,volts,millivolts")
			c.see("What is wrong?")
			c.press("1")
			c.see("Before you touch")
			c.press("\r")
			armed(c)
			var all spread
			keys := 0
			for _, group := range []struct {
				name string
				keys []string
			}{
				{"typing", []string{"2", "1", "2", "\x7f", "\x7f", "\x7f"}},
				{"scrolling", []string{"\x1b[B", "\x1b[B", "\x1b[A"}},
				{"screens", []string{"w", "2", "3", "\x1b", "e", "\x1b", "?", "\x1b", "g", "g"}},
				{"map", []string{"\t", "n", "n", "+", "+", "\x1b[C", "\x1b[A", "\x1b[D", "f", "a"}},
			} {
				s := c.frames(group.keys)
				all, keys = append(all, s...), keys+len(group.keys)
				t.Logf("%4d pieces %3dx%-2d %-9s %v", n, win.w, win.h, group.name, s)
			}
			c.end()
			require.NotEmpty(t, all)
			require.LessOrEqual(t, len(all), keys, "a key is one frame")
			if win.w == 80 {
				require.Less(t, all.at(1), 4096.0, "a frame at 80x24")
			}
		}
	}
}

// tail is how the program ends each frame: its cursor put and shown, or hidden.
var tail = regexp.MustCompile(`\x1b\[\d+;\d+H\x1b\[\?25h|\x1b\[\?25l`)

// frames presses keys one by one and gives the bytes of each frame that came.
func (c *console) frames(keys []string) spread {
	c.quiet()
	before := len(c.written())
	for _, k := range keys {
		c.press(k)
		time.Sleep(100 * time.Millisecond) // not all keys change what is seen
		c.quiet()
	}
	var s spread
	from := 0
	text := c.written()[before:]
	for _, end := range tail.FindAllStringIndex(text, -1) {
		s = append(s, float64(end[1]-from))
		from = end[1]
	}
	return s
}

// quiet waits until nothing has been written for a while: three redraws.
func (c *console) quiet() {
	const still = 100 * time.Millisecond
	for {
		if _, last := c.size(); time.Since(last) > still {
			return
		}
		time.Sleep(still / 4)
	}
}
