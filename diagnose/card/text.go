package card

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

const textWidth = 96 // columns of the plain text

// Text sets a sheet as plain text, at most 96 columns wide.
func (s *Sheet) Text() string {
	t := &setter{}
	t.line(s.Title)
	t.line(strings.Repeat("=", utf8.RuneCountInString(s.Title)))
	t.paragraphs("", s.About)
	t.line("")
	t.line("BEFORE YOU START")
	t.paragraphs("- ", s.Before)
	for _, l := range s.Lamp {
		t.line(l)
	}
	for i := range s.Boxes {
		t.box(&s.Boxes[i], s.Off)
	}
	t.line("")
	t.line("WHAT TO LOOK FOR (" + s.Safe + ")")
	t.paragraphs("", s.Notes)
	t.line("")
	t.line("AFTER")
	t.paragraphs("- ", s.After)
	return t.b.String()
}

type setter struct{ b strings.Builder }

func (t *setter) line(s string) { t.b.WriteString(s + "\n") }

func (t *setter) paragraphs(lead string, list []string) {
	for _, p := range list {
		t.wrap(lead, p)
	}
}

// wrap sets a text behind a lead, later lines under its beginning.
func (t *setter) wrap(lead, text string) {
	indent := strings.Repeat(" ", utf8.RuneCountInString(lead))
	line, width := lead, utf8.RuneCountInString(lead)
	empty := true
	for _, w := range strings.Fields(text) {
		n := utf8.RuneCountInString(w)
		if !empty && width+1+n > textWidth {
			t.line(line)
			line, width, empty = indent, len(indent), true
		}
		if !empty {
			line, width = line+" ", width+1
		}
		line, width, empty = line+w, width+n, false
	}
	t.line(strings.TrimRight(line, " "))
}

func (t *setter) box(b *SheetBox, off string) {
	t.line("")
	t.line(fmt.Sprintf("BOX %d  (%s)", b.N, b.Head))
	for _, c := range b.Cautions {
		t.wrap("  ! ", c)
	}
	for i, s := range b.Steps {
		t.wrap(fmt.Sprintf("  %d. ", i+1), s)
	}
	if b.State != "" {
		t.wrap("  ", "Meanwhile "+b.State)
	}
	t.wrap("  Dial:  ", b.Dial)
	t.wrap("  Red:   ", b.Red)
	t.wrap("  Black: ", b.Black)
	if b.Divide != "" {
		t.line("  " + b.Divide + ": ______ / ______ = ______")
	} else {
		t.line("  It shows: ______")
	}
	wide := 0
	for _, r := range b.Rows {
		wide = max(wide, utf8.RuneCountInString(r.Shows))
	}
	for _, r := range b.Rows {
		lead := fmt.Sprintf("    %-*s  ", wide, r.Shows)
		if r.Box > 0 {
			t.line(lead + fmt.Sprintf("-> BOX %d", r.Box))
		} else {
			t.wrap(lead+"-> ", off+", look at "+r.List)
		}
	}
}

// Markdown sets a sheet as Markdown.
func (s *Sheet) Markdown() string {
	var b strings.Builder
	list := func(title string, items []string) {
		b.WriteString("\n## " + title + "\n\n")
		for _, x := range items {
			b.WriteString("- " + escape(x) + "\n")
		}
	}
	b.WriteString("# " + escape(s.Title) + "\n")
	for _, x := range s.About {
		b.WriteString("\n" + escape(x) + "\n")
	}
	list("Before you start", s.Before)
	if len(s.Lamp) > 0 { // drawn in a block of code: names in it are shown as they are
		b.WriteString("\n```\n" + strings.ReplaceAll(strings.Join(s.Lamp, "\n"), "`", "'") + "\n```\n")
	}
	for i := range s.Boxes {
		markdownBox(&b, &s.Boxes[i], s.Off)
	}
	list("What to look for ("+s.Safe+")", s.Notes)
	list("After", s.After)
	return b.String()
}

func markdownBox(b *strings.Builder, x *SheetBox, off string) {
	fmt.Fprintf(b, "\n## Box %d (%s)\n\n", x.N, x.Head)
	for _, c := range x.Cautions {
		b.WriteString("> **Caution.** " + escape(c) + "\n\n")
	}
	for i, s := range x.Steps {
		fmt.Fprintf(b, "%d. %s\n", i+1, escape(s))
	}
	if len(x.Steps) > 0 {
		b.WriteString("\n")
	}
	if x.State != "" {
		b.WriteString("Meanwhile " + escape(x.State) + ".\n\n")
	}
	fmt.Fprintf(b, "- Dial: %s\n- Red: %s\n- Black: %s\n\n", escape(x.Dial), escape(x.Red), escape(x.Black))
	head := "It shows"
	if x.Divide != "" {
		head = x.Divide
	}
	fmt.Fprintf(b, "| %s | then |\n|---|---|\n", escape(head))
	for _, r := range x.Rows {
		then := off + ", look at " + escape(r.List)
		if r.Box > 0 {
			then = fmt.Sprintf("**box %d**", r.Box)
		}
		fmt.Fprintf(b, "| %s | %s |\n", escape(r.Shows), then)
	}
}

// escape keeps names that the user chose from being read as Markdown or HTML.
func escape(s string) string {
	var b strings.Builder
	for _, r := range s {
		if strings.ContainsRune("\\`*_[]<>#|&~", r) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return strings.Join(strings.Fields(b.String()), " ")
}
