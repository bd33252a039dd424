package sheet

import (
	"bytes"
	"fmt"
	"sort"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
	"github.com/zclconf/go-cty/cty"

	"fishplate/layoutfile/schema"
)

// byteOrderMark is what some editors put at the start of a text.
var byteOrderMark = []byte{0xEF, 0xBB, 0xBF}

// Unmarked is a text without a byte order mark at its start.
func Unmarked(src []byte) []byte { return bytes.TrimPrefix(src, byteOrderMark) }

// FromSyntax makes a sheet of a text's syntax. body was parsed from Unmarked
// of src.
func FromSyntax(src []byte, body *hclsyntax.Body) *Sheet {
	c := &converter{src: Unmarked(src)}
	s := &Sheet{src: c.src, mark: len(c.src) < len(src)}
	s.Block = c.body(body, 0)
	return s
}

type converter struct {
	src   []byte
	block int // at the top of the file, from 1
}

// SpanOf is a stretch of the text that the parser found.
func SpanOf(r hcl.Range) Span {
	return Span{Line: r.Start.Line, Column: r.Start.Column, EndLine: r.End.Line, EndColumn: r.End.Column,
		From: r.Start.Byte, To: r.End.Byte}
}

func (c *converter) span(r hcl.Range) Span {
	s := SpanOf(r)
	s.Block = c.block
	return s
}

func (c *converter) body(body *hclsyntax.Body, depth int) Block {
	out := Block{Head: Span{Line: 1, Column: 1, EndLine: 1, EndColumn: 1}}
	for _, a := range body.Attributes {
		v := c.value(a.Expr)
		if _, word := a.Expr.(*hclsyntax.ScopeTraversalExpr); word && flag(a.Name) {
			v.Mistake.Fix = "write true or false"
		}
		out.Attrs = append(out.Attrs, Attr{Name: a.Name, NameAt: c.span(a.NameRange), Value: v, At: c.span(a.SrcRange)})
	}
	sort.Slice(out.Attrs, func(i, j int) bool { return out.Attrs[i].At.From < out.Attrs[j].At.From })
	for i, b := range body.Blocks {
		if depth == 0 {
			c.block = i + 1
		}
		n := c.body(b.Body, depth+1)
		n.Kind, n.From = b.Type, i
		n.KindAt, n.Head, n.Open, n.Close = c.span(b.TypeRange), c.span(b.DefRange()), c.span(b.OpenBraceRange),
			c.span(b.CloseBraceRange)
		for k, l := range b.Labels {
			n.Labels = append(n.Labels, Label{l, c.span(b.LabelRanges[k])})
		}
		out.Blocks = append(out.Blocks, &n)
	}
	return out
}

// flag says whether an attribute is true or false.
func flag(name string) bool {
	a := schema.Called(name)
	return a != nil && a.Kind == schema.Flag
}

// value is a literal: text, number, true or false, a list of such. Everything
// else is Wrong.
func (c *converter) value(e hclsyntax.Expression) Value {
	v := Value{At: c.span(e.Range()), Written: string(e.Range().SliceBytes(c.src))}
	switch x := e.(type) {
	case *hclsyntax.LiteralValueExpr:
		v.literal(x.Val)
		return v
	case *hclsyntax.TemplateExpr:
		return c.text(v, x)
	case *hclsyntax.UnaryOpExpr:
		if lit, ok := x.Val.(*hclsyntax.LiteralValueExpr); ok && x.Op == hclsyntax.OpNegate &&
			lit.Val.Type() == cty.Number && !lit.Val.IsNull() {
			v.literal(lit.Val.Negate())
			return v
		}
	case *hclsyntax.TupleConsExpr:
		v.Type = List
		for i, item := range x.Exprs {
			n := c.value(item)
			n.At.Row = i + 1
			v.List = append(v.List, n)
		}
		return v
	case *hclsyntax.ScopeTraversalExpr:
		word := string(x.SrcRange.SliceBytes(c.src))
		return v.wrong(c.span(x.SrcRange), fmt.Sprintf("%s stands without quotes", Clip(word)),
			fmt.Sprintf("write \"%s\"", Clip(word)))
	}
	return v.wrong(v.At, "a layout file holds plain values only: text in quotes, numbers, true or false, and lists "+
		"of them", "work it out and write the result")
}

func (v Value) wrong(at Span, summary, fix string) Value {
	v.Type, v.Mistake = Wrong, &Mistake{summary, fix, at}
	return v
}

func (c *converter) text(v Value, x *hclsyntax.TemplateExpr) Value {
	for _, p := range x.Parts {
		if _, ok := p.(*hclsyntax.LiteralValueExpr); !ok {
			return v.wrong(c.span(p.Range()), "a layout file holds plain text only, nothing to be worked out",
				"write $${ for the two characters ${")
		}
	}
	val, diags := x.Value(nil)
	if diags.HasErrors() || val.IsNull() {
		return v.wrong(v.At, "this text cannot be read", "write it in quotes on one line")
	}
	v.Type, v.Text, v.Plain = Text, val.AsString(), isPlain(v.Written)
	return v
}

func (v *Value) literal(val cty.Value) {
	switch {
	case val.IsNull():
		v.Type = Null
	case val.Type() == cty.Number:
		v.Type = Number
		v.Number, _ = val.AsBigFloat().Float64()
	case val.Type() == cty.Bool:
		v.Type, v.Flag = Flag, val.True()
	case val.Type() == cty.String:
		v.Type, v.Text = Text, val.AsString()
	}
}

// ParseValue reads a value as it is written; what is none is Wrong.
func ParseValue(written string) Value {
	if len(written) < maxWritten {
		e, diags := hclsyntax.ParseExpression([]byte(written), "", hcl.InitialPos)
		if !diags.HasErrors() {
			return (&converter{src: []byte(written)}).value(e)
		}
	}
	return Value{Written: written}.wrong(Span{}, "this is no value", "")
}

// maxWritten bounds a single value that is read on its own.
const maxWritten = 1 << 14
