package asking

import (
	"fmt"
	"strings"

	"github.com/charmbracelet/lipgloss"

	"fishplate/tui/card"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

const (
	// A window from this size on has the map beside the reading.
	besideWide, besideHigh = 110, 24
	// textWide is how wide a column of words may be.
	textWide = 70
	// mapRows is how many rows the map has under the reading; where the reading
	// needs them it goes. It is never made smaller, so that it holds still.
	mapRows = 7
	// underWide is the width from which there is a map under the reading at all.
	underWide = 60
)

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	if a := sc.View.Step.Ask; a != m.asked {
		m.asked, m.leaf, m.scroll = a, 0, text.Scroll{}
	}
	switch {
	case m.Big:
		return m.viewBig(sc, w, h)
	case m.page == pageMap:
		return m.viewMap(sc, w, h)
	case m.page == pageKnown:
		return m.viewKnown(sc, w, h)
	case w >= besideWide && h >= besideHigh:
		return m.viewBeside(sc, w, h)
	}
	return m.viewUnder(sc, w, h)
}

// viewUnder has the reading, the answer right under it, and the map in the rows
// at the foot where the reading leaves them.
func (m *Model) viewUnder(sc *scene.Scene, w, h int) scene.Frame {
	tw := min(w, textWide+10)
	if w >= underWide && !sc.View.HooksUp() && len(m.sheet(sc, tw, h-mapRows-answerRows)) == 1 {
		f := m.reading(sc, tw, h-mapRows)
		for len(f.Lines) < h-mapRows {
			f.Lines = append(f.Lines, "")
		}
		m.mapX, m.mapY = 0, h-mapRows+1
		f.Lines = append(f.Lines, m.plan.View(sc, plan.Show{Ask: sc.View.Step.Ask, Chosen: -1}, w, mapRows)...)
		return f
	}
	return m.reading(sc, tw, h)
}

// viewBeside has the reading on the left, map and belief on the right.
func (m *Model) viewBeside(sc *scene.Scene, w, h int) scene.Frame {
	lw := min(w*9/20, textWide)
	f := m.reading(sc, lw, h)
	rw := w - lw - 3
	known := m.known(sc, min(rw, textWide), (h-18)/4)
	known = known[:min(len(known), h/2)]
	mapH := h - h/3 // the same for the whole hunt, however much is known
	right := m.plan.View(sc, plan.Show{Ask: sc.View.Step.Ask, Chosen: -1}, rw, mapH)
	m.mapX, m.mapY = lw+3, 1
	for len(right) < mapH {
		right = append(right, "")
	}
	right = append(right, known[:min(len(known), h-mapH)]...)
	left := lipgloss.NewStyle().Width(lw + 3).Height(h).Render(strings.Join(f.Lines, "\n"))
	f.Lines = strings.Split(lipgloss.JoinHorizontal(lipgloss.Top, left, strings.Join(right, "\n")), "\n")
	f.Lines = f.Lines[:min(len(f.Lines), h)]
	return f
}

// answerRows is what the answer takes below the reading: a line of air, its own,
// and what it would mean.
const answerRows = 3

// reading is the leaf of the sheet that is turned to, and the answer under it.
func (m *Model) reading(sc *scene.Scene, w, h int) scene.Frame {
	var lines []string
	if sc.View.Step.Ask != nil {
		leaves := m.sheet(sc, w, h-answerRows)
		lines = append(lines, leaves[m.turnedTo(len(leaves))]...)
	}
	answer, x := m.answer(sc, w)
	if len(lines)+len(answer) < h {
		lines = append(lines, "")
	}
	lines = lines[:min(len(lines), max(h-len(answer), 0))]
	return scene.Frame{Lines: append(lines, answer...), X: x, Y: len(lines)}
}

// sheet is the leaves of the reading, laid out once for each window and ask.
func (m *Model) sheet(sc *scene.Scene, w, h int) [][]string {
	now := laidFor{sc.View.Step.Ask, sc.Layout, sc.Theme, sc.Warned, w, h}
	if sc.View.Step.Ask == nil {
		m.laid, m.laidFor = [][]string{nil}, laidFor{}
	} else if m.laid == nil || now != m.laidFor {
		m.laid, m.laidFor = card.Leaves(sc, sc.View.Step.Ask, w, h), now
	}
	return m.laid
}

// turnedTo is the leaf that is shown of n: with a figure in the line the last
// one, where the meter is read.
func (m *Model) turnedTo(n int) int {
	if m.input.Value() != "" {
		m.leaf = n - 1
	}
	m.leaf = max(min(m.leaf, n-1), 0)
	return m.leaf
}

// viewMap is the map in the whole window, the answer at its foot.
func (m *Model) viewMap(sc *scene.Scene, w, h int) scene.Frame {
	answer, x := m.answer(sc, w)
	room := max(h-len(answer), 1)
	body := m.plan.View(sc, plan.Show{Ask: sc.View.Step.Ask, Chosen: -1, Detail: true}, w, room)
	m.mapX, m.mapY = 0, 1
	f := m.atFoot(body, answer, x, room)
	if m.input.Value() == "" {
		f.X, f.Y = 0, 0
		if x, y, ok := m.plan.Cursor(); ok {
			f.X, f.Y = x, y
		}
	}
	return f
}

// viewKnown is what is believed, and why, the answer at its foot.
func (m *Model) viewKnown(sc *scene.Scene, w, h int) scene.Frame {
	answer, x := m.answer(sc, w)
	room := max(h-len(answer), 1)
	body := m.known(sc, min(w, textWide+10), 20)
	if a := sc.View.Step.Ask; a != nil {
		body = append(body, "")
		body = append(body, m.meant(sc, min(w, textWide+10))...)
	}
	return m.atFoot(m.scroll.View(body, room, more(sc)), answer, x, room)
}

func (m *Model) atFoot(body, answer []string, x, room int) scene.Frame {
	for len(body) < room {
		body = append(body, "")
	}
	return scene.Frame{Lines: append(body[:room], answer...), X: x, Y: room}
}

func more(sc *scene.Scene) func(above, below int) string {
	return func(above, below int) string {
		s := "-- "
		if below > 0 {
			s += fmt.Sprintf("%d more below: Down  ", below)
		}
		if above > 0 {
			s += fmt.Sprintf("%d above: Up", above)
		}
		return sc.Theme.Paint(style.Key, s)
	}
}
