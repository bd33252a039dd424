package piece

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/piece"
	"fishplate/diagnose/track"
	"fishplate/tui/big"
	"fishplate/tui/plan"
	"fishplate/tui/reader"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// indent is the width of the labels' column.
const indent = 8

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	wide := min(w, plan.TextWide+10)
	switch m.at {
	case kinds:
		return m.viewKinds(sc, wide, h)
	case begin:
		return reader.Scrolled(sc, &m.scroll, m.minded(sc, wide), h)
	case reading:
		return m.viewReading(sc, wide, h)
	case wrong:
		return reader.Scrolled(sc, &m.scroll, m.broken(sc, wide), h)
	}
	t := &sc.Theme
	lines := text.Wrap("Each piece alone on the bench, before it goes down: one key an answer.", wide)
	for i, s := range piece.Before() {
		if i == 0 {
			lines = append(lines, text.Hang(t.Paint(style.Warn, "!!"), s, 3, wide)...)
			continue
		}
		lines = append(lines, text.Hang("-", s, 2, wide)...)
	}
	return reader.Scrolled(sc, &m.scroll, lines, h)
}

// viewKinds is the list of the kinds in the box, with how many of each are through.
func (m *Model) viewKinds(sc *scene.Scene, w, h int) scene.Frame {
	t := &sc.Theme
	var lines []string
	if m.told != "" {
		lines = append(lines, text.Wrap(t.Paint(style.Good, m.told), w)...)
	}
	lines = append(lines, t.Paint(style.Title, "Which kind?"))
	at := 0
	for i := range m.o.Lots {
		lot := &m.o.Lots[i]
		left := 0
		for _, p := range lot.Pieces {
			if !m.done[p] {
				left++
			}
		}
		mark, role := "  ", style.Plain
		if i == m.row {
			mark, role, at = "> ", style.Select, len(lines)
		}
		says := fmt.Sprintf("%s: %d of %d to go, %s", lot.Name, left, len(lot.Pieces), lot.Takes())
		for k, l := range text.Hang(fmt.Sprintf("%d ", i+1), says, 2, w-2) {
			if k > 0 {
				mark = "  "
			}
			lines = append(lines, mark+t.Paint(role, l))
		}
	}
	m.scroll.Show(at, h)
	return scene.Frame{X: 0, Y: at - m.scroll.Top(), Lines: m.scroll.View(t, lines, h, "Down")}
}

// minded is what is minded with a kind before its first piece.
func (m *Model) minded(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	out := text.Wrap(t.Paint(style.Title, m.lot.Name), w)
	if s := m.lot.TakeOff(); s != "" {
		out = append(out, text.Hang(t.Paint(style.Warn, "!!"), s, 3, w)...)
	}
	if m.lot.Motor {
		for _, s := range piece.Motor() {
			out = append(out, text.Hang(t.Paint(style.Warn, "!!"), s, 3, w)...)
		}
	}
	out = append(out, text.Wrap(m.lot.Takes()+" (assumed). Black stays where it is as long as it can.", w)...)
	return append(out, text.Wrap(t.Paint(style.Key, "Enter")+": the first piece: "+m.o.Loose(m.next()), w)...)
}

// viewReading is one reading: how the points stand, where the leads go, drawn, and what
// must be.
func (m *Model) viewReading(sc *scene.Scene, w, h int) scene.Frame {
	t, n := &sc.Theme, min(m.n, len(m.lot.Readings)-1)
	r := &m.lot.Readings[n]
	lines := m.came(sc, w)
	if says := m.o.Before[m.piece]; n == 0 && says != "" {
		lines = append(lines, text.Hang(t.Paint(style.Warn, "!!"), says, 3, w)...)
	}
	label := func(role style.Role, word, says string, lit bool) {
		if lit {
			says = t.Paint(style.Key, says)
		}
		lines = append(lines, text.Hang(t.Paint(role, word[:1])+t.Paint(style.Label, word[1:]), says, indent, w)...)
	}
	before := &piece.Reading{}
	if n > 0 {
		before = &m.lot.Readings[n-1]
	}
	if s := m.lot.Thrown(r.Position); s != "" {
		label(style.Label, "POINTS", s, before.Position != r.Position)
	}
	label(style.ProbeBlack, "BLACK", r.Black, before.Black != r.Black)
	label(style.ProbeRed, "RED", r.Red, before.Red != r.Red)
	drawn := m.drawn(sc, r)
	must := big.Fit(ways(r), w, sc.ASCII)
	says := text.Wrap("It must "+r.Must()+".", w)
	key := func(k, does string) string { return t.Paint(style.Key, k) + " " + does }
	keys := []string{key("Enter", "right  ") + key("x", "wrong  ") + key("1", "beeps  ") + key("0", "silent")}
	if m.fault != "" {
		keys = reader.Faults(t, m.fault, w)
	}
	rest := h - len(lines) - len(must) - len(says) - len(keys)
	if drawn[0] == "" && rest == len(drawn)-1 { // without the room above it
		drawn = drawn[1:]
	}
	if rest >= len(drawn) {
		lines = append(lines, drawn...)
		rest -= len(drawn)
	}
	for _, part := range [][]string{must, says, keys} {
		if rest > 0 {
			lines, rest = append(lines, ""), rest-1
		}
		lines = append(lines, part...)
	}
	return scene.Frame{Lines: lines, Y: -1}
}

// came is what stands at the top: what became of the piece before and which one comes, or
// the answers so far.
func (m *Model) came(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	if m.n == 0 {
		take := text.Wrap("take "+m.o.Loose(m.piece)+", from the box", w)
		if m.told == "" {
			return take
		}
		return append(text.Wrap(t.Paint(style.Good, m.told), w)[:1], take...)
	}
	line := ""
	for i := range m.lot.Readings {
		switch r := &m.lot.Readings[i]; {
		case i >= m.n:
			line += "."
		case slices.Contains(m.bad, r.N):
			line += t.Paint(style.Bad, "x")
		default:
			line += "#"
		}
	}
	if len(m.bad) > 0 {
		line += t.Paint(style.Bad, "  wrong: "+piece.Numbers(m.bad))
	}
	return []string{text.Fit(line, w)}
}

// ways are ways to say in large letters what must be.
func ways(r *piece.Reading) []string {
	switch r.Want {
	case piece.Beeps:
		return []string{"MUST BEEP", "BEEP"}
	case piece.Silent:
		return []string{"MUST BE SILENT", "SILENT"}
	}
	return []string{"COIL OHMS", "COIL"}
}

// drawn is the piece as a grid, its rails down and its ends across, with both leads on it.
func (m *Model) drawn(sc *scene.Scene, r *piece.Reading) []string {
	t := &sc.Theme
	const wide = 10
	ends := m.lot.Ends()
	head := strings.Repeat(" ", indent)
	for _, e := range ends {
		head += text.Fit(e, wide)
	}
	lines := []string{"", t.Paint(style.Dim, strings.TrimRight(head, " "))}
	mark := func(name string) string {
		switch name {
		case r.Red:
			return t.Paint(style.ProbeRed, "R")
		case r.Black:
			return t.Paint(style.ProbeBlack, "B")
		}
		return "o"
	}
	for _, rail := range m.lot.Rails() {
		fill := " "
		if len(ends) == 2 { // one stretch of rail
			if fill = "="; rail == track.Center {
				fill = "-"
			}
		}
		line := text.Fit(string(rail), indent)
		for i, e := range ends {
			if i == len(ends)-1 {
				fill = " "
			}
			line += mark(e+" "+string(rail)) + strings.Repeat(fill, wide-1)
		}
		lines = append(lines, strings.TrimRight(line, " "))
	}
	if m.lot.DeadFrog {
		lines = append(lines, text.Fit(piece.Frog, indent)+mark(piece.Frog))
	}
	return lines
}

// broken is a piece that is not as it must be, and what may be wrong with it.
func (m *Model) broken(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	out := text.Wrap(t.Paint(style.Bad, strings.ToUpper(m.o.Name(m.piece))+" IS NOT AS IT MUST BE: wrong at "+
		piece.Numbers(m.bad)), w)
	for _, n := range m.bad {
		out = append(out, text.Hang("x", m.lot.Says(n), 2, w)...)
	}
	if len(m.mends) == 0 {
		out = append(out, text.Hang("-", piece.Unexplained, 2, w)...)
	}
	for i := range m.mends {
		out = append(out, text.Hang("-", fmt.Sprintf("%.0f %%: %s", 100*m.mends[i].Odds, m.mends[i].Say()), 2, w)...)
	}
	if m.fault != "" {
		out = append(out, reader.Faults(t, m.fault, w)...)
	}
	return append(out, text.Wrap(piece.Aside, w)...)
}
