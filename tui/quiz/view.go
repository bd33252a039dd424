package quiz

import (
	"fmt"
	"strings"

	"fishplate/diagnose/drill/quiz"
	"fishplate/diagnose/drill/sitting"
	"fishplate/diagnose/hunt"
	"fishplate/tui/big"
	"fishplate/tui/card"
	"fishplate/tui/plan"
	"fishplate/tui/reader"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	wide := min(w, plan.TextWide+30)
	switch m.at {
	case begins:
		return scene.Frame{Y: -1, Lines: text.Wrap("Hiding a fault...", w)}
	case calls:
		return m.viewCalls(sc, w, h)
	case tells:
		return m.withMap(sc, m.tells(sc, w, h), w, h)
	case rules:
		return m.scrolled(sc, spaced(m.pic.rules, wide), h)
	case beside:
		return m.scrolled(sc, m.beside(sc, w), h)
	case shows:
		return m.withMap(sc, m.shows(sc, w), w, h)
	case helps:
		var lines []string
		for _, l := range m.pic.help {
			lines = append(lines, text.Hang("", l, 4, wide)...)
		}
		return m.scrolled(sc, lines, h)
	}
	return m.scrolled(sc, m.end(sc, w, wide), h)
}

func (m *Model) scrolled(sc *scene.Scene, lines []string, h int) scene.Frame {
	return reader.Scrolled(sc, &m.scroll, lines, h)
}

// large sets words in block letters, on as many lines as they take where so many rows are
// free, else as they are.
func large(sc *scene.Scene, says string, w, rows int, role style.Role) []string {
	words := strings.Fields(strings.ToUpper(says))
	for _, wide := range []int{3, 2, 1} {
		var lines []string
		for _, word := range words {
			last := len(lines) - 1
			if last >= 0 && big.Width(lines[last]+" "+word, wide) <= w {
				lines[last] += " " + word
				continue
			}
			if big.Width(word, wide) > w {
				lines = nil
				break
			}
			lines = append(lines, word)
		}
		if len(lines) == 0 || len(lines)*(big.High+1) > rows {
			continue
		}
		var out []string
		for _, l := range lines {
			for _, row := range big.Draw(l, wide, w, sc.ASCII) {
				out = append(out, sc.Theme.Paint(role, row))
			}
			out = append(out, "")
		}
		return out
	}
	return append(text.Wrap(sc.Theme.Paint(role, says), w), "")
}

// spaced are sentences with air between them.
func spaced(list []string, w int) []string {
	var out []string
	for _, s := range list {
		out = append(append(out, text.Wrap(s, w)...), "")
	}
	return out
}

// withMap puts the map under words where there is room, else they scroll.
func (m *Model) withMap(sc *scene.Scene, lines []string, w, h int) scene.Frame {
	if len(lines) > h {
		return m.scrolled(sc, lines, h)
	}
	return scene.Frame{Y: -1, Lines: m.mapUnder(sc, lines, w, h)}
}

// mapUnder is words with the map under them, in so many rows, where it has room.
func (m *Model) mapUnder(sc *scene.Scene, lines []string, w, rows int) []string {
	free := rows - len(lines)
	if w < mapWide { // the stretch that it is about instead
		a := m.last
		if n := len(m.pic.calls); m.at == calls && n > 0 {
			a = hunt.Ask{Red: m.pic.calls[n-1].Red, Black: m.pic.calls[n-1].Black}
		}
		if strip := card.Picture(sc, &a, w); len(strip) > 0 && len(strip) < free {
			lines = append(append(lines, ""), strip...)
		}
		return lines
	}
	if free < mapRows {
		return lines
	}
	box := plan.Box{Y: len(lines), W: w, H: free, Words: w}
	return append(lines, m.drawing.Draw(sc, plan.Show{Chosen: -1, Plain: true}, box)...)
}

// roomy is from how many rows on calls are large, too.
const roomy = 50

// The least window part that a map is put into.
const mapRows, mapWide = 7, 60

func (m *Model) tells(sc *scene.Scene, w, h int) []string {
	out := large(sc, m.pic.told, w, h/2, style.Title)
	return append(out, text.Wrap(m.pic.opening[0], w)...)
}

// viewCalls is what the class sees while it calls: the question, the calls, and the map to
// point at.
func (m *Model) viewCalls(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	lines := large(sc, quiz.Asks, w, big.High+1, style.Key)
	if h < 16 {
		lines = []string{t.Paint(style.Key, quiz.Asks)}
	}
	for i := range m.pic.calls {
		says := fmt.Sprintf("%d %s", i+1, m.pic.calls[i].Says())
		if h >= roomy && big.Width(strings.ToUpper(says), 1) <= w {
			lines = append(lines, large(sc, says, w, big.High+1, style.Plain)...)
			continue
		}
		lines = append(lines, text.Wrap(says, w)...)
	}
	if m.fault != "" {
		lines = append(lines, reader.Faults(t, m.fault, w)...)
	} else if m.busy {
		lines = append(lines, t.Paint(style.Dim, "one moment"))
	}
	foot := text.Wrap(t.Paint(style.Dim, m.pic.stands), w)
	foot = foot[:min(len(foot), 2)]
	room := max(h-1-len(foot), 1)
	lines = m.mapUnder(sc, lines, w, room)
	if over := len(lines) - room; over > 0 { // the newest call is what is looked for
		lines = lines[over:]
	}
	for len(lines) < room {
		lines = append(lines, "")
	}
	typed, x := m.input.View(w-len(prompt)-1, func(s string) string { return s })
	lines = append(append(lines, foot...), t.Paint(style.Key, prompt)+typed)
	return scene.Frame{Lines: lines, X: len(prompt) + x, Y: len(lines) - 1}
}

const prompt = "CALL > "

// beside is the best call of the class, large, as a share of the program's, over bars of all.
func (m *Model) beside(sc *scene.Scene, w int) []string {
	t, best := &sc.Theme, &m.pic.best
	most := best.Rate()
	for i := range m.pic.calls {
		most = max(most, m.pic.calls[i].Rate())
	}
	won := &m.pic.calls[m.pic.winner]
	out := large(sc, fmt.Sprintf("%d %%", quiz.Share(won, best)), w, big.High+1, style.Good)
	out = append(out, text.Wrap("of the best that can be read now, a minute:", w)...)
	put := func(c *quiz.Call, role style.Role) {
		n := 0
		if most > 0 {
			n = int(float64(min(w, plan.TextWide+30)-2)*c.Rate()/most + 0.5)
		}
		out = append(out, "", t.Paint(role, strings.Repeat("#", max(n, 1))))
		out = append(out, text.Wrap(t.Paint(role, c.Says()), w)...)
		out = append(out, text.Wrap(t.Paint(style.Dim, c.Worth()), w)...)
	}
	for i := range m.pic.calls {
		role := style.Plain
		if i == m.pic.winner {
			role = style.Good
		}
		put(&m.pic.calls[i], role)
	}
	put(best, style.Key)
	return out
}

// shows is what was seen, large; what it told and what can hurt under it.
func (m *Model) shows(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	out := text.Wrap(t.Paint(style.Label, m.done), w)
	out = append(out, "")
	for _, l := range m.pic.shown {
		switch l.Role {
		case sitting.Shows:
			out = append(out, large(sc, l.Text, w, big.High+1, style.Title)...)
		case sitting.Caution, sitting.Stopped:
			out = append(out, text.Hang(t.Paint(style.Warn, "!!"), l.Text, 3, w)...)
		case sitting.Coach:
			out = append(append(out, ""), text.Wrap(t.Paint(style.Good, l.Text), w)...)
		default:
			out = append(out, text.Wrap(l.Text, w)...)
		}
	}
	return out
}

func (m *Model) end(sc *scene.Scene, w, wide int) []string {
	head := quiz.ItWas
	if m.pic.found {
		head = quiz.Found
	}
	return append(large(sc, head, w, big.High+1, style.Good), spaced(m.pic.end, wide)...)
}
