package health

import (
	"fmt"
	"html"
	"strings"

	"fishplate/diagnose/page"
)

// Page is the check on paper: what is watched, and the evenings with their chart.
func (c *Check) Page(h *History, when func(int) string, drawn, said string) *page.Page {
	l := c.n.Layout
	p := &page.Page{Title: "Health of " + l.Name}
	now := page.Block{Title: "Now"}
	now.List = c.Say(h.Last(), len(h.Verdicts), when)
	p.Put(now)
	evenings := page.Block{Title: "Evenings", Head: []string{"evening", "verdict", "where", "worse by"}}
	for i := range h.Verdicts {
		v := &h.Verdicts[i]
		row := []string{when(i), "as it was", "", ""}
		switch {
		case i == 0:
			row[1] = "baseline"
		case !v.Quiet:
			row[1], row[2], row[3] = "worse", c.where(v), fmt.Sprintf("%s (%s to %s)", ohms(v.Ohms), ohms(v.Low),
				ohms(v.High))
			if v.Better {
				row[1] = "reads better"
			}
		}
		evenings.Rows = append(evenings.Rows, row)
	}
	p.Put(evenings)
	if drawn != "" {
		p.Put(page.Block{Title: "Run chart", List: []string{said}, Figure: &page.Figure{Text: drawn, SVG: svg(drawn)}})
	}
	watched := page.Block{Title: "What is watched", Head: []string{"part", "rails", "found from"}}
	for i := range c.Parts {
		watched.Rows = append(watched.Rows, []string{c.Parts[i].Name, c.Parts[i].Rails, ohms(c.Parts[i].Sees)})
	}
	p.Put(watched)
	readings := page.Block{Title: "Readings", List: append(c.Before(), "Dial: "+Dial)}
	last := -1
	for _, r := range c.Plan.Readings {
		if r.Place != last {
			last = r.Place
			readings.List = append(readings.List, c.At(last))
		}
		readings.List = append(readings.List, "Red "+r.Red+", black "+r.Black)
	}
	p.Put(readings)
	p.Put(page.Block{Title: "Mind", List: append(c.Cautions(), c.After())})
	return p
}

// Charted is the part whose ohms a chart shows: where it is now, else the one that stands
// off most.
func (h *History) Charted() int {
	if v := h.Last(); len(v.Parts) > 0 {
		return v.Parts[0]
	}
	best, most := 0, 0.0
	for p, row := range h.Ohms {
		if last := row[len(row)-1]; last > most {
			best, most = p, last
		}
	}
	return best
}

// svg is a drawing in characters as a picture: its lines, evenly spaced.
func svg(drawn string) string {
	lines := strings.Split(strings.TrimRight(drawn, "\n"), "\n")
	wide := 0
	for _, l := range lines {
		wide = max(wide, len([]rune(l)))
	}
	var b strings.Builder
	fmt.Fprintf(&b, `<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 %d %d" font-family="monospace" `+
		`font-size="15" role="img">`, 9*wide+10, 15*len(lines)+8)
	for i, l := range lines {
		fmt.Fprintf(&b, `<text xml:space="preserve" style="white-space:pre" x="5" y="%d" textLength="%d">%s</text>`,
			15*i+15, 9*len([]rune(l)), html.EscapeString(l))
	}
	b.WriteString("</svg>")
	return b.String()
}
