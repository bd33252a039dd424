package layoutfile

import (
	"fmt"
	"io"
	"sort"
	"strings"

	"fishplate/diagnose/outside"
	"fishplate/layoutfile/sheet"
)

// Range is a stretch of the file, for people: lines and columns count from 1,
// columns count characters as they are seen (grapheme clusters), and the end
// column is the first one behind the stretch.
type Range struct {
	Line, Column       int
	EndLine, EndColumn int
}

// Place is another spot of the file that has to do with a problem.
type Place struct {
	Range
	Text string // the line of the file
	Why  string // what is there: "the first \"W1\" is here"
}

// Problem is one mistake in a layout file, or one warning about it.
type Problem struct {
	Warning bool   // the layout can be used all the same
	Summary string // what is wrong, lower case, no full stop
	Fix     string // what to write instead, or empty
	Range   Range
	Line    string // the line of the file that Range starts in
	Others  []Place
	// Block is the block at the top of the file that Range lies in, by its
	// index, and Row the row of a run's pieces; -1 for none.
	Block, Row int
}

// Problems is what Read found, in the order of the file. Empty is good.
type Problems []Problem

// Errors says whether any of the problems makes the layout unusable.
func (p Problems) Errors() bool {
	for i := range p {
		if !p[i].Warning {
			return true
		}
	}
	return false
}

// Error gives the first mistake on one line, so that Problems can travel as an
// error.
func (p Problems) Error() string {
	if len(p) == 0 {
		return "no problems"
	}
	s := fmt.Sprintf("line %d, column %d: %s", p[0].Range.Line, p[0].Range.Column, p[0].Summary)
	if len(p) > 1 {
		s += fmt.Sprintf(" (and %d more)", len(p)-1)
	}
	return s
}

func (p Problems) sorted() Problems {
	sort.SliceStable(p, func(i, j int) bool {
		a, b := p[i].Range, p[j].Range
		if a.Line != b.Line {
			return a.Line < b.Line
		}
		return a.Column < b.Column
	})
	return p
}

// The colours of Render, by the sixteen that every terminal has.
const (
	inkOff     = "\x1b[0m"
	inkBold    = "\x1b[1m"
	inkProblem = "\x1b[31m"
	inkWarning = "\x1b[33m"
)

// Render writes every problem for a person: file:line:column and what is
// wrong, the line itself with the spot underlined, what to write instead, and
// the other places involved. name is the file's name as it should be shown;
// width is the number of columns to keep within (0: no limit).
func (p Problems) Render(w io.Writer, name string, width int, colour bool) error {
	pr := &printer{w: w, name: name, width: width, colour: colour}
	for i := range p {
		if i > 0 {
			pr.line("")
		}
		pr.problem(&p[i])
	}
	return pr.err
}

type printer struct {
	w      io.Writer
	name   string
	width  int
	colour bool
	err    error
	// The characters of the line shown last: a file may have all its mistakes
	// on one very long line.
	cellsOf int
	cells   []string
}

func (pr *printer) line(s string) {
	if pr.err == nil {
		_, pr.err = io.WriteString(pr.w, s+"\n")
	}
}

func (pr *printer) ink(code, s string) string {
	if !pr.colour || s == "" {
		return s
	}
	return code + s + inkOff
}

func (pr *printer) problem(p *Problem) {
	code, word := inkProblem, ""
	if p.Warning {
		code, word = inkWarning, "warning: "
	}
	head := fmt.Sprintf("%s:%d:%d: %s%s", pr.name, p.Range.Line, p.Range.Column, word, p.Summary)
	for i, s := range wrap(head, pr.width, "  ") {
		if i == 0 {
			s = pr.ink(inkBold, s)
		}
		pr.line(s)
	}
	pr.excerpt(p.Range, p.Line, code)
	if p.Fix != "" {
		for _, s := range wrap("  = "+p.Fix, pr.width, "    ") {
			pr.line(s)
		}
	}
	for _, o := range p.Others {
		for _, s := range wrap(fmt.Sprintf("  see %s:%d:%d: %s", pr.name, o.Line, o.Column, o.Why), pr.width, "    ") {
			pr.line(s)
		}
		pr.excerpt(o.Range, o.Text, inkBold)
	}
}

// widest is the most of a line that is shown where no width is asked for.
const widest = 400

// excerpt shows the line and underlines the stretch; a line that is too long
// for the width is cut on both sides so that the stretch stays in sight.
func (pr *printer) excerpt(r Range, text, code string) {
	if pr.cellsOf != r.Line {
		pr.cellsOf, pr.cells = r.Line, sheet.Graphemes(strings.ReplaceAll(text, "\t", " "))
	}
	cells := pr.cells
	from, to := r.Column-1, r.EndColumn-1
	if r.EndLine != r.Line {
		to = len(cells)
	}
	from = min(max(from, 0), len(cells))
	to = max(min(to, len(cells)), from)
	margin := fmt.Sprintf("%5d | ", r.Line)
	first, last := 0, len(cells)
	room := pr.width - len(margin)
	if pr.width == 0 && len(cells) > widest {
		room = widest // nobody reads a line of a megabyte
	}
	if len(cells) > room && room > 10 {
		first = max(0, min(from-room/3, len(cells)-room))
		last = first + room
	}
	to = min(to, last)
	pr.line(strings.TrimRight(margin+visible(cells[first:last]), " "))
	mark := "^"
	if to-from > 1 {
		mark = strings.Repeat("^", to-from)
	}
	pr.line("      | " + strings.Repeat(" ", from-first) + pr.ink(code, mark))
}

// visible replaces control characters, so that a file cannot steer the
// terminal through our own message.
func visible(cells []string) string {
	var b strings.Builder
	for _, c := range cells {
		if c[0] < 0x20 || c[0] == 0x7f || (len(c) == 2 && c[0] == 0xc2 && c[1] < 0xa0) {
			c = "?"
		}
		b.WriteString(outside.Show(c, outside.Marked)) // marks without a width of their own
	}
	return b.String()
}

// wrap breaks text at spaces; the lines after the first start with indent.
func wrap(s string, width int, indent string) []string {
	s = visible(sheet.Graphemes(s))
	if width < 20 || sheet.Columns(s) <= width {
		return []string{s}
	}
	var out []string
	lead := s[:len(s)-len(strings.TrimLeft(s, " "))]
	line := ""
	for _, word := range strings.Fields(s) {
		switch {
		case line == "":
			line = lead + word
		case sheet.Columns(line)+1+sheet.Columns(word) > width:
			out = append(out, line)
			line = indent + word
		default:
			line += " " + word
		}
	}
	return append(out, line)
}
