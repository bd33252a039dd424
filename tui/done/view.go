package done

import (
	"fmt"
	"slices"
	"strings"

	"github.com/charmbracelet/lipgloss"

	"fishplate/diagnose/unit"
	"fishplate/tui/card"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	switch {
	case sc.View.Step.Done == nil:
		return scene.Frame{Lines: []string{"the hunt is not over yet"}}
	case wants(sc):
		return m.viewProof(sc, w, h)
	}
	return m.viewEnd(sc, w, h)
}

// viewProof is what was found, and the reading that proves its repair, laid out as
// any other.
func (m *Model) viewProof(sc *scene.Scene, w, h int) scene.Frame {
	t, d := &sc.Theme, sc.View.Step.Done
	if d.Prove != m.proof {
		m.proof, m.leaf = d.Prove, 0
	}
	box := plan.BoxIn(w, h)
	w = box.Words
	head := text.Wrap(t.Paint(style.Good, "FOUND")+"  "+d.Verdict, w)
	head = append(head, text.Wrap(t.Paint(style.Label, "Put it right, put everything back, then prove it:"), w)...)
	head = append(head, card.Warnings(sc, w)...)
	room := h - len(head) - 3 // a line of air, the answer, and what it would mean
	leaves := card.Leaves(sc, d.Prove, w, room, 0)
	m.parted = len(leaves) > 1
	if m.parted { // what was found has a leaf of its own, and a line on the others
		leaves = append([][]string{head[1:]}, card.Leaves(sc, d.Prove, w, h-4, 0)...)
		head = head[:1]
	}
	if box.H > 0 && !box.Beside { // the map, where all goes on one leaf above it
		if short := card.Leaves(sc, d.Prove, w, room-box.H, 0); len(short) == 1 {
			leaves, m.parted = short, false
		}
	}
	m.leaves = len(leaves)
	if m.input.Value() != "" {
		m.leaf = m.leaves - 1
	}
	m.leaf = max(min(m.leaf, m.leaves-1), 0)
	foot, x := m.answer(sc, w)
	lines := append(head, leaves[m.leaf]...)
	if len(lines)+len(foot) < h {
		lines = append(lines, "")
	}
	lines = lines[:min(len(lines), max(h-len(foot), 0))]
	f := scene.Frame{X: x, Y: len(lines)}
	drawn := m.plan.Draw(sc, plan.Show{Ask: d.Prove, Chosen: m.found(sc)}, box)
	f.Lines = box.Put(append(lines, foot...), drawn, h)
	return f
}

// signs are the whole answers of a number pad.
var signs = map[string]string{"-": "take back the last answer: Enter", "+": "OL, over the range: Enter",
	".": "can't reach that: Enter", ",": "can't reach that: Enter"}

// answer is the line for what the meter shows, and what it would mean.
func (m *Model) answer(sc *scene.Scene, w int) (lines []string, x int) {
	t := &sc.Theme
	if m.leaf < m.leaves-1 && m.input.Value() == "" && m.fault == "" { // nothing to be read yet
		done := "these steps are done"
		if m.parted && m.leaf == 0 {
			done = "it is put right; what is done first comes next"
		}
		return text.Wrap(t.Paint(style.Key, "Enter")+": "+done, w), 0
	}
	line, x := card.AnswerLine(sc, card.Shows(sc.View.Step.Done.Prove), &m.input, w)
	lines = []string{line}
	typed := strings.TrimSpace(m.input.Value())
	switch meaning := card.Meaning(sc, sc.View.Step.Done.Prove, typed, "", w); {
	case m.fault != "":
		lines = append(lines, text.Wrap(t.Paint(style.Bad, "! "+m.fault), w)...)
	case signs[typed] != "":
		lines = append(lines, text.Fit(t.Paint(style.Good, "= "+signs[typed]), w))
	case typed != "" && meaning != nil:
		lines = append(lines, meaning...)
	default:
		lines = append(lines, text.Fit(t.Paint(style.Dim, sc.View.Step.Done.Prove.Digits()), w))
	}
	return lines, x
}

// viewEnd is how the hunt came out, in a frame, what to put back, and where it
// was, on the map.
func (m *Model) viewEnd(sc *scene.Scene, w, h int) scene.Frame {
	t, d := &sc.Theme, sc.View.Step.Done
	box := plan.BoxIn(w, h)
	cw := box.Words
	title, role := "THE END OF THE HUNT", style.Title
	if d.Proven {
		title, role = "PROVEN", style.Good
	}
	body := text.Wrap(t.Paint(role, title), cw-4)
	body = append(body, text.Wrap(d.Verdict, cw-4)...)
	body = append(body, text.Wrap(t.Paint(style.Dim, fmt.Sprintf("%s, %s, about %s", unit.Count(d.Readings, "reading"),
		unit.Count(d.Lifts, "lift"),
		unit.FormatMinutes(d.Minutes))), cw-4)...)
	border := lipgloss.RoundedBorder()
	if sc.ASCII {
		border = lipgloss.ASCIIBorder()
	}
	framed := lipgloss.NewStyle().Border(border).Padding(0, 1).Width(cw - 2).Render(strings.Join(body, "\n"))
	lines := strings.Split(framed, "\n")
	lines = append(lines, card.Warnings(sc, cw)...)
	if len(d.Steps) > 0 {
		lines = append(lines, t.Paint(style.Label, "Before trains run again:"))
		lines = append(lines, slices.Concat(card.Do(sc, d.Steps, cw)...)...)
	}
	if box.Beside || len(lines) <= box.Y {
		return scene.Frame{Lines: box.Put(lines, m.plan.Draw(sc, plan.Show{Chosen: m.found(sc)}, box), h)}
	}
	return scene.Frame{Lines: m.scroll.View(t, lines, h, "Down"), X: 0, Y: 0}
}

// found is the piece that was bad, -1 where it is none of the layout.
func (m *Model) found(sc *scene.Scene) int {
	if name := sc.View.Step.Done.Found; name != "" {
		return sc.Layout.FindPiece(name)
	}
	return -1
}
