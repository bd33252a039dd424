package schema

import (
	"fmt"
	"strconv"
	"strings"
)

// Reference fills in what a description of the format leaves to the table: a
// line like
//
//	@supply "T1" current volts=14
//
// becomes that block with those attributes, each with its value (else the one
// of the table) and, where it stands first, what the table says about it. A
// line that ends in { leaves its block open. {parts of track}, {parts of
// wiring} and {limits} become lists.
func Reference(text string) string {
	w := &describer{said: map[string]bool{}, open: []*Block{File}}
	var out strings.Builder
	for _, line := range strings.SplitAfter(text, "\n") {
		body := strings.TrimLeft(line, " ")
		switch {
		case strings.HasPrefix(body, "@"):
			w.block(&out, line[:len(line)-len(body)], body[1:])
		case strings.HasPrefix(body, "}") && len(w.open) > 1:
			w.open = w.open[:len(w.open)-1]
			out.WriteString(line)
		default:
			out.WriteString(line)
		}
	}
	return strings.NewReplacer("{parts of track}", parts(TrackParts), "{parts of wiring}", parts(WiringParts),
		"{limits}", limits()).Replace(out.String())
}

type describer struct {
	said map[string]bool
	open []*Block // the blocks that are open, the file first
}

// commentColumn is where what is said about a line begins.
const commentColumn = 49

func (w *describer) block(out *strings.Builder, indent, line string) {
	words := fields(strings.TrimSpace(line))
	left := words[len(words)-1] == "{"
	if left {
		words = words[:len(words)-1]
	}
	b := w.open[len(w.open)-1]
	if words[0] != "top" {
		b = b.Block(words[0])
	}
	head := words[0]
	n := 1
	for ; n < len(words) && strings.HasPrefix(words[n], `"`); n++ {
		head += " " + words[n]
	}
	attrs := words[n:]
	if words[0] == "top" {
		w.attrs(out, indent, b, attrs)
		return
	}
	if len(attrs) == 1 && !left {
		a, value := attr(b, attrs[0])
		comment(out, indent+head+" { "+a.Name+" = "+value+" }", w.first(b.Name+" block", b.Help))
		return
	}
	comment(out, indent+head+" {", w.first(b.Name+" block", b.Help))
	w.attrs(out, indent+"  ", b, attrs)
	if left {
		w.open = append(w.open, b)
		return
	}
	out.WriteString(indent + "}\n")
}

func (w *describer) attrs(out *strings.Builder, indent string, b *Block, attrs []string) {
	wide := 0
	for _, s := range attrs {
		a, _ := attr(b, s)
		wide = max(wide, len(a.Name))
	}
	for _, s := range attrs {
		a, value := attr(b, s)
		comment(out, fmt.Sprintf("%s%-*s = %s", indent, wide, a.Name, value), w.first(b.Name+" "+a.Name, a.says(value)))
	}
}

// attr is an attribute as a line names it: "volts", or "volts=14".
func attr(b *Block, s string) (*Attr, string) {
	name, value, own := strings.Cut(s, "=")
	a := b.Attr(name)
	if !own {
		value = a.Shown
	}
	return a, value
}

// first is what is said about a thing where it stands first.
func (w *describer) first(key, help string) string {
	if w.said[key] {
		return ""
	}
	w.said[key] = true
	return help
}

func comment(out *strings.Builder, line, says string) {
	if says != "" {
		line = fmt.Sprintf("%-*s # %s", commentColumn-1, line, says)
	}
	out.WriteString(line + "\n")
}

// says is what the table knows of an attribute whose value is shown.
func (a *Attr) says(value string) string {
	s := a.Help
	if a.Kind == Word {
		var others []string
		for _, word := range a.Words {
			if q := `"` + word + `"`; q != value && !strings.Contains(s, word) {
				others = append(others, q)
			}
		}
		s = join("or "+strings.Join(others, ", "), s, len(others) > 0)
	}
	if (a.Kind == Number || a.Kind == Whole) && a.Hi < 1e5 && (a.Lo == 0 || a.Lo > 1e-4) {
		s = join(s, fmt.Sprintf("%g to %g", a.Lo, a.Hi), s != "")
	}
	return s
}

func join(a, b string, first bool) string {
	switch {
	case !first:
		return b
	case b == "":
		return a
	}
	return a + "; " + b
}

// fields cuts a line at spaces that stand in no quotes and no brackets.
func fields(line string) []string {
	var out []string
	depth, quoted, from := 0, false, 0
	for i, c := range line + " " {
		switch {
		case c == '"':
			quoted = !quoted
		case c == '[':
			depth++
		case c == ']':
			depth--
		case c == ' ' && !quoted && depth == 0:
			if i > from {
				out = append(out, line[from:i])
			}
			from = i + 1
		}
	}
	return out
}

func parts(list []Part) string {
	var out []string
	for _, p := range list {
		out = append(out, fmt.Sprintf("%s (%s)", p.Name, strings.Join(p.Modes, ", ")))
	}
	return strings.Join(out, ", ")
}

func limits() string {
	return fmt.Sprintf("1 MiB, %s pieces, %s of one text, %d runs, %s blocks of any other kind, names of %d "+
		"characters, texts of %s bytes",
		thousands(MaxPieces), thousands(MaxRepeat), MaxRuns, thousands(MaxBlocks), MaxName, thousands(MaxText))
}

func thousands(n int) string {
	s := strconv.Itoa(n)
	if len(s) > 3 {
		s = s[:len(s)-3] + "," + s[len(s)-3:]
	}
	return s
}
