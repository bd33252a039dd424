// Package record is the screen of the hunts that were kept: listed, opened,
// two of them side by side, notes added, a report written. Where they are kept
// is the Keeper's; the screen reads and writes no file itself.
package record

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/report"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// Entry is one record of the list.
type Entry struct {
	ID      string
	Name    string // given by the user, or empty
	Symptom string
	Piece   string // the bad one, empty while none is found
	State   string
	Effort  string // "3 readings, 12 min"
	Broken  string // why it cannot be read, empty when it can
	Current bool   // the hunt that goes on now
}

// Keeper is where records are kept. Its methods may take long and are called
// away from the screen's own goroutine, never two at once from one screen.
type Keeper interface {
	// List gives all records, the newest first.
	List() ([]Entry, error)
	Open(id string) (*report.Report, error)
	// Change sets a field ("repair"), or adds a note (field "note").
	Change(id, field, text string) error
	// Export writes the report, form "html" or "md", and says where.
	Export(id, form string) (path string, err error)
}

// Fields are the lines that people add to a record, with what each is for.
var Fields = [][2]string{{"note", "a note, with today's date"}, {"repair", "what was done about it"},
	{"open", "what is still to be done"}, {"changed", "the last change on the layout before the fault"},
	{"leads", "which leads, and what they read touched together"},
	{"conditions", "damp, cold, where trains stood, how turnouts were set"}, {"name", "a name for this hunt"},
	{"finder", "who found it"}}

// mode is what the screen shows.
type mode uint8

const (
	inList mode = iota
	inPage
	inCompare
	inFields // choosing what to add
	inTyping
)

// Model is the screen's own state.
type Model struct {
	keeper Keeper
	mode   mode
	before mode // where Esc goes from the fields
	list   []Entry
	fault  string
	busy   bool
	row    int
	marked string // the record chosen for comparing
	field  int
	input  text.Input
	scroll text.Scroll
	page   *report.Report
	rows   []report.Row
	sides  [2]string // what is compared
}

// New makes the screen; without a keeper it says that nothing is kept.
func New(k Keeper) *Model { return &Model{keeper: k, input: text.NewInput()} }

// Typing says that letters go into a line of text.
func (m *Model) Typing() bool { return m.mode == inTyping }

// What the work of the keeper comes home as.
type (
	listed struct {
		list []Entry
		err  error
	}
	opened struct {
		page *report.Report
		err  error
	}
	compared struct {
		a, b *report.Report
		err  error
	}
	changed struct {
		field string
		page  *report.Report // as it is now
		err   error
	}
	exported struct {
		path string
		err  error
	}
)

// Update takes a message and gives back what to do.
func (m *Model) Update(sc *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case tea.KeyMsg:
		return m.key(msg)
	case scene.Shown:
		m.mode, m.marked, m.fault, m.row = inList, "", "", 0
		return m.load()
	case scene.Export:
		return m.export("", msg.Form)
	}
	return m.home(msg)
}

// home takes what the keeper did.
func (m *Model) home(msg tea.Msg) tea.Msg {
	var err error
	switch msg := msg.(type) {
	case listed:
		if err = msg.err; err == nil {
			m.list = msg.list
			m.row = max(min(m.row, len(m.list)-1), 0)
		}
	case opened:
		if err = msg.err; err == nil {
			m.page, m.mode, m.scroll = msg.page, inPage, text.Scroll{}
		}
	case compared:
		if err = msg.err; err == nil {
			m.rows, m.mode, m.scroll = report.Compare(msg.a, msg.b), inCompare, text.Scroll{}
			m.sides = [2]string{msg.a.ID, msg.b.ID}
		}
	case changed:
		if err = msg.err; err == nil {
			m.page = msg.page
			m.input.Set("")
			m.mode = m.before
			m.busy = false
			return m.load()
		}
	case exported:
		if err = msg.err; err == nil {
			m.busy = false
			return scene.Say{Text: "the report is in " + msg.path}
		}
	default:
		return nil
	}
	m.busy, m.fault = false, ""
	if err != nil {
		m.fault = err.Error()
	}
	return nil
}

// work has the keeper do something.
func (m *Model) work(do func(Keeper) tea.Msg) tea.Msg {
	if m.keeper == nil {
		return scene.Say{Text: "hunts are not kept here"}
	}
	if m.busy {
		return scene.Say{Text: "still working: press it again in a moment"}
	}
	m.busy, m.fault = true, ""
	k := m.keeper
	return scene.Work{Do: func() tea.Msg { return do(k) }}
}

func (m *Model) load() tea.Msg {
	return m.work(func(k Keeper) tea.Msg {
		list, err := k.List()
		return listed{list, err}
	})
}

func (m *Model) open(id string) tea.Msg {
	return m.work(func(k Keeper) tea.Msg {
		p, err := k.Open(id)
		return opened{p, err}
	})
}

// export writes the report of a record; without an id, of the newest.
func (m *Model) export(id, form string) tea.Msg {
	return m.work(func(k Keeper) tea.Msg {
		if id == "" {
			list, err := k.List()
			if err != nil || len(list) == 0 {
				return exported{err: fmt.Errorf("there is no hunt to report yet: %w", orEmpty(err))}
			}
			id = list[0].ID
			for _, e := range list {
				if e.Current {
					id = e.ID
				}
			}
		}
		path, err := k.Export(id, form)
		return exported{path, err}
	})
}

func orEmpty(err error) error {
	if err == nil {
		return fmt.Errorf("the list is empty")
	}
	return err
}

// selected is the record that keys are about, empty for none.
func (m *Model) selected() string {
	if m.mode == inPage && m.page != nil {
		return m.page.ID
	}
	if m.row < len(m.list) {
		return m.list[m.row].ID
	}
	return ""
}

func (m *Model) key(k tea.KeyMsg) tea.Msg {
	switch m.mode {
	case inTyping:
		return m.typing(k)
	case inFields:
		return m.fields(k)
	}
	switch s := k.String(); s {
	case "up", "down", "pgup", "pgdown":
		if m.mode != inList {
			m.scroll.Key(s)
			break
		}
		by := map[string]int{"up": -1, "down": 1, "pgup": -10, "pgdown": 10}[s]
		m.row = max(min(m.row+by, len(m.list)-1), 0)
	case "esc":
		if m.mode == inList {
			return scene.Back{}
		}
		m.mode, m.fault = inList, ""
	case "q":
		return scene.Quit{}
	case "p", "m":
		if id := m.selected(); id != "" && m.mode != inCompare {
			return m.export(id, map[string]string{"p": "html", "m": "md"}[s])
		}
	case "n", "a":
		if m.selected() != "" && m.mode != inCompare {
			m.before, m.mode, m.field = m.mode, inFields, 0
			if s == "n" {
				m.mode = inTyping
			}
		}
	default:
		if m.mode == inList {
			return m.listKey(s)
		}
	}
	return nil
}

func (m *Model) listKey(s string) tea.Msg {
	id := m.selected()
	switch {
	case id == "":
	case s == "enter":
		return m.open(id)
	case s == " ":
		if m.marked == id {
			m.marked = ""
		} else {
			m.marked = id
		}
	case s == "c":
		if m.marked == "" || m.marked == id {
			return scene.Say{Text: "Space marks one record; then choose another and press c to see both"}
		}
		a := m.marked
		return m.work(func(k Keeper) tea.Msg {
			x, err := k.Open(a)
			if err != nil {
				return compared{err: err}
			}
			y, err := k.Open(id)
			return compared{x, y, err}
		})
	case len(s) == 1 && s[0] >= '1' && s[0] <= '9' && int(s[0]-'1') < len(m.list):
		m.row = int(s[0] - '1')
	}
	return nil
}

// fields chooses what to add.
func (m *Model) fields(k tea.KeyMsg) tea.Msg {
	switch s := k.String(); {
	case s == "esc":
		m.mode = m.before
	case s == "up":
		m.field = max(m.field-1, 0)
	case s == "down":
		m.field = min(m.field+1, len(Fields)-1)
	case s == "enter":
		m.mode = inTyping
	case len(s) == 1 && s[0] >= '1' && int(s[0]-'1') < len(Fields):
		m.field, m.mode = int(s[0]-'1'), inTyping
	}
	return nil
}

func (m *Model) typing(k tea.KeyMsg) tea.Msg {
	switch k.String() {
	case "esc":
		m.mode, m.fault = m.before, ""
	case "enter":
		id, field, typed := m.selectedBefore(), Fields[m.field][0], strings.TrimSpace(m.input.Value())
		if typed == "" {
			m.fault = "type the text, then Enter; Esc leaves it"
			return nil
		}
		return m.work(func(k Keeper) tea.Msg {
			if err := k.Change(id, field, typed); err != nil {
				return changed{err: err}
			}
			p, err := k.Open(id)
			return changed{field, p, err}
		})
	default:
		if m.input.Update(k) {
			m.fault = ""
		}
	}
	return nil
}

// selectedBefore is the record that a field is typed for.
func (m *Model) selectedBefore() string {
	now := m.mode
	m.mode = m.before
	id := m.selected()
	m.mode = now
	return id
}
