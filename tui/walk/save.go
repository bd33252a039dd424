package walk

import (
	"errors"
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/layoutfile/course"
)

// write saves; before the first write over a file that was there it asks.
func write(m *Model, _ int) tea.Msg {
	if m.course.Empty() {
		m.fault("nothing is laid yet: there is nothing to save")
		m.goal = nil
		return nil
	}
	if _, good := m.course.Layout(); !good {
		m.fault("the layout cannot be saved as it is: ! says why. What you entered is kept and comes back next time")
		m.goal = nil
		return nil
	}
	if open := m.course.State().Hidden; open != nil && m.goal != nil { // no file holds half a stretch
		m.fault(open.Name + " has no end yet: walk on, h where it ends (or u)")
		m.goal = nil
		return nil
	}
	if !m.Unsaved() {
		if m.goal != nil {
			return m.saver().leaveFor(*m.goal)
		}
		m.tell("%s holds all of it already", m.set.Path)
		return nil
	}
	if m.set.Path == "" {
		m.saver().fileForm()
		return nil
	}
	if !m.agreed {
		m.saver().askOver(sentence(m.saver().first("save into " + m.set.Path + ", which was there before?")))
		return nil
	}
	if m.goal != nil {
		m.tell("%s", m.saver().first("saving in "+m.set.Path))
	}
	return m.saver().save(false)
}

// first says what is saved before, where saving is not what was asked for.
func (saver saver) first(s string) string {
	if saver.m.goal != nil && *saver.m.goal != Quit {
		return "before the " + string(*saver.m.goal) + ": " + s
	}
	return s
}

// sentence begins with a capital.
func sentence(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func (saver saver) save(over bool) tea.Msg {
	text, err := saver.m.course.Checked()
	if err != nil { // a mistake of ours: better no file than one that cannot be read
		saver.m.fault("this cannot be saved: " + err.Error() + ". What you entered is kept")
		saver.m.goal = nil
		return nil
	}
	saver.m.saving = saver.m.course.Version()
	return Save{Path: saver.m.set.Path, Text: text, Over: over}
}

func (saver saver) askOver(title string) {
	saver.m.panel = &menu{title: title, items: []item{
		{says: "yes, write it (your comments in it stay)", do: func(m *Model) tea.Msg {
			m.agreed = true
			return m.saver().save(true)
		}},
		{says: "no, under another name", do: func(m *Model) tea.Msg { m.saver().fileForm(); return nil }},
		{says: "not now", do: func(m *Model) tea.Msg { m.goal = nil; return nil }},
	}}
}

func (saver saver) fileForm() {
	saver.m.panel = &form{title: sentence(saver.first("save under which name?")),
		fields: []field{typed("file", "my-layout.hcl", "")},
		cancel: func(m *Model) tea.Msg { m.goal = nil; return nil },
		done: func(m *Model, v []string) (tea.Msg, error) {
			if v[0] == "" {
				return nil, errors.New("type the name of a file")
			}
			m.set.Path = withEnding(v[0])
			m.agreed = true // whoever writes it refuses where a file is there
			return m.saver().save(false), nil
		}}
}

// wasSaved takes the answer to a save.
func (m *Model) wasSaved(s Saved) tea.Msg {
	m.change++
	switch {
	case errors.Is(s.Err, ErrExists):
		m.saver().askOver(s.Save.Path + " is there already, and it is not what was opened or saved here. Overwrite it?")
		return nil
	case s.Err != nil:
		m.goal = nil
		m.fault(fmt.Sprintf("could not save: %v. What you entered is kept", s.Err))
		return nil
	}
	m.saved, m.agreed, m.savedAt = s.Save.Text, true, m.saving
	if m.goal != nil && !m.Unsaved() {
		return m.saver().leaveFor(*m.goal)
	}
	if open := m.course.State().Hidden; open != nil {
		m.tell("saved in %s, without %s: h where it ends", s.Save.Path, open.Name)
		return nil
	}
	m.tell("saved in %s", s.Save.Path)
	return nil
}

func (saver saver) leaveFor(g Goal) tea.Msg {
	saver.m.goal = nil
	return Leave{Goal: g}
}

// leave ends the walk; what the file does not hold is kept in any case.
func leave(m *Model, _ int) tea.Msg {
	if !m.Unsaved() {
		return Leave{}
	}
	quit := Quit
	m.panel = &menu{title: "Leave the walk", items: []item{
		{says: "save it in " + m.saver().fileName() + " and leave", do: func(m *Model) tea.Msg {
			m.goal = &quit
			return write(m, 1)
		}},
		{says: "leave; go on with it next time", do: func(*Model) tea.Msg { return Leave{} }},
		{says: "stay"},
	}}
	return nil
}

func (saver saver) fileName() string {
	if saver.m.set.Path == "" {
		return "a file"
	}
	return saver.m.set.Path
}

// goOn saves and goes to the hunt or the check.
func goOn(g Goal) act {
	return func(m *Model, _ int) tea.Msg {
		if g == Check && !m.set.CanCheck {
			m.fault("there is no check to go on to")
			return nil
		}
		if g == Hunt && len(m.course.Wiring().Feeders()) == 0 {
			m.fault("a hunt needs a supply and a feeder: go to where yours is and press f")
			return nil
		}
		on := func(m *Model) tea.Msg {
			m.goal = &g
			return write(m, 1)
		}
		if says := m.doubts(); g == Hunt && says != "" { // the check tells them itself
			m.panel = m.huntAnyway(says, on)
			return nil
		}
		return on(m)
	}
}

// doubts is what may not be as the track lies: readings that are reckoned for other track
// lead a hunt astray. Empty where there is none.
func (m *Model) doubts() string {
	var out []string
	if list := m.course.Troubles(); len(list) > 0 {
		out = append(out, told(list[0]))
		if n := len(list) - 1; n > 0 {
			out = append(out, fmt.Sprintf("%d more that is wrong", n))
		}
	}
	if open := m.course.Ends().Free(); len(open) > 0 {
		says := "joined to nothing: " + strings.Join(open[:min(len(open), 3)], ", ")
		if n := len(open) - 3; n > 0 {
			says += fmt.Sprintf(" and %d more", n)
		}
		out = append(out, says)
	}
	return strings.Join(out, "; ")
}

func (m *Model) huntAnyway(says string, on func(m *Model) tea.Msg) *menu {
	items := []item{{says: "it lies so on the table: hunt", do: on}, {says: "stay here"}}
	if len(m.course.Troubles()) > 0 {
		items = append(items, item{says: "go to what is wrong", do: func(m *Model) tea.Msg { return troubles(m, 1) }})
	}
	return &menu{title: "Before the hunt. " + sentence(says), items: items}
}

// more lists everything that has no key worth learning, and what the number
// pad has no key for.
func more(m *Model, _ int) tea.Msg {
	do := func(key string) func(*Model) tea.Msg {
		return func(m *Model) tea.Msg { return actions[key](m, 1) }
	}
	pad := "number pad: digits lay pieces"
	if m.pad {
		pad = "digits are counts again, letters lay pieces"
	}
	items := []item{{says: "join or close the end of this run", do: do("c")},
		{says: "walk off along a turnout's other leg", do: do("d")},
		{says: "save", do: do("w")}, {says: "go to a place", do: do("/")},
		{says: "something that lies here: tunnel, landmark, note, name ...", do: thingsMenu},
		{says: "power: supplies, toggles, blocks, accessories, insulated rails", do: do("p")},
		{says: "sizes", do: do("z")},
		{says: "name and track of the layout and this run", do: layoutForm},
		{says: "runs: a separate one, take one out, open its end", do: runsMenu}, {says: pad, do: do("*")},
		{says: "another piece: a wye, a slip, an untied straight", do: do(":")},
		{says: "what is wrong", do: do("!")}, {says: "save, and hunt on this layout", do: do("g")},
		{says: "leave", do: do("q")}}
	m.panel = &menu{title: "More", items: items}
	return nil
}

func thingsMenu(m *Model) tea.Msg {
	do := func(key string) func(*Model) tea.Msg {
		return func(m *Model) tea.Msg { return actions[key](m, 1) }
	}
	m.panel = &menu{title: "What lies here?", items: []item{{says: "a feeder", do: do("f")},
		{says: "an insulated joint", do: do("i")},
		{says: "a hidden stretch begins or ends", do: do("h")}, {says: "a landmark", do: do("m")},
		{says: "a board of a portable layout ends", do: do("M")},
		{says: "a note about the piece behind", do: do("n")},
		{says: "a name for the piece behind", do: do("a")}, {says: "take something away", do: do("y")}}}
	return nil
}

func runsMenu(m *Model) tea.Msg {
	m.panel = &menu{title: "Runs", items: []item{
		{says: "begin a separate run, joined to nothing yet", do: func(m *Model) tea.Msg {
			m.beginForm(course.Anchor{})
			return nil
		}},
		{says: "open the end of " + m.course.Here().Name, do: func(m *Model) tea.Msg { return openEnd(m, 1) }},
		{says: "take out " + m.course.Here().Name + " with all that lies on it", do: func(m *Model) tea.Msg {
			return m.deleted(m.course.Ends().RemoveRun())
		}},
	}}
	return nil
}

// layoutForm changes names and kinds of track.
func layoutForm(m *Model) tea.Msg {
	s := m.course.State()
	var tracks []string
	for _, c := range m.set.Constructions {
		tracks = append(tracks, c.Name)
	}
	if s.Construction != "" && !contains(tracks, s.Construction) {
		tracks = append(tracks, s.Construction)
	}
	run := m.course.Here()
	if run.Construction != "" && !contains(tracks, run.Construction) {
		tracks = append(tracks, run.Construction)
	}
	const same = "as the layout"
	own := run.Construction
	if own == "" {
		own = same
	}
	m.panel = &form{title: "Names and track",
		fields: []field{typed("layout", s.Name, ""), chosen("its track", s.Construction, tracks, ""),
			typed("this run", run.Name, "a letter, then letters, digits, - or _"),
			chosen("track of this run", own, append([]string{same}, tracks...), "")},
		done: func(m *Model, v []string) (tea.Msg, error) {
			if v[3] == same {
				v[3] = ""
			}
			if err := m.course.Rename(v[2]); err != nil {
				return nil, &wrongField{2, err}
			}
			return nil, m.course.SetAbout(course.About{Name: v[0], Construction: v[1], RunConstruction: v[3]})
		}}
	return nil
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
