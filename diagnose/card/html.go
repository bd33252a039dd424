package card

import (
	_ "embed"
	"fmt"
	"html/template"
	"strings"
)

//go:embed sheet.html
var page string

var pageTemplate = template.Must(template.New("sheet").Parse(page))

// HTML sets a sheet as one self-contained page for printing on A4 or letter,
// two columns, with a map of the boxes.
func (s *Sheet) HTML() (string, error) {
	var b strings.Builder
	err := pageTemplate.Execute(&b, struct {
		*Sheet
		Map template.HTML
	}{s, template.HTML(s.svg())})
	return b.String(), err
}

const (
	mapWide, mapRow, mapDot = 360.0, 26.0, 8.0 // of the map, in its own units
)

// svg draws the boxes as a tree: what leads where. It holds numbers only.
func (s *Sheet) svg() string {
	depth := make([]int, len(s.Boxes))
	rows := [][]int{}
	for i := range s.Boxes {
		if p := s.parents[i]; p > 0 {
			depth[i] = depth[p-1] + 1
		}
		for len(rows) <= depth[i] {
			rows = append(rows, nil)
		}
		rows[depth[i]] = append(rows[depth[i]], i)
	}
	x, y := make([]float64, len(s.Boxes)), make([]float64, len(s.Boxes))
	for d, row := range rows {
		for k, i := range row {
			x[i] = mapWide * (float64(k) + 0.5) / float64(len(row))
			y[i] = mapRow*float64(d) + mapDot + 2
		}
	}
	var b strings.Builder
	tall := mapRow*float64(len(rows)-1) + 2*mapDot + 4
	fmt.Fprintf(&b, `<svg viewBox="0 0 %g %g" role="img" aria-label="which box leads to which">`, mapWide, tall)
	for _, e := range s.edges {
		u, v := e[0]-1, e[1]-1
		fmt.Fprintf(&b, `<line x1="%.1f" y1="%.1f" x2="%.1f" y2="%.1f" stroke="#666" stroke-width="0.8"/>`, x[u], y[u],
			x[v], y[v])
	}
	for i := range s.Boxes {
		fmt.Fprintf(&b, `<circle cx="%.1f" cy="%.1f" r="%g" fill="#fff" stroke="#000"/><text x="%.1f" y="%.1f" `+
			`font-size="9" text-anchor="middle">%d</text>`,
			x[i], y[i], mapDot, x[i], y[i]+3.2, i+1)
	}
	b.WriteString("</svg>")
	return b.String()
}
