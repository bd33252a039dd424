package layoutfile

import (
	"strings"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
)

// commented is a list of texts with the comments that stand in it.
type commented struct {
	items []commentedItem
	tail  []string // comments behind the last item
	long  bool     // it was on more than one line, or had comments
}

type commentedItem struct {
	text   string
	above  []string
	beside string
}

// readList takes the comments of a list of texts to their items: beside is
// the one that ends the item's line, above are those before it.
func (f *File) readList(a *hclsyntax.Attribute) *commented {
	out := &commented{}
	tuple := a.Expr.(*hclsyntax.TupleConsExpr)
	at := tuple.Range()
	out.long = at.Start.Line != at.End.Line
	tokens, _ := hclsyntax.LexConfig(f.src, f.name, hcl.InitialPos)
	var above []string
	next, lastLine := 0, 0
	for _, t := range tokens {
		if t.Range.Start.Byte < at.Start.Byte || t.Range.End.Byte > at.End.Byte {
			continue
		}
		for next < len(tuple.Exprs) && tuple.Exprs[next].Range().Start.Byte <= t.Range.Start.Byte {
			v, _ := tuple.Exprs[next].Value(nil)
			out.items = append(out.items, commentedItem{text: v.AsString(), above: above})
			above, lastLine = nil, tuple.Exprs[next].Range().End.Line
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
