package layoutfile

import (
	"fmt"
	"strings"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
	"github.com/zclconf/go-cty/cty"
)

// spec says what a kind of block may hold.
type spec struct {
	labels   []string // what its labels are, in order
	attrs    []string
	blocks   []string
	examples map[string]string // how a missing attribute is written
	example  string            // how the block itself is written
}

// block is one block of the file (or the file itself) being read.
type block struct {
	r     *reader
	kind  string
	body  *hclsyntax.Body
	head  hcl.Range // its first line, or the start of the file
	label []string
	at    []hcl.Range // of the labels
	spec  *spec
}

// open checks a block's labels and reports every attribute and block in it
// that has no business there. It gives nil when the labels are wrong.
func (r *reader) open(b *hclsyntax.Block, s *spec) *block {
	if len(b.Labels) != len(s.labels) {
		r.fail(b.DefRange(), fmt.Sprintf("%s needs %s in quotes behind it", b.Type, labelCount(s)), "write "+s.example)
		return nil
	}
	out := &block{r: r, kind: b.Type, body: b.Body, head: b.DefRange(), label: b.Labels, at: b.LabelRanges, spec: s}
	out.strangers()
	return out
}

func labelCount(s *spec) string {
	if len(s.labels) == 0 {
		return "nothing"
	}
	return listed(s.labels, "and")
}

func (b *block) strangers() {
	for _, a := range attributes(b.body) {
		if !contains(b.spec.attrs, a.Name) {
			fix := suggest(a.Name, b.spec.attrs)
			if contains(b.spec.blocks, a.Name) {
				fix = "this is a block: write it without the equals sign"
			}
			b.r.fail(a.NameRange, fmt.Sprintf("%s is not known in %s", clip(a.Name), b.where()), fix)
		}
	}
	for _, x := range b.body.Blocks {
		if !contains(b.spec.blocks, x.Type) {
			fix := suggest(x.Type, b.spec.blocks)
			switch {
			case contains(b.spec.attrs, x.Type):
				fix = fmt.Sprintf("write it with an equals sign: %s", orElse(b.spec.examples[x.Type], x.Type+" = ..."))
			case len(b.spec.blocks) == 0:
				fix = fmt.Sprintf("%s holds no blocks: look for a bracket } that is missing above", b.where())
			}
			b.r.fail(x.TypeRange, fmt.Sprintf("the block %s is not known in %s", clip(x.Type), b.where()), fix)
		}
	}
}

func (b *block) where() string {
	if b.kind == "" {
		return "a layout file"
	}
	return b.kind
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func (b *block) has(name string) bool { return b.body.Attributes[name] != nil }

func (b *block) hasBlock(kind string) bool {
	for _, x := range b.body.Blocks {
		if x.Type == kind {
			return true
		}
	}
	return false
}

// rangeOf is where an attribute's value stands, or the block's head.
func (b *block) rangeOf(name string) hcl.Range {
	if a := b.body.Attributes[name]; a != nil {
		return a.Expr.Range()
	}
	return b.head
}

// need reports a missing attribute.
func (b *block) need(names ...string) bool {
	ok := true
	for _, n := range names {
		if b.has(n) {
			continue
		}
		ok = false
		if b.hasBlock(n) {
			continue // answered as a stranger
		}
		at := b.head
		if b.kind == "" {
			at.End = at.Start
		}
		b.r.fail(at, fmt.Sprintf("%s is missing in %s", n, b.where()), "add "+orElse(b.spec.examples[n], n+" = ..."))
	}
	return ok
}

// value gives a literal of the wanted type; a wrong type is answered.
func (b *block) value(name string, want cty.Type, say string) (cty.Value, bool) {
	a := b.body.Attributes[name]
	if a == nil {
		return cty.NilVal, false
	}
	v, ok := b.r.literal(a.Expr)
	if !ok {
		return cty.NilVal, false
	}
	if v.IsNull() || v.Type() != want {
		b.r.fail(a.Expr.Range(), fmt.Sprintf("%s must be %s", name, say), b.retype(name, v, want))
		return cty.NilVal, false
	}
	return v, true
}

// retype shows the same value in the type that is wanted, where it can.
func (b *block) retype(name string, v cty.Value, want cty.Type) string {
	if v.IsNull() {
		return "write " + orElse(b.spec.examples[name], "a value")
	}
	switch {
	case want == cty.String && v.Type() == cty.Number:
		return fmt.Sprintf("write %s = %q", name, v.AsBigFloat().Text('g', 10))
	case want == cty.Number && v.Type() == cty.String:
		n, _ := splitNumber(strings.TrimSpace(v.AsString()))
		if _, err := number(n); err == nil {
			return fmt.Sprintf("write %s = %s", name, n)
		}
	case want == cty.Bool && v.Type() == cty.String:
		return fmt.Sprintf("write %s = true or %s = false, without quotes", name, name)
	}
	return "write " + orElse(b.spec.examples[name], name+" = ...")
}

// text reads a text attribute, empty when it is absent or wrong.
func (b *block) text(name string) string {
	v, ok := b.value(name, cty.String, "text in quotes")
	if !ok {
		return ""
	}
	s := v.AsString()
	if len(s) > maxText {
		b.r.fail(b.rangeOf(name), fmt.Sprintf("%s has %d bytes; the limit is %d", name, len(s), maxText), "make it shorter")
		return ""
	}
	return s
}

// choice reads a word out of a few.
func (b *block) choice(name string, words []string) string {
	s := b.text(name)
	if s == "" && !b.emptyText(name) {
		return ""
	}
	if !contains(words, s) {
		b.r.fail(b.rangeOf(name), fmt.Sprintf("%s cannot be %q", name, clip(s)), suggest(s, words))
		return ""
	}
	return s
}

func (b *block) emptyText(name string) bool {
	a := b.body.Attributes[name]
	if a == nil {
		return false
	}
	t, ok := a.Expr.(*hclsyntax.TemplateExpr)
	return ok && t.IsStringLiteral() && len(t.Parts) <= 1 && string(t.Range().SliceBytes(b.r.src)) == `""`
}

// flag reads true or false, false when absent.
func (b *block) flag(name string) bool {
	v, ok := b.value(name, cty.Bool, "true or false")
	return ok && v.True()
}

// number reads a number between two bounds; ok is false when it is absent or
// wrong.
func (b *block) number(name string, lo, hi float64, unit string) (float64, bool) {
	v, ok := b.value(name, cty.Number, "a number, without quotes")
	if !ok {
		return 0, false
	}
	x, _ := v.AsBigFloat().Float64()
	if !(x >= lo && x <= hi) {
		b.r.fail(b.rangeOf(name), fmt.Sprintf("%s = %s is out of bounds", name, v.AsBigFloat().Text('g', 6)),
			fmt.Sprintf("give a number from %g to %g %s", lo, hi, unit))
		return 0, false
	}
	return x, true
}

// entry is one text of a list, with its place.
type entry struct {
	text string
	at   hcl.Range
	expr hclsyntax.Expression
}

// texts reads a list of texts. What is wrong in it is answered, and the rest
// is read; ok is false when anything was wrong.
func (b *block) texts(name string) (list []entry, ok bool) {
	a := b.body.Attributes[name]
	if a == nil {
		return nil, false
	}
	t, isList := a.Expr.(*hclsyntax.TupleConsExpr)
	if !isList {
		if v, good := b.r.literal(a.Expr); good {
			fix := "write " + orElse(b.spec.examples[name], name+` = ["...", "..."]`)
			if !v.IsNull() && v.Type() == cty.String {
				fix = fmt.Sprintf("write %s = [\"%s\"]", name, clip(v.AsString()))
			}
			b.r.fail(a.Expr.Range(), name+" must be a list of texts in brackets", fix)
		}
		return nil, false
	}
	ok = true
	for _, x := range t.Exprs {
		v, good := b.r.literal(x)
		if !good {
			ok = false
			continue
		}
		if v.IsNull() || v.Type() != cty.String {
			b.r.fail(x.Range(), name+" holds texts in quotes only", "put quotes round it")
			ok = false
			continue
		}
		list = append(list, entry{v.AsString(), x.Range(), x})
	}
	return list, ok
}
