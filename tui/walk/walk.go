// Package walk is the screen on which a layout is walked in: the user goes
// along the track and presses a key for what lies there, while the map grows.
// It edits a course.Course; saving, keeping and leaving go up as intents, so
// the screen touches no file and needs no terminal.
package walk

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/course"
	"fishplate/tui/draw"
	"fishplate/tui/scene"
	"fishplate/tui/style"
)

// Construction is a way in which track is made, to choose from.
type Construction struct{ Name, About string }

// Setup is what the screen begins with.
type Setup struct {
	// Course is a layout to go on with; nil asks for a new one.
	Course *course.Course
	// Path is where the layout is saved; empty asks for it.
	Path string
	// Exists says that Path is there already: its text is the course's base.
	Exists bool
	// Shape, when it is not empty, is the shape that a new layout begins with.
	Shape         string
	Constructions []Construction
	Metric        bool // proposed for a new layout
	// SizesIn and SizesMM are those used last, for a new layout in inches and
	// in millimeters; may be nil.
	SizesIn, SizesMM *course.Sizes
	// CanCheck says that there is a check to go on to.
	CanCheck bool
	// Greeting is shown until the first key.
	Greeting string
	ASCII    bool
	Theme    style.Theme
}

// Goal is where the user wants to go from here.
type Goal string

// The goals.
const (
	Quit  Goal = ""
	Hunt  Goal = "hunt"
	Check Goal = "check"
)

// Intents that go up to whoever runs the screen.
type (
	// Save asks for the text to be written. Over says that what is there may
	// be overwritten. The answer is Saved.
	Save struct {
		Path string
		Text []byte
		Over bool
	}
	// Leave ends the screen.
	Leave struct{ Goal Goal }
)

// ErrExists says that a file is there that the user has not agreed to
// overwrite, or that changed behind our back.
var ErrExists = errors.New("there is a file of that name, and it is not the one that was opened here")

// Saved is the answer to Save.
type Saved struct {
	Save Save
	Err  error
}

// Model is the screen's own state.
type Model struct {
	saying
	course  *course.Course
	set     Setup
	panel   panel
	count   string // digits typed
	swap    bool   // the next piece takes the place of the one behind
	pad     bool   // digits are pieces
	last    string // the piece laid last, for "the same again"
	zoom    float64
	saved   []byte // what stands in the file; nil: nothing yet
	agreed  bool   // the file may be overwritten
	savedAt int    // the version of the course that stands in the file, -1 for none
	saving  int    // the version that is being saved
	goal    *Goal  // where to go when it is saved
	wire    string // proposed for the next feeder
	length  string
	outlet  string // likewise: "supply T1"
	grid    *draw.Grid
	named   []string // what a new layout was said to be, for when it is asked again
	origin  *form    // the sizes of the shape that it began with
	once    bool     // Enter has just taken an answer: one too many lays nothing
	change  int      // goes up with every key that may have changed the course
}

// New makes the screen.
func New(s Setup) *Model {
	m := &Model{set: s, course: s.Course, saying: saying{say: s.Greeting}, wire: "16 AWG", length: "6 ft", zoom: 1,
		agreed: !s.Exists, savedAt: -1}
	if s.Course == nil {
		m.panel = m.starter().startPanel()
		return m
	}
	if s.Exists {
		m.saved = s.Course.Base()
		if bytes.Equal(m.saved, s.Course.Text()) {
			m.savedAt = s.Course.Version()
		}
	}
	return m
}

// Course is the layout as it stands; nil before one was begun.
func (m *Model) Course() *course.Course { return m.course }

// Path is where it is saved.
func (m *Model) Path() string { return m.set.Path }

// Changes goes up whenever there may be something new to keep.
func (m *Model) Changes() int { return m.change }

// Unsaved says that the file does not hold what was entered.
func (m *Model) Unsaved() bool {
	switch {
	case m.course == nil || m.course.Empty() && m.saved == nil:
		return false
	case m.saved == nil:
		return true
	case m.savedAt == m.course.Version():
		return false
	case !bytes.Equal(m.saved, m.course.Text()):
		return true
	}
	m.savedAt = m.course.Version()
	return false
}

// large is the number of pieces from which on the text of the file is not
// written at every key.
const large = 1000

// Changed is Unsaved, but in large layouts what was changed and changed back
// by hand counts as changed, too.
func (m *Model) Changed() bool {
	if m.course != nil && m.saved != nil && m.course.Pieces() > large {
		return m.savedAt != m.course.Version()
	}
	return m.Unsaved()
}

// saying is the line that answers the last key.
type saying struct {
	say string
	bad bool // it is a mistake
}

func (s *saying) tell(format string, a ...any) { s.say, s.bad = fmt.Sprintf(format, a...), false }
func (s *saying) fault(what string)            { s.say, s.bad = what, true }

func (s *saying) check(err error) bool {
	if err != nil {
		s.fault(err.Error())
		return false
	}
	return true
}

// laid counts the pieces, -1 before there is a layout.
func (m *Model) laid() int {
	if m.course == nil {
		return -1
	}
	return m.course.Pieces()
}

// Update takes a message and gives back what to do.
func (m *Model) Update(msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case Saved:
		return m.wasSaved(msg)
	case tea.MouseMsg:
		m.click(msg)
	case tea.KeyMsg:
		m.change++
		m.say, m.bad = "", false
		enter := msg.Type == tea.KeyEnter
		if m.panel != nil {
			before := m.laid()
			m.once = false
			out := m.panel.key(m, msg)
			takes := enter || msg.String() == "+"
			m.once = m.once || takes && m.panel == nil && before >= 0 && before == m.laid()
			return out
		}
		if m.once && enter {
			m.once = false
			m.tell("Enter lays the same piece again: once more, if you mean it")
			return nil
		}
		m.once = false
		if m.course == nil {
			m.panel = m.starter().startPanel()
			return nil
		}
		return m.key(msg.String())
	}
	return nil
}

func (m *Model) key(s string) tea.Msg {
	if m.pad {
		if out, ok := m.padKey(s); ok {
			return out
		}
	} else if len(s) == 1 && s[0] >= '0' && s[0] <= '9' {
		if len(m.count) < 3 && (s != "0" || m.count != "") {
			m.count += s
		}
		return nil
	}
	if a := actions[s]; a != nil {
		n := 1
		if m.count != "" {
			n, _ = strconv.Atoi(m.count) // three digits at most
		}
		m.count = ""
		return a(m, n)
	}
	m.fault("the key " + s + " does nothing here; ? lists those that do")
	return nil
}

// actions is what the keys do; n is the count typed before.
var actions map[string]func(m *Model, n int) tea.Msg

func init() { // the actions open panels, which know the actions
	actions = map[string]func(m *Model, n int) tea.Msg{
		"s": lays(track.Straight, 0), "l": lays(track.Curve, 1), "r": lays(track.Curve, -1), "b": lays(track.Bumper, 0),
		"t": turnout(false), "j": turnout(true), "x": crossing, "enter": again,
		"S": sized(track.Straight, 0), "L": sized(track.Curve, 1), "R": sized(track.Curve, -1),
		"T": sized(track.Turnout, 0), "J": sized(track.Turnout, 0), "X": sized(track.Crossing, 0),
		"f": feeder, "i": insulated, "h": hidden, "m": landmark, "n": note, "a": named, "y": takeAway, "p": power,
		"M": board,
		"c": joinEnd, "d": branch(false), "D": branch(true), "v": via, "o": openEnd, "e": swap, ":": words,
		"backspace": deleteBehind, "delete": deleteAhead, "u": undo, "U": redo, "ctrl+y": redo, "ctrl+r": redo,
		"left": move(-1), "right": move(1), "pgup": move(-10), "pgdown": move(10), "up": otherRun(-1),
		"down": otherRun(1),
		"home": toEnd(false), "end": toEnd(true), "/": jump, "!": troubles, "z": sizes, "tab": more, "*": padOn,
		"+": zoom(1.5), "=": zoom(1.5), "-": zoom(1 / 1.5), "_": zoom(1 / 1.5),
		"w": write, "ctrl+s": write, "q": leave, "g": goOn(Hunt), "k": goOn(Check), "?": help, "esc": escape,
	}
}

// Keys lists what works now; the hints are the footer's, best first.
func (m *Model) Keys() []scene.Key {
	switch {
	case m.panel != nil:
		return m.panel.keys()
	case m.course == nil:
		return nil
	}
	return m.walkKeys()
}

func zoom(by float64) func(*Model, int) tea.Msg {
	return func(m *Model, _ int) tea.Msg {
		m.zoom = min(max(m.zoom*by, 1), 40)
		return nil
	}
}

func escape(m *Model, _ int) tea.Msg {
	switch {
	case m.swap:
		m.swap = false
		m.tell("nothing changed")
	default:
		m.tell("q leaves; what you entered is kept")
	}
	return nil
}

// undo takes steps back; before the first one of a ready shape lie its sizes.
func undo(m *Model, n int) tea.Msg {
	if m.course.Undos() == 0 && m.origin != nil && m.saved == nil {
		m.panel = m.origin
		m.tell("back to the sizes of the shape")
		return nil
	}
	return m.back(n, m.course.Undo, "taken back", "nothing is left to take back")
}

func redo(m *Model, n int) tea.Msg {
	return m.back(n, m.course.Redo, "made again", "nothing to make again")
}

func padOn(m *Model, _ int) tea.Msg {
	m.pad = !m.pad
	m.tell("%s", padSays[m.pad])
	return nil
}

func (m *Model) back(n int, step func() string, did, none string) tea.Msg {
	what := ""
	for ; n > 0; n-- {
		s := step()
		if s == "" {
			break
		}
		what = s
	}
	if what == "" {
		m.fault(none)
	} else {
		m.tell("%s: %s", did, what)
	}
	return nil
}

var padSays = map[bool]string{true: "number pad: 8 ahead, 7 9 curves, 4 6 turnouts, / all else",
	false: "digits are counts again: 8 then l lays eight curves to the left"}
