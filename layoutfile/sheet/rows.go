package sheet

import (
	"fmt"
	"strings"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
)

// written is a row as it stands in the file, with its count.
func (r *Row) written() string {
	if r.Count == 1 {
		return r.Text
	}
	return fmt.Sprintf("%d x %s", r.Count, r.Text)
}

// pieceList writes a run's pieces: short ones on one line, else one a line.
func pieceList(rows []Row) string {
	quoted := make([]string, len(rows))
	for i := range rows {
		quoted[i] = Quote(rows[i].written())
	}
	if s := "[" + strings.Join(quoted, ", ") + "]"; len(s) < 90 {
		return s
	}
	return "[\n    " + strings.Join(quoted, ",\n    ") + ",\n  ]"
}

// rows writes a run's pieces; rows that stay keep the comments above and
// beside them.
func (w *writer) rows(b *Block, rows []Row) {
	a := b.Attr("pieces")
	if a == nil {
		if len(rows) > 0 {
			at := b.Close.From
			if b.Open.Line == b.Close.Line {
				w.put(at, at, " pieces = "+pieceList(rows)+" ")
			} else {
				w.put(at, at, "  pieces = "+pieceList(rows)+"\n")
			}
		}
		return
	}
	if a.Value.Type == List && !sameRows(b.Pieces(), rows) {
		w.put(a.Value.At.From, a.Value.At.To, w.comments(&a.Value).with(rows))
	}
}

func sameRows(a, b []Row) bool {
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

// commented is a list of texts with the comments that stand in it.
type commented struct {
	items []commentedItem
	tail  []string // comments behind the last item
	long  bool     // it was on more than one line, or had comments
}

type commentedItem struct {
	above  []string
	beside string
}

// comments takes the comments of a list of texts to their items: beside is
// the one that ends the item's line, above are those before it.
func (w *writer) comments(list *Value) *commented {
	out := &commented{long: list.At.Line != list.At.EndLine}
	src := w.base.src[list.At.From:list.At.To]
	tokens, _ := hclsyntax.LexConfig(src, "", hcl.Pos{Line: list.At.Line, Column: list.At.Column, Byte: list.At.From})
	var above []string
	next, lastLine := 0, 0
	for _, t := range tokens {
		for next < len(list.List) && list.List[next].At.From <= t.Range.Start.Byte {
			out.items = append(out.items, commentedItem{above: above})
			above, lastLine = nil, list.List[next].At.EndLine
			next++
		}
		if t.Type != hclsyntax.TokenComment {
			continue
		}
		text := strings.TrimSpace(string(t.Bytes))
		out.long = true
		if n := len(out.items); n > 0 && t.Range.Start.Line == lastLine && out.items[n-1].beside == "" {
			out.items[n-1].beside = text
		} else {
			above = append(above, text)
		}
	}
	out.tail = above
	return out
}

// with writes the list with other rows. Comments of rows that are gone stay as
// lines of their own, before the next row that stays.
func (c *commented) with(rows []Row) string {
	if !c.long {
		return pieceList(rows)
	}
	var b strings.Builder
	b.WriteString("[\n")
	line := func(s string) {
		if s != "" {
			b.WriteString("    " + s + "\n")
		}
	}
	stays := map[int]bool{}
	for i := range rows {
		stays[rows[i].From] = true
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
	for i := range rows {
		r := &rows[i]
		if r.From < 0 || r.From >= len(c.items) || done[r.From] {
			line(Quote(r.written()) + ",")
			continue
		}
		done[r.From] = true
		gone(r.From)
		for _, s := range c.items[r.From].above {
			line(s)
		}
		line(strings.TrimRight(Quote(r.written())+", "+c.items[r.From].beside, " "))
		old = max(old, r.From+1)
	}
	gone(len(c.items))
	for _, s := range c.tail {
		line(s)
	}
	b.WriteString("  ]")
	return b.String()
}
