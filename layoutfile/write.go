package layoutfile

import (
	"fmt"
	"strings"

	"github.com/hashicorp/hcl/v2/hclwrite"
	"github.com/zclconf/go-cty/cty"
)

// quote writes text as the file format does, with its escapes.
func quote(s string) string {
	return string(hclwrite.TokensForValue(cty.StringVal(s)).Bytes())
}

func figure(v float64) string {
	return string(hclwrite.TokensForValue(cty.NumberFloatVal(v)).Bytes())
}

// blockText writes a block; the lines without a value are left out.
func blockText(kind, label string, attrs ...[2]string) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s {\n", kind, quote(label))
	for _, a := range attrs {
		if a[1] != "" {
			fmt.Fprintf(&b, "  %s = %s\n", a[0], a[1])
		}
	}
	b.WriteString("}\n")
	return string(hclwrite.Format([]byte(b.String())))
}

func quoteList(list []string) string {
	out := make([]string, len(list))
	for i, s := range list {
		out[i] = quote(s)
	}
	return "[" + strings.Join(out, ", ") + "]"
}

// pieceList writes a run's pieces: short ones on one line, else one a line.
func pieceList(pieces []string) string {
	if s := quoteList(pieces); len(s) < 90 {
		return s
	}
	var b strings.Builder
	b.WriteString("[\n")
	for _, p := range pieces {
		b.WriteString("    " + quote(p) + ",\n")
	}
	b.WriteString("  ]")
	return b.String()
}

// oneLiner puts a block with one attribute on one line.
func oneLiner(s string) string {
	return strings.Replace(strings.Replace(s, "{\n  ", "{ ", 1), "\n}\n", " }\n", 1)
}
