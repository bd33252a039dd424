package symptom

import (
	"strconv"
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// points is how turnouts stood when the breaker tripped, so far as it is said.
type points struct {
	open  bool
	row   int
	stood map[string]string
}

// of are the turnouts that are worth a question: those that switch current, for
// a short.
func (p *points) of(sc *scene.Scene, kind hunt.SymptomKind) []string {
	if !kind.OfShort() {
		return nil
	}
	return hunt.Points(sc.Layout)
}

// turn changes what is said of a turnout: nothing, diverging, through.
func (p *points) turn(name string) {
	if p.stood == nil {
		p.stood = map[string]string{}
	}
	switch p.stood[name] {
	case "":
		p.stood[name] = track.EndDiverging
	case track.EndDiverging:
		p.stood[name] = track.EndThrough
	default:
		delete(p.stood, name)
	}
}

// key takes a key of the list.
func (p *points) key(names []string, k tea.KeyMsg) tea.Msg {
	p.row = min(p.row, len(names)-1)
	switch s := k.String(); s {
	case "up", "-":
		p.row = max(p.row-1, 0)
	case "down", "+":
		p.row = min(p.row+1, len(names)-1)
	case " ", "right", "left", ".":
		p.turn(names[p.row])
	case "enter", "esc", "p", "*":
		p.open = false
	case "q":
		return scene.Quit{}
	default:
		if n, err := strconv.Atoi(s); err == nil && n >= 1 && n <= len(names) {
			p.row = n - 1
			p.turn(names[p.row])
		}
	}
	return nil
}

// says is the answer in one line.
func (p *points) says(names []string) string {
	var out []string
	for _, name := range names {
		if r := p.stood[name]; r != "" {
			out = append(out, name+" "+r)
		}
	}
	if len(out) == 0 {
		return "not said"
	}
	return strings.Join(out, ", ")
}

// view draws the list.
func (p *points) view(sc *scene.Scene, names []string, s *text.Scroll, w, h int) scene.Frame {
	t := &sc.Theme
	lines := text.Wrap(t.Paint(style.Title, "How did the turnouts stand when it tripped?"), w)
	at := 0
	for i, name := range names {
		mark, role := "  ", style.Plain
		if i == min(p.row, len(names)-1) {
			mark, role, at = "> ", style.Select, len(lines)
		}
		is := p.stood[name]
		if is == "" {
			is = "-"
		}
		lines = append(lines, text.Fit(mark+t.Paint(role, strconv.Itoa(i+1)+" "+name+": "+is), w))
	}
	lines = append(lines, text.Wrap("With one said, those left at - stood to through. With none said, all are tried.",
		w)...)
	s.Show(at, h)
	out := s.View(t, lines, h, "Down")
	return scene.Frame{Lines: out, X: 0, Y: at - s.Top()}
}

func (p *points) keys() []scene.Key {
	return []scene.Key{
		{Press: "1-9", Does: "diverging, through, or nothing said", Hint: "1-9 turn"},
		{Press: "up, down, - +, Space, .", Does: "go to a turnout, and turn it"},
		{Press: "Enter, Esc", Does: "back to what is wrong", Hint: "Enter that is it"},
		{Press: "q", Does: "leave"},
	}
}
