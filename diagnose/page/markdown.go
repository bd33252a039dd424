package page

import "strings"

// Markdown gives the page as Markdown (CommonMark with tables and task lists,
// extensions that most programs have). What users typed cannot become markup.
func (p *Page) Markdown() string {
	var b strings.Builder
	b.WriteString("# " + md(p.Title) + "\n")
	for i := range p.Blocks {
		markBlock(&b, &p.Blocks[i])
	}
	return b.String()
}

func markBlock(b *strings.Builder, k *Block) {
	if k.Title != "" {
		b.WriteString("\n## " + md(k.Title) + "\n")
	}
	if len(k.Lines) > 0 {
		b.WriteString("\n| | |\n|---|---|\n")
		for _, l := range k.Lines {
			b.WriteString("| **" + md(l.Label) + "** | " + md(l.Text) + " |\n")
		}
	}
	if len(k.Rows) > 0 {
		b.WriteString("\n| " + strings.Join(cells(k.Head), " | ") + " |\n|" + strings.Repeat("---|", len(k.Head)) +
			"\n")
		for _, row := range k.Rows {
			b.WriteString("| " + strings.Join(cells(row), " | ") + " |\n")
		}
	}
	if len(k.List) > 0 {
		b.WriteString("\n")
		for _, s := range k.List {
			b.WriteString("- " + md(s) + "\n")
		}
	}
	if len(k.Ticks) > 0 {
		b.WriteString("\n")
		for _, t := range k.Ticks {
			b.WriteString("- " + t.Box() + " " + md(t.Text) + "\n")
		}
	}
	if k.Figure != nil && k.Figure.Text != "" {
		b.WriteString("\n```text\n" + fenced(k.Figure.Text) + "\n```\n")
	}
}

func cells(row []string) []string {
	out := make([]string, len(row))
	for i, s := range row {
		out[i] = md(s)
	}
	return out
}

// md escapes text for Markdown: CommonMark 0.31, section 2.4, lets a backslash
// stand before every ASCII punctuation character. Only those that can begin
// something are escaped, so that the source stays readable.
func md(s string) string {
	var b strings.Builder
	for i, r := range OneLine(s) {
		if strings.ContainsRune("\\`*_[]<>|#~&!$", r) || (i == 0 && strings.ContainsRune("+-=", r)) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

// fenced keeps a text from ending its own fence.
func fenced(s string) string {
	return strings.ReplaceAll(strings.TrimRight(s, "\n"), "```", "'''")
}
