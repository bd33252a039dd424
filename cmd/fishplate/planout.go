package main

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	pages "fishplate/diagnose/page"
)

// planOut is where a plan goes, and how it is set.
type planOut struct {
	form, file string
	json       bool
}

func (o *planOut) flags(c *cobra.Command) {
	fs := c.Flags()
	fs.StringVar(&o.form, "format", "", "`FORM` is text, md or html (prints on A4 or letter)")
	fs.StringVarP(&o.file, "output", "o", "", "write it to `FILE`; its ending tells the form")
	fs.BoolVar(&o.json, "json", false, "for programs")
	offer(c, "format", choices("text", "md", "html"))
}

// settle finds the form out where none was asked for.
func (o *planOut) settle() (err error) {
	o.form, err = formOf(o.form, o.file, "text")
	return err
}

// plan prints a plan for programs, or its page for people.
func (w *world) plan(o *planOut, plan any, paged func() *pages.Page) int {
	if o.json {
		if err := encode(w.programs(), plan); err != nil {
			return w.fail(err)
		}
		return exitOK
	}
	text, err := w.sheet(paged(), o.form, o.file != "")
	if err != nil {
		return w.fail(err)
	}
	return w.deliver(text, o.form, o.file, "wrote %s")
}

// formOf is how a page is set: as asked for, else by the file's name; plain is the form
// of lines that are no page of a browser.
func formOf(form, file, plain string) (string, error) {
	if form != "" {
		if form = strings.ToLower(form); form == "html" || form == "md" || form == plain {
			return form, nil
		}
		return "", fmt.Errorf("--format %s is none of %s", form, formsWith(plain))
	}
	switch ext := strings.ToLower(filepath.Ext(file)); ext {
	case ".html", ".htm":
		return "html", nil
	case ".md":
		return "md", nil
	case ".pdf", ".svg", ".png", ".doc", ".docx", ".odt", ".rtf", ".csv", ".json", ".hcl":
		return "", fmt.Errorf("%s: a page is no %s; end its name in .html (a browser prints it, or saves it as PDF) "+
			"or .md", file, ext)
	}
	return plain, nil
}

// formsWith names the forms of a page.
func formsWith(plain string) string {
	if plain == "md" {
		return "md, html"
	}
	return plain + ", md, html"
}

// sheet sets a page; plain lines are wrapped for the screen, and not in a file.
func (w *world) sheet(p *pages.Page, form string, filed bool) (string, error) {
	switch form {
	case "md":
		return p.Markdown(), nil
	case "html":
		return p.HTML()
	}
	lines := p.Text()
	if filed {
		return strings.Join(lines, "\n") + "\n", nil
	}
	return wrapped(lines, w.checkWidth()), nil
}

// wrapped sets the lines of a page in a width.
func wrapped(lines []string, width int) string {
	b := paper{width: width}
	for _, l := range lines {
		if strings.HasPrefix(l, " ") || l == "" {
			b.WriteString(l + "\n") // a line of a file stands as it is
			continue
		}
		prefix := ""
		for _, mark := range []string{"- ", "[ ] ", "[x] "} {
			if strings.HasPrefix(l, mark) {
				prefix = mark
			}
		}
		b.para(prefix, strings.TrimPrefix(l, prefix))
	}
	return b.String()
}
