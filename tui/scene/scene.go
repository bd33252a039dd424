// Package scene is what the root and the screens have in common: the snapshot
// that a screen draws from, and the intents that it sends up. Screens know
// this package and never each other.
package scene

import (
	"strings"

	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/style"
)

// ID names a screen.
type ID string

// The screens.
const (
	Symptom  ID = "symptom"
	Kit      ID = "kit"
	Caution  ID = "caution"
	Hunt     ID = "hunt"
	Why      ID = "why"
	Inspect  ID = "inspect"
	Done     ID = "done"
	Evidence ID = "evidence"
	Records  ID = "records"
	Drill    ID = "drill"
	Help     ID = "help"
	Tour     ID = "tour" // the root's own: it runs screens inside
	Walk     ID = "walk"
	Around   ID = "around" // the list of the work around the hunt
	Health   ID = "health"
	Build    ID = "build"
	Setup    ID = "setup" // the boards of a portable layout
	Piece    ID = "piece"
	Panel    ID = "panel"
	Quiz     ID = "quiz"
	Layouts  ID = "layouts" // those near by
	Check    ID = "check"   // of a layout's design
	Wiring   ID = "wiring"  // every wire, and what to buy
	Odds     ID = "odds"    // what proven hunts say
)

// Scene is a snapshot: screens read it and change nothing in it.
type Scene struct {
	Layout *track.Layout
	Path   string // of the layout file, empty for the demo
	Demo   bool
	View   hunt.View
	Kit    hunt.Kit
	// Held is the symptom as told, while the kit is being asked for.
	Held  *hunt.Event
	Theme style.Theme
	ASCII bool
	// Busy says that the hunt is computing: View is the one from before.
	Busy bool
	// Warned says that the first reading's cautions were shown in full.
	Warned bool
	// Bell says that the terminal rings when the next reading is here.
	Bell bool
	// Mouse says that clicks are ours (and not the terminal's for selecting).
	Mouse bool
}

// Key is one line of help: what a key does here now.
type Key struct {
	Press string
	Does  string
	Off   string // why it does nothing now, empty when it works
	Hint  string // how the footer says it ("u undo"), empty: not there
}

// Foot is the key as the footer has it: disabled where it does nothing now.
func (k *Key) Foot() key.Binding {
	press, does, _ := strings.Cut(k.Hint, " ")
	b := key.NewBinding(key.WithKeys(press), key.WithHelp(press, does))
	b.SetEnabled(k.Hint != "" && k.Off == "")
	return b
}

// Looked reads "found main 3" and "notfound main 3": what eyes saw of a piece,
// typed on any screen with a line.
func Looked(typed string) (hunt.Event, bool) {
	word, piece, _ := strings.Cut(strings.TrimSpace(typed), " ")
	piece = strings.TrimSpace(piece)
	switch word = strings.ToLower(word); {
	case word == "found" && piece != "":
		return hunt.Event{Found: piece}, true
	case word == "notfound" && piece != "":
		return hunt.Event{NotFound: piece}, true
	}
	return hunt.Event{}, false
}

// Frame is what a screen draws: at most the given number of lines, and where
// the terminal's cursor belongs (Y < 0: nowhere).
type Frame struct {
	Lines []string
	X, Y  int
}

// Intents go up from screens to the root, as what their Update returns. The
// root acts on one before the next key, so fast typing means what slow typing
// means; no screen starts a command of its own.
type (
	// Open asks for another screen; Back goes to the one before.
	Open struct{ ID ID }
	// Back leaves a screen.
	Back struct{}
	// Do hands an event to the hunt. The screen that sent it gets Taken or
	// Refused.
	Do struct{ Event hunt.Event }
	// Without asks what would be believed without a reading; the screen gets
	// WithoutIs.
	Without struct{ N int }
	// SetKit says what the user owns.
	SetKit struct{ Kit hunt.Kit }
	// Onward asks for the hunt that a screen's work leads to.
	Onward struct{}
	// Quit leaves the program.
	Quit struct{}
	// Soon presses Enter in a moment, unless another key comes first: the line is a
	// whole answer, and no number begins with it.
	Soon struct{}
	// Work does something slow outside the hunt, on a goroutine of its own; what
	// it gives comes back to the screen as a message.
	Work struct{ Do func() tea.Msg }
	// Export asks for the report of the hunt, form "html" or "md".
	Export struct{ Form string }
	// Say shows a line at the foot of the screen until the next key.
	Say struct{ Text string }
)

// Answers come down from the root to the screen that sent a Do.
type (
	// Shown says that the screen was just opened.
	Shown struct{}
	// Taken says that the event went in.
	Taken struct{ Event hunt.Event }
	// Refused says what is wrong with it.
	Refused struct {
		Event hunt.Event
		Err   error
	}
	// WithoutIs is what would be believed without reading N.
	WithoutIs struct {
		N    int
		View hunt.View
		Err  error
	}
)
