package tui

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"
	"sync"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"

	"fishplate/layoutfile/course"
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
	Light     bool // colours for a light background
	FPS       int  // redraws a second at most; 0 means 30
	// Input and Output are the terminal; nil means stdin and stdout.
	Input  io.Reader
	Output *os.File
}

// Walked is how the walk ended.
type Walked struct {
	Goal walk.Goal // where the user wants to go on to
	Path string    // of the layout file
	// Course is the layout as it was left, with its place and history, to come
	// back to; nil where none was begun.
	Course *course.Course
}

// Walk shows the walk screen until the user leaves it or ctx is done. A mistake
// of ours comes back as a *Crash; what was entered is kept all the same.
func Walk(ctx context.Context, o WalkOptions) (Walked, error) {
	if o.FPS <= 0 {
		o.FPS = 30
	}
	if o.Output == nil {
		o.Output = os.Stdout
	}
	a := newWalkApp(o)
	a.out = &output{File: o.Output, cursor: a.cursor, gap: gapAt(o.FPS)}
	opts := []tea.ProgramOption{tea.WithContext(ctx), tea.WithAltScreen(), tea.WithFPS(o.FPS), tea.WithOutput(a.out)}
	if o.Input != nil {
		opts = append(opts, tea.WithInput(o.Input))
	}
	_, err := tea.NewProgram(a, opts...).Run()
	kept := a.keepLast()
	switch {
	case a.crash != nil:
		return Walked{Path: a.walk.Path()}, errors.Join(a.crash, kept)
	case errors.Is(err, tea.ErrProgramPanic):
		return Walked{Path: a.walk.Path()}, errors.Join(&Crash{Where: "the terminal framework", What: err.Error()}, kept)
	case errors.Is(err, tea.ErrProgramKilled) && ctx.Err() != nil:
		return Walked{}, errors.Join(ctx.Err(), kept)
	case err != nil && !errors.Is(err, tea.ErrInterrupted):
		return Walked{}, errors.Join(fmt.Errorf("the screen could not be used: %w", err), kept)
	}
	if c := a.walk.Course(); c != nil && o.KeepSizes != nil {
		o.KeepSizes(c.Sizes, c.State().Metric)
	}
	if s := a.farewell(); s != "" {
		_, err := fmt.Fprintln(o.Output, s)
		kept = errors.Join(kept, err)
	}
	return Walked{Goal: a.goal, Path: a.walk.Path(), Course: a.walk.Course()}, kept
}

// farewell says on the ordinary screen that the file was written on the way to
// the check or the hunt: the walk's own screen is gone by then.
func (a *walkApp) farewell() string {
	if !a.savedFirst {
		return ""
	}
	return fmt.Sprintf("saved in %s, then on to the %s", a.walk.Path(), a.goal)
}

// walkApp is the root of the walk screen: it routes keys, and runs saving and
// keeping in commands.
type walkApp struct {
	o      WalkOptions
	walk   *walk.Model
	cursor *cursor
	out    *output // nil without a terminal
	w, h   int
	frame  string
	mouse  bool // clicks are ours
	goal   walk.Goal
	// savedFirst says that the file was written because the goal needed it.
	savedFirst bool
	keeper     keeper
	busy       bool // a Keep is on its way
	kept       int  // the change that was kept last
	failed     string
	crash      *Crash
}

func newWalkApp(o WalkOptions) *walkApp {
	o.Setup.Theme = style.New(lipgloss.ColorProfile(), o.Light)
	return &walkApp{o: o, walk: walk.New(o.Setup), cursor: &cursor{}}
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

// Init does nothing: the screen waits for keys.
func (a *walkApp) Init() tea.Cmd { return nil }

// Update routes, and ends the program in the ordinary way on a mistake of
// ours, so that the terminal is put back and the walk is kept.
func (a *walkApp) Update(msg tea.Msg) (m tea.Model, c tea.Cmd) {
	m = a
	if in, ok := msg.(crashed); ok && a.crash == nil {
		a.crash = in.crash
	}
	if a.crash != nil {
		return a, tea.Quit
	}
	if _, late := msg.(repaint); late {
		a.out.catchUp()
		return a, nil
	}
	defer func() {
		if r := recover(); r != nil {
			a.crash, c = caught(fmt.Sprintf("the walk (%T)", msg), r), tea.Quit
		}
	}()
	c = watch(a.route(msg))
	a.frame = a.draw()
	if _, resized := msg.(tea.WindowSizeMsg); resized {
		a.out.forget()
	}
	return a, tea.Batch(c, a.out.show(a.frame, a.w))
}

// View gives the frame that was drawn in Update, where a panic can still end
// the program.
func (a *walkApp) View() string { return a.frame }

func (a *walkApp) route(msg tea.Msg) tea.Cmd {
	switch msg := msg.(type) {
	case tea.WindowSizeMsg:
		a.w, a.h = msg.Width, msg.Height
	case tea.KeyMsg:
		var all []tea.Cmd
		for _, k := range oneByOne(msg) {
			all = append(all, a.key(k))
		}
		return tea.Batch(append(all, a.keep())...)
	case tea.MouseMsg:
		return a.act(a.walk.Update(msg))
	case walk.Saved:
		c := a.act(a.walk.Update(msg))
		a.savedFirst = msg.Err == nil && a.goal != walk.Quit
		return tea.Batch(c, a.keep())
	case kept:
		a.busy, a.failed = false, ""
		if msg.err != nil {
			a.failed = "what you enter cannot be kept on the way: " + msg.err.Error() + " (w saves)"
		}
		return a.keep()
	}
	return nil
}

// oneByOne takes runes apart that came in one read; a paste stays whole.
func oneByOne(k tea.KeyMsg) []tea.KeyMsg {
	if k.Type != tea.KeyRunes || k.Paste || len(k.Runes) < 2 {
		return []tea.KeyMsg{k}
	}
	var all []tea.KeyMsg
	for _, r := range k.Runes {
		one := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}, Alt: k.Alt}
		if r == ' ' {
			one.Type = tea.KeySpace
		}
		all = append(all, one)
	}
	return all
}

func (a *walkApp) key(k tea.KeyMsg) tea.Cmd {
	switch k.String() {
	case "ctrl+c":
		return tea.Quit
	case "ctrl+z":
		return tea.Suspend
	}
	if tooSmall(a.w, a.h) { // a key pressed blind would lay a piece
		return nil
	}
	switch k.String() {
	case "ctrl+t":
		a.mouse = !a.mouse
		if a.mouse {
			return tea.EnableMouseCellMotion
		}
		return tea.DisableMouse
	}
	return a.act(a.walk.Update(k))
}

// act does what the screen asked for.
func (a *walkApp) act(intent tea.Msg) tea.Cmd {
	switch in := intent.(type) {
	case walk.Save:
		save := a.o.Save
		if save == nil {
			save = func(string, []byte, bool) error { return errors.New("there is no place to save it") }
		}
		return func() tea.Msg { return walk.Saved{Save: in, Err: save(in.Path, in.Text, in.Over)} }
	case walk.Leave:
		a.goal = in.Goal
		return tea.Quit
	}
	return nil
}

// keep puts the walk by, one write at a time; what changes meanwhile is
// written after it.
func (a *walkApp) keep() tea.Cmd {
	n := a.walk.Changes()
	if a.o.Keep == nil || a.busy || n == a.kept || a.walk.Course() == nil || a.walk.Path() == "" {
		return nil
	}
	a.busy, a.kept = true, n
	write := a.writer()
	return func() tea.Msg { return kept{a.keeper.write(n, write)} }
}

// writer gives the write for the walk as it is now; it shares nothing with
// the screen.
func (a *walkApp) writer() func() error {
	path, keep := a.walk.Path(), a.o.Keep
	if !a.walk.Changed() {
		return func() error { return keep(path, nil) }
	}
	k := a.walk.Course().Kept()
	return func() error {
		data, err := k.Bytes()
		if err != nil {
			return err
		}
		return keep(path, data)
	}
}

// keepLast puts by what the end of the program may have cut off.
func (a *walkApp) keepLast() error {
	if a.o.Keep == nil || a.walk.Course() == nil || a.walk.Path() == "" {
		return nil
	}
	if err := a.keeper.write(a.walk.Changes(), a.writer()); err != nil {
		return fmt.Errorf("what was entered could not be kept: %w", err)
	}
	return nil
}

// draw draws the screen, clamped to the window.
func (a *walkApp) draw() string {
	if a.w < 1 || a.h < 1 {
		return ""
	}
	if tooSmall(a.w, a.h) {
		a.cursor.set(-1, -1)
		return saysTooSmall(a.w, a.h)
	}
	foot := a.footer()
	room := a.h - 1 - len(foot)
	f := a.walk.View(a.w, room)
	lines := []string{a.header()}
	for i := 0; i < room; i++ {
		if i < len(f.Lines) {
			lines = append(lines, f.Lines[i])
		} else {
			lines = append(lines, "")
		}
	}
	lines = append(lines, foot...)
	for i := range lines {
		if a.o.ASCII {
			lines[i] = text.ASCII(lines[i])
		}
		lines[i] = clampLine(lines[i], a.w)
	}
	if f.Y >= 0 && f.Y < room {
		a.cursor.set(min(max(f.X, 0), a.w-1), f.Y+1)
	} else {
		a.cursor.set(-1, -1)
	}
	return strings.Join(lines, "\n")
}

func (a *walkApp) theme() *style.Theme { return &a.o.Setup.Theme }

func (a *walkApp) header() string {
	t := a.theme()
	left, right := a.walk.Title(), a.walk.State()
	if a.w >= 60 {
		left = "fishplate, walk: " + left
	}
	return t.Paint(style.Title, text.Fit(left, a.w-text.Width(right)-2)) + "  " + t.Paint(style.Dim, right)
}

// footer shows what was just said, else a keeping that failed, else the keys
// worth knowing, on two lines where there is room.
func (a *walkApp) footer() []string {
	t := a.theme()
	if s, bad := a.walk.Said(); s != "" {
		if bad {
			return said(t, style.Bad, "! "+s, a.w)
		}
		return said(t, style.Warn, s, a.w)
	}
	if a.failed != "" {
		return said(t, style.Bad, "! "+a.failed, a.w)
	}
	most := 1
	if a.h >= 20 || a.w < 60 {
		most = 2
	}
	var lines []string
	line := ""
	for _, h := range a.walk.Hints(a.w) {
		room := a.w
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
	if a.walk.HelpHere() {
		if text.Width(line)+len("? help") > a.w && len(lines) < most-1 {
			lines, line = append(lines, strings.TrimRight(line, " ")), ""
		}
		line += t.Paint(style.Key, "?") + " help"
	}
	return append(lines, strings.TrimRight(line, " "))
}

// WalkSnapshot shows the walk screen without a terminal, as Snapshot does for
// the hunt.
func WalkSnapshot(o WalkOptions, w, h int, keys ...string) string {
	a := newWalkApp(o)
	typeInto(a, w, h, keys)
	return a.View()
}
