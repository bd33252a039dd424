package page_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/text"

	"fishplate/diagnose/page"
)

func list() *page.Page {
	p := &page.Page{Title: "Check list: <oval>"}
	p.Put(page.Block{})
	b := page.Block{Title: "Stage 1", Ticks: []page.Tick{{Text: "main 1 to 9 *laid*"}, {Text: "no beep", Done: true}},
		Head: []string{"No", "Red"}, Rows: [][]string{{"1", "main 3"}, {"2", ""}}}
	b.Add("Meter", "beeper\x1b[31m")
	b.Add("Lamp", "")
	p.Put(b)
	p.Put(page.Block{Figure: &page.Figure{SVG: `<svg viewBox="0 0 1 1"></svg>`, Text: "o--o", Caption: "a & b"}})
	return p
}

// What is empty is left out; boxes, rows and lines are whole sentences.
func TestPlainLines(t *testing.T) {
	assert.Equal(t, []string{"Check list: <oval>", "", "Stage 1", "Meter: beeper [31m", "No: 1; Red: main 3", "No: 2",
		"[ ] main 1 to 9 *laid*", "[x] no beep"}, list().Text())
}

// Another program's parser (goldmark, CommonMark and its task lists) finds the
// boxes, the table and the words as they were given.
func TestMarkdownAsOthersReadIt(t *testing.T) {
	src := []byte(list().Markdown())
	doc := goldmark.New(goldmark.WithExtensions(extension.Table, extension.TaskList)).Parser().Parse(
		text.NewReader(src))
	var ticked []bool
	cells, fences, strong := 0, 0, 0
	require.NoError(t, ast.Walk(doc, func(n ast.Node, in bool) (ast.WalkStatus, error) {
		if !in {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *east.TaskCheckBox:
			ticked = append(ticked, n.IsChecked)
		case *east.TableCell:
			cells++
		case *ast.FencedCodeBlock:
			fences++
		case *ast.Emphasis:
			strong++
		}
		return ast.WalkContinue, nil
	}))
	assert.Equal(t, []bool{false, true}, ticked)
	assert.Equal(t, 2*2+3*2, cells)
	assert.Equal(t, 1, fences)
	assert.Equal(t, 1, strong, "the label alone: %s", src)
}

func TestHTMLEscapesAllButTheDrawing(t *testing.T) {
	html, err := list().HTML()
	require.NoError(t, err)
	for _, want := range []string{"<title>Check list: &lt;oval&gt;</title>", "&#9744;</span> main 1 to 9 *laid*",
		"&#9745;</span> no beep",
		`<svg viewBox="0 0 1 1"></svg>`, "a &amp; b", "<td>main 3</td>", "beeper [31m"} {
		assert.Contains(t, html, want)
	}
	assert.Equal(t, 1, strings.Count(html, "<h2>"))
}
