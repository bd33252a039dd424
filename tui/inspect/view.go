package inspect

import (
	"fmt"
	"slices"
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

// View draws the screen in w by h cells: one piece to look at, in the order of
// hands, and where it is, on the map that stood beside the readings too.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	list := pieces(sc)
	if len(list) == 0 {
		return scene.Frame{Lines: []string{"nothing to look at now"}}
	}
	m.row = max(min(m.row, len(list)-1), 0)
	box := plan.BoxIn(w, h)
	answer, x := m.answer(sc, box.Words)
	parts := m.parts(sc, box.Words)
	room, drawn := h-len(answer), []string(nil)
	if box.Beside || box.H > 0 && longest(parts)+1 < box.Y-len(answer) {
		drawn = m.plan.Draw(sc, plan.Show{Chosen: sc.Layout.FindPiece(list[m.row].Piece)}, box)
		if !box.Beside {
			room = box.Y - len(answer)
		}
	}
	leaf := m.turned(sc, parts, room)
	f := scene.Frame{X: x, Y: len(leaf)}
	f.Lines = append(leaf, answer...)
	if drawn != nil {
		f.Lines = box.Put(f.Lines, drawn, h)
	}
	return f
}

// part is what stays on one leaf: what it is about, for who turns to it, and lines.
type part struct {
	about string
	lines []string
}

func longest(parts []part) int {
	n := 0
	for _, p := range parts {
		n = max(n, len(p.lines))
	}
	return n
}

// turned is the leaf that Enter turned to, with what comes on the next one at its
// foot. Each begins with the piece.
func (m *Model) turned(sc *scene.Scene, parts []part, room int) []string {
	t := &sc.Theme
	var leaves [][]string
	var abouts []string
	head := parts[0].lines[:1]
	for i, p := range parts {
		last := len(leaves) - 1
		if i > 0 && len(leaves[last])+len(p.lines) <= room-1 {
			leaves[last] = append(leaves[last], p.lines...)
			abouts[last] += ", " + p.about
			continue
		}
		lines := p.lines
		if i > 0 {
			lines = append(slices.Clone(head), lines...)
		}
		for len(lines) > room-1 && room > 2 { // longer than any leaf
			leaves, abouts = append(leaves, lines[:room-1]), append(abouts, p.about)
			lines = append(slices.Clone(head), lines[room-1:]...)
		}
		leaves, abouts = append(leaves, lines), append(abouts, p.about)
	}
	m.leaves = len(leaves)
	m.leaf = (m.leaf%m.leaves + m.leaves) % m.leaves
	next := "" // a line of air, where all is on one leaf
	if m.leaves > 1 {
		next = text.Fit(t.Paint(style.Key, "Enter")+": "+abouts[(m.leaf+1)%m.leaves], text.Width(head[0]))
	}
	return append(leaves[m.leaf], next)
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

// parts are the piece, what to mind, what to do first and where it is; what to look
// for; how to lift it; and the pieces that come after it.
func (m *Model) parts(sc *scene.Scene, w int) []part {
	t := &sc.Theme
	in := sc.View.Step.Inspect
	c := &in.Pieces[m.row]
	said := func(label, s string) []string {
		if s == "" {
			return nil
		}
		return text.Hang(t.Paint(style.Label, label), s, card.Indent, w)
	}
	find := m.head(sc, c, w)
	for _, s := range in.Cautions {
		find = append(find, text.Hang(t.Paint(style.Warn, "!!"), s, 3, w)...)
	}
	find = append(find, card.Do(sc, in.Steps, w)...)
	if i := sc.Layout.FindPiece(c.Piece); i >= 0 {
		find = append(find, said("FIND", spot.Near(sc.Layout, track.Place{Piece: i, End: -1}))...)
	}
	find = append(find, said("FAULT", c.What)...)
	out := []part{{"where it is", find}, {"what to look for", said("LOOK", c.Look)}, {"how to lift it", said("LIFT", c.Lift)},
		{"why this one", slices.Concat(card.Warnings(sc, w), said("NEXT", m.others(in)), said("WHY", in.Why))}}
	return slices.DeleteFunc(out, func(p part) bool { return len(p.lines) == 0 })
}

// head names the piece to look at, with the bar of its odds.
func (m *Model) head(sc *scene.Scene, c *hunt.Candidate, w int) []string {
	t := &sc.Theme
	bar := strings.Repeat("#", int(c.P*10+0.5))
	line := t.Paint(style.Label, "LOOK AT") + "  " + t.Paint(style.Select, " "+c.Title()+" ") + "  " + c.Share() + " " + t.Paint(style.Hot, bar)
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
