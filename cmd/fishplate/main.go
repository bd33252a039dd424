// Command fishplate finds electrical faults on toy-train layouts with an
// ordinary meter. It is the only part of the program that opens files, looks
// at the terminal or ends the process; `fishplate help` says what it does.
package main

import (
	"encoding/json"
	_ "fishplate/tui/start" // must be initialised before the terminal framework

	"errors"
	"fmt"
	"io"
	"os"
	"runtime/debug"

	"github.com/spf13/cobra"

	"fishplate/diagnose/outside"
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

// streams are what a command reads from, and says things on.
type streams struct {
	in io.Reader
	// out and err show what cannot be seen instead of passing it on: names and
	// notes come from anywhere. The screens alone get the terminal itself.
	out, err *outside.Writer
	screen   io.Writer
	now      *cobra.Command // that runs
}

// world is what a command may touch.
type world struct {
	streams
	code int // what the program ends with
}

func newWorld(stdin io.Reader, stdout, stderr io.Writer) *world {
	return &world{streams: streams{in: stdin, screen: stdout,
		out: outside.NewWriter(stdout, outside.Marked), err: outside.NewWriter(stderr, outside.Marked)}}
}

func run(args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	w := newWorld(stdin, stdout, stderr)
	root := commands{w}.root()
	root.SetArgs(longFlags(root, args))
	c, err := root.ExecuteC()
	var wrong *usageError
	switch {
	case errors.As(err, &wrong):
		w.now = c
		return w.usage(wrong.what, wrong.example)
	case err != nil:
		return w.fail(err)
	}
	return w.code
}

// usageError is a command line that makes no sense. example is a right one;
// empty: the command's own.
type usageError struct{ what, example string }

func (e *usageError) Error() string { return e.what }

// print writes to stdout; a reader that is gone is an error like any other.
func (w *streams) print(s string) int {
	if _, err := io.WriteString(w.out, s); err != nil {
		return w.fail(err)
	}
	return exitOK
}

// programs is where what programs read goes: JSON has a form of its own for
// what cannot be seen.
func (w *streams) programs() io.Writer { return w.out.In(outside.Escaped) }

// encode writes one object for programs, indented for eyes too.
func encode(to io.Writer, v any) error {
	enc := json.NewEncoder(to)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", " ")
	return enc.Encode(v)
}

// deliver writes a page to a file, or prints it where none is named, and says
// so in words that the file's name is put into.
func (w *streams) deliver(text, form, file, done string) int {
	if file == "" {
		shown := shownIn(form)
		if _, err := io.WriteString(w.out.In(shown), outside.Show(text, shown)); err != nil {
			return w.fail(err)
		}
		return exitOK
	}
	if err := writeShown(text, form, file); err != nil {
		return w.fail(err)
	}
	return w.print(fmt.Sprintf(done+"\n", file))
}

// shownIn is how what came from outside is shown in a form.
func shownIn(form string) outside.Form {
	if form == "html" {
		return outside.Entity
	}
	return outside.Marked
}

// writeShown writes a text of a form into a file, what came from outside shown.
func writeShown(text, form, file string) error {
	return writeFile(file, []byte(outside.Show(text, shownIn(form))))
}

// fail says why something could not be done.
func (w *streams) fail(err error) int {
	fmt.Fprintf(w.err, "fishplate: %v\n", err)
	return exitBad
}

// usage says what is wrong with a command line and shows a right one, that of
// the command that runs where none is given.
func (w *streams) usage(what, example string) int {
	help := "fishplate help"
	if w.now != nil && w.now.HasParent() && w.now.Name() != "help" {
		help += " " + w.now.Name()
	}
	if example == "" {
		example = w.now.UseLine()
	}
	fmt.Fprintf(w.err, "fishplate: %s\n  write: %s\n  more: %s\n", what, example, help)
	return exitUsage
}
