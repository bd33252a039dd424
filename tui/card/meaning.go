package card

import (
	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Meaning says in two lines at most what an answer to a reading would mean, as
// it stands typed, behind a tail that says how it is taken; nil for what is no
// answer yet.
func Meaning(sc *scene.Scene, a *hunt.Ask, typed, tail string, w int) []string {
	r, err := a.Parse(typed)
	if err != nil {
		return nil
	}
	row, ok := a.Outcome(r)
	if !ok {
		return nil
	}
	t := &sc.Theme
	lines := text.Hang(t.Paint(style.Good, tail+"->"), row.Means, 3, w)
	if len(lines) > 2 {
		lines = lines[:2]
		lines[1] = text.Fit(lines[1], w-8) + t.Paint(style.Dim, " ... Tab")
	}
	return lines
}
