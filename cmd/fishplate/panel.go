package main

import (
	"fmt"

	"github.com/spf13/cobra"

	pages "fishplate/diagnose/page"
	"fishplate/diagnose/panel"
)

// panelArgs is a panel as asked for.
type panelArgs struct {
	pairs int
	ends  bool
	planOut
}

func (w commands) panelCommand() *cobra.Command {
	a := panelArgs{}
	c := w.does(&cobra.Command{
		Use:   "panel LAYOUT",
		Short: "where thin wires make faults readable without kneeling",
		Long: "Says where to solder pairs of thin wires, to be brought to one labelled block, so that readings at the block alone say most of what is wrong; " +
			"what each further pair is worth, and where it is worth nothing. It prints the labels, and the terminal lines for the layout's file: with them hunts ask at the block first.",
		Example: "fishplate panel demo\nfishplate panel shelf.hcl --wires 2 -o panel.html",
	}, func(words []string) int { return w.panel(&a, words) })
	fs := c.Flags()
	fs.IntVar(&a.pairs, "wires", 0, "`N` pairs of wires (else as many as are worth it)")
	fs.BoolVar(&a.ends, "feeder-ends", false, "where each feeder meets the track can be read without kneeling too")
	a.flags(c)
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
	if err := a.settle(); err != nil {
		return w.usage(err.Error(), "")
	}
	src, err := w.load(name)
	if err != nil {
		return w.refused(err)
	}
	if len(src.layout.Feeders) == 0 {
		return w.fail(fmt.Errorf("%s has no feeder, so nothing can be read at a block: give it one first", src.layout.Name))
	}
	plan, err := panel.Make(src.layout, panel.Options{Pairs: a.pairs, FeederEnds: a.ends, Seed: 1})
	if err != nil {
		return w.fail(err)
	}
	return w.plan(&a.planOut, plan, func() *pages.Page { return plan.Page(src.layout.Metric) })
}
