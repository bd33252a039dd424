package asking

import (
	"strings"

	tea "github.com/charmbracelet/bubbletea"

	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
)

// oneKey gives the answer that a lone digit stands for, for this ask.
func oneKey(sc *scene.Scene, typed string) string {
	a := sc.View.Step.Ask
	if a == nil {
		return ""
	}
	return a.Digit(typed)
}

// A sign that stands alone in the line is a whole answer, so that the number
// pad is enough for a hunt. It needs Enter: each may also begin a figure.
const (
	padOver = "+"
	padUndo = "-"
	padSkip = "."
)

// pad gives what a lone sign stands for: in words, and what it does.
func pad(sc *scene.Scene, typed string) (says string, do tea.Msg) {
	switch strings.TrimSpace(typed) {
	case padOver:
		return "OL, over the range", scene.Do{Event: hunt.Event{Reading: "OL"}}
	case padUndo:
		if !sc.View.CanUndo {
			return "nothing to take back yet", scene.Say{Text: "nothing to take back yet"}
		}
		return "take back the last answer", scene.Do{Event: hunt.Event{Undo: 1}}
	case padSkip, ",":
		return "can't reach, ask another", scene.Do{Event: hunt.Event{Skip: "cannot reach"}}
	}
	return "", nil
}

// meant gives what a line, sent off, is recorded as.
func meant(sc *scene.Scene, typed string) string {
	typed = strings.TrimSpace(typed)
	if w := oneKey(sc, typed); w != "" {
		return w
	}
	if typed == padOver {
		return "OL"
	}
	return typed
}
