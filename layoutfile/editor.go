package layoutfile

import (
	"bytes"
	"fmt"
	"strings"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
	"github.com/zclconf/go-cty/cty"

	"fishplate/diagnose/track"
)

// Editor puts a layout together from its parts at every step of editing it:
// as the text of the file (Rewrite), and as the layout that it makes (Look).
// The text that it began with is taken apart only once.
type Editor struct {
	mark  bool
	f     *File // the text that it began with
	body  *hclsyntax.Body
	lists map[*hclsyntax.Block]*commented // the runs' pieces with their comments
	head  string                          // what Look read last before the runs,
	top   *hclsyntax.Body                 // and its syntax
}

// NewEditor begins with a text free of syntax errors, or with an empty one.
func NewEditor(src []byte) *Editor {
	e := &Editor{mark: bytes.HasPrefix(src, byteOrderMark), f: &File{src: bytes.TrimPrefix(src, byteOrderMark)}, lists: map[*hclsyntax.Block]*commented{}}
	if e.body = e.f.body(); e.body == nil { // the caller's mistake: begin anew rather than lose what is wanted
		e.f.src = nil
		e.body = e.f.body()
	}
	return e
}

// Rewrite puts the layout's text together: the text that it began with, its
// top attributes and its blocks as they shall be. Blocks that no part comes
// from are taken out. What is not changed keeps every byte; comments stay,
// except those inside a block that is taken out. Whether the result is a good
// layout is for Read to say.
func (e *Editor) Rewrite(top []Attr, parts []Part) []byte {
	w := &rewriter{f: e.f, body: e.body, lists: e.lists}
	w.top(top)
	w.blocks(parts)
	out := w.result()
	if e.mark {
		out = append(bytes.Clone(byteOrderMark), out...)
	}
	return out
}

// Look is a layout as its parts make it.
type Look struct {
	Layout   *track.Layout // nil when there is a mistake
	Problems Problems      // their places are those of a text of its own
	body     *hclsyntax.Body
}

// Look reads the parts without the file's text: what Read would make of
// Rewrite's, but for lines and columns. What changes seldom is parsed only
// when it does, and the runs not at all.
func (e *Editor) Look(top []Attr, parts []Part) *Look {
	var head, runs strings.Builder
	for _, a := range top {
		fmt.Fprintf(&head, "%s = %s\n", a.Name, a.Value)
	}
	for i := range parts {
		if parts[i].Kind != "run" {
			e.plain(&head, &parts[i])
		}
	}
	known := e.top != nil && head.String() == e.head
	s := &sketch{src: &runs, at: hcl.Pos{Line: 1 + strings.Count(head.String(), "\n"), Column: 1, Byte: head.Len()}}
	for i := range parts {
		if parts[i].Kind == "run" {
			s.run(&parts[i])
		}
	}
	src := []byte(head.String() + runs.String())
	r := newReader(src)
	var body *hclsyntax.Body
	switch {
	case s.odd: // a text that is not quoted as it stands
		body = r.parse("layout")
	case known:
		body = e.top
	default:
		body = newReader([]byte(head.String())).parse("layout")
		e.head, e.top = head.String(), body
	}
	if body == nil {
		body = r.parse("layout") // for its answer
	} else if !s.odd {
		whole := *body
		whole.Blocks = append(append(hclsyntax.Blocks(nil), body.Blocks...), s.blocks...)
		body = &whole
	}
	if body == nil {
		return &Look{Problems: r.finish()}
	}
	f, problems := (&File{name: "layout", src: src}).read(r, body)
	l := &Look{Problems: problems, body: body}
	if f != nil {
		l.Layout = f.Layout
	}
	return l
}

// Where says what stands at a place that a problem names.
func (l *Look) Where(line, column int) Spot { return spotIn(l.body, line, column) }

// plain writes a block that is no run: as it stands in the old text where only
// that knows all of it, else from its values.
func (e *Editor) plain(b *strings.Builder, p *Part) {
	if p.From >= 0 && p.From < len(e.body.Blocks) {
		if old := e.body.Blocks[p.From]; len(old.Labels) != 1 || len(old.Body.Blocks) > 0 || p.Texts != nil {
			w := &rewriter{f: e.f, body: e.body, lists: e.lists}
			w.change(old, p)
			b.WriteString(w.part(old.TypeRange.Start.Byte, old.CloseBraceRange.End.Byte) + "\n")
			return
		}
	}
	fmt.Fprintf(b, "%s %s {\n", p.Kind, quote(p.Label))
	for _, a := range p.Attrs {
		if a.Value != "" {
			fmt.Fprintf(b, "  %s = %s\n", a.Name, a.Value)
		}
	}
	b.WriteString("}\n")
}

// sketch writes runs together with the syntax tree that they would parse to.
type sketch struct {
	src    *strings.Builder
	at     hcl.Pos
	blocks hclsyntax.Blocks
	odd    bool // a text was met whose columns are not its bytes
}

// put writes text on the line that stands, and gives its place.
func (s *sketch) put(text string) hcl.Range {
	start := s.at
	s.src.WriteString(text)
	s.at.Column += len(text)
	s.at.Byte += len(text)
	return hcl.Range{Filename: "layout", Start: start, End: s.at}
}

func (s *sketch) newline() {
	s.src.WriteByte('\n')
	s.at = hcl.Pos{Line: s.at.Line + 1, Column: 1, Byte: s.at.Byte + 1}
}

// simple says whether a quoted text stands for itself.
func simple(quoted string) bool {
	if len(quoted) < 3 || quoted[0] != '"' || quoted[len(quoted)-1] != '"' {
		return false
	}
	for i := 1; i < len(quoted)-1; i++ {
		if c := quoted[i]; c < ' ' || c > '~' || c == '"' || c == '\\' || c == '$' || c == '%' {
			return false
		}
	}
	return true
}

func (s *sketch) text(quoted string) *hclsyntax.TemplateExpr {
	at := s.put(quoted)
	if !simple(quoted) {
		s.odd = true
		return &hclsyntax.TemplateExpr{SrcRange: at}
	}
	inner := at
	inner.Start.Byte++
	inner.Start.Column++
	inner.End.Byte--
	inner.End.Column--
	return &hclsyntax.TemplateExpr{Parts: []hclsyntax.Expression{&hclsyntax.LiteralValueExpr{Val: cty.StringVal(quoted[1 : len(quoted)-1]), SrcRange: inner}}, SrcRange: at}
}

func (s *sketch) run(p *Part) {
	b := &hclsyntax.Block{Type: "run", Labels: []string{p.Label}, Body: &hclsyntax.Body{Attributes: hclsyntax.Attributes{}}}
	b.TypeRange = s.put("run")
	s.put(" ")
	label := quote(p.Label)
	s.odd = s.odd || !simple(label)
	b.LabelRanges = []hcl.Range{s.put(label)}
	s.put(" ")
	b.OpenBraceRange = s.put("{")
	s.newline()
	for _, a := range p.Attrs {
		if a.Value != "" {
			s.attr(b.Body, a.Name, func() hclsyntax.Expression {
				if a.Value == "true" {
					return &hclsyntax.LiteralValueExpr{Val: cty.True, SrcRange: s.put(a.Value)}
				}
				return s.text(a.Value)
			})
		}
	}
	if len(p.Rows) > 0 {
		s.attr(b.Body, "pieces", func() hclsyntax.Expression { return s.list(p.Rows) })
	}
	b.CloseBraceRange = s.put("}")
	b.Body.SrcRange = hcl.RangeBetween(b.OpenBraceRange, b.CloseBraceRange)
	b.Body.EndRange = b.CloseBraceRange
	s.newline()
	s.blocks = append(s.blocks, b)
}

func (s *sketch) attr(body *hclsyntax.Body, name string, value func() hclsyntax.Expression) {
	s.put("  ")
	a := &hclsyntax.Attribute{Name: name, NameRange: s.put(name)}
	s.put(" ")
	a.EqualsRange = s.put("=")
	s.put(" ")
	a.Expr = value()
	a.SrcRange = hcl.RangeBetween(a.NameRange, a.Expr.Range())
	body.Attributes[name] = a
	s.newline()
}

func (s *sketch) list(rows []PieceRow) hclsyntax.Expression {
	t := &hclsyntax.TupleConsExpr{OpenRange: s.put("[")}
	s.newline()
	for _, r := range rows {
		t.Exprs = append(t.Exprs, s.text(`"`+r.text()+`"`))
		s.put(",")
		s.newline()
	}
	t.SrcRange = hcl.RangeBetween(t.OpenRange, s.put("]"))
	return t
}
