package card

import (
	"fmt"
	"strings"

	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// barFrom is the width from which a suspect has a bar and its fault beside its odds.
const barFrom = 72

// Suspects lists the most suspected pieces: in a wide window with a bar each and the fault
// beside it, in a narrow one with the fault below the last of those that share it.
func Suspects(sc *scene.Scene, w, rows int) []string {
	t := &sc.Theme
	var out []string
	ranked := sc.View.Ranked[:min(rows, len(sc.View.Ranked))]
	for i, c := range ranked {
		role := style.Likely
		if i == 0 {
			role = style.Hot
		}
		head := fmt.Sprintf("%-3d%-13s %3.0f%%", i+1, c.Title(), c.P*100)
		if w >= barFrom {
			head += " " + t.Paint(role, text.Fit(strings.Repeat("#", int(c.P*10+0.5)), 10)) + " "
			out = append(out, text.Hang(head, c.What, text.Width(head), w)...)
			continue
		}
		out = append(out, text.Fit(head, w))
		if i == len(ranked)-1 || ranked[i+1].What != c.What {
			out = append(out, text.Hang("", c.What, 3, w)...)
		}
	}
	if p := sc.View.NotOnMap; p >= 0.05 {
		says := fmt.Sprintf("the file may be wrong, or the fault is of a kind it does not have: %.0f%%", p*100)
		out = append(out, text.Hang(t.Paint(style.Warn, "?"), says, 3, w)...)
	}
	return out
}
