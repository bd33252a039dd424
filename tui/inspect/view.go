package inspect

import (
	"fmt"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/card"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/spot"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

const (
	// besideWide is the width from which the map stands beside the words.
	besideWide, textWide = 110, 70
	// leastMap is how many rows a map needs to tell anything.
	leastMap = 7
)

// View draws the screen in w by h cells: one piece to look at, in the order of
// hands, and where it is.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	list := pieces(sc)
	if len(list) == 0 {
		return scene.Frame{Lines: []string{"nothing to look at now"}}
	}
	m.row = max(min(m.row, len(list)-1), 0)
	show := plan.Show{Chosen: sc.Layout.FindPiece(list[m.row].Piece)}
	more := func(above, below int) string {
		return sc.Theme.Paint(style.Key, fmt.Sprintf("-- %d lines below, %d above: Enter, PgUp", below, above))
	}
	lw := min(w, textWide+8)
	if w >= besideWide {
		lw = min(w*9/20, textWide)
	}
	answer, x := m.answer(sc, lw)
	out := m.scroll.View(m.words(sc, lw), max(h-len(answer), 1), more)
	f := scene.Frame{X: x, Y: len(out)}
	out = append(out, answer...)
	switch left := h - len(out); {
	case w >= besideWide:
		out = text.Beside(out, m.plan.View(sc, show, w-lw-3, h), lw, h, "   ")
	case left >= leastMap && w >= 60:
		out = append(out, m.plan.View(sc, show, w, left)...)
	}
	f.Lines = out
	return f
}

// answer is the line for what eyes saw, and what it would mean: it stands under
// the words at any size. x is the caret's column.
func (m *Model) answer(sc *scene.Scene, w int) (lines []string, x int) {
	const prompt = " YOU SAW "
	t := &sc.Theme
	in, x := m.input.View(w-len(prompt)-2, func(s string) string { return t.Paint(style.Caret, s) })
	lines = []string{t.Paint(style.Select, prompt) + " " + in}
	switch {
	case m.fault != "":
		lines = append(lines, text.Wrap(t.Paint(style.Bad, "! "+m.fault), w)...)
	case m.input.Value() != "":
		lines = append(lines, text.Wrap(t.Paint(style.Good, m.means(sc)), w)...)
	default:
		lines = append(lines, text.Wrap(t.Paint(style.Key, "f")+", Enter: it is bad  "+t.Paint(style.Key, "n")+", Enter: it's good", w)...)
	}
	return lines, x + len(prompt) + 1
}

// words are the piece, what to mind, what to do first, where it is, what to look
// for and how to lift it; then the pieces that come after it.
func (m *Model) words(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	in := sc.View.Step.Inspect
	c := &in.Pieces[m.row]
	lines := m.head(sc, c, w)
	for _, s := range in.Cautions {
		lines = append(lines, text.Hang(t.Paint(style.Warn, "!!"), s, 3, w)...)
	}
	lines = append(lines, card.Do(sc, in.Steps, w)...)
	add := func(label, s string) {
		if s != "" {
			lines = append(lines, text.Hang(t.Paint(style.Label, label), s, card.Indent, w)...)
		}
	}
	if i := sc.Layout.FindPiece(c.Piece); i >= 0 {
		add("FIND", spot.Near(sc.Layout, track.Place{Piece: i, End: -1}))
	}
	add("FAULT", c.What)
	add("LOOK", c.Look)
	add("LIFT", c.Lift)
	lines = append(lines, card.Warnings(sc, w)...)
	add("NEXT", m.others(in))
	add("WHY", in.Why)
	return append(lines, "")
}

// head names the piece to look at, with the bar of its odds.
func (m *Model) head(sc *scene.Scene, c *hunt.Candidate, w int) []string {
	t := &sc.Theme
	bar := strings.Repeat("#", int(c.P*10+0.5))
	line := t.Paint(style.Label, "LOOK AT") + "  " + t.Paint(style.Select, " "+c.Piece+" ") + "  " + c.Share() + " " + t.Paint(style.Hot, bar)
	if n := len(pieces(sc)); n > 1 {
		of := fmt.Sprintf("  %d of %d: Down", m.row+1, n)
		if text.Width(line)+text.Width(of) <= w {
			line += t.Paint(style.Dim, of)
		}
	}
	return []string{text.Fit(line, w)}
}

// others are the pieces that come after the one shown.
func (m *Model) others(in *hunt.Inspect) string {
	var out []string
	for i := range in.Pieces {
		if i != m.row {
			out = append(out, in.Pieces[i].Piece+" "+in.Pieces[i].Share())
		}
	}
	return strings.Join(out, ", ")
}
