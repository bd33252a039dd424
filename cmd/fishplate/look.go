package main

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"runtime/debug"
	"strings"

	"github.com/spf13/pflag"

	"fishplate/tui"
	"fishplate/tui/start"
)

// look is how the screens shall look and sound.
type look struct {
	ascii, bell, light, dark, big bool
	fps                           int
}

// lookFlags adds the flags of the screens.
func lookFlags(fs *pflag.FlagSet) *look {
	l := &look{}
	fs.BoolVar(&l.ascii, "ascii", false, "nothing but 7-bit characters")
	fs.BoolVar(&l.light, "light", false, "colours for a light background (NO_COLOR: none)")
	fs.BoolVar(&l.dark, "dark", false, "colours for a dark background")
	fs.IntVar(&l.fps, "fps", 0, "at most `N` redraws a second (120; over SSH 30)")
	return l
}

// readings adds those of a hunt, for commands that are one or lead to one.
func (l *look) readings(fs *pflag.FlagSet) *look {
	fs.BoolVar(&l.big, "big", false, "begin with the reading in giant letters")
	fs.BoolVar(&l.bell, "bell", false, "ring when the next reading is here")
	return l
}

// The redraws a second, at most: near the eye's limit on this machine, fewer
// on a line that may be slow (a redraw that waits for the line holds up keys).
const (
	fpsHere = 120
	fpsLine = 30
)

// into puts the look into the options of the screens; what no flag says comes
// from the environment.
func (l *look) into(o *tui.Options, env func(string) string) {
	o.ASCII, o.Bell, o.Big, o.FPS = l.ascii, l.bell, l.big, l.fps
	o.Light = !l.dark && (l.light || !start.Dark(env("COLORFGBG"), env("FISHPLATE_BACKGROUND")))
	if o.FPS <= 0 {
		o.FPS = fpsHere
		if env("SSH_CONNECTION") != "" || env("SSH_TTY") != "" {
			o.FPS = fpsLine
		}
	}
}

// crashed keeps the story of a mistake of ours and says where it is and that
// nothing is lost.
func (w *world) crashed(c *tui.Crash, hunt string) int {
	fmt.Fprintf(w.err, "fishplate: %v\n", c)
	path := strings.TrimSuffix(hunt, ".json") + ".crash.txt"
	if hunt == "" {
		path = filepath.Join(os.TempDir(), "fishplate.crash.txt")
	}
	if err := os.WriteFile(path, []byte(c.Report()), 0o600); err != nil {
		fmt.Fprintf(w.err, "  the report could not be written (%v); here it is:\n%s\n", err, c.Report())
	} else {
		fmt.Fprintf(w.err, "  the report is in %s: please send it to whoever gave you the program\n", path)
	}
	fmt.Fprintf(w.err, "  every answer taken so far is kept: start again and the hunt goes on\n")
	return exitBad
}

// roomForKeys lets keys be answered while the hunt computes flat out: with as
// many runners as processors, a busy computation and its garbage collector hold
// all of them for 10 ms at a time, and a key waits in line. With more, the
// system itself gives the mostly sleeping runner of the screen its turn at
// once. Collecting less often costs some memory, which is bounded.
func roomForKeys() {
	runtime.GOMAXPROCS(runtime.NumCPU() + 4)
	debug.SetGCPercent(800)
	debug.SetMemoryLimit(512 << 20) // bytes
}
