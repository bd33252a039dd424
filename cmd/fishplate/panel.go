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
	ask   bool
	plain bool
	look  *look
	planOut
}

func (w commands) panelCommand() *cobra.Command {
	a := panelArgs{}
	c := w.does(&cobra.Command{
		Use:   "panel LAYOUT",
		Short: "where thin wires make faults readable without kneeling",
		Long: "Says where to solder pairs of thin wires, to be brought to one labelled block, so that readings at " +
			"the block alone say most of what is wrong; what each further pair is worth, and where it is worth " +
			"nothing. It prints the labels, and the terminal lines for the layout's file: with them hunts and health " +
			"checks read at the block first. --write puts them there. At a terminal it is shown with the map, and " +
			"leads through the joining; what was done is kept in LAYOUT.build.json (--ask does so line by line). Say " +
			"in a hunt that a place on the track cannot be reached (c, or skip), and all that the block tells is " +
			"read first: two pairs then name a short among three pieces, nine times in ten on the demo.",
		Example: "fishplate panel demo\nfishplate panel shelf.hcl --wires 2 --write -o panel.html",
	}, func(words []string) int { return w.panel(&a, words) })
	fs := c.Flags()
	fs.IntVar(&a.pairs, "wires", 0, "`N` pairs of wires (else as many as are worth it)")
	fs.BoolVar(&a.ends, "feeder-ends", false, "where each feeder meets the track can be read without kneeling too")
	fs.BoolVar(&a.write, "write", false, "put the terminals into the layout's file")
	fs.BoolVar(&a.ask, "ask", false, "join line by line, and keep what was done in LAYOUT.build.json: screen readers")
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
		return w.usage("--write wants a layout file of yours; the demo as one: fishplate format demo > mine.hcl",
			"fishplate panel mine.hcl --write")
	}
	if a.ask && (name == demoName || name == stdinName || a.json || a.write) {
		return w.usage("--ask keeps what was done beside the layout's file: name one, without --json and --write",
			"fishplate panel shelf.hcl --ask")
	}
	src, err := w.load(name)
	if err != nil {
		return w.refused(err)
	}
	if len(src.layout.Feeders) == 0 {
		return w.fail(noFeeder(src))
	}
	b := &blocks{world: w, src: src, ends: a.ends}
	if b.ticks, err = ticksOf(src); err != nil {
		return w.fail(err)
	}
	if _, _, ok := w.terminal(); ok && !a.plain && !a.ask && !a.json && !a.write && !asked && name != stdinName {
		s := &stay{w: w, look: a.look}
		return s.run(b.screens(s, a.pairs))
	}
	if a.pairs == 0 {
		a.pairs = b.ticks.Pairs
	}
	plan, err := b.plan(a.pairs)
	if err != nil {
		return w.fail(err)
	}
	if a.ask {
		return b.join(plan)
	}
	code := w.plan(&a.planOut, plan, func() *pages.Page { return plan.Page(src.layout.Metric) })
	switch {
	case code != exitOK || a.json || a.form != "text" && a.file == "":
		return code
	case a.write:
		return b.writePanel(plan)
	case !src.demo && name != stdinName && len(plan.Wires) > 0:
		return w.print(fmt.Sprintf("\nfishplate panel %s --wires %d --write puts them there.\n", name, len(plan.Wires)))
	}
	return code
}

func noFeeder(src *source) error {
	return fmt.Errorf("%s has no feeder, so nothing can be read at a block: give it one first", src.layout.Name)
}

// blocks joins the panel of a layout.
type blocks struct {
	*world
	src   *source
	ends  bool // where feeders meet the track is read too
	ticks *ticks
}

// plan is a panel of so many new pairs, 0: as many as are worth it, as far as it was joined.
func (b *blocks) plan(pairs int) (*panel.Plan, error) {
	plan, err := panel.Make(b.src.layout, panel.Options{Pairs: pairs, FeederEnds: b.ends, Seed: 1})
	if err != nil {
		return nil, err
	}
	return plan.Take(b.src.layout, b.ticks.Written, b.ticks.keys()), nil
}

// keep keeps that a step was done, or that it was not; pairs is how many the file lacks.
func (b *blocks) keep(pairs int, w *panel.Wire, s *panel.Step, done bool) error {
	return b.ticks.change(b.src.name, func(kept *ticks) {
		kept.Pairs = pairs
		kept.drop(s.Key)
		if done {
			kept.add(w.Where(), s.Key, "")
		}
	})
}

// writePanel puts terminals behind all else in the layout's file.
func (b *blocks) writePanel(plan *panel.Plan) int {
	said, err := b.addTerminals(plan)
	if err != nil {
		return b.fail(err)
	}
	return b.print("\n" + said + "\n")
}

// addTerminals does so, and says what follows from it.
func (b *blocks) addTerminals(plan *panel.Plan) (said string, err error) {
	src := b.src
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
	err = b.ticks.change(src.name, func(kept *ticks) {
		kept.Pairs = 0
		for i := range plan.Wires {
			kept.Written = append(kept.Written, plan.Wires[i].Name)
		}
	})
	if err != nil {
		return "", err
	}
	said = fmt.Sprintf("%s in %s: hunts ask there first.", unit.Count(len(plan.Wires), "pair"), src.name)
	if path, err := healthPath(src); err == nil {
		if _, err := os.Stat(path); err == nil {
			said += fmt.Sprintf(" So does a new health check, once these wires are soldered: fishplate health %s --new",
				src.name)
		} else {
			said += fmt.Sprintf(" So do health checks, once these wires are soldered: fishplate health %s", src.name)
		}
	}
	return said, nil
}
