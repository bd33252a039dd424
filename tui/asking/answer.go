package asking

import (
	"strings"

	"fishplate/tui/card"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// answer gives the lines of the answer: the line itself first, then what it would
// mean, or a hint, or what was wrong with it. x is the caret's column.
func (m *Model) answer(sc *scene.Scene, w int) (lines []string, x int) {
	t := &sc.Theme
	if m.settingUp() && m.input.Value() == "" && m.fault == "" && !sc.Busy { // nothing to be read yet
		return []string{t.Paint(style.Key, "Enter") + ": these steps are done"}, 0
	}
	line, x := card.AnswerLine(sc, card.Shows(sc.View.Step.Ask), &m.input, w)
	return append([]string{line}, m.hint(sc, w)...), x
}

// settingUp says that a leaf of steps stands on the screen, before the one on which
// the meter is read.
func (m *Model) settingUp() bool {
	return m.page == pageAsk && !m.Big && m.leaf < len(m.laid)-1
}

// hint is one or two lines below the answer.
func (m *Model) hint(sc *scene.Scene, w int) []string {
	t := &sc.Theme
	typed := m.input.Value()
	switch says, _ := pad(sc, typed); {
	case m.cannot:
		key := func(s string) string { return t.Paint(style.Key, s) }
		return text.Wrap("Can't reach: "+key("r")+" red's place  "+key("b")+" black's place  "+key("c")+
			" just this pair  "+key("Esc")+" I can", w)
	case m.fault != "":
		lines := text.Wrap("! "+m.fault, w)
		lines = lines[:min(len(lines), 4)]
		for i := range lines {
			lines[i] = t.Paint(style.Bad, lines[i])
		}
		return lines
	case sc.Busy:
		return []string{t.Paint(style.Dim, "thinking... (this is the reading before)")}
	case says != "":
		return []string{text.Fit(t.Paint(style.Good, "= "+says+": Enter"), w)}
	case typed != "":
		return m.wouldMean(sc, typed, w)
	}
	return []string{text.Fit(t.Paint(style.Dim, asShown(sc)), w)}
}

// wouldMean says what the figure in the line would mean, before it is sent off.
func (m *Model) wouldMean(sc *scene.Scene, typed string, w int) []string {
	what, tail := meant(sc, typed), ""
	if what != strings.TrimSpace(typed) {
		tail = "= " + what + "  "
	}
	if a := sc.View.Step.Ask; a != nil {
		if lines := card.Meaning(sc, a, what, tail, w); lines != nil {
			return lines
		}
	}
	return []string{text.Fit(sc.Theme.Paint(style.Dim, tail+"Enter takes it, - erases, Esc clears"), w)}
}

// asShown is how an answer to the ask may be written.
func asShown(sc *scene.Scene) string {
	a := sc.View.Step.Ask
	switch {
	case a == nil:
		return ""
	case a.Digits() != "":
		return a.Digits()
	case a.Meter == "ohms":
		return "as shown: 0.4   1.2k   OL (or +)"
	}
	return "as shown, all digits: 12.5   212 mV   OL (or +)"
}
