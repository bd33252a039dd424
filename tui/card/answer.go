package card

import (
	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// MeterShows stands before what the meter shows.
const MeterShows = " METER SHOWS "

// Shows stands before the answer to an ask.
func Shows(a *hunt.Ask) string {
	if a != nil && a.OfLamp() {
		return " THE LAMP IS "
	}
	return MeterShows
}

// AnswerLine is the line that an answer is typed in, behind words, and the caret's column.
func AnswerLine(sc *scene.Scene, words string, in *text.Input, w int) (line string, x int) {
	typed, x := in.View(w-len(words)-2, func(s string) string { return sc.Theme.Paint(style.Caret, s) })
	return sc.Theme.Paint(style.Select, words) + " " + typed, x + len(words) + 1
}
