package page

import (
	_ "embed"
	"html/template"
	"strings"
)

//go:embed page.html
var pageHTML string

var pageTemplate = template.Must(template.New("page").Funcs(template.FuncMap{
	"drawn": func(f *Figure) template.HTML { return template.HTML(f.SVG) }, // our own drawing, its texts escaped there
}).Parse(pageHTML))

// HTML gives the page as one HTML file that needs no other: pictures are drawn
// in it, and it prints. What users typed is escaped by html/template.
func (p *Page) HTML() (string, error) {
	var b strings.Builder
	err := pageTemplate.Execute(&b, clean(p))
	return b.String(), err
}

// clean takes control characters out, which HTML does not allow.
func clean(p *Page) *Page {
	out := &Page{Title: OneLine(p.Title)}
	for _, b := range p.Blocks {
		n := Block{Title: b.Title, Head: b.Head, List: lines(b.List), Figure: b.Figure}
		for _, l := range b.Lines {
			n.Lines = append(n.Lines, Line{l.Label, OneLine(l.Text)})
		}
		for _, row := range b.Rows {
			n.Rows = append(n.Rows, lines(row))
		}
		for _, t := range b.Ticks {
			n.Ticks = append(n.Ticks, Tick{OneLine(t.Text), t.Done})
		}
		out.Blocks = append(out.Blocks, n)
	}
	return out
}

func lines(list []string) []string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = OneLine(s)
	}
	return out
}
