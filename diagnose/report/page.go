package report

import (
	"fmt"
	"strings"
	"time"

	"fishplate/diagnose/page"
	"fishplate/diagnose/unit"
)

// Page lays the report out.
func (r *Report) Page() *page.Page {
	p := &page.Page{Title: r.Heading()}
	p.Put(r.summary())
	p.Put(r.readings())
	p.Put(r.outcome())
	p.Put(page.Block{Title: "Still open", List: r.stillOpen()})
	p.Put(page.Block{Title: "Before hands go to it", List: r.Cautions})
	notes := page.Block{Title: "Notes"}
	for _, n := range r.Notes {
		notes.List = append(notes.List, strings.TrimPrefix(Day(n.At)+": "+n.Text, ": "))
	}
	p.Put(notes)
	return p
}

// Heading is the title of a report.
func (r *Report) Heading() string {
	s := "Fault record: " + r.Layout
	if r.Name != "" {
		s += ", " + r.Name
	}
	return s
}

const mapCaption = "The thicker and darker a piece, the more it is suspected; the framed one was found bad. " +
	"Numbers in circles: where the red probe was for that reading. F marks a feeder."

func (r *Report) summary() page.Block {
	b := page.Block{}
	b.Add("Record", r.ID)
	b.Add("Date", span(r.Began, r.Ended))
	b.Add("Found by", r.Finder)
	b.Add("Layout", r.Build)
	b.Add("Layout file", joined(r.File, stamp(r.Stamp), when("changed ", r.Modified)))
	b.Add("Last thing changed", r.Changed)
	at := ""
	if r.At != "" {
		at = "shows at " + r.At
	}
	b.Add("Symptom", joined(r.Symptom, at))
	b.Add("Supply", strings.Join(r.Supplies, "; "))
	b.Add("Meter", r.Meter)
	b.Add("Leads", r.Leads)
	b.Add("Conditions", r.Conditions)
	b.Add("State", string(r.State))
	return b
}

func (r *Report) readings() page.Block {
	b := page.Block{Title: "Readings", Head: []string{"", "From (red)", "To (black)", "Function", "Track",
		"Showed", "Said"}}
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
	for _, row := range b.Rows {
		b.Aloud = append(b.Aloud, aloud(row))
	}
	return b
}

func (r *Report) outcome() page.Block {
	b := page.Block{Title: "Outcome"}
	b.Add("Verdict", r.Verdict)
	b.Add("Bad piece", r.Piece)
	b.Add("Likely cause", reckoned(r.Cause))
	b.Add("Looked at", r.lookedWords())
	b.Add("Opened for readings", strings.Join(r.Lifted, ", "))
	b.Add("Repair", r.Repair)
	b.Add("Proof", r.proofWords())
	spent := "about " + unit.FormatMinutes(r.Minutes) + " as reckoned"
	if r.Spent >= 1 {
		spent = unit.FormatMinutes(r.Spent) + " by the clock, " + spent
	}
	b.Add("Time spent", spent)
	b.Add("Effort", r.Counted+", "+unit.Count(r.Lifts, "lift")+" of pieces or joints")
	for i, c := range r.Suspects {
		b.List = append(b.List, fmt.Sprintf("suspect %d: %s, %s: %s", i+1, c.Title(), c.Share(), c.What))
	}
	if r.NotOnMap >= 0.05 && r.Piece == "" {
		b.List = append(b.List, fmt.Sprintf("nothing on the map explains it: %.0f %%", 100*r.NotOnMap))
	}
	return b
}

// reckoned marks a cause as what the readings make likeliest: what was seen stands
// in the repair, in the finder's own words.
func reckoned(cause string) string {
	if cause == "" {
		return ""
	}
	return cause + " (reckoned from the readings, not seen)"
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

// aloud reads a row of the readings.
func aloud(row []string) string {
	s := fmt.Sprintf("%s. %s, red %s, black %s, %s: %s", row[0], row[3], row[1], row[2], row[4], row[5])
	if row[6] != "" {
		s += ". " + row[6]
	}
	return s
}

// HTML gives the report as one HTML file with the map drawn in it, one sheet
// for a hunt of usual length.
func (r *Report) HTML() (string, error) { return r.pictured(r.Map(), "").HTML() }

// Markdown gives the report as Markdown, with the map in characters.
func (r *Report) Markdown() string { return r.pictured("", r.MapText).Markdown() }

// pictured is the page with the map below its summary.
func (r *Report) pictured(svg, text string) *page.Page {
	p := r.Page()
	p.Blocks[0].Figure = &page.Figure{SVG: svg, Text: text, Caption: mapCaption}
	return p
}
