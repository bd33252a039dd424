package layoutfile

import (
	"bytes"
	"fmt"
	"sort"
	"strings"

	"github.com/hashicorp/hcl/v2/hclsyntax"
)

// Part is a block as it shall be in the rewritten text.
type Part struct {
	// From is the block of the old text that it comes from, by its index
	// there; -1 is a new one.
	From        int
	Kind, Label string
	// Attrs are set; one with an empty value is taken out; what is not named
	// stays as it is.
	Attrs []Attr
	// Rows are the pieces of a run.
	Rows []PieceRow
	// Texts, when given, are the quoted texts of the block in the order of
	// Outline: those that differ are replaced.
	Texts []string
}

// Quote writes text as the file format does, with its escapes.
func Quote(s string) string { return quote(s) }

// Figure writes a number as the file format does.
func Figure(v float64) string { return figure(v) }

// edit replaces the bytes from..to of the old text.
type edit struct {
	from, to int
	text     string
}

type rewriter struct {
	f     *File
	body  *hclsyntax.Body
	lists map[*hclsyntax.Block]*commented
	edits []edit
}

func (w *rewriter) put(from, to int, text string) {
	w.edits = append(w.edits, edit{from, to, w.f.newlines(text)})
}

// result is the text with the edits made.
func (w *rewriter) result() []byte {
	out := []byte(w.part(0, len(w.f.src)))
	if bytes.HasPrefix(w.f.src, []byte("\n")) {
		return out
	}
	return bytes.TrimLeft(out, "\n")
}

// part applies the edits to a part of the text; at one place insertions come
// first, and else they keep their order.
func (w *rewriter) part(from, to int) string {
	sort.SliceStable(w.edits, func(i, j int) bool {
		a, b := w.edits[i], w.edits[j]
		if a.from != b.from {
			return a.from < b.from
		}
		return a.from == a.to && b.from != b.to
	})
	var out strings.Builder
	at := from
	for _, e := range w.edits {
		if e.from < at { // inside a block that is taken out
			continue
		}
		out.Write(w.f.src[at:e.from])
		out.WriteString(e.text)
		at = e.to
	}
	out.Write(w.f.src[at:to])
	return out.String()
}

// lineEnd is the byte behind the line that byte at stands on.
func (w *rewriter) lineEnd(at int) int {
	if i := bytes.IndexByte(w.f.src[at:], '\n'); i >= 0 {
		return at + i + 1
	}
	return len(w.f.src)
}

func (w *rewriter) top(attrs []Attr) {
	at := 0
	for _, a := range attributes(w.body) {
		if end := w.lineEnd(a.Expr.Range().End.Byte); len(w.body.Blocks) == 0 || end <= w.body.Blocks[0].TypeRange.Start.Byte {
			at = max(at, end)
		}
	}
	wide := 0
	for _, a := range attrs {
		wide = max(wide, len(a.Name))
	}
	for _, a := range attrs {
		old := w.body.Attributes[a.Name]
		switch {
		case old == nil && a.Value == "":
		case old == nil:
			w.put(at, at, fmt.Sprintf("%-*s = %s\n", wide, a.Name, a.Value))
		case a.Value == "":
			w.dropLine(old)
		default:
			w.setValue(old, a.Value)
		}
	}
}

func (w *rewriter) setValue(old *hclsyntax.Attribute, value string) {
	r := old.Expr.Range()
	if text := plainText(old.Expr); text != "" && quote(text) == value {
		return // the same, in other words: a text of several lines
	}
	if string(r.SliceBytes(w.f.src)) != value {
		w.put(r.Start.Byte, r.End.Byte, value)
	}
}

// dropLine takes an attribute out; a comment behind it stays as a line.
func (w *rewriter) dropLine(a *hclsyntax.Attribute) {
	from, to := a.SrcRange.Start.Byte, a.SrcRange.End.Byte
	rest := w.f.src[to:w.lineEnd(to)]
	if strings.TrimSpace(string(rest)) == "" {
		to += len(rest)
		for from > 0 && (w.f.src[from-1] == ' ' || w.f.src[from-1] == '\t') {
			from--
		}
	} else {
		to += len(rest) - len(bytes.TrimLeft(rest, " \t"))
	}
	w.put(from, to, "")
}

// kindOrder is where a new kind of block goes in a text that has none of it.
var kindOrder = []string{"construction", "stock", "run", "supply", "bus", "strip", "toggle", "feeder", "insulated", "block", "accessory", "insulated_rail", "train", "hidden", "landmark", "note", "history"}

func (w *rewriter) blocks(parts []Part) {
	kept := map[int]bool{}
	fresh := map[string][]string{}
	var kinds []string
	for i := range parts {
		p := &parts[i]
		if p.From >= 0 && p.From < len(w.body.Blocks) {
			kept[p.From] = true
			w.change(w.body.Blocks[p.From], p)
			continue
		}
		if fresh[p.Kind] == nil {
			kinds = append(kinds, p.Kind)
		}
		fresh[p.Kind] = append(fresh[p.Kind], p.text())
	}
	for i, b := range w.body.Blocks {
		if !kept[i] {
			w.remove(b)
		}
	}
	rank := func(kind string) int {
		for i, k := range kindOrder {
			if k == kind {
				return i
			}
		}
		return len(kindOrder)
	}
	sort.SliceStable(kinds, func(i, j int) bool { return rank(kinds[i]) < rank(kinds[j]) })
	for _, k := range kinds {
		w.insert(k, fresh[k])
	}
}

// insert puts new blocks behind the last of their kind, else at the end.
func (w *rewriter) insert(kind string, texts []string) {
	at := -1
	for _, b := range w.body.Blocks {
		if b.Type == kind {
			at = w.lineEnd(b.CloseBraceRange.End.Byte)
		}
	}
	first := at < 0
	if first {
		at = len(w.f.src)
	}
	lead := ""
	if at > 0 && w.f.src[at-1] != '\n' {
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

// text writes a new block.
func (p *Part) text() string {
	var attrs [][2]string
	for _, a := range p.Attrs {
		attrs = append(attrs, [2]string{a.Name, a.Value})
	}
	if len(p.Rows) > 0 {
		attrs = append(attrs, [2]string{"pieces", pieceList(rowTexts(p.Rows))})
	}
	s := blockText(p.Kind, p.Label, attrs...)
	set := 0
	for _, a := range attrs {
		if a[1] != "" {
			set++
		}
	}
	if set == 1 && p.Kind != "run" {
		s = oneLiner(s)
	}
	return s
}

func rowTexts(rows []PieceRow) []string {
	out := make([]string, len(rows))
	for i, r := range rows {
		out[i] = r.text()
	}
	return out
}

func (r PieceRow) text() string {
	if r.Count == 1 {
		return r.Text
	}
	return fmt.Sprintf("%d x %s", r.Count, r.Text)
}

// remove takes a block out, with its line when nothing else stands on it.
func (w *rewriter) remove(b *hclsyntax.Block) {
	from, to := b.TypeRange.Start.Byte, b.CloseBraceRange.End.Byte
	rest := w.f.src[to:w.lineEnd(to)]
	if strings.TrimSpace(string(rest)) == "" {
		to += len(rest)
		for from > 0 && strings.IndexByte(" \t", w.f.src[from-1]) >= 0 {
			from--
		}
		if bytes.HasSuffix(w.f.src[:from], []byte("\n\n")) && (to == len(w.f.src) || w.f.src[to] == '\n') {
			from--
		}
	}
	w.put(from, to, "")
}

func (w *rewriter) change(b *hclsyntax.Block, p *Part) {
	if len(b.Labels) == 1 && b.Labels[0] != p.Label {
		r := b.LabelRanges[0]
		w.put(r.Start.Byte, r.End.Byte, quote(p.Label))
	}
	var added []Attr
	dropped := 0
	for _, a := range p.Attrs {
		old := b.Body.Attributes[a.Name]
		switch {
		case old == nil && a.Value != "":
			added = append(added, a)
		case old != nil && a.Value == "":
			dropped++
		}
	}
	if b.OpenBraceRange.Start.Line == b.CloseBraceRange.Start.Line && len(added)+dropped > 0 {
		w.reline(b, p)
		return
	}
	for _, a := range p.Attrs {
		if old := b.Body.Attributes[a.Name]; old != nil && a.Value == "" {
			w.dropLine(old)
		} else if old != nil {
			w.setValue(old, a.Value)
		}
	}
	if len(added) > 0 {
		w.add(b, added)
	}
	if p.Kind == "run" {
		w.rows(b, p.Rows)
	}
	w.texts(b, p)
}

// add puts new attributes on lines of their own, first in the block.
func (w *rewriter) add(b *hclsyntax.Block, attrs []Attr) {
	at := w.lineEnd(b.OpenBraceRange.End.Byte)
	var s strings.Builder
	for _, a := range attrs {
		fmt.Fprintf(&s, "  %s = %s\n", a.Name, a.Value)
	}
	w.put(at, at, s.String())
}

// reline writes a block of one line anew, on several.
func (w *rewriter) reline(b *hclsyntax.Block, p *Part) {
	n := Part{Kind: p.Kind, Label: p.Label, Rows: p.Rows}
	set := map[string]bool{}
	for _, a := range p.Attrs {
		n.Attrs = append(n.Attrs, a)
		set[a.Name] = true
	}
	for _, a := range attributes(b.Body) {
		if !set[a.Name] && !(a.Name == "pieces" && p.Kind == "run") {
			n.Attrs = append(n.Attrs, Attr{a.Name, string(a.Expr.Range().SliceBytes(w.f.src))})
		}
	}
	text := strings.TrimSuffix(n.text(), "\n")
	w.edits = append(w.edits, edit{b.TypeRange.Start.Byte, b.CloseBraceRange.End.Byte, w.f.newlines(text)})
	// The label was put as an edit of its own already: it lies inside and is
	// passed over, since this edit begins before it.
}

// rows writes a run's pieces; rows that stay keep the comments above and
// beside them.
func (w *rewriter) rows(b *hclsyntax.Block, rows []PieceRow) {
	a := b.Body.Attributes["pieces"]
	if a == nil {
		if len(rows) > 0 {
			at := b.CloseBraceRange.Start.Byte
			if b.OpenBraceRange.Start.Line == b.CloseBraceRange.Start.Line {
				w.put(at, at, " pieces = "+pieceList(rowTexts(rows))+" ")
			} else {
				w.put(at, at, "  pieces = "+pieceList(rowTexts(rows))+"\n")
			}
		}
		return
	}
	old := rowsOf(b.Body)
	if sameRows(old, rows) {
		return
	}
	r := a.Expr.Range()
	if _, ok := a.Expr.(*hclsyntax.TupleConsExpr); !ok {
		return
	}
	list := w.lists[b]
	if list == nil {
		list = w.f.readList(a)
		w.lists[b] = list
	}
	w.put(r.Start.Byte, r.End.Byte, list.withRows(rows))
}

func sameRows(a, b []PieceRow) bool {
	if len(a) != len(b) {
		return false
	}
	for i := range a {
		if a[i].Count != b[i].Count || a[i].Text != b[i].Text {
			return false
		}
	}
	return true
}

// withRows writes the list with other rows. Comments of rows that are gone
// stay as lines of their own, before the next row that stays.
func (c *commented) withRows(rows []PieceRow) string {
	if !c.long {
		return pieceList(rowTexts(rows))
	}
	var b strings.Builder
	b.WriteString("[\n")
	line := func(s string) {
		if s != "" {
			b.WriteString("    " + s + "\n")
		}
	}
	stays := map[int]bool{}
	for _, r := range rows {
		stays[r.From] = true
	}
	old := 0
	gone := func(to int) {
		for ; old < to; old++ {
			if stays[old] {
				continue
			}
			for _, s := range c.items[old].above {
				line(s)
			}
			line(c.items[old].beside)
		}
	}
	done := map[int]bool{}
	for _, r := range rows {
		if r.From < 0 || r.From >= len(c.items) || done[r.From] {
			line(quote(r.text()) + ",")
			continue
		}
		done[r.From] = true
		gone(r.From)
		for _, s := range c.items[r.From].above {
			line(s)
		}
		line(strings.TrimRight(quote(r.text())+", "+c.items[r.From].beside, " "))
		old = max(old, r.From+1)
	}
	gone(len(c.items))
	for _, s := range c.tail {
		line(s)
	}
	b.WriteString("  ]")
	return b.String()
}

// texts replaces the quoted texts that differ.
func (w *rewriter) texts(b *hclsyntax.Block, p *Part) {
	if p.Texts == nil {
		return
	}
	for i, t := range quoted(b.Body) {
		if i < len(p.Texts) && plainText(t) != p.Texts[i] {
			r := t.Range()
			w.put(r.Start.Byte, r.End.Byte, quote(p.Texts[i]))
		}
	}
}

// newlines gives text the line ends that the file has.
func (f *File) newlines(text string) string {
	if bytes.Contains(f.src, []byte("\r\n")) {
		return strings.ReplaceAll(text, "\n", "\r\n")
	}
	return text
}
