// Package drill is the screen of the drill: a hidden fault, a meter and a
// coach. One chooses what to practise, works on the track by typing or on the
// map, and looks back at the end. The drill itself is package diagnose/drill's;
// where lessons, saves and records are is the Keeper's.
//
// A sitting computes on goroutines of the root (scene.Work), one at a time.
// What is drawn is a snapshot made there: the screen never touches the sitting
// itself while it may be at work.
package drill

import (
	"errors"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/drill/sitting"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// Lesson is a line of the list of lessons.
type Lesson struct {
	Number int
	Title  string
	Goal   string
	Passed bool // by the records
}

// Choice is what to practise: a lesson, or a fault in the layout.
type Choice struct {
	Lesson     string // the number of one of ours, or a file; empty: none
	Resume     bool   // go on with the drill that was left
	Class      int
	Fault      string
	Difficulty string
	// Minutes is of drill.Lengths, 0 for none; it goes before Fault and Difficulty.
	Minutes int
	Coach   string
}

// Keeper is where drills come from and go to. Its methods may take long and are
// called away from the screen's own goroutine, never two at once.
type Keeper interface {
	Lessons() ([]Lesson, error)
	Begin(Choice) (*sitting.Sitting, error)
	// Kept gives the drill that was left, nil when there is none.
	Kept() (*sitting.Sitting, error)
	Save(*sitting.Sitting) error
	// Done puts the drill on record and looks back on it. With an error the
	// debrief is there all the same, where it could be made.
	Done(*sitting.Sitting) (*debrief.Debrief, error)
	Progress() ([]string, error)
}

// page is what the screen shows.
type page uint8

const (
	inMenu page = iota
	inIntro
	inPlay
	inDebrief
	inProgress
)

// Model is the screen's own state.
type Model struct {
	keeper Keeper
	begin  *Choice // begun as soon as the screen is shown
	home   bool    // these screens were begun for the drill: behind its menu there is nothing
	page   page
	busy   bool
	fault  string
	// The menu.
	row     int
	choice  Choice
	lessons []Lesson
	count   int // how many lessons there are, once they were listed
	// The drill.
	sit   *sitting.Sitting
	snap  snapshot
	input text.Input
	history
	typedAhead []string // lines entered while the one before was worked out, in order
	leaving    bool     // whether to leave is being asked
	unsaved    bool     // the last act could not be saved
	talk       []sitting.Line
	onMap      bool // keys go to the map
	narrow     tab
	plan       plan.Model
	hand       hand
	mapX       int
	mapY       int
	scroll     text.Scroll
	follow     bool // the talk shows its end
	from       int  // else, once, the talk shows from this line of it on; -1: where it is
	// Looking back.
	lines []string
}

// tab is what a narrow window shows.
type tab uint8

const (
	tabTalk tab = iota
	tabMap
)

// New makes the screen. begin, when given, is begun at once.
func New(k Keeper, begin *Choice) *Model {
	return &Model{keeper: k, begin: begin, home: begin != nil, input: text.NewInput(),
		choice: Choice{Difficulty: "usual", Coach: "hint"}}
}

// Typing says that letters go into the line of input.
func (m *Model) Typing() bool { return m.page == inPlay && (!m.onMap || m.plan.Finding()) }

// What work comes home as.
type (
	listed struct {
		lessons []Lesson
		err     error
	}
	seated struct {
		sit  *sitting.Sitting
		snap snapshot
		err  error
	}
	acted struct {
		lines   []sitting.Line
		snap    snapshot
		changed bool
		err     error // from saving
	}
	ended struct {
		back  *debrief.Debrief
		count int // of lessons
		err   error
	}
	showed struct {
		lines []string
		err   error
	}
)

// work has something slow done.
func (m *Model) work(do func(Keeper) tea.Msg) tea.Msg {
	switch {
	case m.keeper == nil:
		return scene.Say{Text: "there is nothing to practise here: begin with fishplate drill"}
	case m.busy:
		return scene.Say{Text: "still thinking: press it again in a moment"}
	}
	m.busy, m.fault = true, ""
	k := m.keeper
	return scene.Work{Do: func() tea.Msg { return do(k) }}
}

// Update takes a message and gives back what to do.
func (m *Model) Update(sc *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case scene.Shown:
		return m.shown()
	case listed:
		m.busy, m.lessons, m.count = false, msg.lessons, len(msg.lessons)
		m.say(msg.err)
	case seated:
		m.seat(msg)
	case acted:
		return m.acted(msg)
	case ended:
		m.ended(msg)
	case showed:
		m.busy, m.lines = false, msg.lines
		m.say(msg.err)
	case tea.MouseMsg:
		m.click(msg)
	case tea.KeyMsg:
		return m.key(sc, msg)
	}
	return nil
}

func (m *Model) say(err error) {
	if err != nil {
		m.fault = err.Error()
	}
}

func (m *Model) shown() tea.Msg {
	switch {
	case m.busy || m.page != inMenu:
		return nil
	case m.begin != nil && *m.begin != (Choice{}):
		c := *m.begin
		m.begin = nil
		if m.choice = c; c.Resume {
			return m.kept()
		}
		return m.start(c)
	case m.lessons == nil:
		return m.work(func(k Keeper) tea.Msg {
			l, err := k.Lessons()
			return listed{l, err}
		})
	}
	return nil
}

// kept takes up the drill that was left.
func (m *Model) kept() tea.Msg {
	return m.work(func(k Keeper) tea.Msg {
		s, err := k.Kept()
		if err == nil && s == nil {
			err = errors.New("no drill was left to go on with")
		}
		if err != nil {
			return seated{err: err}
		}
		return seated{sit: s, snap: snap(s)}
	})
}

// start hides a fault.
func (m *Model) start(c Choice) tea.Msg {
	return m.work(func(k Keeper) tea.Msg {
		s, err := k.Begin(c)
		if err != nil {
			return seated{err: err}
		}
		return seated{sit: s, snap: snap(s)}
	})
}

func (m *Model) seat(s seated) {
	m.busy = false
	if m.say(s.err); s.err != nil || s.sit == nil {
		return
	}
	m.sit, m.snap, m.talk, m.lines = s.sit, s.snap, nil, nil
	m.plan, m.hand, m.onMap, m.narrow, m.scroll = plan.Model{}, hand{}, false, tabTalk, text.Scroll{}
	m.follow, m.from = true, -1
	m.typedAhead, m.leaving, m.unsaved = nil, false, false
	m.input.Set("")
	m.page = inPlay
	if len(s.snap.teaches) > 0 && s.snap.acts == 0 {
		m.page = inIntro
	}
	for _, l := range s.snap.opening {
		m.talk = append(m.talk, sitting.Line{Role: sitting.Info, Text: l})
	}
	if s.snap.goal != "" {
		m.talk = append(m.talk, sitting.Line{Role: sitting.Info, Text: "To do: " + s.snap.goal +
			" (goal says it again.)"})
	}
	m.talk = append(m.talk, sitting.Line{Role: sitting.Info,
		Text: "Type what you do (help lists it), or Tab to work on the map."})
	m.talk = append(m.talk, s.snap.done...)
}

// act types a line to the sitting.
func (m *Model) act(line string) tea.Msg {
	s := m.sit
	out := m.work(func(k Keeper) tea.Msg {
		lines, changed := s.Type(line)
		a := acted{lines: lines, snap: snap(s), changed: changed}
		if changed {
			a.err = k.Save(s)
		}
		return a
	})
	if _, ok := out.(scene.Work); ok {
		m.talk = append(m.talk, sitting.Line{Role: roleTyped, Text: "> " + line})
		m.follow = true
	}
	return out
}

// roleTyped marks what the learner typed.
const roleTyped sitting.Role = "typed"

func (m *Model) acted(a acted) tea.Msg {
	m.busy = false
	m.talk = append(m.talk, a.lines...)
	m.snap = a.snap
	m.follow = true
	if a.err != nil {
		m.talk = append(m.talk, sitting.Line{Role: sitting.Wrong, Text: "not saved: " + a.err.Error()})
	}
	if a.changed {
		m.unsaved = a.err != nil
	}
	if !a.snap.over {
		return m.goOn()
	}
	s := m.sit
	m.typedAhead = nil
	m.talk = append(m.talk, sitting.Line{Role: sitting.Info,
		Text: "Looking back: the program and plain halving hunt the same fault..."})
	return m.work(func(k Keeper) tea.Msg {
		b, err := k.Done(s)
		list, _ := k.Lessons() // without them there is no next one, and no harm
		return ended{b, len(list), err}
	})
}

func (m *Model) ended(e ended) {
	m.busy = false
	m.say(e.err)
	if e.back == nil {
		return
	}
	m.page, m.scroll, m.lessons, m.count = inDebrief, text.Scroll{}, nil, e.count
	m.snap.back = e.back
}

// help lists what can be typed, in the talk, and shows it from its first line on.
func (m *Model) help() {
	m.from = len(m.talk)
	for _, l := range m.snap.help {
		head, what, _ := strings.Cut(l, "  ")
		m.talk = append(m.talk, sitting.Line{Role: sitting.Info, Text: head + ": " + strings.TrimSpace(what)})
	}
	m.talk = append(m.talk, sitting.Line{Role: sitting.Info, Text: "The marks of TIME: " + debrief.Key()})
	m.follow = false
}

// next begins the lesson behind the one that was passed.
func (m *Model) next() tea.Msg {
	n := m.nextLesson()
	if n == 0 {
		return m.toMenu()
	}
	c := m.choice
	c.Lesson = strconv.Itoa(n)
	m.choice.Lesson = c.Lesson
	return m.start(c)
}

// nextLesson is the number of the lesson behind the one just passed, 0 for none.
func (m *Model) nextLesson() int {
	n, err := strconv.Atoi(m.choice.Lesson)
	if err != nil || m.page != inDebrief || m.snap.back == nil || !m.snap.back.Passed || n >= m.count {
		return 0
	}
	return n + 1
}
