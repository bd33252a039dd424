package main

import (
	"fmt"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"fishplate/diagnose/report"
)

func (w commands) reportCommand() *cobra.Command {
	var form, out string
	var plain bool
	c := w.does(&cobra.Command{
		Use:     "report LAYOUT [RECORD]",
		Short:   "one page on a hunt, to keep, send or print",
		Long:    "Writes the page of a hunt, the newest where no record is named, with the map drawn in it.",
		Example: "fishplate report shelf.hcl -o fault.html\nfishplate report shelf.hcl 2 --format md",
	}, func(words []string) int { return w.report(words, form, out, plain) })
	c.Flags().BoolVar(&plain, "plain", false, "as plain lines, without the map: screen readers")
	c.Flags().StringVar(&form, "format", "", "`FORM` is md or html")
	c.Flags().StringVarP(&out, "output", "o", "", "write it to `FILE`; its ending tells the form")
	offer(c, "format", choices("md", "html"))
	return w.onLayout(c, true)
}

// report writes the report of a hunt.
func (w *world) report(words []string, form, out string, plain bool) int {
	if plain && form != "" {
		return w.usage("--plain is a form of its own: leave --format out", "")
	}
	if err := reportWords(words, &out, &form); err != nil {
		return w.usage(err.Error(), "")
	}
	a, err := w.archive(words[0])
	if err != nil {
		return w.refused(err)
	}
	word := "1"
	if len(words) == 2 {
		word = words[1]
	}
	e, err := a.find(word)
	if err != nil {
		return w.fail(err)
	}
	r, err := a.open(e)
	if err != nil {
		return w.fail(err)
	}
	text, err := "", error(nil)
	if plain {
		form = "text"
		text, err = w.sheet(r.Page(), form, out != "" && out != stdinName)
	} else {
		text, err = rendered(r, form)
	}
	if err != nil {
		return w.fail(err)
	}
	if out == stdinName {
		out = ""
	}
	return w.deliver(text, form, out, "The report is in %s")
}

// reportWords checks the command line and finds the form out.
func reportWords(words []string, out, form *string) error {
	switch {
	case len(words) == 0:
		return fmt.Errorf("name the layout whose hunt is to be reported")
	case len(words) > 2:
		return fmt.Errorf("one report at a time: %s came behind %s", words[2], words[1])
	}
	given, err := formOf(*form, *out, "md")
	if err != nil {
		return err
	}
	*form = given
	return nil
}

func rendered(r *report.Report, form string) (string, error) {
	if form == "html" {
		return r.HTML()
	}
	return r.Markdown(), nil
}

// export writes a report beside the layout (the demo's: in the folder one is
// in) under a name of its own, and says where. A report from before under that
// name is replaced: it is of the same hunt.
func (a *archive) export(e *entry, form string) (string, error) {
	r, err := a.open(e)
	if err != nil {
		return "", err
	}
	text, err := rendered(r, form)
	if err != nil {
		return "", err
	}
	base := a.src.name
	if a.src.demo {
		base = "demo"
	}
	path := base + "." + e.id + "." + form
	if err := writeShown(text, form, path); err != nil {
		return "", err
	}
	if here, err := os.Getwd(); err == nil && !filepath.IsAbs(path) {
		return filepath.Join(here, path), nil
	}
	return path, nil
}
