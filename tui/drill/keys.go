package drill

import (
	"slices"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	practice "fishplate/diagnose/drill"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// key routes a key by page.
func (m *Model) key(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	switch m.page {
	case inIntro:
		return m.introKey(k)
	case inPlay:
		return m.playKey(sc, k)
	case inDebrief, inProgress:
		return m.pageKey(k)
	}
	return m.menuKey(k)
}

// The rows of the menu before the lessons.
const (
	rowTime = iota
	rowFault
	rowDifficulty
	rowCoach
	rowClass
	rowBegin
	rowKept
	rowProgress
	rowLessons
)

func (m *Model) menuKey(k tea.KeyMsg) tea.Msg {
	last := rowLessons + len(m.lessons) - 1
	m.fault = "" // it is read: the page shows the chosen line again
	switch s := k.String(); s {
	case "up":
		m.row = max(m.row-1, 0)
	case "down", "tab":
		m.row = min(m.row+1, max(last, rowProgress))
	case "left":
		m.turn(-1)
	case "right", " ":
		m.turn(1)
	case "enter":
		return m.choose()
	case "esc":
		if m.home {
			return scene.Quit{}
		}
		return scene.Back{}
	case "q":
		return scene.Quit{}
	default:
		if n, err := strconv.Atoi(s); err == nil {
			if n == 0 {
				n = 10
			}
			if n <= len(m.lessons) {
				m.row = rowLessons + n - 1
			}
		}
	}
	return nil
}

// turn changes a choice of the menu.
func (m *Model) turn(by int) {
	next := func(list []string, now string) string {
		for i, x := range list {
			if x == now {
				return list[(i+by+len(list))%len(list)]
			}
		}
		return list[0]
	}
	switch m.row {
	case rowTime:
		at := slices.Index(practice.Lengths, m.choice.Minutes) + 1 // 0: no length
		m.choice.Minutes = append([]int{0},
			practice.Lengths...)[(at+by+len(practice.Lengths)+1)%(len(practice.Lengths)+1)]
	case rowFault:
		m.choice.Minutes = 0
		m.choice.Fault = next(append([]string{practice.KindAny}, practice.Kinds...), m.choice.Fault)
	case rowDifficulty:
		m.choice.Minutes = 0
		m.choice.Difficulty = next(practice.Difficulties, m.choice.Difficulty)
	case rowCoach:
		m.choice.Coach = next([]string{"silent", "hint", "explain"}, m.choice.Coach)
	case rowClass:
		m.choice.Class = max(m.choice.Class+by, 0)
	}
}

func (m *Model) choose() tea.Msg {
	c := m.choice
	c.Lesson, c.Resume = "", false
	switch {
	case m.row < rowBegin:
		m.turn(1)
		return nil
	case m.row == rowBegin:
		m.choice.Lesson = ""
		return m.start(c)
	case m.row == rowKept:
		return m.kept()
	case m.row == rowProgress:
		m.page, m.scroll, m.lines = inProgress, text.Scroll{}, nil
		return m.work(func(k Keeper) tea.Msg {
			lines, err := k.Progress()
			return showed{lines, err}
		})
	}
	if i := m.row - rowLessons; i < len(m.lessons) {
		c.Lesson = strconv.Itoa(m.lessons[i].Number)
		m.choice.Lesson = c.Lesson
		return m.start(c)
	}
	return nil
}

func (m *Model) introKey(k tea.KeyMsg) tea.Msg {
	switch k.String() {
	case "enter", " ":
		if !m.scroll.On() {
			m.page, m.scroll = inPlay, text.Scroll{}
		}
	case "esc":
		return m.toMenu()
	default:
		m.scroll.Key(k.String())
	}
	return nil
}

func (m *Model) pageKey(k tea.KeyMsg) tea.Msg {
	switch k.String() {
	case "enter": // never away: whoever types fast must not miss it
		m.scroll.On()
	case "esc":
		return m.toMenu()
	case "tab": // no letter: whoever still types must not be taken away
		if m.nextLesson() > 0 {
			return m.next()
		}
	case "q":
		return scene.Quit{}
	default:
		m.scroll.Key(k.String())
	}
	return nil
}

// toMenu goes back to the menu, reading the lessons' marks anew.
func (m *Model) toMenu() tea.Msg {
	m.page, m.scroll, m.fault = inMenu, text.Scroll{}, ""
	return m.shown()
}

func (m *Model) playKey(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	if m.onMap && m.plan.Finding() {
		own := m.own(sc)
		m.plan.Key(&own, k)
		return nil
	}
	if m.leaving {
		if m.leaving = false; k.String() == "y" {
			return m.toMenu()
		} else if k.String() == "esc" {
			return nil
		}
	}
	switch k.String() {
	case "tab":
		m.onMap = !m.onMap
		m.narrow = tabTalk
		if m.onMap {
			m.narrow = tabMap
		}
		return nil
	case "esc":
		switch {
		case m.onMap:
			m.onMap, m.narrow = false, tabTalk
		case m.input.Value() != "":
			m.input.Set("")
		default:
			m.leaving = true
		}
		return nil
	case "pgup":
		m.follow = false
		m.scroll.Move(-5)
		return nil
	case "pgdown":
		m.scroll.Move(5)
		m.follow = m.scroll.Below() <= 5
		return nil
	}
	if m.onMap {
		return m.mapKey(sc, k)
	}
	return m.typeKey(k)
}

// hand is what is being put together on the map.
type hand struct {
	meter      int // index into snapshot.meters
	red, black string
}

func (m *Model) meter() string {
	if len(m.snap.meters) == 0 {
		return ""
	}
	return m.snap.meters[m.hand.meter%len(m.snap.meters)]
}

// nextPoint gives the point behind now among the points of a piece, the first when
// now is none of them.
func (s *snapshot) nextPoint(piece int, now string) string {
	if piece < 0 || piece >= len(s.points) || len(s.points[piece]) == 0 {
		return now
	}
	list := s.points[piece]
	for i, p := range list {
		if p == now {
			return list[(i+1)%len(list)]
		}
	}
	return list[0]
}

// mapKey takes the keys of the map.
func (m *Model) mapKey(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	piece := m.plan.Picked()
	name := ""
	if piece >= 0 {
		name = m.snap.layout.Pieces[piece].ID()
	}
	switch s := k.String(); s {
	case "m":
		m.hand.meter++
		return nil
	case "s":
		return m.act(m.snap.supplyNext())
	case "t":
		if m.snap.train >= 0 {
			return m.act("train off")
		}
		return m.act("train on " + name)
	case "enter":
		return m.take()
	case "r", "b", "h", "k", "x", "l", "o", "w":
		if piece < 0 {
			return scene.Say{Text: "choose a piece first: n or p, / and a name, or click it"}
		}
		return m.pieceKey(s, piece, name)
	}
	own := m.own(sc)
	m.plan.Key(&own, k)
	return nil
}

// take reads what is put together on the map.
func (m *Model) take() tea.Msg {
	if m.hand.red == "" {
		return scene.Say{Text: "put the probes down first: r red, b black, or h for both rails of the chosen piece"}
	}
	if m.hand.black == "" && m.snap.layout.FindPiece(m.hand.red) < 0 {
		return scene.Say{Text: "the black probe is nowhere yet: choose a piece and press b"}
	}
	return m.act(m.probes())
}

func (m *Model) pieceKey(key string, piece int, name string) tea.Msg {
	switch key {
	case "r":
		m.hand.red = m.snap.nextPoint(piece, m.hand.red)
	case "b":
		if m.snap.layout.FindPiece(m.hand.red) >= 0 {
			m.hand.red = ""
		}
		m.hand.black = m.snap.nextPoint(piece, m.hand.black)
	case "h":
		m.hand.red, m.hand.black = name, ""
	case "k":
		return m.act("look " + name)
	case "x":
		return m.act("accuse " + name)
	case "o":
		if len(m.snap.loads) > 0 {
			return m.act("load off")
		}
		return m.act("load " + name)
	case "w":
		to := " diverging"
		if m.snap.thrown[piece] {
			to = " through"
		}
		return m.act("throw " + name + to)
	case "l":
		return m.act(m.snap.jointLine(piece))
	}
	return nil
}

// jointLine opens the joint behind a piece along its run, or closes it.
func (s *snapshot) jointLine(piece int) string {
	l := s.layout
	p := &l.Pieces[piece]
	for e := len(p.Ends) - 1; e >= 0; e-- {
		j := p.Ends[e].Joint
		if j < 0 {
			continue
		}
		for _, x := range s.lifted {
			if x == l.Joints[j].Name {
				return "seat " + x
			}
		}
		return "lift " + l.Joints[j].Name
	}
	return "lift " + p.ID()
}

// supplyNext is what the supply key does: on through the lamp where one lies on
// the table, else on; and off when it is on.
func (s *snapshot) supplyNext() string {
	switch {
	case s.live:
		return "supply off"
	case s.lamp:
		return "supply lamp"
	}
	return "supply on"
}

// probes is the reading put together on the map, as it would be typed.
func (m *Model) probes() string {
	t := m.meter() + " " + m.hand.red
	if m.hand.black != "" {
		t += " to " + m.hand.black
	}
	return strings.TrimSpace(t)
}

func (m *Model) click(msg tea.MouseMsg) {
	if m.page != inPlay || msg.Action != tea.MouseActionPress || msg.Button != tea.MouseButtonLeft {
		return
	}
	if at := m.plan.At(msg.X-m.mapX, msg.Y-m.mapY); len(at) > 0 {
		m.plan.Pick(at[0])
		m.onMap = true
	}
}

// Keys lists what works now.
func (m *Model) Keys(sc *scene.Scene) []scene.Key {
	switch m.page {
	case inIntro:
		enter := scene.Key{Press: "Enter", Does: "begin", Hint: "Enter begin"}
		if m.scroll.Below() > 0 {
			enter = scene.Key{Press: "Enter", Does: "read on, then begin", Hint: "Enter read on"}
		}
		return []scene.Key{enter, {Press: "up, down", Does: "read on"},
			{Press: "Esc", Does: "another drill", Hint: "Esc menu"}}
	case inDebrief, inProgress:
		off := ""
		if m.nextLesson() == 0 {
			off = "only behind a lesson that was passed"
		}
		return []scene.Key{{Press: "up, down, Space", Does: "read on", Hint: "Space more"},
			{Press: "Tab", Does: "the next lesson", Hint: "Tab next", Off: off},
			{Press: "Esc", Does: "another drill", Hint: "Esc menu"}, {Press: "q", Does: "leave", Hint: "q leave"}}
	case inPlay:
		switch {
		case m.leaving:
			return []scene.Key{{Press: "y", Does: "leave for the menu", Hint: "y menu"},
				{Press: "Esc", Does: "stay", Hint: "Esc stay"}}
		case m.onMap:
			return m.mapKeys()
		}
		return []scene.Key{{Press: "Enter", Does: "do what is typed (type help for what can be)", Hint: "Enter do"},
			{Press: "Tab", Does: "work on the map instead", Hint: "Tab map"},
			{Press: "up, down", Does: "what was typed before"},
			{Press: "PgUp, PgDn", Does: "read back"},
			{Press: "Esc", Does: "clear the line, then leave for the menu (it asks)", Hint: "Esc menu"},
			{Press: "?", Does: "what can be typed", Hint: "? words"}}
	}
	esc := "back"
	if m.home {
		esc = "leave"
	}
	enter := scene.Key{Press: "Enter", Does: "begin", Hint: "Enter begin"}
	change := "this line begins something: Enter"
	switch {
	case m.row < rowBegin:
		enter, change = scene.Key{Press: "Enter, left, right", Does: "change this choice", Hint: "Enter change"}, ""
	case m.row == rowKept:
		enter = scene.Key{Press: "Enter", Does: "go on with the drill that was left", Hint: "Enter go on"}
	case m.row == rowProgress:
		enter = scene.Key{Press: "Enter", Does: "read the drills on record", Hint: "Enter read"}
	}
	return []scene.Key{enter, {Press: "up, down", Does: "choose a line", Hint: "up/down choose"},
		{Press: "left, right", Does: "change this choice", Off: change},
		{Press: "1-9, 0", Does: "a lesson; 0 is the tenth"}, {Press: "Esc", Does: esc},
		{Press: "q", Does: "leave", Hint: "q leave"}}
}

func (m *Model) mapKeys() []scene.Key {
	off := ""
	if m.plan.Picked() < 0 {
		off = "choose a piece first"
	}
	out := []scene.Key{{Press: "r, b", Does: "red, black probe on the chosen piece; again: its next rail or end",
		Off: off, Hint: "r/b probes"},
		{Press: "h", Does: "both probes there, from rail to rail", Off: off, Hint: "h rails"},
		{Press: "m", Does: "next meter setting", Hint: "m meter"}, {Press: "Enter", Does: "read", Hint: "Enter read"},
		{Press: "l", Does: "open or close the joint behind the piece", Off: off, Hint: "l joint"},
		{Press: "s", Does: "supply on (through the lamp, where there is one) or off", Hint: "s supply"},
		{Press: "t", Does: "train off or on", Hint: "t train"},
		{Press: "o", Does: "lay the lamp across the rails here, or take it away", Off: off},
		{Press: "w", Does: "throw the turnout", Off: off},
		{Press: "k", Does: "look under the piece", Off: off}, {Press: "x", Does: "accuse the piece: repair it",
			Off: off}, {Press: "Tab, Esc", Does: "back to typing", Hint: "Tab type"}}
	return append(out, plan.Keys("")...)
}
