package asking

import (
	"fishplate/tui/card"
	"fishplate/tui/plan"
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	if a := sc.View.Step.Ask; a != m.asked {
		m.asked, m.leaf, m.scroll, m.cannot = a, 0, text.Scroll{}, false
	}
	switch {
	case m.Big:
		return m.viewBig(sc, w, h)
	case m.page == pageMap:
		return m.viewMap(sc, w, h)
	case m.page == pageKnown:
		return m.viewKnown(sc, w, h)
	}
	return m.viewReading(sc, w, h)
}

// viewReading has the reading, the answer right under it, and the map in its box.
func (m *Model) viewReading(sc *scene.Scene, w, h int) scene.Frame {
	box := plan.BoxIn(w, h)
	show := plan.Show{Ask: sc.View.Step.Ask, Chosen: -1}
	m.mapX, m.mapY = box.X, box.Y+1
	if box.Beside {
		f := m.reading(sc, box.Words, h)
		known := m.known(sc, min(box.W, plan.TextWide+30), (h-18)/4)
		right := m.plan.View(sc, show, box.W, box.H)
		for len(right) < box.H { // what is known stands in its place, however much that is
			right = append(right, "")
		}
		f.Lines = box.Put(f.Lines, append(right, known[:min(len(known), h-box.H)]...), h)
		return f
	}
	if box.H == 0 || sc.View.HooksUp() || len(m.sheet(sc, box.Words, box.Y-answerRows)) > 1 {
		return m.reading(sc, box.Words, h)
	}
	f := m.reading(sc, box.Words, box.Y)
	f.Lines = box.Put(f.Lines, m.plan.View(sc, show, box.W, box.H), h)
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
		m.laid, m.laidFor = card.Leaves(sc, sc.View.Step.Ask, w, h, 0), now
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
	body := m.known(sc, min(w, plan.TextWide+10), 20)
	if a := sc.View.Step.Ask; a != nil {
		body = append(body, "")
		body = append(body, m.meant(sc, min(w, plan.TextWide+10))...)
	}
	return m.atFoot(m.scroll.View(&sc.Theme, body, room, "Down"), answer, x, room)
}

func (m *Model) atFoot(body, answer []string, x, room int) scene.Frame {
	for len(body) < room {
		body = append(body, "")
	}
	return scene.Frame{Lines: append(body[:room], answer...), X: x, Y: room}
}
