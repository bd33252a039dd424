package debrief

import (
	"fmt"
	"html"
	"strings"

	"fishplate/diagnose/drill/coach"
)

// sheetColumns are the columns of the class sheet.
var sheetColumns = []string{"date", "name", "drill", "symptom", "minutes", "program", "halving", "readings", "lifts",
	"wrong", "stopped", "result", "habits to work on"}

func (r *Record) row() []string {
	return []string{r.Date, r.Name, r.what(), r.Symptom, fmt.Sprintf("%.1f", r.Minutes), orDash(r.Program),
		orDash(r.Halving),
		fmt.Sprint(r.Readings), fmt.Sprint(r.Lifts), fmt.Sprint(r.Wrong), fmt.Sprint(r.Stops), r.result(),
		strings.Join(words(r.Habits), ", ")}
}

func words(habits []string) []string {
	var out []string
	for _, h := range habits {
		out = append(out, coach.Habit(h).Words())
	}
	return out
}

const sheetTitle = "Drill: class sheet"

// Markdown is the class sheet as Markdown.
func Markdown(list []Record) string {
	var b strings.Builder
	b.WriteString("# " + sheetTitle + "\n\n")
	bar := func(cells []string) {
		for i := range cells {
			cells[i] = plainMarkdown(cells[i])
		}
		b.WriteString("| " + strings.Join(cells, " | ") + " |\n")
	}
	bar(append([]string(nil), sheetColumns...))
	b.WriteString("|" + strings.Repeat("---|", len(sheetColumns)) + "\n")
	for i := range list {
		bar(list[i].row())
	}
	b.WriteString("\n## Time lines\n\n" + Key() + "; each is as long as the slowest of its three hunts.\n\n")
	for i := range list {
		fmt.Fprintf(&b, "    %2d  %s\n", i+1, list[i].Strip)
	}
	if t := trends(list); len(t) > 0 {
		b.WriteString("\n## Over time\n\n")
		for _, l := range t {
			if l != "" {
				b.WriteString(plainMarkdown(l) + "\n\n")
			}
		}
	}
	return b.String()
}

// plainMarkdown escapes everything that Markdown would set otherwise (CommonMark
// 0.31, 2.4): names come from anywhere.
func plainMarkdown(s string) string {
	var b strings.Builder
	for i, r := range s {
		if strings.ContainsRune("\\`*_[]<>|#~&!$", r) || (i == 0 && strings.ContainsRune("+-=", r)) {
			b.WriteByte('\\')
		}
		b.WriteRune(r)
	}
	return b.String()
}

const sheetStyle = `body{font:14px/1.4 ` +
	`sans-serif;margin:2em;color:#111;background:#fff}table{border-collapse:collapse}td,th{border:1px solid ` +
	`#999;padding:.2em .5em;text-align:left;vertical-align:top}th{background:#eee}pre{font-size:12px}@media ` +
	`print{body{margin:0;font-size:11px}}`

// HTML is the class sheet as one page that needs nothing else.
func HTML(list []Record) string {
	var b strings.Builder
	e := html.EscapeString
	fmt.Fprintf(&b, "<!doctype html>\n<html lang=\"en\"><head><meta "+
		"charset=\"utf-8\"><title>%s</title><style>%s</style></head><body>\n<h1>%s</h1>\n<table><thead><tr>",
		sheetTitle, sheetStyle, sheetTitle)
	for _, c := range sheetColumns {
		b.WriteString("<th>" + e(c) + "</th>")
	}
	b.WriteString("</tr></thead><tbody>\n")
	for i := range list {
		b.WriteString("<tr>")
		for _, c := range list[i].row() {
			b.WriteString("<td>" + e(c) + "</td>")
		}
		b.WriteString("</tr>\n")
	}
	b.WriteString("</tbody></table>\n<h2>Time lines</h2>\n<p>" + e(Key()) +
		"; each is as long as the slowest of its three hunts.</p>\n<pre>")
	for i := range list {
		fmt.Fprintf(&b, "%2d  %s\n", i+1, e(list[i].Strip))
	}
	b.WriteString("</pre>\n")
	for _, l := range trends(list) {
		if l != "" {
			b.WriteString("<p>" + e(l) + "</p>\n")
		}
	}
	b.WriteString("</body></html>\n")
	return b.String()
}
