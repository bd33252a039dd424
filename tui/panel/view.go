package panel

import (
	"fmt"
	"strings"

	"fishplate/tui/plan"
	"fishplate/tui/reader"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// View draws the screen in w by h cells.
func (m *Model) View(sc *scene.Scene, w, h int) scene.Frame {
	t, wide := &sc.Theme, min(w, plan.TextWide+10)
	switch {
	case m.at == planning && m.fault != "":
		return scene.Frame{Y: -1, Lines: reader.Faults(t, m.fault, wide)}
	case m.at == planning:
		return scene.Frame{Y: -1, Lines: text.Wrap(
			"Working out where thin wires say most: faults are drawn on drawn layouts. Some seconds, more on a large "+
				"one.", wide)}
	case m.at == worth:
		return m.viewWorth(sc, wide, h)
	case m.at == joined:
		return reader.Scrolled(sc, &m.scroll, m.end(sc, wide), h)
	}
	box := plan.BoxIn(w, h)
	lines, at := m.listed(sc, box.Words)
	if m.at == joining {
		lines, at = m.doing(sc, box.Words), 0
	}
	if !box.Beside && (box.H == 0 || len(lines) > box.Y) {
		if m.at == wires {
			m.scroll.Show(at, h)
		}
		return reader.Scrolled(sc, &m.scroll, lines, h)
	}
	f := reader.Scrolled(sc, &m.scroll, lines, h)
	f.Lines = box.Put(f.Lines, m.drawing.Draw(sc, m.show(), box), h)
	return f
}

// show points the wires out on the map, and the one that it is about.
func (m *Model) show() plan.Show {
	lit := m.wire
	if m.at == joining {
		lit = m.steps[m.step].Wire
	}
	if m.named == nil || m.lit != lit {
		var list []plan.Named
		for i, w := range m.plan.All() {
			list = append(list, plan.Named{At: w.At, Name: w.Name, Lit: i == lit})
		}
		m.named, m.lit = &list, lit
	}
	return plan.Show{Chosen: -1, Plain: true, Named: m.named}
}

// viewWorth is what each further pair is worth, drawn.
func (m *Model) viewWorth(sc *scene.Scene, w, h int) scene.Frame {
	t, b := &sc.Theme, m.best.Gains()
	var lines []string
	for _, s := range m.best.About() {
		lines = append(lines, text.Wrap(s, w)...)
	}
	lines = append(lines, "")
	lines = append(lines, text.Wrap(t.Paint(style.Label, b.Title), w)...)
	at, most := 0, max(m.best.Left[0], 1)
	room := float64(w - 26)
	for k, row := range b.Rows {
		mark, role := "  ", style.Plain
		if k == m.row {
			mark, role, at = "> ", style.Select, len(lines)
		}
		name := row[0] + " pairs"
		if k == 1 {
			name = "1 pair"
		}
		says := t.Paint(role, fmt.Sprintf("%-8s%6s", name, row[1])) + " " +
			strings.Repeat("#", int(room*m.best.Left[k]/most+0.5))
		if k == m.best.Worth+1 {
			says += " not worth it"
		}
		lines = append(lines, text.Fit(mark+says, w))
	}
	for _, s := range b.List {
		lines = append(lines, text.Hang("-", s, 2, w)...)
	}
	if len(m.best.Wires) == 0 {
		lines = append(lines, text.Wrap(t.Paint(style.Good, "No wire is worth its solder here."), w)...)
	}
	m.scroll.Show(at, h)
	return scene.Frame{X: 0, Y: at - m.scroll.Top(), Lines: m.scroll.View(t, lines, h, "Down")}
}

// listed is the wires, the chosen one with its labels.
func (m *Model) listed(sc *scene.Scene, w int) (lines []string, at int) {
	t, b := &sc.Theme, m.plan.List(m.o.Metric)
	lines = append(lines, m.news(sc, w)...)
	if says := m.plan.Elsewhere(); says != "" {
		lines = append(lines, text.Hang(t.Paint(style.Warn, "!"), says, 2, w)...)
	}
	lines = append(lines, text.Wrap(t.Paint(style.Label, b.Title), w)...)
	for i, wire := range m.plan.All() {
		mark, role := "  ", style.Plain
		if i == m.wire {
			mark, role, at = "> ", style.Select, len(lines)
		}
		says := b.RowText(i)
		if did := m.plan.Joined(i); did != "" {
			says = did + ": " + says
		}
		for k, l := range text.Wrap(says, w-2) {
			if k > 0 {
				mark = "  "
			}
			lines = append(lines, mark+t.Paint(role, l))
		}
		if i != m.wire {
			continue
		}
		for _, k := range m.plan.Labels {
			if strings.HasPrefix(k.Near, wire.Name+" ") {
				lines = append(lines, text.Hang("", "labels: \""+k.Near+"\" at the track, \""+k.Far+"\" at the block",
					4, w)...)
			}
		}
	}
	return lines, at
}

// news is what was just done, or what went wrong.
func (m *Model) news(sc *scene.Scene, w int) []string {
	switch {
	case m.busy:
		return []string{sc.Theme.Paint(style.Dim, "one moment")}
	case m.fault != "":
		return reader.Faults(&sc.Theme, m.fault, w)
	case m.told != "":
		return text.Wrap(sc.Theme.Paint(style.Good, m.told), w)
	}
	return nil
}

// doing is one thing that hands do, under what can hurt then.
func (m *Model) doing(sc *scene.Scene, w int) []string {
	t, s := &sc.Theme, &m.steps[m.step]
	out := m.news(sc, w)
	care := m.plan.Cautions()
	out = append(out, text.Hang(t.Paint(style.Warn, "!!"), care[0], 3, w)...)
	if s.Solder {
		out = append(out, text.Hang(t.Paint(style.Warn, "!!"), care[1], 3, w)...)
	}
	out = append(out, "")
	for i, l := range text.Wrap(s.Text, w-4) {
		label := "    "
		if i == 0 {
			label = t.Paint(style.Key, "DO") + "  "
		}
		out = append(out, label+l)
	}
	return append(out, "", t.Paint(style.Key, "Enter")+": it is done")
}

// end is what comes when all wires are joined.
func (m *Model) end(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	out := m.news(sc, w)
	out = append(out, text.Wrap(t.Paint(style.Good, "ALL WIRES ARE JOINED"), w)...)
	for _, s := range m.plan.Cautions()[2:] {
		out = append(out, text.Hang(t.Paint(style.Warn, "!!"), s, 3, w)...)
	}
	if m.o.Write != nil && !m.written && len(m.plan.Wires) > 0 {
		out = append(out, text.Wrap(t.Paint(style.Key, "w")+
			" puts them into the layout's file: hunts then ask at the block first.", w)...)
	}
	if m.o.Reads || m.written {
		out = append(out, text.Wrap(t.Paint(style.Key, "r")+" reads at the block, when something is wrong.", w)...)
	}
	return out
}
