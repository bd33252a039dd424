package layoutfile

import (
	"strconv"
	"strings"

	"github.com/hashicorp/hcl/v2/hclsyntax"
)

// Outline is a good file taken apart into its blocks, so that it can be
// changed and put together again by an Editor. It holds texts as they are
// written.
type Outline struct {
	Name, About, Construction string // as text, without quotes
	Metric                    bool
	Stock                     map[string]string // stock pieces: name to text
	Blocks                    []OutlineBlock    // in the order of the file
}

// OutlineBlock is one block of the file.
type OutlineBlock struct {
	Kind, Label string
	Attrs       []Attr // those at its top, values as they are written
	// Runs only. Rows are the pieces as they are written.
	Closes                 bool
	From, To, Construction string
	Rows                   []PieceRow
	// Texts are the quoted texts of the block's values, nested ones too, in
	// the order of the file: places are among them.
	Texts []string
}

// Attr is an attribute and its value as it is written in the file, quotes and
// all.
type Attr struct{ Name, Value string }

// PieceRow is one text of a run's list of pieces, without its count.
type PieceRow struct {
	Count int
	Text  string
	// From is the row of the file that it comes from, so that its comments
	// stay with it; -1 is a new one.
	From int
}

// body is the syntax tree of the text as it stands.
func (f *File) body() *hclsyntax.Body { return newReader(f.src).parse(f.name) }

// Outline takes the file apart.
func (f *File) Outline() *Outline {
	body := f.body()
	top := f.topTexts(body)
	o := &Outline{Name: top["name"], About: top["about"], Construction: top["construction"], Metric: top["units"] == "mm", Stock: map[string]string{}}
	for _, b := range body.Blocks {
		label := ""
		if len(b.Labels) > 0 {
			label = b.Labels[0]
		}
		ob := OutlineBlock{Kind: b.Type, Label: label}
		texts := map[string]string{}
		for _, a := range attributes(b.Body) {
			ob.Attrs = append(ob.Attrs, Attr{a.Name, string(a.Expr.Range().SliceBytes(f.src))})
			texts[a.Name] = plainText(a.Expr)
		}
		for _, t := range quoted(b.Body) {
			ob.Texts = append(ob.Texts, plainText(t))
		}
		switch b.Type {
		case "run":
			ob.From, ob.To, ob.Construction = texts["from"], texts["to"], texts["construction"]
			ob.Closes = f.Layout.Runs != nil && f.closes(b.Body)
			ob.Rows = rowsOf(b.Body)
		case "stock":
			o.Stock[label] = texts["piece"]
		}
		o.Blocks = append(o.Blocks, ob)
	}
	return o
}

func (f *File) topTexts(body *hclsyntax.Body) map[string]string {
	out := map[string]string{}
	for _, a := range attributes(body) {
		out[a.Name] = plainText(a.Expr)
	}
	return out
}

func (f *File) closes(b *hclsyntax.Body) bool {
	a := b.Attributes["closes"]
	return a != nil && strings.TrimSpace(string(a.Expr.Range().SliceBytes(f.src))) == "true"
}

// plainText is the text of a quoted value, empty for anything else.
func plainText(e hclsyntax.Expression) string {
	t, ok := e.(*hclsyntax.TemplateExpr)
	if !ok {
		return ""
	}
	v, diags := t.Value(nil)
	if diags.HasErrors() || v.IsNull() {
		return ""
	}
	return v.AsString()
}

// quoted lists the quoted texts of a body, as they stand.
func quoted(b *hclsyntax.Body) []*hclsyntax.TemplateExpr {
	var out []*hclsyntax.TemplateExpr
	var walk func(e hclsyntax.Expression)
	walk = func(e hclsyntax.Expression) {
		switch x := e.(type) {
		case *hclsyntax.TemplateExpr:
			out = append(out, x)
		case *hclsyntax.TupleConsExpr:
			for _, i := range x.Exprs {
				walk(i)
			}
		}
	}
	for _, a := range attributes(b) {
		walk(a.Expr)
	}
	for _, n := range b.Blocks {
		out = append(out, quoted(n.Body)...)
	}
	return out
}

func rowsOf(b *hclsyntax.Body) []PieceRow {
	a := b.Attributes["pieces"]
	if a == nil {
		return nil
	}
	tuple, ok := a.Expr.(*hclsyntax.TupleConsExpr)
	if !ok {
		return nil
	}
	var out []PieceRow
	for i, e := range tuple.Exprs {
		n, text := SplitCount(plainText(e))
		out = append(out, PieceRow{Count: n, Text: text, From: i})
	}
	return out
}

// SplitCount takes the count off a piece's text: "8 x straight 10" is 8 of
// "straight 10".
func SplitCount(text string) (int, string) {
	words := strings.Fields(text)
	if len(words) == 0 {
		return 1, ""
	}
	num, rest := splitNumber(words[0])
	n, err := strconv.Atoi(num)
	if err != nil || n < 1 {
		return 1, strings.Join(words, " ")
	}
	times := func(s string) bool { return s == "x" || s == "X" || s == "×" || s == "*" }
	switch {
	case rest == "" && len(words) > 1 && times(words[1]):
		return n, strings.Join(words[2:], " ")
	case times(rest):
		return n, strings.Join(words[1:], " ")
	}
	return 1, strings.Join(words, " ")
}

// Spot is what stands at a place of a layout file's text.
type Spot struct {
	Kind, Label string // of the block; empty at the top of the file
	Row         int    // a run's row of pieces that it points at, else -1
}

// spotIn says what stands at a line and column of a text.
func spotIn(body *hclsyntax.Body, line, column int) Spot {
	if body == nil {
		return Spot{Row: -1}
	}
	for _, b := range body.Blocks {
		if line < b.TypeRange.Start.Line || line > b.CloseBraceRange.End.Line {
			continue
		}
		s := Spot{Kind: b.Type, Row: -1}
		if len(b.Labels) > 0 {
			s.Label = b.Labels[0]
		}
		if a := b.Body.Attributes["pieces"]; a != nil {
			if tuple, ok := a.Expr.(*hclsyntax.TupleConsExpr); ok {
				for i, e := range tuple.Exprs {
					r := e.Range()
					if r.Start.Line == line && r.Start.Column <= column && (r.End.Line > line || r.End.Column >= column) {
						s.Row = i
					}
				}
			}
		}
		return s
	}
	return Spot{Row: -1}
}
