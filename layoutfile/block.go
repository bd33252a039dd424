package layoutfile

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// block is one block of the file (or the file itself) being read.
type block struct {
	*sheet.Block
	r     *reader
	kind  string
	head  sheet.Span // its first line, or the start of the file
	label []string
	at    []sheet.Span // of the labels
	spec  *schema.Block
}

// open checks a block's labels and reports every attribute and block in it
// that has no business there. It gives nil when the labels are wrong.
func (r *reader) open(b *sheet.Block, s *schema.Block) *block {
	if len(b.Labels) != len(s.Labels) {
		r.fail(b.Head, fmt.Sprintf("%s needs %s in quotes behind it", b.Kind, labelCount(s)), "write "+s.Example)
		return nil
	}
	out := &block{Block: b, r: r, kind: b.Kind, head: b.Head, spec: s}
	for i := range b.Labels {
		if strings.Contains(b.Labels[i].Text, "\n") {
			r.fail(b.Labels[i].At, "the name has more than one line", "write it on one line")
			return nil
		}
		if !r.seen(b.Labels[i].Text, b.Labels[i].At) {
			return nil
		}
		out.label = append(out.label, b.Labels[i].Text)
		out.at = append(out.at, b.Labels[i].At)
	}
	out.strangers()
	return out
}

func labelCount(s *schema.Block) string {
	if len(s.Labels) == 0 {
		return "nothing"
	}
	return schema.Listed(s.Labels, "and")
}

func (b *block) strangers() {
	for i := range b.Attrs {
		a := &b.Attrs[i]
		if b.spec.Attr(a.Name) == nil {
			fix := schema.Suggest(a.Name, b.spec.AttrNames())
			if b.spec.Block(a.Name) != nil {
				fix = "this is a block: write it without the equals sign"
			}
			b.r.fail(a.NameAt, fmt.Sprintf("%s is not known in %s", sheet.Clip(a.Name), b.where()), fix)
		}
	}
	for _, x := range b.Blocks {
		if b.spec.Block(x.Kind) == nil {
			fix := schema.Suggest(x.Kind, b.spec.BlockNames())
			switch {
			case b.spec.Attr(x.Kind) != nil:
				fix = "write it with an equals sign: " + b.example(x.Kind)
			case len(b.spec.Blocks) == 0:
				fix = fmt.Sprintf("%s holds no blocks: look for a bracket } that is missing above", b.where())
			}
			b.r.fail(x.KindAt, fmt.Sprintf("the block %s is not known in %s", sheet.Clip(x.Kind), b.where()), fix)
		}
	}
}

func (b *block) where() string {
	if b.kind == "" {
		return "a layout file"
	}
	return b.kind
}

// example is how an attribute is written.
func (b *block) example(name string) string {
	if a := b.spec.Attr(name); a != nil {
		return a.Example()
	}
	return name + " = ..."
}

func orElse(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func (b *block) has(name string) bool { return b.Attr(name) != nil }

func (b *block) hasBlock(kind string) bool {
	return slices.ContainsFunc(b.Blocks, func(x *sheet.Block) bool { return x.Kind == kind })
}

// rangeOf is where an attribute's value stands, or the block's head.
func (b *block) rangeOf(name string) sheet.Span {
	if a := b.Attr(name); a != nil {
		return a.Value.At
	}
	return b.head
}

// needed reports every attribute that the schema needs and that is missing.
func (b *block) needed() bool {
	ok := true
	for i := range b.spec.Attrs {
		if a := &b.spec.Attrs[i]; a.Needed {
			ok = b.need(a.Name) && ok
		}
	}
	return ok
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
			at.EndLine, at.EndColumn = at.Line, at.Column
		}
		b.r.fail(at, fmt.Sprintf("%s is missing in %s", n, b.where()), "add "+b.example(n))
	}
	return ok
}

// value gives a value of the wanted type; a wrong one is answered.
func (b *block) value(name string, want sheet.Type, say string) (*sheet.Value, bool) {
	a := b.Attr(name)
	if a == nil || !b.r.literal(&a.Value) {
		return nil, false
	}
	if v := &a.Value; v.Type != want {
		b.r.fail(v.At, fmt.Sprintf("%s must be %s", name, say), b.retype(name, v, want))
		return nil, false
	}
	return &a.Value, true
}

// literal answers a value that is none, or that holds one.
func (r *reader) literal(v *sheet.Value) bool {
	if v.Type == sheet.Wrong {
		r.fail(v.Mistake.At, v.Mistake.Summary, v.Mistake.Fix)
		return false
	}
	for i := range v.List {
		if !r.literal(&v.List[i]) {
			return false
		}
	}
	return v.Type != sheet.Text || r.seen(v.Text, v.At)
}

// retype shows the same value in the type that is wanted, where it can.
func (b *block) retype(name string, v *sheet.Value, want sheet.Type) string {
	switch {
	case want == sheet.Text && v.Type == sheet.Number:
		return fmt.Sprintf("write %s = \"%s\"", name, sheet.Clip(v.Written))
	case want == sheet.Number && v.Type == sheet.Text:
		if n, ok := sheet.LeadingNumber(v.Text); ok {
			return fmt.Sprintf("write %s = %s", name, n)
		}
	case want == sheet.Flag && v.Type == sheet.Text:
		return fmt.Sprintf("write %s = true or %s = false, without quotes", name, name)
	}
	return "write " + b.example(name)
}

// text reads a text attribute, empty when it is absent or wrong.
func (b *block) text(name string) string {
	v, ok := b.value(name, sheet.Text, "text in quotes")
	if !ok {
		return ""
	}
	if name != "about" && name != "text" && strings.Contains(v.Text, "\n") {
		b.r.fail(v.At, name+" has more than one line", "write it on one line")
		return ""
	}
	if len(v.Text) > schema.MaxText {
		b.r.fail(v.At, fmt.Sprintf("%s has %d bytes; the limit is %d", name, len(v.Text), schema.MaxText),
			"make it shorter")
		return ""
	}
	return v.Text
}

// choice reads one of the words that the schema gives.
func (b *block) choice(name string) string { return b.oneOf(name, b.spec.Attr(name).Words) }

// oneOf reads a word out of a few.
func (b *block) oneOf(name string, words []string) string {
	s := b.text(name)
	if s == "" && !b.emptyText(name) {
		return ""
	}
	if !slices.Contains(words, s) {
		b.r.fail(b.rangeOf(name), fmt.Sprintf("%s cannot be %q", name, sheet.Clip(s)), schema.Suggest(s, words))
		return ""
	}
	return s
}

func (b *block) emptyText(name string) bool {
	a := b.Attr(name)
	return a != nil && a.Value.Written == `""`
}

// flag reads true or false, false when absent.
func (b *block) flag(name string) bool {
	v, ok := b.value(name, sheet.Flag, "true or false")
	return ok && v.Flag
}

// number reads a number between the bounds of the schema; ok is false when it
// is absent or wrong.
func (b *block) number(name string) (float64, bool) {
	a := b.spec.Attr(name)
	return b.within(name, a.Lo, a.Hi, a.Unit)
}

func (b *block) within(name string, lo, hi float64, unit string) (float64, bool) {
	v, ok := b.value(name, sheet.Number, "a number, without quotes")
	if !ok {
		return 0, false
	}
	if !(v.Number >= lo && v.Number <= hi) {
		b.r.fail(v.At, fmt.Sprintf("%s = %s is out of bounds", name, sheet.Clip(v.Written)),
			strings.TrimSpace(fmt.Sprintf("give a number from %g to %g %s", lo, hi, unit)))
		return 0, false
	}
	return v.Number, true
}

// set reads a number into to, which stays as it is when there is none.
func (b *block) set(name string, to *float64) {
	if v, ok := b.number(name); ok {
		*to = v
	}
}

// count reads a whole number.
func (b *block) count(name string) (int, bool) {
	v, ok := b.number(name)
	if ok && v != float64(int(v)) {
		b.r.fail(b.rangeOf(name), fmt.Sprintf("%s = %g is not a whole number", name, v), "write "+b.example(name))
		return 0, false
	}
	return int(v), ok
}

// texts reads a list of texts. What is wrong in it is answered, and the rest
// is read; ok is false when anything was wrong.
func (b *block) texts(name string) (list []*sheet.Value, ok bool) {
	a := b.Attr(name)
	if a == nil {
		return nil, false
	}
	if v := &a.Value; v.Type != sheet.List {
		if b.r.literal(v) {
			fix := "write " + b.example(name)
			if v.Type == sheet.Text {
				fix = fmt.Sprintf("write %s = [\"%s\"]", name, sheet.Clip(v.Text))
			}
			b.r.fail(v.At, name+" must be a list of texts in brackets", fix)
		}
		return nil, false
	}
	ok = true
	for i := range a.Value.List {
		v := &a.Value.List[i]
		switch {
		case !b.r.literal(v):
			ok = false
		case v.Type != sheet.Text:
			b.r.fail(v.At, name+" holds texts in quotes only", "put quotes round it")
			ok = false
		default:
			list = append(list, v)
		}
	}
	return list, ok
}

// slip answers a mistake in a text.
func (r *reader) slip(v *sheet.Value, s *sheet.Slip) bool {
	if s == nil {
		return false
	}
	r.fail(v.Part(s.At), s.Summary, s.Fix)
	return true
}

// plain answers a text whose words have no columns.
func (r *reader) plain(v *sheet.Value) bool {
	if !v.Plain {
		r.fail(v.At, "this text must be one line in quotes, without \\, $ or %", "")
	}
	return v.Plain
}
