package main

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"fishplate/diagnose/outside"
	"fishplate/layoutfile"
	"fishplate/tui"
	"fishplate/tui/layouts"
)

// mostListed is how many layouts of a folder are read and listed, the newest first, and
// listWait how long that may take, at least one apart: some 5 ms each, but files from
// strangers may be made to take longer.
const (
	mostListed = 30
	listWait   = 300 * time.Millisecond
)

// nearBy gives the layout files of this folder, the newest first, and how many more
// there are.
func nearBy() (names []string, more int) {
	list, _ := os.ReadDir(".") // none where it cannot be read
	changed := map[string]time.Time{}
	for _, f := range list {
		name := f.Name()
		if filepath.Ext(name) != ".hcl" || strings.HasSuffix(name, ".lesson.hcl") || strings.HasPrefix(name, ".") {
			continue
		}
		if info, err := os.Stat(name); err == nil && info.Mode().IsRegular() {
			changed[name] = info.ModTime()
			names = append(names, name)
		}
	}
	slices.SortFunc(names, func(a, b string) int {
		if c := changed[b].Compare(changed[a]); c != 0 {
			return c
		}
		return strings.Compare(a, b)
	})
	more = max(len(names)-mostListed, 0)
	return names[:len(names)-more], more
}

// aboutLayout says in a line what a layout file is; false where it is none.
func aboutLayout(name string) (string, bool) {
	text, err := readOutside(name, outside.Layout)
	if err != nil || !strings.Contains(string(text), "run \"") {
		return "", false
	}
	f, problems := layoutfile.Read(name, text)
	if f == nil || problems.Errors() {
		return "has mistakes: fishplate check names them", true
	}
	return fmt.Sprintf("%s, %d pieces", f.Layout.Name, len(f.Layout.Pieces)), true
}

// choosing lists the layouts near by; false where there are none.
func (s *stay) choosing(a screenArgs) (tui.Options, bool) {
	names, more := nearBy()
	var open []func(*world) (tui.Options, error)
	list := &layouts.Options{More: more}
	begun := time.Now()
	for i, name := range names {
		if len(open) > 0 && time.Since(begun) > listWait {
			list.More += len(names) - i
			break
		}
		says, ok := aboutLayout(name)
		if !ok {
			continue
		}
		list.Rows = append(list.Rows, layouts.Row{Name: outside.Line(name), Says: outside.Line(says)})
		open = append(open, s.opening(a, name))
	}
	if len(open) == 0 {
		return tui.Options{}, false
	}
	list.Rows = append(list.Rows, layouts.Row{Key: "d", Name: demoName, Says: "an invented layout, to try things on"},
		layouts.Row{Key: "w", Name: "new", Says: "a layout of yours, by walking along it"})
	open = append(open, s.opening(a, demoName), func(w *world) (tui.Options, error) {
		return s.walking(w, walkArgs{})
	})
	o := tui.Options{Layouts: list, Pick: func(n int) (tui.Options, error) { return s.aside(open[n]) }}
	s.look.into(&o, os.Getenv)
	s.rounds = func() []string { return nil }
	return o, true
}

func (s *stay) opening(a screenArgs, name string) func(*world) (tui.Options, error) {
	return func(w *world) (tui.Options, error) {
		a.name = name
		return s.hunting(w, a)
	}
}
