package main

import (
	"errors"
	"os"
	"os/exec"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui"
)

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"fishplate": main, "fishplate-broken": broken, "measured": func() {
		measured()
	}})
}

// measured runs a program and says what it took, where the system tells.
var measured = func() {}

// fragile is a hunt that breaks on purpose, on the goroutine that computes.
type fragile struct{ *hunt.Hunt }

// Apply implements tui.Hunter.
func (f fragile) Apply(e hunt.Event) error {
	if e.Reading == "panic" {
		panic("broken on purpose")
	}
	return f.Hunt.Apply(e)
}

// broken is the program with such a hunt in it.
func broken() {
	testHunter = func(_ tui.Hunter, l *track.Layout, k hunt.Kit) tui.Hunter { return fragile{hunt.New(l, k)} }
	main()
}

// TestStories runs the stories of testdata: what is typed, what comes out, and
// what lies on the disk after.
func TestStories(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir: "testdata",
		Setup: func(e *testscript.Env) error {
			e.Setenv("HOME", e.WorkDir)
			e.Setenv("XDG_CONFIG_HOME", e.WorkDir+"/config")
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){"exits": exits, "files": files},
	})
}

// exits runs a command that must end with the status given first.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits STATUS COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var e *exec.ExitError
		if !errors.As(err, &e) {
			ts.Fatalf("%v", err)
		}
		got = e.ExitCode()
	}
	if got != want {
		ts.Fatalf("ended with %d, not %d", got, want)
	}
}

// files wants a folder to hold so many files, hidden ones counted too.
func files(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: files COUNT FOLDER")
	}
	list, err := os.ReadDir(ts.MkAbs(args[1]))
	ts.Check(err)
	if strconv.Itoa(len(list)) != args[0] {
		ts.Fatalf("%d files in %s, not %s: %v", len(list), args[1], args[0], list)
	}
}
