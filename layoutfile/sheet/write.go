package sheet

import (
	"bytes"
	"fmt"
	"sort"
	"strings"

	"github.com/hashicorp/hcl/v2/hclwrite"

	"fishplate/layoutfile/schema"
)

// Write gives the text of want, changed as little as it can be from the text
// that base was parsed from (nil: there is none). Blocks of base that none of
// want comes from are taken out. What says the same keeps every byte; comments
// stay, except those inside a block that is taken out. Blocks inside of blocks
// stay as they are.
func Write(base, want *Sheet) []byte {
	if base == nil {
		base = &Sheet{}
	}
	w := &writer{base: base}
	w.top(want.Attrs)
	w.blocks(want.Blocks)
	out := w.result()
	if base.mark {
		out = append(bytes.Clone(byteOrderMark), out...)
	}
	return out
}

// edit replaces the bytes from..to of the old text.
type edit struct {
	from, to int
	text     string
}

type writer struct {
	base  *Sheet
	edits []edit
}

// put replaces a stretch, with the line ends that the text has.
func (w *writer) put(from, to int, text string) {
	if bytes.Contains(w.base.src, []byte("\r\n")) {
		text = strings.ReplaceAll(text, "\n", "\r\n")
	}
	w.edits = append(w.edits, edit{from, to, text})
}

// result is the text with the edits made; at one place insertions come first,
// and else they keep their order.
func (w *writer) result() []byte {
	sort.SliceStable(w.edits, func(i, j int) bool {
		a, b := w.edits[i], w.edits[j]
		if a.from != b.from {
			return a.from < b.from
		}
		return a.from == a.to && b.from != b.to
	})
	var out bytes.Buffer
	at := 0
	for _, e := range w.edits {
		if e.from < at { // inside a block that is taken out
			continue
		}
		out.Write(w.base.src[at:e.from])
		out.WriteString(e.text)
		at = e.to
	}
	out.Write(w.base.src[at:])
	if bytes.HasPrefix(w.base.src, []byte("\n")) {
		return out.Bytes()
	}
	return bytes.TrimLeft(out.Bytes(), "\n")
}

// lineEnd is the byte behind the line that byte at stands on.
func (w *writer) lineEnd(at int) int {
	if i := bytes.IndexByte(w.base.src[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(w.base.src)
}

func (w *writer) top(want []Attr) {
	at := 0
	for i := range w.base.Attrs {
		end := w.lineEnd(w.base.Attrs[i].Value.At.To)
		if len(w.base.Blocks) == 0 || end <= w.base.Blocks[0].KindAt.From {
			at = max(at, end)
		}
	}
	wide := 0
	for i := range want {
		wide = max(wide, len(want[i].Name))
	}
	for i := range want {
		a := &want[i]
		if old := w.base.Attr(a.Name); old != nil {
			w.setValue(old, &a.Value)
		} else {
			w.put(at, at, fmt.Sprintf("%-*s = %s\n", wide, a.Name, a.Value.Written))
		}
	}
	w.dropOthers(w.base.Attrs, want)
}

// dropOthers takes out what is not wanted any more.
func (w *writer) dropOthers(old, want []Attr) {
	for i := range old {
		if !hasAttr(want, old[i].Name) {
			w.dropLine(&old[i])
		}
	}
}

func hasAttr(list []Attr, name string) bool {
	for i := range list {
		if list[i].Name == name {
			return true
		}
	}
	return false
}

func (w *writer) setValue(old *Attr, v *Value) {
	if !old.Value.Same(v) {
		w.put(old.Value.At.From, old.Value.At.To, v.Written)
	}
}

// dropLine takes an attribute out; a comment behind it stays as a line.
func (w *writer) dropLine(a *Attr) {
	from, to := a.At.From, a.At.To
	rest := w.base.src[to:w.lineEnd(to)]
	if strings.TrimSpace(string(rest)) == "" {
		to += len(rest)
		for from > 0 && (w.base.src[from-1] == ' ' || w.base.src[from-1] == '\t') {
			from--
		}
	} else {
		to += len(rest) - len(bytes.TrimLeft(rest, " \t"))
	}
	w.put(from, to, "")
}

func (w *writer) blocks(want []*Block) {
	kept := map[int]bool{}
	fresh := map[string][]string{}
	var kinds []string
	for _, b := range want {
		if b.From >= 0 && b.From < len(w.base.Blocks) {
			kept[b.From] = true
			w.change(w.base.Blocks[b.From], b)
			continue
		}
		if fresh[b.Kind] == nil {
			kinds = append(kinds, b.Kind)
		}
		fresh[b.Kind] = append(fresh[b.Kind], b.text())
	}
	for i, b := range w.base.Blocks {
		if !kept[i] {
			w.remove(b)
		}
	}
	sort.SliceStable(kinds, func(i, j int) bool { return schema.Order(kinds[i]) < schema.Order(kinds[j]) })
	for _, k := range kinds {
		w.insert(k, fresh[k])
	}
}

// insert puts new blocks behind the last of their kind, else at the end.
func (w *writer) insert(kind string, texts []string) {
	at := -1
	for _, b := range w.base.Blocks {
		if b.Kind == kind {
			at = w.lineEnd(b.Close.To)
		}
	}
	first := at < 0
	if first {
		at = len(w.base.src)
	}
	lead := ""
	if at > 0 && w.base.src[at-1] != '\n' {
		lead = "\n"
	}
	for i, t := range texts {
		short := strings.Count(t, "\n") == 1
		if !short || first && i == 0 {
			t = "\n" + t
		}
		w.put(at, at, lead+t)
		lead = ""
	}
}

// remove takes a block out, with its line when nothing else stands on it.
func (w *writer) remove(b *Block) {
	src := w.base.src
	from, to := b.KindAt.From, b.Close.To
	rest := src[to:w.lineEnd(to)]
	if strings.TrimSpace(string(rest)) == "" {
		to += len(rest)
		for from > 0 && strings.IndexByte(" \t", src[from-1]) >= 0 {
			from--
		}
		if bytes.HasSuffix(src[:from], []byte("\n\n")) && (to == len(src) || src[to] == '\n') {
			from--
		}
	}
	w.put(from, to, "")
}

func (w *writer) change(old, b *Block) {
	if len(old.Labels) == 1 && old.Labels[0].Text != b.Label() {
		w.put(old.Labels[0].At.From, old.Labels[0].At.To, Quote(b.Label()))
	}
	rows := old.Kind == "run"
	was := old.Attrs
	if rows {
		was = without(was, "pieces")
	}
	var added []Attr
	dropped := 0
	for i := range b.Attrs {
		if !hasAttr(was, b.Attrs[i].Name) {
			added = append(added, b.Attrs[i])
		}
	}
	for i := range was {
		if !hasAttr(b.Attrs, was[i].Name) {
			dropped++
		}
	}
	if old.Open.Line == old.Close.Line && len(added)+dropped > 0 {
		w.reline(old, b)
		return
	}
	for i := range b.Attrs {
		if a := old.Attr(b.Attrs[i].Name); a != nil {
			w.setValue(a, &b.Attrs[i].Value)
		}
	}
	w.dropOthers(was, b.Attrs)
	if len(added) > 0 {
		w.add(old, added)
	}
	if rows {
		w.rows(old, b.Rows)
	}
}

func without(list []Attr, name string) []Attr {
	var out []Attr
	for i := range list {
		if list[i].Name != name {
			out = append(out, list[i])
		}
	}
	return out
}

// add puts new attributes on lines of their own, first in the block.
func (w *writer) add(b *Block, attrs []Attr) {
	at := w.lineEnd(b.Open.To)
	var s strings.Builder
	for i := range attrs {
		fmt.Fprintf(&s, "  %s = %s\n", attrs[i].Name, attrs[i].Value.Written)
	}
	w.put(at, at, s.String())
}

// reline writes a block of one line anew, on several. Its label was put as an
// edit of its own already: that lies inside and is passed over, since this edit
// begins before it.
func (w *writer) reline(old, b *Block) {
	w.put(old.KindAt.From, old.Close.To, strings.TrimSuffix(b.text(), "\n"))
}

// text writes a new block.
func (b *Block) text() string {
	var s strings.Builder
	s.WriteString(b.Kind)
	for _, l := range b.Labels {
		s.WriteString(" " + Quote(l.Text))
	}
	s.WriteString(" {\n")
	for i := range b.Attrs {
		fmt.Fprintf(&s, "  %s = %s\n", b.Attrs[i].Name, b.Attrs[i].Value.Written)
	}
	lines := len(b.Attrs)
	if len(b.Rows) > 0 {
		fmt.Fprintf(&s, "  pieces = %s\n", pieceList(b.Rows))
	}
	s.WriteString("}\n")
	out := string(hclwrite.Format([]byte(s.String())))
	if lines == 1 && b.Kind != "run" { // on one line
		out = strings.Replace(strings.Replace(out, "{\n  ", "{ ", 1), "\n}\n", " }\n", 1)
	}
	return out
}
