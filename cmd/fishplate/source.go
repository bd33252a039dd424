package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/outside"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

const (
	demoName  = "demo" // names the layout that comes with the program
	stdinName = "-"
)

// source is a layout that was read, and where from.
type source struct {
	name   string // as written on the command line
	demo   bool
	text   []byte // as it was read
	layout *track.Layout
	warned int // how many warnings reading it gave
}

// path is the file, empty for the demo.
func (s *source) path() string {
	if s.demo {
		return ""
	}
	return s.name
}

// errTold says that everything was already said on stderr.
var errTold = errors.New("the layout has problems")

// load reads a layout; its mistakes and warnings go to stderr.
func (w *world) load(name string) (*source, error) {
	s := &source{name: name, demo: name == demoName}
	shown, text, err := w.read(name)
	if err != nil {
		return nil, err
	}
	file, problems := layoutfile.Read(shown, text)
	if len(problems) > 0 {
		if err := problems.Render(w.err, shown, 0, false); err != nil {
			return nil, err
		}
	}
	if problems.Errors() || file == nil {
		return nil, errTold
	}
	s.layout, s.text, s.warned = file.Layout, text, len(problems)
	return s, nil
}

func (w *world) read(name string) (shown string, text []byte, err error) {
	switch name {
	case demoName:
		shown, text = layoutfile.Demo()
		return shown, text, nil
	case stdinName:
		text, err = readUpTo(w.in, outside.Layout)
		if err != nil {
			return "", nil, fmt.Errorf("could not read the layout from stdin: %w", err)
		}
		return "stdin", text, nil
	}
	text, err = readOutside(name, outside.Layout)
	if errors.Is(err, fs.ErrNotExist) {
		if _, err := os.Stat(name + ".hcl"); err == nil {
			return "", nil, fmt.Errorf("there is no file %s; did you mean %s.hcl?", name, name)
		}
		return "", nil, fmt.Errorf("there is no file %s; `fishplate format` says how to write one, and `fishplate "+
			"demo` opens the one that comes with the program", name)
	}
	if err != nil {
		return "", nil, fmt.Errorf("could not read the layout %s: %w", name, err)
	}
	return name, text, nil
}

// refused turns an error of load into what the program ends with.
func (w *streams) refused(err error) int {
	if errors.Is(err, errTold) {
		return exitBad
	}
	return w.fail(err)
}

// network reads a layout and makes its network.
func (w *world) network(name string) (*conductor.Network, error) {
	s, err := w.load(name)
	if err != nil {
		return nil, err
	}
	return conductor.Build(s.layout)
}
