// Package tui is the hunt as full-screen program. It draws and asks; what to
// ask and what to believe is the hunt's. Everything that touches files or the
// world comes in through Options. Whether there is a terminal at all is the
// caller's to find out.
//
// The root (app) only routes: keys to the screen that is shown, intents of the
// screens to the hunt, answers of the hunt back. A screen is a folder; screens
// know package scene and never each other. The hunt computes in commands, one
// at a time and in order; the screen before stays, marked as thinking.
package tui

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/lipgloss"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/around"
	"fishplate/tui/build"
	"fishplate/tui/drill"
	"fishplate/tui/health"
	"fishplate/tui/layouts"
	"fishplate/tui/panel"
	"fishplate/tui/piece"
	"fishplate/tui/quiz"
	"fishplate/tui/record"
	"fishplate/tui/scene"
	"fishplate/tui/style"
)

// Options is what the screens need to begin.
type Options struct {
	Layout     *track.Layout
	LayoutPath string // where it was read from, empty for the demo
	Demo       bool
	// Hunt is a hunt to go on with; nil starts a new one with Start.
	Hunt Hunter
	// Start makes a new hunt; nil means hunt.New on Layout.
	Start func(hunt.Kit) Hunter
	// Save is called with the journal after every event that went in, on a
	// goroutine of its own but never twice at once; nil: nothing is saved. An
	// error is shown and the hunt goes on.
	Save func(journal []byte) error
	// Symptom is what a new hunt begins with, where other work told it; nil: it is asked.
	Symptom *hunt.Symptom
	// Kit is what the user owns as far as is known; KitKnown says that it was
	// given (by a flag, by a resumed hunt) and need not be asked for.
	Kit      hunt.Kit
	KitKnown bool
	// KitTold says that something of it was: it is asked for from there, and
	// not from the recommended set.
	KitTold bool
	// Records is where the hunts of this layout are kept; nil: nowhere.
	Records record.Keeper
	// Drills is where drills come from; nil: nowhere. Drill, when given, is begun
	// at once; one with all fields empty shows the menu.
	Drills drill.Keeper
	Drill  *drill.Choice
	// KeepKit is told when the user changes the kit; may be nil.
	KeepKit func(hunt.Kit)
	ASCII   bool // nothing but 7-bit characters
	Light   bool // colours for a light background
	Big     bool // begin with the next reading in giant letters (g changes it)
	Bell    bool // ring when the next reading is here (ctrl+g changes it)
	FPS     int  // redraws a second at most; 0 means 30
	// OneKey is how long a lone 1 or 0 waits for more digits before it is
	// taken as beep or silent; 0 means 0.7 s.
	OneKey time.Duration
	// Greeting is shown at the foot until the first key ("resumed the hunt of
	// ...", "the demo; open your own with: fishplate FILE").
	Greeting string
	// Walk begins with the walk of a layout instead of a hunt; Layout is not
	// needed then. ToWalk gives the walk that a hunt's first screen leads to;
	// nil: there is none.
	Walk   *WalkOptions
	ToWalk func() (Options, error)
	// Health, Build, Piece and Panel begin with work around the hunt instead of one;
	// Onward gives the hunt that it leads to.
	Health *health.Options
	Build  *build.Options
	Piece  *piece.Options
	Panel  *panel.Options
	Quiz   *quiz.Options // a drill before a class, which leads nowhere
	Onward func() (Options, error)
	// Around lists such work to a hunt's first screen, and ToAround goes there; Home is
	// where it is left to, nil: out of the program.
	Around   []around.Row
	ToAround func(scene.ID) (Options, error)
	// Page is the check, the wiring or the odds of the layout, as text of a width; nil:
	// there are none.
	Page func(id scene.ID, width int) (string, error)
	Home func() (Options, error)
	// Layouts begins with the layouts near by, of which Pick opens the Nth row; Layout is
	// not needed then.
	Layouts *layouts.Options
	Pick    func(n int) (Options, error)
	// Close is called when these screens are left, for others or at the end; may
	// be nil.
	Close func() error
	// Tour gives what the tour of one minute runs on (Layout, Start and Kit
	// count); nil: there is none. FirstRun begins with it; TourSeen is told
	// when it was left, and may be nil.
	Tour     func() Options
	FirstRun bool
	TourSeen func()
	// Input and Output are the terminal; nil means stdin and stdout.
	Input  io.Reader
	Output *os.File
}

// around is the screen that is begun with in the place of a hunt; nil for none.
func (o *Options) around() (scene.ID, screen) {
	switch {
	case o.Health != nil:
		return scene.Health, health.New(*o.Health)
	case o.Build != nil && o.Build.Proof.Plan.Portable:
		return scene.Setup, build.New(*o.Build)
	case o.Build != nil:
		return scene.Build, build.New(*o.Build)
	case o.Piece != nil:
		return scene.Piece, piece.New(*o.Piece)
	case o.Panel != nil:
		return scene.Panel, panel.New(*o.Panel)
	case o.Layouts != nil:
		return scene.Layouts, layouts.New(*o.Layouts)
	case o.Quiz != nil:
		return scene.Quiz, quiz.New(*o.Quiz)
	}
	return "", nil
}

func (o *Options) defaults() {
	if o.Start == nil {
		l := o.Layout
		o.Start = func(k hunt.Kit) Hunter { return hunt.New(l, k) }
	}
	if o.OneKey <= 0 {
		o.OneKey = usualWait
	}
	if o.FPS <= 0 {
		o.FPS = 30
	}
	if o.Output == nil {
		o.Output = os.Stdout
	}
}

func (o *Options) theme() style.Theme { return style.New(lipgloss.ColorProfile(), o.Light) }

// Run shows the screens until the user leaves or ctx is done (cancel it on
// SIGHUP: the framework handles SIGINT and SIGTERM itself). The terminal is
// put back in every case. A mistake of ours comes back as a *Crash.
func Run(ctx context.Context, o Options) error {
	if o.Layout == nil && o.Walk == nil && o.Layouts == nil {
		return errors.New("no layout to hunt on")
	}
	o.defaults()
	a := newApp(o)
	out := &output{File: o.Output, cursor: a.cursor, gap: gapAt(o.FPS)}
	g := &guard{app: a, out: out}
	// The framework's clock paints nothing that is not painted yet (see output), so
	// that it runs at its slowest: at 120 a second it took 0.7 % of a processor.
	opts := []tea.ProgramOption{tea.WithContext(ctx), tea.WithAltScreen(), tea.WithFPS(1), tea.WithOutput(out)}
	switch in := o.Input.(type) {
	case nil:
	case *os.File:
		opts = append(opts, tea.WithInput(guardPaste(in)))
	default:
		opts = append(opts, tea.WithInput(in))
	}
	_, err := tea.NewProgram(g, opts...).Run()
	a.close()
	kept := errors.Join(a.ended...)
	switch {
	case g.crash != nil:
		return errors.Join(g.crash, kept)
	case err == nil, errors.Is(err, tea.ErrInterrupted):
		return kept
	case errors.Is(err, tea.ErrProgramPanic):
		return errors.Join(&Crash{Where: "the terminal framework", What: err.Error()}, kept)
	case errors.Is(err, tea.ErrProgramKilled) && ctx.Err() != nil:
		return errors.Join(ctx.Err(), kept)
	}
	return errors.Join(fmt.Errorf("the screen could not be used: %w", err), kept)
}
