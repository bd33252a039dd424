package plan

import (
	"fmt"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/tui/draw"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Legend explains the marks that are on a map h rows high now, in lines of w
// columns.
func Legend(sc *scene.Scene, show Show, w, h int) []string {
	t := &sc.Theme
	sample := [4]string{"⠂⠂", "⠒⠒", "⠶⠶", "⣶⣶"}
	if sc.ASCII {
		sample = [4]string{"..", "--", "oo", "##"}
	}
	var items []string
	if lv := draw.Levels(sc.View.Pieces); !show.Plain && len(lv) > 0 && lv[0] != draw.Unknown {
		for i, name := range []string{"ruled out", "possible", "likely", fmt.Sprintf("%.0f%%+", draw.HotFrom*100)} {
			items = append(items, t.Paint(levels[draw.Out+draw.Level(i)], sample[i])+" "+name)
		}
	}
	if !show.Detail && h < 26 { // little room: the letters are explained in help and on the map's own page
		return flow(items, w)
	}
	if show.Chosen >= 0 {
		items = append(items, t.Paint(style.Select, "@")+" chosen")
	}
	if show.Ask != nil && show.Ask.Red != "" {
		items = append(items, t.Paint(style.ProbeRed, "R")+" red", t.Paint(style.ProbeBlack, "B")+" black")
		seen := ""
		for _, p := range lettered(sc.Layout, show.Ask) {
			if what := standsFor[p.letter]; what != "" && !strings.Contains(seen, p.letter) {
				seen += p.letter
				items = append(items, t.Paint(style.Key, p.letter)+" "+what)
			}
		}
	}
	if len(lifted(sc, show)) > 0 {
		items = append(items, t.Paint(style.Lifted, "x")+" open joint")
	}
	items = append(items, fixtures(sc)...)
	return flow(items, w)
}

// standsFor explains the letters other than the probes'.
var standsFor = map[string]string{"L": "lamp/jumper", "M": "second one", "N": "third one", "O": "another",
	"P": "pull this feeder", "S": "supply here"}

// fixtures explains what is always on the map, where the layout has any.
func fixtures(sc *scene.Scene) []string {
	var items []string
	if len(sc.Layout.Feeders) > 0 {
		items = append(items, sc.Theme.Paint(style.Feeder, sc.Layout.Feeders[0].Name)+" feeder")
	}
	for i := range sc.Layout.Joints {
		if len(sc.Layout.Joints[i].Insulated) > 0 {
			items = append(items, sc.Theme.Paint(style.Gap, ":")+" insulated")
			break
		}
	}
	for i := range sc.Layout.Pieces {
		if sc.Layout.Pieces[i].Kind == track.Bumper {
			items = append(items, sc.Theme.Paint(style.Landmark, "]")+" bumper")
			break
		}
	}
	return items
}

// Explained draws a map with the lines that say what the letters on it stand for, at most
// so many: a name that they have no room for has no letter.
func Explained(t *style.Theme, l *track.Layout, size [2]int, win draw.Window, look draw.Look, most int) (*draw.Grid,
	[]string) {
	if most < 1 {
		look.Letters = -1
	}
	for {
		g := draw.Plan(l, size[0], size[1], win, look)
		var items []string
		for _, k := range g.Keys {
			items = append(items, t.Paint(style.Landmark, k.Letter)+" "+k.Name)
		}
		n := len(items)
		for n > 0 && len(flow(items[:n], size[0])) > most {
			n--
		}
		if n == len(items) {
			return g, flow(items, size[0])
		}
		if look.Letters = n; n == 0 {
			look.Letters = -1
		}
	}
}

// flow puts items side by side, two spaces apart, never breaking one.
func flow(items []string, w int) []string {
	var lines []string
	line := ""
	for _, it := range items {
		switch {
		case line == "":
			line = it
		case text.Width(line)+2+text.Width(it) > w:
			lines = append(lines, line)
			line = it
		default:
			line += "  " + it
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	return lines
}
