package inspect

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/hunt"
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
	head := parts[0].lines[:1]
	leaves := []part{{about: parts[0].about, lines: head}}
	for i, p := range parts {
		if i == 0 {
			p.lines = p.lines[1:]
		}
		last := &leaves[len(leaves)-1]
		if len(last.lines)+len(p.lines) <= room-1 {
			last.add(p)
			continue
		}
		if len(last.lines) > 1 {
			leaves = append(leaves, part{about: p.about, lines: slices.Clone(head)})
		}
		for len(p.lines) > room-2 && room > 3 { // longer than any leaf
			leaves[len(leaves)-1].add(part{p.about, p.lines[:room-2]})
			p.lines = p.lines[room-2:]
			leaves = append(leaves, part{about: p.about, lines: slices.Clone(head)})
		}
		leaves[len(leaves)-1].add(p)
	}
	m.leaves = len(leaves)
	m.leaf = (m.leaf%m.leaves + m.leaves) % m.leaves
	next := "" // a line of air, where all is on one leaf
	if m.leaves > 1 {
		next = on(sc.Theme.Paint(style.Key, "Enter")+": ", leaves[(m.leaf+1)%m.leaves].about, text.Width(head[0]))
	}
	return append(leaves[m.leaf].lines, next)
}

// add puts a part under the others of a leaf.
func (p *part) add(q part) {
	p.lines = append(p.lines, q.lines...)
	if !strings.HasSuffix(p.about, q.about) {
		p.about += ", " + q.about
	}
}

// on says what the next leaf is about, as much of it as w columns take.
func on(enter, about string, w int) string {
	for text.Width(enter)+text.Width(about) > w {
		k := strings.LastIndex(about, ", ")
		if k < 0 {
			break
		}
		about = about[:k]
	}
	return text.Fit(enter+about, w)
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
		lines = append(lines, text.Wrap(t.Paint(style.Key, "f")+", Enter: it is bad  "+t.Paint(style.Key, "n")+
			", Enter: it's good", w)...)
	}
	return lines, x + len(prompt) + 1
}

// parts are the piece and what to mind; each step of what to do first; where it is
// and what is wrong with it; what to look for; how to lift it; and the pieces that
// come after it.
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
	first := m.head(sc, c, w)
	for _, s := range in.Cautions {
		first = append(first, text.Hang(t.Paint(style.Warn, "!!"), s, 3, w)...)
	}
	out := []part{{"what to do first", first}}
	for _, step := range card.Do(sc, in.Steps, w) {
		out = append(out, part{"what to do first", step})
	}
	out = append(out, part{"where it is", said("FIND", spot.ToLook(sc.Layout, c.Piece, c.Joint))},
		part{"what is wrong", said("FAULT", c.What)}, part{"what to look for", said("LOOK", c.Look)},
		part{"how to lift it", said("LIFT", c.Lift)},
		part{"why this one", slices.Concat(card.Warnings(sc, w), said("NEXT", m.others(in)), said("WHY", in.Why))})
	return slices.DeleteFunc(out, func(p part) bool { return len(p.lines) == 0 })
}

// head names the piece to look at, with the bar of its odds.
func (m *Model) head(sc *scene.Scene, c *hunt.Candidate, w int) []string {
	t := &sc.Theme
	bar := strings.Repeat("#", int(c.P*10+0.5))
	line := t.Paint(style.Label, "LOOK AT") + "  " + t.Paint(style.Select, " "+c.Title()+" ") + "  " + c.Share() + " " +
		t.Paint(style.Hot, bar)
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
