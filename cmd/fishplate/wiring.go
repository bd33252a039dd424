package main

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	pages "fishplate/diagnose/page"
	"fishplate/diagnose/wiring"
)

// wiringArgs is a wiring plan as asked for.
type wiringArgs struct {
	drop, amps string
	form, file string
	json       bool
}

func (w commands) wiringCommand() *cobra.Command {
	a := wiringArgs{}
	c := w.does(&cobra.Command{
		Use:   "wiring LAYOUT",
		Short: "every wire with its labels, what to buy, feeders for the far end",
		Long: "Lists every wire with its length, size and what stands before it, a label for both of its ends, what hangs on each terminal, " +
			"what to buy, and the feeders with the least copper that hold the volts at the far end.",
		Example: "fishplate wiring demo\nfishplate wiring shelf.hcl --drop 0.5 -o wires.html",
	}, func(words []string) int { return w.wiring(&a, words) })
	fs := c.Flags()
	fs.StringVar(&a.drop, "drop", "", "the most `VOLTS` that may be lost on the way to a train (else 5 % of the supply's)")
	fs.StringVar(&a.amps, "train-amps", "", "`AMPS` of the train (else as for check)")
	fs.StringVar(&a.form, "format", "", "`FORM` is text, md or html (prints on A4 or letter)")
	fs.StringVarP(&a.file, "output", "o", "", "write it to `FILE`; its ending tells the form")
	fs.BoolVar(&a.json, "json", false, "for programs")
	offer(c, "drop", cobra.NoFileCompletions)
	offer(c, "train-amps", cobra.NoFileCompletions)
	offer(c, "format", choices("text", "md", "html"))
	return w.onLayout(c, false)
}

// wiring prints the wires of a layout.
func (w *world) wiring(a *wiringArgs, words []string) int {
	name, err := one(words, "")
	if err != nil {
		return w.usage(err.Error(), "")
	}
	o, err := a.options()
	if err != nil {
		return w.usage(err.Error(), "")
	}
	form, err := formOf(a.form, a.file)
	if err != nil {
		return w.usage(err.Error(), "")
	}
	src, err := w.load(name)
	if err != nil {
		return w.refused(err)
	}
	plan, err := wiring.Make(src.layout, o)
	if err != nil {
		return w.fail(err)
	}
	if a.json {
		if err := encode(w.programs(), plan); err != nil {
			return w.fail(err)
		}
		return exitOK
	}
	text, err := w.sheet(plan.Page(src.layout), form, a.file != "")
	if err != nil {
		return w.fail(err)
	}
	return w.deliver(text, form, a.file, "wrote %s")
}

// mostDrop is the largest drop that can be asked for, volts.
const mostDrop = 20.0

func (a *wiringArgs) options() (o wiring.Options, err error) {
	if a.amps != "" {
		if o.TrainAmps, err = trainAmps(a.amps); err != nil {
			return o, err
		}
	}
	if a.drop == "" {
		return o, nil
	}
	v := strings.TrimSpace(strings.TrimRight(strings.TrimSpace(a.drop), "vV"))
	o.Drop, err = strconv.ParseFloat(strings.Replace(v, ",", ".", 1), 64)
	if err != nil || !(o.Drop >= 0.05 && o.Drop <= mostDrop) {
		return o, fmt.Errorf("--drop %q: write volts from 0.05 to %g, as 0.5", a.drop, mostDrop)
	}
	return o, nil
}

// formOf is how a page is set: as asked for, else by the file's name.
func formOf(form, file string) (string, error) {
	if form == "" {
		switch strings.ToLower(filepath.Ext(file)) {
		case ".html", ".htm":
			return "html", nil
		case ".md":
			return "md", nil
		}
		return "text", nil
	}
	switch form {
	case "text", "md", "html":
		return form, nil
	}
	return "", fmt.Errorf("--format %s is none of text, md, html", form)
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
	b := paper{width: w.checkWidth()}
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
	return b.String(), nil
}
