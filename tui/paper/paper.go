// Package paper lays what is put on paper out on the screen.
package paper

import (
	"strings"

	"fishplate/diagnose/page"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// Page lays what is put on paper out in w columns.
func Page(t *style.Theme, p *page.Page, w int) []string {
	lines := text.Wrap(t.Paint(style.Title, p.Title), w)
	for i := range p.Blocks {
		b := &p.Blocks[i]
		if b.Title != "" {
			lines = append(lines, "")
			for _, l := range text.Wrap(b.Title, w) {
				lines = append(lines, t.Paint(style.Title, l))
			}
		}
		for _, l := range b.Lines {
			lines = append(lines, text.Hang(t.Paint(style.Label, l.Label), l.Text, 21, w)...)
		}
		for k, row := range b.Rows {
			if rest, ok := strings.CutPrefix(b.RowText(k), row[0]+". "); ok {
				lines = append(lines, text.Hang(t.Paint(style.Label, row[0]), rest, 6, w)...)
				continue
			}
			lines = append(lines, text.Hang("-", b.RowText(k), 2, w)...)
		}
		for _, s := range b.List {
			lines = append(lines, text.Hang("-", s, 2, w)...)
		}
		lines = append(lines, Ticks(t, b.Ticks, w)...)
	}
	return lines
}

// Ticks are lines with a box each.
func Ticks(t *style.Theme, list []page.Tick, w int) []string {
	var lines []string
	for _, k := range list {
		box := k.Box()
		if k.Done {
			box = t.Paint(style.Good, box)
		}
		lines = append(lines, text.Hang(box, k.Text, 4, w)...)
	}
	return lines
}
