// Package symptom asks what is wrong, in the user's words, and where.
package symptom

import (
	"fmt"
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Model is the screen's own state.
type Model struct {
	row   int
	where bool // the second question, for the place
	piece int
	name  int // the accessory or supply, where the place is one
	// sometimes says that it comes and goes.
	sometimes bool
	points    points
	input     text.Input
	plan      plan.Model
	scroll    text.Scroll
	fault     string
	mapY      int
}

// New makes the screen.
func New() *Model { return &Model{input: text.NewInput()} }

// Typed is what stands in the line for the place.
func (m *Model) Typed() string { return m.input.Value() }

// Update takes a message and gives back what to do.
func (m *Model) Update(sc *scene.Scene, msg tea.Msg) tea.Msg {
	switch msg := msg.(type) {
	case tea.KeyMsg:
		switch {
		case m.points.open:
			return m.points.key(hunt.Points(sc.Layout), msg)
		case m.where && m.choice(sc).Names != nil:
			return m.nameKey(sc, msg)
		case m.where:
			return m.placeKey(sc, msg)
		}
		return m.listKey(sc, msg)
	case tea.MouseMsg:
		m.mouse(msg)
	case scene.Refused:
		m.fault = msg.Err.Error()
	case scene.Taken:
		if msg.Event.Symptom != nil {
			m.where, m.fault = false, ""
			m.points = points{}
			m.input.Set("")
		}
	}
	return nil
}

func (m *Model) listKey(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	s, n := k.String(), len(hunt.Offers(sc.Layout))
	switch s {
	case "up":
		m.row = max(m.row-1, 0)
	case "down":
		m.row = min(m.row+1, n-1)
	case "+":
		m.row = (m.row + 1) % n
	case "s", ".":
		m.sometimes = !m.sometimes
	case "p", "*":
		m.points.open = len(m.points.of(sc, m.choice(sc).Kind)) > 0
	case "enter":
		return m.chosen(sc)
	case "k":
		return scene.Open{ID: scene.Kit}
	case "w":
		return scene.Open{ID: scene.Walk}
	case "a":
		return scene.Open{ID: scene.Around}
	case "t":
		return scene.Open{ID: scene.Tour}
	case "q":
		return scene.Quit{}
	case "esc":
		return scene.Say{Text: "this is the first screen: q leaves"}
	default:
		if i := numberOf(s); i >= 1 && i <= n {
			m.row = i - 1
			return m.chosen(sc)
		}
		return scene.Say{Text: fmt.Sprintf("a number chooses what is wrong: 1 to %d", n)}
	}
	return nil
}

// keyOf is the key that chooses the row with an index: 0 is the tenth.
func keyOf(i int) string { return strconv.Itoa((i + 1) % 10) }

// numberOf is the number of the row that a key chooses, 0 for none.
func numberOf(key string) int {
	i, err := strconv.Atoi(key)
	switch {
	case err != nil || len(key) != 1:
		return 0
	case i == 0:
		return 10
	}
	return i
}

func (m *Model) chosen(sc *scene.Scene) tea.Msg {
	m.fault = ""
	if m.choice(sc).Where != "" {
		m.where = true
		return nil
	}
	return m.said(sc, "")
}

func (m *Model) placeKey(sc *scene.Scene, k tea.KeyMsg) tea.Msg {
	n := len(sc.Layout.Pieces)
	s := k.String()
	if m.input.Value() == "" { // the number pad's arrows; in a name they are letters
		s = map[string]string{"+": "right", "-": "left"}[s]
		if s == "" {
			s = k.String()
		}
	}
	switch s {
	case "esc":
		m.where, m.fault = false, ""
	case "enter":
		return m.placed(sc)
	case "right":
		m.pick(sc, m.piece+1)
	case "left":
		m.pick(sc, m.piece-1)
	case "pgdown":
		m.pick(sc, min(m.piece+10, n-1))
	case "pgup":
		m.pick(sc, max(m.piece-10, 0))
	case "up", "down":
		m.pick(sc, m.across(sc, s == "up"))
	case "ctrl+up":
		m.plan.Zoom = min(max(m.plan.Zoom, 1)*1.5, 40)
	case "ctrl+down":
		m.plan.Zoom = max(max(m.plan.Zoom, 1)/1.5, 1)
	default:
		if m.input.Update(k) {
			m.fault = ""
			if i, ok := m.named(sc, m.input.Value()); ok {
				m.piece = i.Piece
			}
		}
	}
	return nil
}

// pick chooses a piece by keys; a name half typed gives way to it.
func (m *Model) pick(sc *scene.Scene, i int) {
	n := len(sc.Layout.Pieces)
	if n == 0 {
		return
	}
	m.piece = (i + n) % n
	m.fault = ""
	m.input.Set("")
}

// across finds the nearest piece above or below the chosen one on the map.
func (m *Model) across(sc *scene.Scene, up bool) int {
	x, y, ok := m.plan.Anchor(m.piece)
	if !ok {
		return m.piece
	}
	best, cost := m.piece, 1<<30
	for i := range sc.Layout.Pieces {
		px, py, ok := m.plan.Anchor(i)
		if !ok || (up && py >= y) || (!up && py <= y) {
			continue
		}
		dx, dy := px-x, 2*(py-y)
		if d := dx*dx*2 + dy*dy; d < cost {
			best, cost = i, d
		}
	}
	return best
}

// named finds the place for a name as typed.
func (m *Model) named(sc *scene.Scene, s string) (track.Place, bool) {
	return spot.Find(sc.Layout, s)
}

func (m *Model) placed(sc *scene.Scene) tea.Msg {
	if len(sc.Layout.Pieces) == 0 {
		m.fault = "this layout has no pieces"
		return nil
	}
	at := track.Place{Piece: m.piece, End: -1}
	if typed := strings.TrimSpace(m.input.Value()); typed != "" {
		var ok bool
		if at, ok = m.named(sc, typed); !ok {
			m.fault = "no piece or joint is called \"" + typed + "\"; for example: " + sc.Layout.Pieces[0].ID() +
				" (or choose with the arrows)"
			return nil
		}
	}
	return m.said(sc, sc.Layout.PlaceName(at))
}

func (m *Model) mouse(e tea.MouseMsg) {
	if !m.where || e.Action != tea.MouseActionPress || e.Button != tea.MouseButtonLeft {
		return
	}
	ps := m.plan.At(e.X, e.Y-m.mapY)
	for i, p := range ps { // clicking again goes through pieces that share a cell
		if p == m.piece {
			m.piece = ps[(i+1)%len(ps)]
			m.input.Set("")
			return
		}
	}
	if len(ps) > 0 {
		m.piece = ps[0]
		m.input.Set("")
	}
}

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	switch {
	case m.points.open:
		return m.points.view(sc, hunt.Points(sc.Layout), &m.scroll, w, h)
	case m.where && m.choice(sc).Names != nil:
		return m.viewNames(sc, w, h)
	case m.where:
		return m.viewPlace(sc, w, h)
	}
	t := &sc.Theme
	lines := text.Wrap(t.Paint(style.Title, "What is wrong?"), w)
	at := 0
	for i, c := range hunt.Offers(sc.Layout) {
		mark, role := "  ", style.Plain
		if i == m.row {
			mark, role = "> ", style.Select
			at = len(lines)
		}
		for k, l := range text.Hang(keyOf(i)+" ", c.Says, 2, w-3) {
			if k > 0 {
				mark = "  "
			}
			lines = append(lines, mark+t.Paint(role, l))
		}
	}
	box := "[ ]"
	if m.sometimes {
		box = "[x]"
	}
	lines = append(lines, "  "+t.Paint(style.Key, "s")+" "+box+" it comes and goes")
	if names := m.points.of(sc, m.choice(sc).Kind); len(names) > 0 {
		lines = append(lines, text.Fit("  "+t.Paint(style.Key, "p")+" points when it tripped: "+m.points.says(names),
			w))
	}
	lines = append(lines, m.faults(sc, w)...)
	m.scroll.Show(at, h)
	if rest := h - len(lines) - 1; rest >= 6 {
		lines = append(lines, "")
		lines = append(lines, m.plan.View(sc, plan.Show{Chosen: -1, Plain: true}, w, rest)...)
		return scene.Frame{Lines: lines, X: 0, Y: at}
	}
	out := m.scroll.View(t, lines, h, "Down")
	return scene.Frame{Lines: out, X: 0, Y: at - m.scroll.Top()}
}

func (m *Model) faults(sc *scene.Scene, w int) []string {
	var lines []string
	for _, warn := range sc.View.Warnings { // a layout that cannot be hunted on
		lines = append(lines, text.Wrap("! "+warn, w)...)
	}
	if m.fault != "" {
		lines = append(lines, text.Wrap("! "+m.fault, w)...)
	}
	for i := range lines {
		lines[i] = sc.Theme.Paint(style.Bad, lines[i])
	}
	return lines
}

func (m *Model) viewPlace(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	top := text.Wrap(t.Paint(style.Title, m.choice(sc).Where), w)
	prompt := "NAME > "
	in, x := m.input.View(w-len(prompt)-1, func(s string) string { return t.Paint(style.Caret, s) })
	foot := []string{t.Paint(style.Label, "chosen: ") + m.describe(sc)}
	foot = text.Wrap(foot[0], w)
	foot = append(foot, m.faults(sc, w)...)
	foot = append(foot, t.Paint(style.Label, prompt)+in)
	room := h - len(top) - len(foot)
	m.mapY = len(top) + 1 // the header is a line of its own
	lines := top
	if room > 0 {
		body := m.plan.View(sc, plan.Show{Chosen: m.piece, Plain: true}, w, room)
		for len(body) < room {
			body = append(body, "")
		}
		lines = append(lines, body[:room]...)
	}
	lines = append(lines, foot...)
	return scene.Frame{Lines: lines, X: len(prompt) + x, Y: len(lines) - 1}
}

func (m *Model) describe(sc *scene.Scene) string {
	if m.piece >= len(sc.Layout.Pieces) {
		return "nothing"
	}
	p := &sc.Layout.Pieces[m.piece]
	s := p.ID() + " (" + string(p.Kind) + ")"
	if p.Name != "" {
		s = p.Name + ", " + s
	}
	return s + ", " + spot.Near(sc.Layout, track.Place{Piece: m.piece, End: -1})
}

// Keys lists what works now.
func (m *Model) Keys(sc *scene.Scene) []scene.Key {
	if m.points.open {
		return m.points.keys()
	}
	if m.where && m.choice(sc).Names != nil {
		return []scene.Key{
			{Press: "1-9", Does: "choose", Hint: "1-9 choose"},
			{Press: "up, down, - +, Enter", Does: "choose with the arrows", Hint: "Enter that one"},
			{Press: "Esc", Does: "back to the list", Hint: "Esc back"},
			{Press: "q", Does: "leave"},
		}
	}
	if m.where {
		return []scene.Key{
			{Press: "left, right, - +", Does: "the piece before or after", Hint: "arrows move"},
			{Press: "up, down", Does: "the nearest piece above or below"},
			{Press: "PgUp, PgDn", Does: "ten pieces on"},
			{Press: "a name", Does: "main 12, or 12 for short, 2.3 for the third of the second run, W1, main 12/13, " +
				"a landmark", Hint: "name or type it"},
			{Press: "Enter", Does: "that is the place", Hint: "Enter that one"},
			{Press: "Ctrl-Up, Ctrl-Down", Does: "zoom"},
			{Press: "Esc", Does: "back to the list"},
		}
	}
	all := fmt.Sprintf("1-%d", min(len(hunt.Offers(sc.Layout)), 9))
	if len(hunt.Offers(sc.Layout)) == 10 {
		all = "1-9 0"
	}
	out := []scene.Key{
		{Press: all, Does: "choose", Hint: all + " choose"},
		{Press: "up, down, +, Enter", Does: "choose with the arrows"},
		{Press: "s, .", Does: "it comes and goes, or not"},
	}
	if len(m.points.of(sc, m.choice(sc).Kind)) > 0 {
		out = append(out, scene.Key{Press: "p, *", Does: "how turnouts stood when it tripped", Hint: "p points"})
	}
	return append(out, []scene.Key{
		{Press: "k", Does: "your kit: what meter and lamp you have", Hint: "k kit"},
		{Press: "t", Does: "a tour of one minute", Hint: "t tour"},
		{Press: "w", Does: walkSays(sc), Hint: walkHint(sc)},
		{Press: "a", Does: "around the hunt: pieces on the bench, building in stages, a panel, the health check",
			Hint: "a around"},
		{Press: "q", Does: "leave", Hint: "q leave"},
	}...)
}

// walkSays says what w does: the demo is not changed, a layout of one's own
// is.
func walkSays(sc *scene.Scene) string {
	if sc.Demo {
		return "enter your own layout by walking along its track"
	}
	return "change this layout by walking along its track"
}

func walkHint(sc *scene.Scene) string {
	if sc.Demo {
		return "w your own layout"
	}
	return "w change the layout"
}
