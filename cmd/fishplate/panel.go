package main

import (
	"bytes"
	"fmt"
	"os"
	"strings"

	"github.com/spf13/cobra"

	pages "fishplate/diagnose/page"
	"fishplate/diagnose/panel"
	"fishplate/diagnose/unit"
	"fishplate/layoutfile"
)

// panelArgs is a panel as asked for.
type panelArgs struct {
	pairs int
	ends  bool
	write bool
	plain bool
	look  *look
	planOut
}

func (w commands) panelCommand() *cobra.Command {
	a := panelArgs{}
	c := w.does(&cobra.Command{
		Use:   "panel LAYOUT",
		Short: "where thin wires make faults readable without kneeling",
		Long: "Says where to solder pairs of thin wires, to be brought to one labelled block, so that readings at the block alone say most of what is wrong; " +
			"what each further pair is worth, and where it is worth nothing. It prints the labels, and the terminal lines for the layout's file: " +
			"with them hunts and health checks read at the block first. --write puts them there. At a terminal it is shown with the map, and leads through the joining.",
		Example: "fishplate panel demo\nfishplate panel shelf.hcl --wires 2 --write -o panel.html",
	}, func(words []string) int { return w.panel(&a, words) })
	fs := c.Flags()
	fs.IntVar(&a.pairs, "wires", 0, "`N` pairs of wires (else as many as are worth it)")
	fs.BoolVar(&a.ends, "feeder-ends", false, "where each feeder meets the track can be read without kneeling too")
	fs.BoolVar(&a.write, "write", false, "put the terminals into the layout's file")
	fs.BoolVar(&a.plain, "plain", false, "print it, at a terminal too")
	a.flags(c)
	a.look = lookFlags(fs).readings(fs)
	offer(c, "wires", cobra.NoFileCompletions)
	return w.onLayout(c, false)
}

// panel prints where to solder thin wires.
func (w *world) panel(a *panelArgs, words []string) int {
	name, err := one(words, "")
	if err != nil {
		return w.usage(err.Error(), "")
	}
	if a.pairs < 0 || a.pairs > panel.Most {
		return w.usage(fmt.Sprintf("--wires %d: write 1 to %d pairs", a.pairs, panel.Most), "")
	}
	asked := a.form != "" || a.file != ""
	if err := a.settle(); err != nil {
		return w.usage(err.Error(), "")
	}
	if a.write && (name == demoName || name == stdinName) {
		return w.usage("--write wants a layout file of yours; the demo as one: fishplate format demo > mine.hcl", "fishplate panel mine.hcl --write")
	}
	src, err := w.load(name)
	if err != nil {
		return w.refused(err)
	}
	if len(src.layout.Feeders) == 0 {
		return w.fail(noFeeder(src))
	}
	if _, _, ok := w.terminal(); ok && !a.plain && !a.json && !a.write && !asked && name != stdinName {
		s := &stay{w: w, look: a.look}
		return s.run(blocks{w}.screens(s, a, src))
	}
	plan, err := panel.Make(src.layout, panel.Options{Pairs: a.pairs, FeederEnds: a.ends, Seed: 1})
	if err != nil {
		return w.fail(err)
	}
	code := w.plan(&a.planOut, plan, func() *pages.Page { return plan.Page(src.layout.Metric) })
	switch {
	case code != exitOK || a.json || a.form != "text" && a.file == "":
		return code
	case a.write:
		return w.writePanel(src, plan)
	case !src.demo && name != stdinName && len(plan.Wires) > 0:
		return w.print(fmt.Sprintf("\nfishplate panel %s --wires %d --write puts them there.\n", name, len(plan.Wires)))
	}
	return code
}

func noFeeder(src *source) error {
	return fmt.Errorf("%s has no feeder, so nothing can be read at a block: give it one first", src.layout.Name)
}

// writePanel puts terminals behind all else in the layout's file.
func (w *world) writePanel(src *source, plan *panel.Plan) int {
	said, err := addTerminals(src, plan)
	if err != nil {
		return w.fail(err)
	}
	return w.print("\n" + said + "\n")
}

// addTerminals does so, and says what follows from it.
func addTerminals(src *source, plan *panel.Plan) (said string, err error) {
	text := append(bytes.TrimRight(src.text, "\n"), '\n')
	for _, line := range plan.Lines(src.layout.Metric) {
		if strings.HasPrefix(line, "terminal ") {
			text = append(text, '\n')
		}
		text = append(text, line+"\n"...)
	}
	if _, problems := layoutfile.Read(src.name, text); problems.Errors() {
		return "", fmt.Errorf("%s is left as it is: %w", src.name, problems)
	}
	if err := writeFile(src.name, text); err != nil {
		return "", err
	}
	said = fmt.Sprintf("%s in %s: hunts ask there first.", unit.Count(len(plan.Wires), "pair"), src.name)
	if path, err := healthPath(src); err == nil {
		if _, err := os.Stat(path); err == nil {
			said += fmt.Sprintf(" So does a new health check, once these wires are soldered: fishplate health %s --new", src.name)
		} else {
			said += fmt.Sprintf(" So do health checks, once these wires are soldered: fishplate health %s", src.name)
		}
	}
	return said, nil
}
