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

// with writes the list with other texts.
func (c *commented) with(pieces []string) string {
	if !c.long {
		return pieceList(pieces)
	}
	keep := c.matches(pieces)
	var b strings.Builder
	b.WriteString("[\n")
	line := func(s string) {
		if s != "" {
			b.WriteString("    " + s + "\n")
		}
	}
	old := 0
	gone := func(to int) {
		for ; old < to; old++ {
			for _, s := range c.items[old].above {
				line(s)
			}
			line(c.items[old].beside)
		}
	}
	for i, p := range pieces {
		if keep[i] < 0 {
			line(quote(p) + ",")
			continue
		}
		gone(keep[i])
		for _, s := range c.items[old].above {
			line(s)
		}
		line(strings.TrimRight(quote(p)+", "+c.items[old].beside, " "))
		old++
	}
	gone(len(c.items))
	for _, s := range c.tail {
		line(s)
	}
	b.WriteString("  ]")
	return b.String()
}

// matches pairs new texts with old ones that are equal, in order: a longest
// common subsequence (the textbook dynamic programme) of what lies between
// the common start and the common end; where that is too long for it, only
// start and end are paired. -1 is a new one.
func (c *commented) matches(pieces []string) []int {
	out := make([]int, len(pieces))
	for i := range out {
		out[i] = -1
	}
	lo := 0
	for lo < len(pieces) && lo < len(c.items) && pieces[lo] == c.items[lo].text {
		out[lo] = lo
		lo++
	}
	n, m := len(pieces), len(c.items)
	for n > lo && m > lo && pieces[n-1] == c.items[m-1].text {
		n, m = n-1, m-1
		out[n] = m
	}
	if (n-lo)*(m-lo) > 1<<20 {
		return out
	}
	best := make([][]int, n-lo+1)
	for i := range best {
		best[i] = make([]int, m-lo+1)
	}
	for i := n - lo - 1; i >= 0; i-- {
		for j := m - lo - 1; j >= 0; j-- {
			best[i][j] = max(best[i+1][j], best[i][j+1])
			if pieces[lo+i] == c.items[lo+j].text {
				best[i][j] = max(best[i][j], 1+best[i+1][j+1])
			}
		}
	}
	for i, j := 0, 0; i < n-lo && j < m-lo; {
		switch {
		case pieces[lo+i] == c.items[lo+j].text && best[i][j] == 1+best[i+1][j+1]:
			out[lo+i] = lo + j
			i, j = i+1, j+1
		case best[i+1][j] >= best[i][j+1]:
			i++
		default:
			j++
		}
	}
	return out
}
