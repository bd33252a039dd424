package report

import (
	"fmt"
	"strings"
	"time"

	"fishplate/diagnose/unit"
)

// Page is a report as blocks of text: what Markdown, HTML and plain lines are
// all made from, so that they say the same.
type Page struct {
	Title  string
	Blocks []Block
}

// Block is one block of a page: lines with a label, a table, or a list. What
// is empty is left out.
type Block struct {
	Title string
	Lines []Line
	Head  []string
	Rows  [][]string
	List  []string
}

// Line is one line with its label.
type Line struct{ Label, Text string }

func (b *Block) add(label, text string) {
	if text != "" {
		b.Lines = append(b.Lines, Line{label, text})
	}
}

// Page lays the report out.
func (r *Report) Page() *Page {
	p := &Page{Title: r.Heading()}
	p.put(r.summary())
	p.put(r.readings())
	p.put(r.outcome())
	p.put(Block{Title: "Still open", List: r.stillOpen()})
	notes := Block{Title: "Notes"}
	for _, n := range r.Notes {
		notes.List = append(notes.List, strings.TrimPrefix(Day(n.At)+": "+n.Text, ": "))
	}
	p.put(notes)
	return p
}

func (p *Page) put(b Block) {
	if len(b.Lines)+len(b.Rows)+len(b.List) > 0 {
		p.Blocks = append(p.Blocks, b)
	}
}

// Heading is the title of a report.
func (r *Report) Heading() string {
	s := "Fault record: " + r.Layout
	if r.Name != "" {
		s += ", " + r.Name
	}
	return s
}

func (r *Report) summary() Block {
	b := Block{}
	b.add("Record", r.ID)
	b.add("Date", span(r.Began, r.Ended))
	b.add("Found by", r.Finder)
	b.add("Layout", r.Build)
	b.add("Layout file", joined(r.File, stamp(r.Stamp), when("changed ", r.Modified)))
	b.add("Last thing changed", r.Changed)
	at := ""
	if r.At != "" {
		at = "shows at " + r.At
	}
	b.add("Symptom", joined(r.Symptom, at))
	b.add("Supply", strings.Join(r.Supplies, "; "))
	b.add("Meter", r.Meter)
	b.add("Leads", r.Leads)
	b.add("Conditions", r.Conditions)
	b.add("State", string(r.State))
	return b
}

func (r *Report) readings() Block {
	b := Block{Title: "Readings", Head: []string{"", "From (red)", "To (black)", "Function", "Track", "Showed", "Said"}}
	for i := range r.Readings {
		x := &r.Readings[i]
		n := fmt.Sprint(x.N)
		if x.N == 0 {
			n = "-"
		}
		said := x.Said
		if x.Aside && said == "" {
			said = "put aside: from before a repair that was not enough"
		}
		if x.Odd {
			said = joined(said, "fits badly with the rest")
		}
		b.Rows = append(b.Rows, []string{n, x.Red, x.Black, x.Function, x.Loaded, x.Shown, said})
	}
	for i := range r.Proofs {
		p := &r.Proofs[i]
		b.Rows = append(b.Rows, []string{"proof", p.Red, p.Black, p.Function, p.Loaded, p.Shown, p.Said})
	}
	return b
}

func (r *Report) outcome() Block {
	b := Block{Title: "Outcome"}
	b.add("Verdict", r.Verdict)
	b.add("Bad piece", r.Piece)
	b.add("Cause", r.Cause)
	b.add("Looked at", r.lookedWords())
	b.add("Opened for readings", strings.Join(r.Lifted, ", "))
	b.add("Repair", r.Repair)
	b.add("Proof", r.proofWords())
	spent := "about " + unit.FormatMinutes(r.Minutes) + " as reckoned"
	if r.Spent >= 1 {
		spent = unit.FormatMinutes(r.Spent) + " by the clock, " + spent
	}
	b.add("Time spent", spent)
	b.add("Effort", count(len(r.Readings), "reading")+", "+count(r.Lifts, "lift")+" of pieces or joints")
	for i, c := range r.Suspects {
		b.List = append(b.List, fmt.Sprintf("suspect %d: %s, %s: %s", i+1, c.Piece, c.Share(), c.What))
	}
	if r.NotOnMap >= 0.05 && r.Piece == "" {
		b.List = append(b.List, fmt.Sprintf("nothing on the map explains it: %.0f %%", 100*r.NotOnMap))
	}
	return b
}

func (r *Report) lookedWords() string {
	var out []string
	for _, l := range r.Looked {
		if l.Bad {
			out = append(out, l.Piece+" (bad)")
		} else {
			out = append(out, l.Piece+" (good)")
		}
	}
	return strings.Join(out, ", ")
}

func (r *Report) proofWords() string {
	var out []string
	for i := range r.Proofs {
		p := &r.Proofs[i]
		was := "bad, taken again"
		if p.Good {
			was = "good"
		}
		out = append(out, fmt.Sprintf("%s, %s to %s: %s, %s", p.Function, p.Red, p.Black, p.Shown, was))
	}
	return strings.Join(out, "; ")
}

// stillOpen lists what whoever reads the record has still to do.
func (r *Report) stillOpen() []string {
	var out []string
	if r.Facts.Open != "" {
		out = append(out, r.Facts.Open)
	}
	switch r.State {
	case Open:
		out = append(out, "the fault is not found yet")
	case Found:
		out = append(out, "the repair is not proven whole: "+r.Verdict)
	case Ended:
		out = append(out, "no piece was found bad")
	}
	for _, s := range r.Skipped {
		out = append(out, "not taken: "+s)
	}
	return append(out, r.Warnings...)
}

// joined puts what is there between semicolons.
func joined(parts ...string) string {
	var out []string
	for _, p := range parts {
		if p != "" {
			out = append(out, p)
		}
	}
	return strings.Join(out, "; ")
}

func stamp(s string) string {
	if s == "" {
		return ""
	}
	return "state " + s
}

func when(word string, t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return word + Day(t)
}

// Day is a date and a time of day, to the minute; empty for the zero time.
func Day(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("2006-01-02 15:04")
}

// span says from when to when, the second date only when it is another one.
func span(a, b time.Time) string {
	switch {
	case a.IsZero():
		return Day(b)
	case b.IsZero() || b.Sub(a) < time.Minute:
		return Day(a)
	case a.Format(time.DateOnly) == b.Format(time.DateOnly):
		return Day(a) + " to " + b.Format("15:04")
	}
	return Day(a) + " to " + Day(b)
}

// Text gives the page as plain lines: no frames, and no columns that a screen
// reader would tear apart. Nothing is wrapped.
func (p *Page) Text() []string {
	out := []string{p.Title}
	for i := range p.Blocks {
		b := &p.Blocks[i]
		if b.Title != "" {
			out = append(out, "", b.Title)
		}
		for _, l := range b.Lines {
			out = append(out, l.Label+": "+l.Text)
		}
		for _, row := range b.Rows {
			out = append(out, RowText(row))
		}
		for _, s := range b.List {
			out = append(out, "- "+s)
		}
	}
	for i := range out {
		out[i] = oneLine(out[i])
	}
	return out
}

// RowText reads a row of the readings aloud.
func RowText(row []string) string {
	s := fmt.Sprintf("%s. %s, red %s, black %s, %s: %s", row[0], row[3], row[1], row[2], row[4], row[5])
	if row[6] != "" {
		s += ". " + row[6]
	}
	return s
}

// oneLine takes control characters out of what users typed.
func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || (r >= 0x7f && r < 0xa0) || (r >= 0x202a && r <= 0x202e) || (r >= 0x2066 && r <= 0x2069) {
			return ' '
		}
		return r
	}, s)
}
