package outside

import (
	"encoding/json"
	"testing"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
	"github.com/stretchr/testify/require"
)

// FuzzHCL: what is counted here is no less than what the parser meets.
func FuzzHCL(f *testing.F) {
	for _, s := range []string{"a = 1\n", "run \"m\" {\n pieces = [\"3 x straight 10\"] # c\n}\n", "a = <<E\nx\nE\n",
		"a = \"${b[\"c\"]}\"", "/* ( */ a = (1)",
		"a = \"$${\"", "// [\na = 1e5", "a = [\"}\",[\"$$${[\", \"\\$${[(\"]]", "a = \"\n\"[[\n", "a = \"\\\n\"[("} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, src []byte) {
		l := Limits{What: "x", Bytes: 1000, Depth: 8, Tokens: 300, Text: 400}
		if l.HCL(src) != nil {
			return
		}
		tokens, _ := hclsyntax.LexConfig(src, "", hcl.InitialPos)
		require.LessOrEqual(t, len(tokens), 4*300+1000, "%q", src)
		depth := 0
		for _, k := range tokens {
			switch k.Type {
			case hclsyntax.TokenOBrace, hclsyntax.TokenOBrack, hclsyntax.TokenOParen, hclsyntax.TokenTemplateInterp,
				hclsyntax.TokenTemplateControl:
				depth++
			case hclsyntax.TokenCBrace, hclsyntax.TokenCBrack, hclsyntax.TokenCParen, hclsyntax.TokenTemplateSeqEnd:
				depth--
			}
			require.LessOrEqual(t, depth, 8, "%q", src)
		}
	})
}

// FuzzJSON: what passes is no deeper than it may be, and decoding it ends.
func FuzzJSON(f *testing.F) {
	f.Add([]byte(`{"a":[1,"x]",{"b":null}]}`))
	f.Fuzz(func(t *testing.T, src []byte) {
		l := Limits{What: "x", Bytes: 1000, Depth: 4, Tokens: 100, Text: 100}
		var v any
		if l.JSON(src) != nil || json.Unmarshal(src, &v) != nil {
			return
		}
		require.LessOrEqual(t, depthOf(v), 4, "%s", src)
	})
}

func depthOf(v any) int {
	deepest := 0
	switch x := v.(type) {
	case map[string]any:
		for _, e := range x {
			deepest = max(deepest, depthOf(e))
		}
	case []any:
		for _, e := range x {
			deepest = max(deepest, depthOf(e))
		}
	default:
		return 0
	}
	return deepest + 1
}
