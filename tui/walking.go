package tui

import (
	"errors"
	"fmt"
	"strings"
	"sync"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/layoutfile/course"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
	"fishplate/tui/walk"
)

// WalkOptions is what the walk screen needs to begin.
type WalkOptions struct {
	walk.Setup
	// Save writes the layout's text to a file, all of it or nothing. Unless
	// over is set it answers walk.ErrExists where that file holds anything but
	// what was read from it or saved to it here.
	Save func(path string, text []byte, over bool) error
	// Keep puts the walk by after every change, so that nothing is lost when
	// the terminal goes; nil data says that the file at path holds everything.
	// It is never called twice at once. May be nil.
	Keep func(path string, data []byte) error
	// KeepSizes is told at the end which sizes were used last; may be nil.
	KeepSizes func(z course.Sizes, metric bool)
	// Check gives the check of a saved layout as text of a width; nil: there is
	// no check to go on to.
	Check func(path string, width int) (string, error)
	// Hunt gives the hunt on a saved layout; nil: there is none to go on to.
	Hunt func(path string) (Options, error)
}

// walking is the walk as a screen of the root: it saves and keeps what the walk
// hands up.
type walking struct {
	*walk.Model
	o    WalkOptions
	goal walk.Goal
	// savedFirst says that the file was written because the goal needed it.
	savedFirst bool
	keeper     keeper
	busy       bool // a Keep is on its way
	kept       int  // the change that was kept last
	failed     string
}

func newWalking(o *WalkOptions, ascii bool, t style.Theme) *walking {
	set := o.Setup
	set.ASCII, set.Theme = ascii, t
	set.CanCheck = o.Check != nil
	return &walking{Model: walk.New(set), o: *o}
}

// Update gives the walk a message.
func (w *walking) Update(_ *scene.Scene, msg tea.Msg) tea.Msg {
	out := w.Model.Update(msg)
	if in, ok := out.(walk.Leave); ok {
		w.goal = in.Goal
		saved, ok := msg.(walk.Saved)
		w.savedFirst = ok && saved.Err == nil && w.goal != walk.Quit
	}
	return out
}

// View draws the walk.
func (w *walking) View(_ *scene.Scene, width, height int) scene.Frame {
	return w.Model.View(width, height)
}

// Keys lists what works now.
func (w *walking) Keys(*scene.Scene) []scene.Key { return w.Model.Keys() }

// Title is what stands at the head.
func (w *walking) Title() (left, right string) {
	return "fishplate, walk: " + w.Model.Title(), w.State()
}

// ShortTitle is the same in a narrow window.
func (w *walking) ShortTitle() string { return w.Model.Title() }

// farewell says that the file was written on the way to the check or the hunt.
func (w *walking) farewell() string {
	if !w.savedFirst {
		return ""
	}
	return "saved in " + w.Path()
}

// save writes the file, and answers the walk.
func (w *walking) save(in walk.Save) tea.Cmd {
	save := w.o.Save
	if save == nil {
		save = func(string, []byte, bool) error { return errors.New("there is no place to save it") }
	}
	return func() tea.Msg { return walk.Saved{Save: in, Err: save(in.Path, in.Text, in.Over)} }
}

// keeper writes in order: a state that is older than the one written is
// dropped, whichever goroutine comes first.
type keeper struct {
	sync.Mutex
	last int
}

func (k *keeper) write(n int, do func() error) error {
	k.Lock()
	defer k.Unlock()
	if n < k.last {
		return nil
	}
	k.last = n
	return do()
}

// kept answers a Keep.
type kept struct{ err error }

// keep puts the walk by, one write at a time; what changes meanwhile is
// written after it.
func (w *walking) keep() tea.Cmd {
	n := w.Changes()
	if w.o.Keep == nil || w.busy || n == w.kept || w.Course() == nil || w.Path() == "" {
		return nil
	}
	w.busy, w.kept = true, n
	write := w.writer()
	return func() tea.Msg { return kept{w.keeper.write(n, write)} }
}

// writer gives the write for the walk as it is now; it shares nothing with
// the screen.
func (w *walking) writer() func() error {
	path, keep := w.Path(), w.o.Keep
	if !w.Changed() {
		return func() error { return keep(path, nil) }
	}
	k := w.Course().Kept()
	return func() error {
		data, err := k.Bytes()
		if err != nil {
			return err
		}
		return keep(path, data)
	}
}

// keepLast puts by what the end of the program may have cut off.
func (w *walking) keepLast() error {
	if w.o.Keep == nil || w.Course() == nil || w.Path() == "" {
		return nil
	}
	if err := w.keeper.write(w.Changes(), w.writer()); err != nil {
		return fmt.Errorf("what was entered could not be kept: %w", err)
	}
	return nil
}

// putBy takes the answer of a Keep.
func (w *walking) putBy(err error) tea.Cmd {
	w.busy, w.failed = false, ""
	if err != nil {
		w.failed = "what you enter cannot be kept on the way: " + err.Error() + " (w saves)"
	}
	return w.keep()
}

// remark is what was just said, else a keeping that failed.
func (w *walking) remark(t *style.Theme, width int) []string {
	switch s, bad := w.Said(); {
	case s != "" && !bad:
		return said(t, style.Label, s, width)
	case s != "":
		return said(t, style.Bad, "! "+s, width)
	case w.failed != "":
		return said(t, style.Bad, "! "+w.failed, width)
	}
	return nil
}

// Foot shows a remark and the keys worth knowing, on two lines where there is room.
func (w *walking) Foot(sc *scene.Scene, width, height int) []string {
	t := &sc.Theme
	most := 1
	if height >= 20 || width < 60 {
		most = 2
	}
	lines := w.remark(t, width)
	if len(lines) >= most {
		return lines
	}
	line := ""
	for _, h := range w.Hints(width) {
		room := width
		if len(lines) == most-1 {
			room -= len("  ? help")
		}
		if text.Width(line)+text.Width(h) > room {
			if len(lines) == most-1 {
				break
			}
			lines, line = append(lines, strings.TrimRight(line, " ")), ""
		}
		press, does, _ := strings.Cut(h, " ")
		line += t.Paint(style.Key, press) + " " + does + "  "
	}
	if w.HelpHere() {
		if text.Width(line)+len("? help") > width && len(lines) < most-1 {
			lines, line = append(lines, strings.TrimRight(line, " ")), ""
		}
		line += t.Paint(style.Key, "?") + " help"
	}
	return append(lines, strings.TrimRight(line, " "))
}
