package report_test

import (
	"encoding/xml"
	"io"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	east "github.com/yuin/goldmark/extension/ast"
	gmtext "github.com/yuin/goldmark/text"
	"pgregory.net/rapid"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/report"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

func layout(t testing.TB, name string) *track.Layout {
	path := "../../testdata/layouts/" + name + ".hcl"
	text, err := os.ReadFile(path)
	require.NoError(t, err)
	file, problems := layoutfile.Read(path, text)
	require.False(t, problems.Errors())
	return file.Layout
}

var kit = hunt.Kit{Beeper: true, Ohms: true}

// finished is a hunt with a bad look, a find, a proof that is bad twice, another
// find and a good proof.
func finished(t testing.TB, l *track.Layout) *hunt.Hunt {
	h := hunt.New(l, kit)
	do := func(e hunt.Event) { require.NoError(t, h.Apply(e)) }
	do(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}})
	do(hunt.Event{Reading: "beep"})
	do(hunt.Event{Skip: "cannot reach"})
	do(hunt.Event{NotFound: l.Pieces[1].ID()})
	do(hunt.Event{Found: onMap(h)})
	do(hunt.Event{Reading: "beep"})
	do(hunt.Event{Reading: "beep"}) // a bad proof is taken twice
	do(hunt.Event{Found: onMap(h)})
	do(hunt.Event{Reading: "no"})
	require.True(t, h.View().Step.Done.Proven)
	return h
}

// onMap is the likeliest suspect that is a piece of the layout.
func onMap(h *hunt.Hunt) string {
	v := h.View()
	for _, c := range v.Ranked {
		if v.LayoutRef.FindPiece(c.Piece) >= 0 {
			return c.Piece
		}
	}
	return ""
}

var began = time.Date(2026, 3, 1, 20, 15, 0, 0, time.UTC)

func facts() report.Facts {
	return report.Facts{ID: "2026-03-01-1", Name: "after the move", Began: began, Ended: began.Add(50 * time.Minute),
		Spent: 41, Finder: "Ada",
		File: "shelf.hcl", Stamp: "1a2b3c4d", Modified: began.Add(-48 * time.Hour), Changed: "new turnout",
		Leads:      "0.2 ohm touched together",
		Conditions: "18 degrees, damp", Repair: "new strip", Open: "check the siding",
		Notes: []report.Note{{At: began, Text: "hum from T1"}}}
}

// Every field that a record should hold is on the page, in all three forms.
func TestPageHoldsEveryField(t *testing.T) {
	l := layout(t, "dead-end")
	r := report.New(l, finished(t, l), kit, facts())
	assert.Equal(t, report.Proven, r.State)
	html, err := r.HTML()
	require.NoError(t, err)
	plain := strings.Join(r.Page().Text(), "\n")
	for _, want := range []string{"2026-03-01-1", "after the move", "2026-03-01 20:15 to 21:05", "Ada", "shelf.hcl",
		"1a2b3c4d", "2026-02-27 20:15", "new turnout",
		"0.2 ohm touched together", "18 degrees, damp", "new strip", "check the siding", "hum from T1",
		"the breaker trips at once",
		"41 min by the clock", "T1 hot", "T1 common", "beeper", "supply off", "the fault was found at " + r.Piece,
		"after the repair: good",
		"after the repair: still wrong", "cannot reach", r.Piece + " (bad)", l.Supplies[0].Name + ":"} {
		assert.Contains(t, unescaped(r.Markdown()), want, "Markdown")
		assert.Contains(t, text(t, html), want, "HTML")
		assert.Contains(t, plain, want, "plain")
	}
}

// unescaped takes the backslashes out of Markdown (CommonMark 0.31, 2.4).
func unescaped(s string) string { return strings.ReplaceAll(s, `\`, "") }

// text gives the words of an HTML page; it fails where the page is not
// well-formed.
func text(t rapid.TB, page string) string {
	d := xml.NewDecoder(strings.NewReader(page))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	var b strings.Builder
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return b.String()
		}
		require.NoError(t, err)
		switch x := tok.(type) {
		case xml.CharData:
			b.Write(x)
		case xml.StartElement:
			assert.Contains(t, []string{"html", "head", "meta", "title", "style", "body", "h1", "h2", "table", "tr",
				"th", "td", "ul", "li", "figure", "figcaption", "dl", "div", "dt", "dd",
				"svg", "path", "circle", "ellipse", "text"}, x.Name.Local)
			for _, a := range x.Attr {
				assert.False(t, strings.HasPrefix(a.Name.Local, "on") || a.Name.Local == "src" ||
					a.Name.Local == "href", "attribute %s", a.Name.Local)
			}
		}
	}
}

// An unfinished hunt says what is suspected and that it is still open.
func TestUnfinished(t *testing.T) {
	l := layout(t, "dead-end")
	h := hunt.New(l, kit)
	assert.Equal(t, report.NotBegun, report.New(l, h, kit, report.Facts{}).State)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	require.NoError(t, h.Apply(hunt.Event{Reading: "beep"}))
	r := report.New(l, h, kit, report.Facts{})
	assert.Equal(t, report.Open, r.State)
	plain := strings.Join(r.Page().Text(), "\n")
	assert.Contains(t, plain, "suspect 1: "+h.View().Ranked[0].Piece)
	assert.Contains(t, plain, "the fault is not found yet")
	require.NoError(t, h.Apply(hunt.Event{Quit: true}))
	assert.Equal(t, report.Open, report.New(l, h, kit, report.Facts{}).State)
}

// Whatever users type stays text: each cell of the Markdown tables, read by a
// program for Markdown that is not ours, and the HTML as well.
func TestHostileWords(t *testing.T) {
	l := layout(t, "dead-end")
	h := finished(t, l)
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching("[-\\\\`*_\\[\\]<>|#~&!$+=a-c1. \n\x07()\"'{}/]{1,30}").Draw(t, "typed")
		f := report.Facts{Repair: s, Notes: []report.Note{{Text: s}}, MapText: s}
		r := report.New(l, h, kit, f)
		want := strings.Join(strings.Fields(strings.ReplaceAll(s, "\x07", " ")), " ")
		page, err := r.HTML()
		require.NoError(t, err)
		assert.Contains(t, strings.Join(strings.Fields(text(t, page)), " "), want)
		assert.Equal(t, want, repairIn(r.Markdown()))
	})
}

// repairIn reads the cell behind "Repair".
func repairIn(page string) string {
	src := []byte(page)
	doc := goldmark.New(goldmark.WithExtensions(extension.GFM)).Parser().Parse(gmtext.NewReader(src))
	found := ""
	_ = ast.Walk(doc, func(n ast.Node, in bool) (ast.WalkStatus, error) {
		if in && n.Kind() == east.KindTableRow {
			cells := []string{}
			for c := n.FirstChild(); c != nil; c = c.NextSibling() {
				cells = append(cells, words(c, src))
			}
			if len(cells) == 2 && cells[0] == "Repair" {
				found = cells[1]
			}
		}
		return ast.WalkContinue, nil
	})
	return strings.Join(strings.Fields(found), " ")
}

// words is the text of a node, as a reader would see it.
func words(n ast.Node, src []byte) string {
	out := ""
	for c := n.FirstChild(); c != nil; c = c.NextSibling() {
		switch x := c.(type) {
		case *ast.Text:
			out += plainOf(string(x.Segment.Value(src)))
			if x.SoftLineBreak() {
				out += " "
			}
		case *ast.Emphasis:
			out += words(x, src)
		default:
			out += "(" + c.Kind().String() + ")" // markup where there should be none
		}
	}
	return out
}

// plainOf drops the backslash before a punctuation character.
func plainOf(s string) string {
	var b strings.Builder
	for i := 0; i < len(s); i++ {
		if s[i] == '\\' && i+1 < len(s) {
			i++
		}
		b.WriteByte(s[i])
	}
	return b.String()
}

// The map is a well-formed drawing that reaches around every piece, with the
// bad piece and the readings on it.
func TestMap(t *testing.T) {
	for _, name := range []string{"dead-end", "loop", "loop-siding"} {
		l := layout(t, name)
		r := report.New(l, finished(t, l), kit, facts())
		svg := r.Map()
		words := text(t, svg)
		assert.Contains(t, words, "bad: "+r.Piece)
		assert.Contains(t, words, l.Feeders[0].Name)
		assert.Equal(t, 2*len(l.Pieces), strings.Count(svg, "<path")-len(l.Feeders),
			"a line and its ticks for every piece")
		assert.NotContains(t, svg, "NaN")
		assert.NotContains(t, svg, "Inf")
	}
}

func TestCompare(t *testing.T) {
	l := layout(t, "dead-end")
	a := report.New(l, finished(t, l), kit, facts())
	for _, row := range report.Compare(a, a) {
		assert.True(t, row.Same, row.Label)
		assert.Equal(t, row.A, row.B)
	}
	h := hunt.New(l, kit)
	require.NoError(t, h.Apply(hunt.Event{Symptom: &hunt.Symptom{Kind: hunt.SymptomShort}}))
	require.NoError(t, h.Apply(hunt.Event{Reading: "no"}))
	b := report.New(l, h, kit, report.Facts{ID: "other"})
	rows := report.Compare(a, b)
	by := map[string]report.Row{}
	for _, r := range rows {
		if _, have := by[r.Label]; !have {
			by[r.Label] = r
		}
	}
	assert.Equal(t, report.Row{Label: "Record", A: "2026-03-01-1", B: "other"}, by["Record"])
	first := a.Readings[0]
	same := by[first.Function+", "+first.Red+" to "+first.Black+" ("+first.Loaded+")"]
	assert.Equal(t, "beep", same.A)
	assert.Equal(t, "no", same.B)
	assert.False(t, same.Same)
}

// Lengths are written as asked for: eight pieces of 10 in and a bumper are
// 6 ft 8 in, 2.03 m.
func TestUnits(t *testing.T) {
	file, problems := layoutfile.Read("x.hcl", []byte(`name = "Short shelf"
units = "in"
construction = "metal-tie"
run "main" { pieces = ["8 x straight 10", "bumper"] }
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
feeder "F1" {
  at     = "main 1"
  supply = "T1"
  wire   = "18 AWG"
  length = "3 ft"
}
`))
	require.False(t, problems.Errors(), "%v", problems)
	for units, want := range map[string]string{"": "about 6.7 ft", "in": "about 6.7 ft", "mm": "about 2.0 m"} {
		r := report.New(file.Layout, hunt.New(file.Layout, kit), kit, report.Facts{Units: units})
		assert.Contains(t, r.Build, want)
	}
}

// Every symptom has words.
func TestSymptomWords(t *testing.T) {
	seen := map[string]bool{}
	for _, k := range hunt.Symptoms() {
		w := report.SymptomWords(k)
		assert.NotEmpty(t, w, k)
		assert.False(t, seen[w], w)
		seen[w] = true
	}
}

// Whoever goes to the track with a report in hand reads how not to be hurt, with
// two supplies of both plugs; where all is proven there is nothing left to do.
func TestReportSaysHowNotToBeHurt(t *testing.T) {
	for name, want := range map[string]string{"loop": "Supply off and unplugged", "two-supplies": "both plugs out"} {
		l := layout(t, name)
		h := hunt.New(l, hunt.Kit{Beeper: true})
		r := report.New(l, h, hunt.Kit{}, report.Facts{})
		text := strings.Join(r.Page().Text(), "\n")
		assert.Contains(t, text, want)
		assert.Contains(t, text, "licensed electricians, by the local codes")
		assert.Contains(t, text, "fumes")
	}
	l := layout(t, "loop")
	r := report.New(l, finished(t, l), hunt.Kit{}, report.Facts{})
	assert.Equal(t, report.Proven, r.State)
	assert.Empty(t, r.Cautions)
}

// What a health check found lies where it says, not where the lamp lay.
func TestPlaceOfWhatGotWorse(t *testing.T) {
	l := layout(t, "loop")
	y := &hunt.Symptom{Kind: hunt.SymptomWeak, At: "main 1"}
	assert.Equal(t, "main 1", report.At(l, y))
	y.Worse = &hunt.Worse{Ohms: 0.02, Places: map[string]float64{"main 5/6 center": 0.4, "main 4/5 center": 0.3,
		"F1 hot": 0.3}}
	assert.Equal(t, "main 4 to 6, F1 hot", report.At(l, y))
}
