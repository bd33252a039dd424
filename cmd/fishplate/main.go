// Command fishplate finds electrical faults on toy-train layouts with an
// ordinary meter. It is the only part of the program that opens files, looks
// at the terminal or ends the process; `fishplate help` says what it does.
package main

import (
	_ "fishplate/tui/start" // must be initialised before the terminal framework

	"fmt"
	"io"
	"os"
	"runtime/debug"
	"strings"
)

func main() {
	// A suggestion makes some tens of megabytes that are gone the moment it is
	// made: collecting less often makes it a quarter faster. The limit keeps a
	// layout of thousands of pieces small.
	debug.SetGCPercent(300)
	debug.SetMemoryLimit(350 << 20)
	os.Exit(run(os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}

// What the program ends with.
const (
	exitOK    = 0
	exitBad   = 1 // a layout with problems, or a file that cannot be read or written
	exitUsage = 2 // the command line makes no sense, or there is no terminal
)

// world is what a command may touch.
type world struct {
	in  io.Reader
	out io.Writer
	err io.Writer
}

// commands is the table of subcommands; anything else is a layout to open.
var commands = map[string]func(*world, []string) int{
	"netlist":    netlist,
	"suspects":   suspects,
	"hunt":       huntCommand,
	"check":      checkCommand,
	"format":     format,
	"config":     configCommand,
	"completion": completion,
	"man":        man,
	"records":    records,
	"report":     reportCommand,
	"walk":       walkCommand,
	"card":       cardCommand,
	"drill":      drillCommand,
	"help":       help,
	"version":    version,
}

func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	w := &world{stdin, stdout, stderr}
	if len(args) == 0 {
		return open(w, nil)
	}
	switch args[0] {
	case "-h", "-help", "--help":
		return help(w, args[1:])
	case "-version", "--version":
		return version(w, args[1:])
	}
	if c := commands[args[0]]; c != nil {
		for _, a := range args[1:] {
			if a == "-h" || a == "-help" || a == "--help" {
				return help(w, nil)
			}
		}
		return c(w, args[1:])
	}
	return open(w, args)
}

func version(w *world, args []string) int {
	if len(args) > 0 {
		return w.usage("--version stands alone", "fishplate --version")
	}
	v, revision := "devel", ""
	if info, ok := debug.ReadBuildInfo(); ok {
		if info.Main.Version != "" && info.Main.Version != "(devel)" {
			v = info.Main.Version
		}
		for _, s := range info.Settings {
			if s.Key == "vcs.revision" && len(s.Value) >= 12 && !strings.Contains(v, s.Value[:12]) {
				revision = " (" + s.Value[:12] + ")"
			}
		}
	}
	return w.print("fishplate " + v + revision + "\n")
}

// print writes to stdout; a reader that is gone is an error like any other.
func (w *world) print(s string) int {
	if _, err := io.WriteString(w.out, s); err != nil {
		return w.fail(err)
	}
	return exitOK
}

// fail says why something could not be done.
func (w *world) fail(err error) int {
	fmt.Fprintf(w.err, "fishplate: %v\n", err)
	return exitBad
}

// usage says what is wrong with a command line and shows a right one.
func (w *world) usage(what, example string) int {
	fmt.Fprintf(w.err, "fishplate: %s\n  write: %s\n  all commands: fishplate help\n", what, example)
	return exitUsage
}
