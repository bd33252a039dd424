package tui

import (
	"fmt"
	"runtime/debug"

	tea "github.com/charmbracelet/bubbletea"
)

// Crash is a mistake of ours that ended the screens. The terminal is as it
// was before, and the hunt is saved up to its last answer.
type Crash struct {
	Where string // what was running: "a key", "the hunt", ...
	What  string // the panic's own words
	Stack string // where in the program
}

// Error implements error.
func (c *Crash) Error() string {
	return "the program stopped on a mistake of its own, in " + c.Where + ": " + c.What
}

// Report is the whole story, for whoever mends the program.
func (c *Crash) Report() string { return c.Error() + "\n\n" + c.Stack }

// guard stands between the framework and the root. It catches every panic, of
// a command's goroutine too, keeps its story and leaves in the ordinary way,
// so that the terminal is put back before anything is said.
type guard struct {
	app   *app
	frame string // drawn in Update, where a panic can still end the program
	crash *Crash
	out   *output // may be nil
}

// crashed is how a panic in a command comes home.
type crashed struct{ crash *Crash }

func caught(where string, what any) *Crash {
	return &Crash{Where: where, What: fmt.Sprint(what), Stack: string(debug.Stack())}
}

// Init implements tea.Model.
func (g *guard) Init() (c tea.Cmd) {
	defer func() {
		if r := recover(); r != nil {
			g.crash, c = caught("the start", r), tea.Quit
		}
	}()
	return watch(g.app.Init())
}

// Update implements tea.Model.
func (g *guard) Update(msg tea.Msg) (m tea.Model, c tea.Cmd) {
	m = g
	if in, ok := msg.(crashed); ok && g.crash == nil {
		g.crash = in.crash
	}
	if g.crash != nil {
		return g, tea.Quit
	}
	if _, late := msg.(repaint); late {
		g.out.catchUp()
		return g, nil
	}
	defer func() {
		if r := recover(); r != nil {
			g.crash, c = caught(fmt.Sprintf("screen %s (%T)", g.app.at, msg), r), tea.Quit
		}
	}()
	_, c = g.app.Update(msg)
	g.frame = g.app.View()
	if _, resized := msg.(tea.WindowSizeMsg); resized {
		g.out.forget()
	}
	return g, tea.Batch(watch(c), g.out.show(g.frame, g.app.w))
}

// View implements tea.Model.
func (g *guard) View() string { return g.frame }

// watch catches a panic in a command, and in those that it starts.
func watch(c tea.Cmd) tea.Cmd {
	if c == nil {
		return nil
	}
	return func() (m tea.Msg) {
		defer func() {
			if r := recover(); r != nil {
				m = crashed{caught("the background", r)}
			}
		}()
		m = c()
		if b, ok := m.(tea.BatchMsg); ok {
			for i := range b {
				b[i] = watch(b[i])
			}
		}
		return m
	}
}
