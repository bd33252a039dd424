package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"fishplate/diagnose/outside"
	"fishplate/layoutfile"
	"fishplate/layoutfile/course"
	"fishplate/layoutfile/shape"
	"fishplate/tui"
	"fishplate/tui/walk"
)

func (w commands) walkCommand() *cobra.Command {
	a := walkArgs{}
	c := w.does(&cobra.Command{
		Use:   "walk [LAYOUT]",
		Short: "enter a layout by walking along it, or change one",
		Long: "One key for each piece that lies along your track, while the map grows. " +
			"The file need not exist yet; comments in it are kept.",
		Example: "fishplate walk shelf.hcl --shape oval\nfishplate walk shelf.hcl",
	}, func(words []string) int { return walks{w.world}.walkAsked(&a, words) })
	fs := c.Flags()
	fs.StringVar(&a.shape, "shape", "", "begin with a ready `SHAPE`: "+strings.Join(shapeNames(), ", "))
	fs.BoolVar(&a.metric, "mm", false, "a new layout in millimeters")
	fs.BoolVar(&a.fresh, "new", false, "begin with the file, not with what was left")
	fs.BoolVar(&a.plain, "plain", false, "says how a layout is written without a screen")
	a.look = lookFlags(fs).readings(fs)
	offer(c, "shape", choices(shapeNames()...))
	return w.onLayout(c, false)
}

func shapeNames() []string {
	var out []string
	for _, s := range shape.All() {
		out = append(out, s.Name)
	}
	return out
}

// walks sets the walk up, and takes up one that was left.
type walks struct{ *world }

// walkAsked walks a layout in: it makes a layout file or changes one.
func (w walks) walkAsked(a *walkArgs, words []string) int {
	w.settle(w.now.Flags(), nil)
	var err error
	if len(words) > 0 {
		if a.path, err = one(words, ""); err != nil {
			return w.usage(err.Error(), "")
		}
	}
	if a.path == demoName || a.path == stdinName {
		return w.usage(fmt.Sprintf("%s is no file that could be changed; name one of your own, it need not exist yet",
			a.path), "")
	}
	if a.shape != "" {
		if _, err := shape.Find(a.shape); err != nil {
			return w.usage(err.Error(), "fishplate walk LAYOUT --shape oval")
		}
	}
	return w.walk(*a)
}

type walkArgs struct {
	path   string // empty: asked for
	shape  string
	look   *look
	metric bool
	fresh  bool // begin with the file, not with what was kept
	plain  bool // no screen is wanted
}

// walk shows the walk screen, and goes on to the hunt or the check from it.
func (w walks) walk(a walkArgs) int {
	if a.plain {
		return w.byHand("a walk is on the screen alone")
	}
	if _, _, ok := w.terminal(); !ok {
		return w.byHand("walking a layout in needs a terminal for stdin and stdout, and " + w.whyNone())
	}
	s := &stay{w: w.world, look: a.look}
	o, err := s.walking(w.world, a)
	if err != nil {
		return w.refused(err)
	}
	return s.run(o)
}

// byHand says how a layout is written without a screen.
func (w walks) byHand(why string) int {
	fmt.Fprintf(w.err, "fishplate: %s\n  write the file by hand instead: fishplate help file says how\n"+
		"  one to change: fishplate format demo > my-layout.hcl\n  what is wrong in it: fishplate check "+
		"my-layout.hcl\n", why)
	return exitUsage
}

// walkCrashed keeps the story of a mistake of ours.
func (w walks) walkCrashed(c *tui.Crash, path string) int {
	fmt.Fprintf(w.err, "fishplate: %v\n  what you entered is kept: start again and the walk goes on\n", c)
	report := filepath.Join(os.TempDir(), "fishplate.crash.txt")
	if path != "" {
		report = path + ".crash.txt"
	}
	if err := os.WriteFile(report, []byte(c.Report()), 0o600); err != nil {
		fmt.Fprintf(w.err, "  the report could not be written (%v); here it is:\n%s\n", err, c.Report())
	} else {
		fmt.Fprintf(w.err, "  the report is in %s: please send it to whoever gave you the program\n", report)
	}
	return exitBad
}

// takeUp goes on with what was kept and not saved, else opens the file, else
// leaves the layout to be begun.
func (w walks) takeUp(s *walk.Setup, files *walkFiles, a walkArgs) error {
	text, err := readOutside(a.path, outside.Layout)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("could not read the layout: %w", err)
	}
	exists := err == nil
	if err := files.hold(a.path); err != nil {
		return err
	}
	data, err := readOutside(keptPath(a.path), outside.Walk)
	switch {
	case errors.Is(err, fs.ErrNotExist):
	case err != nil:
		return fmt.Errorf("could not read what was kept of the last walk: %w", err)
	case a.shape != "" && !a.fresh:
		return fmt.Errorf("what you entered for %[1]s is kept and not saved yet; go on with it: fishplate walk "+
			"%[1]s\nor begin anew, that put aside: fishplate walk %[1]s --shape %[2]s --new", a.path, a.shape)
	case a.fresh:
		if _, err := putAside(keptPath(a.path)); err != nil {
			return fmt.Errorf("could not put the last walk aside: %w", err)
		}
	default:
		c, err := course.Resume(data)
		if err != nil {
			return fmt.Errorf("%w; begin with the file instead (the walk is kept as %s.old) with: fishplate walk "+
				"--new %s", err, keptPath(a.path), a.path)
		}
		s.Course, s.Exists = c, exists && len(c.Base()) > 0
		s.Greeting = "Going on where you stopped; it is not saved yet (w saves)."
		files.known[a.path], files.ours[a.path] = c.Base(), true
		return nil
	}
	if !exists || a.shape != "" {
		return nil
	}
	f, problems := layoutfile.Read(a.path, text)
	if f == nil {
		if err := problems.Render(w.err, a.path, 0, false); err != nil {
			return err
		}
		return errTold
	}
	if s.Course, err = course.Open(f); err != nil {
		return err
	}
	s.Exists = true
	files.known[a.path] = text
	return nil
}

func keptPath(path string) string { return path + ".walk.json" }

// walkFiles is what the walk reads and writes.
type walkFiles struct {
	known map[string][]byte // what the files held when they were read or written last
	ours  map[string]bool   // walks kept beside them that are this one
	wrote bool              // a layout was saved: a hunt kept for the old one cannot go on
	last  string            // the layout that was put by last
	held  *locks            // on walks kept beside layouts
}

// newWalkFiles makes those of one walk; held are the locks that the program has
// taken so far.
func newWalkFiles(held *locks) *walkFiles {
	return &walkFiles{known: map[string][]byte{}, ours: map[string]bool{}, held: held}
}

// hold keeps a second fishplate away from the walk of a layout.
func (f *walkFiles) hold(path string) error {
	if _, err := os.Stat(filepath.Dir(path)); err != nil {
		return nil // there is no such folder: saving says so
	}
	return f.held.hold("walk", keptPath(path))
}

// save writes a layout file. It does not overwrite what it does not know,
// unless it was told to.
func (f *walkFiles) save(path string, text []byte, over bool) error {
	now, err := readOutside(path, outside.Layout)
	if err != nil && !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	if _, err := os.Stat(filepath.Dir(path)); err != nil {
		return err // a layout's folder is not made: the name is mistyped, rather
	}
	if err == nil && !over && (f.known[path] == nil || !bytes.Equal(now, f.known[path])) {
		return walk.ErrExists
	}
	if err := writeFile(path, text); err != nil {
		return err
	}
	f.known[path], f.wrote = text, true
	return nil
}

// keep puts a walk by that is not saved; without data it is saved, and what
// was kept goes.
func (f *walkFiles) keep(path string, data []byte) error {
	f.last = path
	if data != nil {
		if err := f.aside(path); err != nil {
			return err
		}
		return writeFile(keptPath(path), data)
	}
	if !f.ours[path] {
		return nil
	}
	return deleteFile(keptPath(path))
}

// goodbye says where the walk is, once it is left.
func (f *walkFiles) goodbye() []string {
	if _, err := os.Stat(keptPath(f.last)); f.last != "" && err == nil {
		return []string{"What you entered is kept, but not saved yet.", "Go on with it: fishplate walk " + f.last}
	}
	if f.wrote {
		return []string{fmt.Sprintf("The layout is saved in %s.", f.last), "Hunt for a fault on it: fishplate " +
			f.last}
	}
	return nil
}

// aside moves an unsaved walk of another time out of the way of this one.
func (f *walkFiles) aside(path string) error {
	if f.ours[path] {
		return nil
	}
	if err := f.hold(path); err != nil {
		return err
	}
	if _, err := putAside(keptPath(path)); err != nil {
		return err
	}
	f.ours[path] = true
	return nil
}

// lastSizes is what the sizes used last are kept as.
type lastSizes struct {
	Inches      *course.Sizes `json:"inches,omitempty"`
	Millimeters *course.Sizes `json:"millimeters,omitempty"`
	Metric      bool          `json:"metric"`
}

func sizesPath() (string, error) {
	dir, err := os.UserConfigDir()
	if err != nil {
		return "", err
	}
	return filepath.Join(dir, "fishplate", "walk-sizes.json"), nil
}

// sizes gives the sizes used last. Where they cannot be read, none were used:
// they are a comfort only.
func (f *walkFiles) sizes() (in, mm *course.Sizes, metric bool) {
	path, err := sizesPath()
	if err != nil {
		return nil, nil, false
	}
	data, err := readOutside(path, outside.Sizes)
	if err != nil {
		return nil, nil, false
	}
	var s lastSizes
	if outside.Sizes.Decode(data, &s) != nil {
		return nil, nil, false
	}
	return s.Inches, s.Millimeters, s.Metric
}

func (f *walkFiles) keepSizes(z course.Sizes, metric bool) {
	path, err := sizesPath()
	if err != nil {
		return
	}
	s := lastSizes{Metric: metric}
	s.Inches, s.Millimeters, _ = f.sizes()
	if metric {
		s.Millimeters = &z
	} else {
		s.Inches = &z
	}
	if data, err := json.MarshalIndent(s, "", " "); err == nil {
		_ = os.MkdirAll(filepath.Dir(path), 0o755)
		_ = writeFile(path, data) // a comfort only
	}
}
