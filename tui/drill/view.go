package drill

import (
	"fmt"
	"strings"

	practice "fishplate/diagnose/drill"
	"fishplate/diagnose/drill/debrief"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/tui/big"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// The width from which map and talk stand side by side.
const sideBySide = 72

// Title is what the head of the screen says: what is practised, and the minutes.
func (m *Model) Title() (left, right string) {
	left, right = "Drill", "practice"
	if m.busy {
		right = "thinking"
	}
	if m.page == inMenu || m.page == inProgress || m.snap.layout == nil {
		return left, right
	}
	left += ": " + m.snap.layout.Name
	if m.snap.title != "" {
		left = "Lesson: " + m.snap.title
	}
	if !m.busy {
		right = fmt.Sprintf("%.1f min", m.snap.clock)
	}
	return left, right
}

// painter draws the pages of the drill.
type painter struct{ *Model }

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	p := painter{m}
	switch m.page {
	case inIntro:
		return p.intro(sc, w, h)
	case inPlay:
		return p.play(sc, w, h)
	case inDebrief:
		return p.paper(sc, p.debrief(sc, w), w, h)
	case inProgress:
		return p.paper(sc, p.progress(sc, w), w, h)
	}
	return p.menu(sc, w, h)
}

// choices are the rows of the menu before the lessons.
func (m painter) choices() []string {
	o := practice.Options{Fault: m.choice.Fault, Difficulty: m.choice.Difficulty, Minutes: m.choice.Minutes}.OfLength()
	kind, time, where := o.Fault, "any", "in this layout"
	if kind == "" {
		kind = "any"
	}
	switch o.Minutes {
	case 0:
	case practice.AMinute:
		time, where = "1 minute", "on a shelf of six pieces"
	default:
		time = fmt.Sprintf("%d minutes", o.Minutes)
	}
	class := "none"
	if m.choice.Class > 0 {
		class = fmt.Sprint(m.choice.Class)
	}
	return []string{"time        < " + time + " >", "fault       < " + kind + " >",
		"difficulty  < " + o.Difficulty + " >", "coach       < " + m.choice.Coach + " >",
		"class       < " + class + " >",
		"begin: hide a fault " + where, "go on with the drill that was left", "progress: the drills on record"}
}

func (m painter) menu(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	lines := []string{t.Paint(style.Title, "Practise on a hidden fault"), ""}
	at := 0
	for i, r := range m.choices() {
		lines = append(lines, m.menuRow(sc, i, r, w))
		if i == m.row {
			at = len(lines) - 1
		}
		if i == m.row && i == rowClass {
			lines = append(lines, t.Paint(style.Dim, "  the same number: the same fault for all"))
		}
	}
	lines = append(lines, "", t.Paint(style.Title, "Lessons"))
	for i, l := range m.lessons {
		mark := "[ ] "
		if l.Passed {
			mark = "[x] "
		}
		lines = append(lines, m.menuRow(sc, rowLessons+i, fmt.Sprintf("%s%d  %s", mark, l.Number, l.Title), w))
		if rowLessons+i == m.row {
			at = len(lines) - 1
			for _, g := range text.Hang("", l.Goal, 9, w) {
				lines = append(lines, t.Paint(style.Dim, g))
			}
		}
	}
	if m.busy {
		lines = append(lines, t.Paint(style.Dim, "thinking..."))
	}
	if m.fault != "" {
		at = len(lines) - 1
		for _, l := range text.Wrap("! "+m.fault, w) {
			lines = append(lines, t.Paint(style.Bad, l))
		}
		m.scroll.Show(len(lines)-1, h)
	}
	m.scroll.Show(at, h)
	out := m.scroll.View(&sc.Theme, lines, h, "Down")
	return scene.Frame{Lines: out, X: 0, Y: at - m.scroll.Top()}
}

func (m painter) menuRow(sc *scene.Scene, i int, s string, w int) string {
	if i == m.row {
		return "> " + sc.Theme.Paint(style.Select, text.Fit(s, min(text.Width(s), w-2)))
	}
	return "  " + text.Fit(s, min(text.Width(s), w-2))
}

func (m painter) intro(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	lines := []string{t.Paint(style.Title, m.snap.title), ""}
	for _, p := range m.snap.teaches {
		lines = append(lines, text.Wrap(p, w)...)
		lines = append(lines, "")
	}
	lines = append(lines, text.Hang(t.Paint(style.Label, "TO DO "), m.snap.goal, 6, w)...)
	return scene.Frame{Lines: m.scroll.View(t, lines, h, "Enter"), X: 0, Y: 0}
}

// paper is a page that is read and scrolled.
func (m painter) paper(sc *scene.Scene, lines []string, w, h int) scene.Frame {
	return scene.Frame{Lines: m.scroll.View(&sc.Theme, lines, h, "Space"), X: 0, Y: 0}
}

func (m painter) debrief(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	var lines []string
	for _, l := range m.snap.back.Lines(min(w, 100)) {
		role := map[debrief.Role]style.Role{debrief.Title: style.Title, debrief.Take: style.Good}[l.Role]
		for _, x := range hanging(l.Text, w) {
			lines = append(lines, t.Paint(role, x))
		}
	}
	if m.fault != "" {
		lines = append(text.Wrap(t.Paint(style.Bad, "! not on record: "+m.fault), w), lines...)
	}
	return lines
}

// hanging wraps a line so that what follows hangs under its text: behind the
// minutes of a step, or the number of an advice.
func hanging(l string, w int) []string {
	rest := strings.TrimLeft(l, " ")
	head, body, ok := strings.Cut(rest, " ")
	if !ok || head == "" || strings.Trim(head, "0123456789.") != "" {
		return text.Wrap(l, w)
	}
	indent := len(l) - len(strings.TrimLeft(body, " "))
	return text.Hang(l[:indent], strings.TrimLeft(body, " "), indent, w)
}

func (m painter) progress(sc *scene.Scene, w int) []string {
	var lines []string
	if m.busy {
		lines = append(lines, "reading...")
	}
	if m.fault != "" {
		lines = append(lines, sc.Theme.Paint(style.Bad, "! "+m.fault))
	}
	for _, l := range m.lines {
		lines = append(lines, text.Wrap(l, w)...)
	}
	return lines
}

// own is the scene with the drill's layout in place of the hunt's, and nothing
// suspected: what the learner should believe is the learner's business.
func (m *Model) own(sc *scene.Scene) scene.Scene {
	o := *sc
	o.Layout = m.snap.layout
	o.View = hunt.View{LayoutRef: m.snap.layout}
	return o
}

// show is what the map points out: the probes in hand, lamps, open joints.
func (m painter) show() plan.Show {
	red, black := m.hand.red, m.hand.black
	if black == "" && red != "" { // a place: its two rails
		if i := m.snap.layout.FindPiece(red); i >= 0 && len(m.snap.points[i]) >= 2 {
			red, black = m.snap.points[i][0], m.snap.points[i][1]
		}
	}
	a := &hunt.Ask{Red: red, Black: black, Setup: hunt.Setup{Lifted: m.snap.lifted, Loads: m.snap.loads}}
	return plan.Show{Ask: a, Chosen: -1, Plain: true}
}

func (m painter) play(sc *scene.Scene, w, h int) scene.Frame {
	if w >= sideBySide && h >= 14 {
		return m.playWide(sc, w, h)
	}
	foot := m.foot(sc, w, h)
	room := h - len(foot)
	var body []string
	own := m.own(sc)
	if m.narrow == tabMap {
		answer := m.answer(sc, w)
		body = m.plan.View(&own, m.show(), w, room-len(answer))
		for len(body) < room-len(answer) {
			body = append(body, "")
		}
		body = append(body, answer...)
		m.mapX, m.mapY = 0, 1
	} else {
		body = m.talkLines(sc, w, room)
	}
	for len(body) < room {
		body = append(body, "")
	}
	f := scene.Frame{Lines: append(body[:room], foot...)}
	f.X, f.Y = m.caret(sc, w, room, 0, 0)
	return f
}

// answer is what the last act on the map brought, where the talk is out of sight:
// two lines of it at most.
func (m painter) answer(sc *scene.Scene, w int) []string {
	for i := len(m.talk) - 1; i >= 0; i-- {
		l := m.talk[i]
		switch l.Role {
		case sitting.Shows, sitting.Stopped, sitting.Wrong, sitting.Says:
			lines := text.Wrap(marks[l.Role]+l.Text, w)
			if len(lines) > 2 {
				lines = append(lines[:1:1], text.Fit(lines[1], w-3)+"...")
			}
			for k := range lines {
				lines[k] = sc.Theme.Paint(roles[l.Role], lines[k])
			}
			return lines
		}
	}
	return nil
}

func (m painter) playWide(sc *scene.Scene, w, h int) scene.Frame {
	rw := min(max(w*11/20, 42), 90)
	lw := w - rw - 2
	foot := m.foot(sc, w, h)
	room := h - len(foot)
	own := m.own(sc)
	var meter []string
	if room >= meterFrom {
		meter = m.meterShows(sc, lw)
	}
	left := m.plan.View(&own, m.show(), lw, room-len(meter))
	for len(left) < room-len(meter) {
		left = append(left, "")
	}
	left = append(left, meter...)
	m.mapX, m.mapY = 0, 1
	lines := append(text.Beside(left, m.talkLines(sc, rw, room), lw, room, "  "), foot...)
	f := scene.Frame{Lines: lines}
	f.X, f.Y = m.caret(sc, w, room, 0, 0)
	return f
}

// meterFrom is how many rows map and meter need one over the other.
const meterFrom = 16

// meterShows is the meter, large, with what was last read on it.
func (m painter) meterShows(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	read, shows := "", ""
	for i := len(m.talk) - 1; i >= 0 && read == ""; i-- {
		switch l := m.talk[i]; {
		case l.Role == sitting.Shows && shows == "":
			shows = l.Text
		case l.Role == roleTyped && shows != "":
			read = strings.TrimPrefix(l.Text, "> ")
		}
	}
	for i := len(m.snap.log) - 1; i >= 0 && shows == ""; i-- { // a drill that is gone on with
		if e := &m.snap.log[i]; e.Shows != "" {
			read, shows = e.Act.String(), e.Shows
		}
	}
	if shows == "" {
		return []string{t.Paint(style.Label, "METER"), "", "", t.Paint(style.Dim, "  nothing read yet"), "", "", ""}
	}
	out := text.Hang(t.Paint(style.Label, "METER"), t.Paint(style.Dim, read), 7, w)
	for _, l := range big.Fit([]string{shows, strings.ReplaceAll(shows, " ", "")}, w-2, sc.ASCII) {
		out = append(out, "  "+t.Paint(style.Label, l))
	}
	if len(out) < 7 {
		out = append(out, "")
	}
	return out
}

// caret is where the terminal's cursor belongs: in the line of input, or at the
// chosen piece.
func (m painter) caret(sc *scene.Scene, w, room, mapX, mapY int) (x, y int) {
	if m.onMap {
		if x, y, ok := m.plan.Cursor(); ok {
			return x + mapX, y + mapY
		}
	}
	if m.leaving {
		return 0, room
	}
	_, x = m.input.View(w-len(prompt)-1, func(s string) string { return s })
	return x + len(prompt), room
}

const prompt = "DO > "

// foot is the line of input (or the reading in hand) and the state.
func (m painter) foot(sc *scene.Scene, w, h int) []string {
	t := &sc.Theme
	var out []string
	switch {
	case m.busy && (m.onMap || m.input.Value() == ""):
		out = []string{t.Paint(style.Dim,
			text.Fit(strings.Join(append([]string{"thinking..."}, m.typedAhead...), " then "), w))}
	case m.onMap && m.hand.red == "":
		out = []string{t.Paint(style.Label, "MAP > ") +
			text.Fit(t.Paint(style.Dim, m.meter()+": choose a piece: n, p or /"), w-6)}
	case m.onMap:
		out = text.Hang(t.Paint(style.Label, "READ > "), m.probes(), 7, w)
	default:
		in, _ := m.input.View(w-len(prompt)-1, func(s string) string { return t.Paint(style.Caret, s) })
		out = []string{t.Paint(style.Label, prompt) + in}
	}
	status := text.Wrap(m.snap.stands+". "+m.snap.spent+".", w)
	if len(status) > 2 { // how it stands comes before what was spent
		status = text.Wrap(m.snap.stands+".", w)
	}
	for _, l := range status {
		out = append(out, t.Paint(style.Dim, l))
	}
	if m.leaving {
		out = m.leave(sc, w)
	}
	for len(out) < 3 && h >= 18 { // a state that wraps must not make the map jump
		out = append(out, "")
	}
	out = out[:min(len(out), 3)]
	if h >= 18 { // what was done so far, a mark for so many minutes
		out = append(out, m.time(sc, w))
	}
	return out
}

// time is the strip of what was done, and what its marks mean where there is room for both.
func (m painter) time(sc *scene.Scene, w int) string {
	label, key := "TIME ", ""
	if means := debrief.Key(m.snap.log...); len(m.snap.log) > 0 && means != "" {
		key = "  (" + means + ")"
	}
	room := w - len(label) - len(key)
	if room < w/5 {
		room, key = w-len(label), ""
	}
	per := max(0.5, m.snap.clock/float64(max(room-2, 1)))
	strip := debrief.Strip(m.snap.log, per, room)
	return sc.Theme.Paint(style.Label, label) + strip + sc.Theme.Paint(style.Dim, key)
}

// leave asks whether to leave the drill, and says whether it is kept.
func (m painter) leave(sc *scene.Scene, w int) []string {
	kept := "It is kept; the menu goes on with it."
	switch {
	case m.unsaved:
		kept = "It is NOT saved as it stands."
	case m.snap.acts == 0:
		kept = "Nothing was done in it yet."
	}
	ask := text.Wrap("Leave this drill? "+kept+" y to the menu; Esc, or go on typing: stay.", w)
	for i := range ask {
		ask[i] = sc.Theme.Paint(style.Warn, ask[i])
	}
	return ask
}

// roles gives the look of a line of talk.
var roles = map[sitting.Role]style.Role{sitting.Shows: style.Title, sitting.Stopped: style.Warn,
	sitting.Caution: style.Warn,
	sitting.Coach:   style.Possible, sitting.Wrong: style.Bad, sitting.Info: style.Plain, sitting.Says: style.Plain,
	roleTyped: style.Key}

// marks says the same without colour.
var marks = map[sitting.Role]string{sitting.Shows: "METER ", sitting.Stopped: "! ", sitting.Caution: "! ",
	sitting.Coach: "coach: ", sitting.Wrong: "? "}

// talkLines is the talk, the newest at the foot.
func (m painter) talkLines(sc *scene.Scene, w, h int) []string {
	t := &sc.Theme
	var lines []string
	for i, l := range m.talk {
		if i == m.from {
			m.from = -1
			m.scroll.To(len(lines))
		}
		for _, x := range text.Wrap(marks[l.Role]+strings.ReplaceAll(l.Text, "\n", " "), w) {
			lines = append(lines, t.Paint(roles[l.Role], x))
		}
	}
	if m.follow {
		m.scroll.To(len(lines))
	}
	return m.scroll.View(t, lines, h, "PgDn")
}
