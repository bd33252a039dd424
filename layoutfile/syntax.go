package layoutfile

import (
	"bytes"
	"fmt"
	"regexp"
	"sort"
	"strconv"
	"strings"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"
	"github.com/zclconf/go-cty/cty"
)

// Limits. Every one is stated in the message that it causes.
const (
	maxBytes      = 1 << 20
	maxPieces     = 10000
	maxRepeat     = 1000
	maxRuns       = 500
	maxBlocks     = 5000 // of any one kind but run
	maxNesting    = 12
	maxOperators  = 40
	maxNameLength = 32
	maxText       = 2000
	maxProblems   = 200
)

// reader carries one file through Read.
type reader struct {
	src      []byte
	lines    []string
	problems Problems
	dropped  int
}

func newReader(src []byte) *reader {
	return &reader{src: src, lines: strings.Split(string(src), "\n")}
}

func (r *reader) lineText(n int) string {
	if n < 1 || n > len(r.lines) {
		return ""
	}
	return strings.TrimSuffix(r.lines[n-1], "\r")
}

func (r *reader) place(rng hcl.Range) Range {
	return Range{rng.Start.Line, rng.Start.Column, rng.End.Line, rng.End.Column}
}

func (r *reader) also(rng hcl.Range, why string) Place {
	return Place{r.place(rng), r.lineText(rng.Start.Line), why}
}

// fail notes a mistake and reads on.
func (r *reader) fail(rng hcl.Range, summary, fix string, others ...Place) {
	if len(r.problems) >= maxProblems {
		r.dropped++
		return
	}
	r.problems = append(r.problems, Problem{Summary: summary, Fix: fix, Range: r.place(rng),
		Line: r.lineText(rng.Start.Line), Others: others})
}

func (r *reader) warn(rng hcl.Range, summary, fix string) {
	r.fail(rng, summary, fix)
	if r.dropped == 0 {
		r.problems[len(r.problems)-1].Warning = true
	}
}

func (r *reader) failed() bool { return r.problems.Errors() || r.dropped > 0 }

// finish sorts the problems and says how many were left out.
func (r *reader) finish() Problems {
	out := r.problems.sorted()
	if r.dropped > 0 {
		last := out[len(out)-1]
		out = append(out, Problem{Summary: fmt.Sprintf("%d more mistakes are not shown (the limit is %d)", r.dropped, maxProblems),
			Fix: "mend the first ones and read the file again", Range: last.Range, Line: last.Line})
	}
	return out
}

// parse turns the text into a syntax tree. A syntax error stands alone, since
// whatever follows it would be guesswork.
func (r *reader) parse(name string) *hclsyntax.Body {
	start := hcl.Range{Filename: name, Start: hcl.InitialPos, End: hcl.InitialPos}
	if len(r.src) > maxBytes {
		r.lines = nil
		r.fail(start, fmt.Sprintf("the file has %d bytes; the limit is %d (1 MiB)", len(r.src), maxBytes), "is this a layout file?")
		return nil
	}
	if i := bytes.IndexByte(r.src, 0); i >= 0 {
		r.fail(start, "this is not a text file: it holds zero bytes", "save it as plain text in UTF-8")
		return nil
	}
	if !r.tame(name) {
		return nil
	}
	file, diags := hclsyntax.ParseConfig(r.src, name, hcl.InitialPos)
	for _, d := range diags {
		if d.Severity == hcl.DiagError {
			rng := start
			if d.Subject != nil {
				rng = *d.Subject
			}
			r.syntaxError(d, rng)
			return nil
		}
	}
	return file.Body.(*hclsyntax.Body)
}

// plainSyntax is what the parser's commonest complaints mean to someone who
// writes a layout.
var plainSyntax = map[string][2]string{
	"Invalid multi-line string":                {"this text has no closing quote", "put \" at its end, on the same line"},
	"Unterminated template string":             {"this text has no closing quote", "put \" at its end, on the same line"},
	"Unclosed configuration block":             {"the bracket { that opens this block is never closed", "put } behind its last line"},
	"Missing item separator":                   {"a comma is missing between two items of a list", "put a comma between them"},
	"Missing newline after argument":           {"something more stands behind this value", "begin a new line after every value; in a list, put commas and the closing ]"},
	"Missing newline after block definition":   {"something more stands behind the block", "begin a new line after }"},
	"Argument or block definition required":    {"neither a value nor a block begins here", "write name = value, or a block like run \"main\" { ... }"},
	"Invalid argument name":                    {"a value's name has no quotes", "write name = value"},
	"Invalid character":                        {"this character has no meaning here", "put text in straight quotes \" and comments behind #"},
	"Invalid single-argument block definition": {"a block on one line holds one value only", "begin a new line behind { and behind every value"},
	"Unsupported operator":                     {"this character has no meaning here", ""},
}

// earlier finds, in the parser's words, where a value was given first.
var earlier = regexp.MustCompile(`:(\d+),(\d+)-\d+\. Each argument`)

func (r *reader) syntaxError(d *hcl.Diagnostic, at hcl.Range) {
	summary, fix := lowerFirst(strings.TrimSuffix(d.Summary, ".")), oneLine(d.Detail)
	if plain, ok := plainSyntax[d.Summary]; ok {
		summary, fix = plain[0], orElse(plain[1], fix)
	}
	if d.Summary == "Attribute redefined" {
		var others []Place
		if m := earlier.FindStringSubmatch(d.Detail); m != nil {
			line, _ := strconv.Atoi(m[1])
			column, _ := strconv.Atoi(m[2])
			first := hcl.Range{Start: hcl.Pos{Line: line, Column: column}, End: hcl.Pos{Line: line, Column: column + 1}}
			others = append(others, r.also(first, "the first one is here"))
		}
		r.fail(at, "this value is given already", "take one of the two out", others...)
		return
	}
	if d.Summary == "Invalid multi-line string" {
		tokens, _ := hclsyntax.LexConfig(r.src, "", hcl.InitialPos)
		for i := range tokens { // point at the quote that was left open
			if t := &tokens[i]; t.Type == hclsyntax.TokenOQuote && t.Range.Start.Byte < at.Start.Byte && t.Range.Start.Line == at.Start.Line {
				at = hcl.Range{Start: t.Range.Start, End: at.Start}
			}
		}
	}
	r.fail(at, summary, fix)
}

// tame looks at the words of the file before anything recursive does: deep
// nesting and long chains of operators have no place in a layout and could
// use up the stack.
func (r *reader) tame(name string) bool {
	tokens, _ := hclsyntax.LexConfig(r.src, name, hcl.InitialPos)
	depth, operators := 0, 0
	for i := range tokens {
		switch tokens[i].Type {
		case hclsyntax.TokenOBrace, hclsyntax.TokenOBrack, hclsyntax.TokenOParen,
			hclsyntax.TokenTemplateInterp, hclsyntax.TokenTemplateControl:
			depth++
		case hclsyntax.TokenCBrace, hclsyntax.TokenCBrack, hclsyntax.TokenCParen, hclsyntax.TokenTemplateSeqEnd:
			depth--
		case hclsyntax.TokenBang, hclsyntax.TokenQuestion, hclsyntax.TokenPlus, hclsyntax.TokenStar,
			hclsyntax.TokenSlash, hclsyntax.TokenPercent, hclsyntax.TokenAnd, hclsyntax.TokenOr:
			operators++
		case hclsyntax.TokenMinus:
			if i > 0 && tokens[i-1].Type == hclsyntax.TokenMinus {
				operators++
			}
		}
		if depth > maxNesting {
			r.fail(tokens[i].Range, fmt.Sprintf("brackets are nested more than %d deep", maxNesting), "a layout file never needs that: look for a bracket that was not closed")
			return false
		}
		if operators > maxOperators {
			r.fail(tokens[i].Range, fmt.Sprintf("more than %d operators in one file", maxOperators), "a layout file holds plain values only: work the sum out and write its result")
			return false
		}
	}
	return true
}

func lowerFirst(s string) string {
	if s == "" {
		return s
	}
	return strings.ToLower(s[:1]) + s[1:]
}

func oneLine(s string) string { return strings.Join(strings.Fields(s), " ") }

// attributes gives a body's attributes in the order of the file (the parser
// keeps them in a map).
func attributes(b *hclsyntax.Body) []*hclsyntax.Attribute {
	out := make([]*hclsyntax.Attribute, 0, len(b.Attributes))
	for _, a := range b.Attributes {
		out = append(out, a)
	}
	sort.Slice(out, func(i, j int) bool { return out[i].SrcRange.Start.Byte < out[j].SrcRange.Start.Byte })
	return out
}

// literal evaluates a plain value: text, number, true or false, a list of
// such. Everything else is answered and gives false.
func (r *reader) literal(e hclsyntax.Expression) (cty.Value, bool) {
	switch x := e.(type) {
	case *hclsyntax.LiteralValueExpr:
		return x.Val, true
	case *hclsyntax.TemplateExpr:
		for _, p := range x.Parts {
			if _, ok := p.(*hclsyntax.LiteralValueExpr); !ok {
				r.fail(p.Range(), "a layout file holds plain text only, nothing to be worked out", "write $${ for the two characters ${")
				return cty.NilVal, false
			}
		}
		v, diags := x.Value(nil)
		return v, !diags.HasErrors()
	case *hclsyntax.UnaryOpExpr:
		if lit, ok := x.Val.(*hclsyntax.LiteralValueExpr); ok && x.Op == hclsyntax.OpNegate && lit.Val.Type() == cty.Number {
			return lit.Val.Negate(), true
		}
	case *hclsyntax.TupleConsExpr:
		vals := make([]cty.Value, 0, len(x.Exprs))
		for _, item := range x.Exprs {
			v, ok := r.literal(item)
			if !ok {
				return cty.NilVal, false
			}
			vals = append(vals, v)
		}
		return cty.TupleVal(vals), true
	case *hclsyntax.ScopeTraversalExpr:
		word := string(x.SrcRange.SliceBytes(r.src))
		r.fail(x.SrcRange, fmt.Sprintf("%s stands without quotes", clip(word)), fmt.Sprintf("write \"%s\"", clip(word)))
		return cty.NilVal, false
	}
	r.fail(e.Range(), "a layout file holds plain values only: text in quotes, numbers, true or false, and lists of them", "work it out and write the result")
	return cty.NilVal, false
}

// clip shortens what is quoted back to the user.
func clip(s string) string {
	g := graphemes(oneLine(s))
	if len(g) > 40 {
		return strings.Join(g[:40], "") + "..."
	}
	return strings.Join(g, "")
}
