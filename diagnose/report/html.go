package report

import (
	_ "embed"
	"html/template"
	"strings"
)

//go:embed page.html
var pageHTML string

var pageTemplate = template.Must(template.New("page").Parse(pageHTML))

// HTML gives the report as one HTML file that needs no other: the map is drawn
// in it, and it prints on one sheet for a hunt of usual length. What users
// typed is escaped by html/template.
func (r *Report) HTML() (string, error) {
	var b strings.Builder
	err := pageTemplate.Execute(&b, struct {
		*Page
		Map template.HTML // our own drawing, its texts escaped there
	}{clean(r.Page()), template.HTML(r.Map())})
	return b.String(), err
}

// clean takes control characters out, which HTML does not allow.
func clean(p *Page) *Page {
	out := &Page{Title: oneLine(p.Title)}
	for _, b := range p.Blocks {
		n := Block{Title: b.Title, Head: b.Head}
		for _, l := range b.Lines {
			n.Lines = append(n.Lines, Line{l.Label, oneLine(l.Text)})
		}
		for _, row := range b.Rows {
			cells := make([]string, len(row))
			for i := range row {
				cells[i] = oneLine(row[i])
			}
			n.Rows = append(n.Rows, cells)
		}
		for _, s := range b.List {
			n.List = append(n.List, oneLine(s))
		}
		out.Blocks = append(out.Blocks, n)
	}
	return out
}
