package layoutfile

import (
	"bytes"
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/hashicorp/hcl/v2"
	"github.com/hashicorp/hcl/v2/hclsyntax"

	"fishplate/diagnose/outside"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// How many operators a file may have, and how many problems are told; how deep
// brackets may be nested and how much there may be of all, package outside says.
const (
	maxOperators = 40
	maxProblems  = 200
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

func (r *reader) place(rng sheet.Span) Range {
	return Range{rng.Line, rng.Column, rng.EndLine, rng.EndColumn}
}

func (r *reader) also(rng sheet.Span, why string) Place {
	return Place{r.place(rng), r.lineText(rng.Line), why}
}

// fail notes a mistake and reads on.
func (r *reader) fail(rng sheet.Span, summary, fix string, others ...Place) {
	if len(r.problems) >= maxProblems {
		r.dropped++
		return
	}
	r.problems = append(r.problems, Problem{Summary: summary, Fix: fix, Range: r.place(rng),
		Line: r.lineText(rng.Line), Others: others, Block: rng.Block - 1, Row: rng.Row - 1})
}

func (r *reader) warn(rng sheet.Span, summary, fix string) {
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
		out = append(out, Problem{Summary: fmt.Sprintf("%d more mistakes are not shown (the limit is %d)", r.dropped,
			maxProblems),
			Fix: "mend the first ones and read the file again", Range: last.Range, Line: last.Line})
	}
	return out
}

// Parse takes a text apart into what is written, whatever it means; nil with
// the problem where that cannot be done.
func Parse(name string, src []byte) (*sheet.Sheet, Problems) {
	r := newReader(sheet.Unmarked(src))
	body := r.parse(name)
	if body == nil {
		return nil, r.finish()
	}
	return sheet.FromSyntax(src, body), nil
}

// parse turns the text into a syntax tree. A syntax error stands alone, since
// whatever follows it would be guesswork; but for values without their quotes, each of
// which is told.
func (r *reader) parse(name string) *hclsyntax.Body {
	start := sheet.Span{Line: 1, Column: 1, EndLine: 1, EndColumn: 1}
	if len(r.src) > schema.MaxBytes {
		r.lines = nil
		r.fail(start, fmt.Sprintf("the file has %d bytes; the limit is %d (1 MiB)", len(r.src), schema.MaxBytes),
			"is this a layout file?")
		return nil
	}
	if i := bytes.IndexByte(r.src, 0); i >= 0 {
		r.fail(start, "this is not a text file: it holds zero bytes", "save it as plain text in UTF-8")
		return nil
	}
	var fault *outside.Fault
	if errors.As(outside.Layout.HCL(r.src), &fault) {
		at := sheet.Span{Line: fault.Line, Column: fault.Column, EndLine: fault.Line, EndColumn: fault.Column + 1}
		r.fail(at, fault.What, fault.Fix)
		return nil
	}
	if !r.tame(name) {
		return nil
	}
	file, diags := hclsyntax.ParseConfig(r.src, name, hcl.InitialPos)
	for _, d := range diags {
		if d.Severity != hcl.DiagError {
			continue
		}
		rng := start
		if d.Subject != nil {
			rng = sheet.SpanOf(*d.Subject)
		}
		if d.Summary == valueGoesOn && r.unquoted(rng.Line) {
			r.moreUnquoted(rng.Line)
		} else {
			r.syntaxError(d, rng)
		}
		return nil
	}
	return file.Body.(*hclsyntax.Body)
}

// plainSyntax is what the parser's commonest complaints mean to someone who
// writes a layout.
var plainSyntax = map[string][2]string{
	"Invalid multi-line string": {"this text has no closing quote",
		"put \" at its end, on the same line"},
	"Unterminated template string": {"this text has no closing quote",
		"put \" at its end, on the same line"},
	"Unclosed configuration block": {"the bracket { that opens this block is never closed",
		"put } behind its last line"},
	"Missing item separator": {"a comma is missing between two items of a list",
		"put a comma between them"},
	"Unterminated tuple constructor expression": {openList, closeList},
	valueGoesOn: {"something more stands behind this value",
		"begin a new line after every value; in a list, put commas and the closing ]"},
	"Missing newline after block definition": {"something more stands behind the block", "begin a new line after }"},
	"Argument or block definition required": {"neither a value nor a block begins here",
		"write name = value, or a block like run \"main\" { ... }"},
	"Invalid argument name": {"a value's name has no quotes", "write name = value"},
	"Invalid character": {"this character has no meaning here",
		"put text in straight quotes \" and comments behind #"},
	"Invalid single-argument block definition": {"a block on one line holds one value only",
		"begin a new line behind { and behind every value"},
	"Unsupported operator": {"this character has no meaning here", ""},
}

const (
	// valueGoesOn is the parser's word for a line that goes on behind its value.
	valueGoesOn = "Missing newline after argument"
	openList    = "the list that begins with [ is never closed"
	closeList   = "put ] behind its last item"
)

// line is a value alone on its line, as someone writes it who forgets quotes.
var line = regexp.MustCompile(`^(\s*([A-Za-z_]+)\s*=\s*)([^"\[{#=]*?)\s*(#.*)?$`)

// unquoted tells of a value that is a text without quotes, or a number with its unit;
// false where the line is none of these.
func (r *reader) unquoted(n int) bool {
	m := line.FindStringSubmatch(r.lineText(n))
	if m == nil || m[3] == "" {
		return false
	}
	name, value := m[2], m[3]
	from := utf8.RuneCountInString(m[1]) + 1
	at := sheet.Span{Line: n, Column: from, EndLine: n, EndColumn: from + utf8.RuneCountInString(value)}
	number := strings.TrimRight(value, "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ \t")
	a := schema.Called(name)
	if _, err := strconv.ParseFloat(number, 64); err == nil && a != nil &&
		(a.Kind == schema.Number || a.Kind == schema.Whole) {
		r.fail(at, fmt.Sprintf("%s takes a number without a unit", name), fmt.Sprintf("write %s = %s", name, number))
		return true
	}
	r.fail(at, fmt.Sprintf("%s stands without quotes", sheet.Clip(value)),
		fmt.Sprintf("write %s = \"%s\"", name, sheet.Clip(value)))
	return true
}

// moreUnquoted tells of the same on the lines behind, which the parser does not get to.
// In a file with comments of several lines it might tell of one of them.
func (r *reader) moreUnquoted(behind int) {
	if bytes.Contains(r.src, []byte("/*")) {
		return
	}
	for n := behind + 1; n <= len(r.lines); n++ {
		m := line.FindStringSubmatch(r.lineText(n))
		if m == nil {
			continue
		}
		if _, diags := hclsyntax.ParseExpression([]byte(m[3]), "", hcl.InitialPos); diags.HasErrors() {
			r.unquoted(n)
		}
	}
}

// earlier finds, in the parser's words, where a value was given first.
var earlier = regexp.MustCompile(`:(\d+),(\d+)-\d+\. Each argument`)

func (r *reader) syntaxError(d *hcl.Diagnostic, at sheet.Span) {
	summary, fix := lowerFirst(strings.TrimSuffix(d.Summary, ".")), oneLine(d.Detail)
	if plain, ok := plainSyntax[d.Summary]; ok {
		summary, fix = plain[0], orElse(plain[1], fix)
	}
	if d.Summary == "Missing item separator" && r.endsList(at) {
		summary, fix = openList, closeList
	}
	if d.Summary == "Attribute redefined" {
		var others []Place
		if m := earlier.FindStringSubmatch(d.Detail); m != nil {
			line, _ := strconv.Atoi(m[1])
			column, _ := strconv.Atoi(m[2])
			first := sheet.Span{Line: line, Column: column, EndLine: line, EndColumn: column + 1}
			others = append(others, r.also(first, "the first one is here"))
		}
		r.fail(at, "this value is given already", "take one of the two out", others...)
		return
	}
	if d.Summary == "Invalid multi-line string" {
		tokens, _ := hclsyntax.LexConfig(r.src, "", hcl.InitialPos)
		for i := range tokens { // point at the quote that was left open
			if t := &tokens[i]; t.Type == hclsyntax.TokenOQuote && t.Range.Start.Byte < at.From &&
				t.Range.Start.Line == at.Line {
				quote := sheet.SpanOf(t.Range)
				quote.EndLine, quote.EndColumn = at.Line, at.Column
				at = quote
			}
		}
	}
	r.fail(at, summary, fix)
}

// endsList says that what stands where a comma is missing is no item: the list is over.
func (r *reader) endsList(at sheet.Span) bool {
	text := r.src[min(at.From, len(r.src)):]
	text = bytes.TrimLeft(text, " \t\r\n")
	return len(text) == 0 || text[0] == '}' || nameFollows.Match(text)
}

// nameFollows is the name of a value or a block where an item should be.
var nameFollows = regexp.MustCompile(`^[A-Za-z_]+\s*([={]|"[^"]*"\s*\{)`)

// tame looks at the words of the file before anything recursive does: long
// chains of operators have no place in a layout and could use up the stack.
func (r *reader) tame(name string) bool {
	tokens, _ := hclsyntax.LexConfig(r.src, name, hcl.InitialPos)
	operators := 0
	for i := range tokens {
		switch tokens[i].Type {
		case hclsyntax.TokenBang, hclsyntax.TokenQuestion, hclsyntax.TokenPlus, hclsyntax.TokenStar,
			hclsyntax.TokenSlash, hclsyntax.TokenPercent, hclsyntax.TokenAnd, hclsyntax.TokenOr:
			operators++
		case hclsyntax.TokenMinus:
			if i > 0 && tokens[i-1].Type == hclsyntax.TokenMinus {
				operators++
			}
		}
		if operators > maxOperators {
			r.fail(sheet.SpanOf(tokens[i].Range), fmt.Sprintf("more than %d operators in one file", maxOperators),
				"a layout file holds plain values only: work the sum out and write its result")
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

// seen refuses a text with characters in it that cannot be seen: they could
// steer a terminal, or show one thing and mean another.
func (r *reader) seen(text string, at sheet.Span) bool {
	c, found := outside.Find(strings.ReplaceAll(text, "\n", " "))
	if found {
		r.fail(at, fmt.Sprintf("this text holds a character that cannot be seen, U+%04X", c),
			"type the text anew, with nothing but letters, digits and signs")
	}
	return !found
}
