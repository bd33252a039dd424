package plan

import (
	"fmt"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/track"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// finder is the line in which a place is named.
type finder struct {
	on    bool
	input text.Input
	fault string
}

// Finding says that a name is being typed: every key is the map's then.
func (m *Model) Finding() bool { return m.find.on }

// Picked gives the piece that the user chose on the map, -1 for none.
func (m *Model) Picked() int { return m.picked - 1 }

// Pick chooses a piece; the map follows it.
func (m *Model) Pick(i int) { m.picked, m.Free = i+1, false }

// pickKey takes the keys that choose a piece: n and p the next and the one
// before, / a name.
func (m *Model) pickKey(sc *scene.Scene, k tea.KeyMsg) bool {
	n := len(sc.Layout.Pieces)
	switch s := k.String(); {
	case n == 0:
		return false
	case m.find.on:
		m.findKey(sc, k)
	case s == "/":
		m.find = finder{on: true, input: text.NewInput()}
	case s == "n" && m.picked == 0:
		m.Pick(start(sc))
	case s == "n":
		m.Pick(m.picked % n)
	case s == "p" && m.picked == 0:
		m.Pick(start(sc))
	case s == "p":
		m.Pick((m.picked - 2 + n) % n)
	case s == "esc" && m.picked > 0:
		m.picked = 0
	default:
		return false
	}
	return true
}

// start is where choosing begins: at the red probe, else the most suspected
// piece.
func start(sc *scene.Scene) int {
	if a := sc.View.Step.Ask; a != nil {
		if p := spot.Parse(sc.Layout, a.Red); p.Place.Piece >= 0 {
			return p.Place.Piece
		}
	}
	for _, c := range sc.View.Ranked {
		if i := sc.Layout.FindPiece(c.Piece); i >= 0 {
			return i
		}
	}
	return 0
}

func (m *Model) findKey(sc *scene.Scene, k tea.KeyMsg) {
	switch k.String() {
	case "esc":
		m.find.on = false
	case "enter":
		at, ok := spot.Find(sc.Layout, m.find.input.Value())
		if !ok {
			m.find.fault = "nothing is called so"
			return
		}
		m.find.on = false
		m.Pick(at.Piece)
		m.Zoom = max(m.Zoom, 3)
	default:
		if m.find.input.Update(k) {
			m.find.fault = ""
		}
	}
}

// findLine is the line in which a name is typed, and the caret's column.
func (m *Model) findLine(sc *scene.Scene, w int) (string, int) {
	t := &sc.Theme
	const prompt = "GO TO > "
	in, x := m.find.input.View(max(w-len(prompt)-1, 2), func(s string) string { return t.Paint(style.Caret, s) })
	line := t.Paint(style.Label, prompt) + in
	switch {
	case m.find.fault != "":
		line += "  " + t.Paint(style.Bad, "! "+m.find.fault)
	case m.find.input.Value() == "":
		line += "  " + t.Paint(style.Dim, examples(sc.Layout))
	}
	return line, len(prompt) + x
}

// examples shows what may be typed, from this layout.
func examples(l *track.Layout) string {
	out := []string{l.Pieces[0].ID(), fmt.Sprint(l.Pieces[0].Number)}
	if len(l.Runs) > 1 {
		out = append(out, "2.1")
	}
	for i := range l.Pieces {
		if l.Pieces[i].Name != "" {
			out = append(out, l.Pieces[i].Name)
			break
		}
	}
	if len(l.Landmarks) > 0 {
		out = append(out, l.Landmarks[0].Name)
	}
	return strings.Join(out, ", ")
}

// about says what there is to say about the chosen piece.
func (m *Model) about(sc *scene.Scene, w int) []string {
	i := m.Picked()
	if i < 0 || i >= len(sc.Layout.Pieces) {
		return nil
	}
	p := &sc.Layout.Pieces[i]
	s := string(p.Kind)
	if p.Name != "" && p.Name != p.ID() {
		s = p.Name + ", " + s
	}
	if i < len(sc.View.Pieces) && sc.View.Symptom != nil {
		s += fmt.Sprintf(", suspected %.3g%%", sc.View.Pieces[i]*100)
	}
	if p.Hidden != "" {
		s += ", hidden in the " + p.Hidden
	}
	for _, n := range sc.Layout.Notes {
		if n.Piece == i {
			s += ", " + n.Text
		}
	}
	if near := spot.Near(sc.Layout, track.Place{Piece: i, End: -1}); near != "" {
		s += "; " + near
	}
	return text.Wrap(sc.Theme.Paint(style.Select, "@ "+p.ID())+" "+s, w)
}

// Points says where each lettered point of the reading is, by counting from
// what can be seen.
func Points(sc *scene.Scene, show Show, w int) []string {
	if show.Ask == nil {
		return nil
	}
	var out []string
	for _, p := range lettered(sc.Layout, show.Ask) {
		d := spot.Describe(sc.Layout, p.point)
		s := d.What + ", " + d.Where
		if w < 60 && p.point.Kind == spot.Track { // little room
			s = d.What + " " + sc.Layout.PlaceName(p.point.Place)
		} else if w < 60 {
			s = d.What
		}
		if d.Near != "" {
			s += ": " + d.Near
		}
		out = append(out, text.Hang(sc.Theme.Paint(roles[p.kind], p.letter), s, 2, w)...)
	}
	return out
}
