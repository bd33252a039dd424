package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"fishplate/diagnose/stage"
)

// buildArgs is a proof in stages as asked for.
type buildArgs struct {
	within int
	ask    bool
	json   bool
}

// mostWithin is the longest stage that can be asked for, pieces.
const mostWithin = 50

func (w commands) buildCommand() *cobra.Command {
	a := buildArgs{}
	c := w.does(&cobra.Command{
		Use:   "build LAYOUT",
		Short: "prove a layout in stages while it is laid",
		Long: "Says after which pieces to stop, what to read there and with which limit, so that a fault is never more than N pieces away " +
			"and the stops cost little: turnouts both ways, insulated rails before they are nailed down, feeders one by one, phase before joining. " +
			"With --ask it asks for each, keeps what was good, and begins a hunt on what is laid where one is not.",
		Example: "fishplate build demo --within 6\nfishplate build shelf.hcl --ask",
	}, func(words []string) int { return proving{w.world}.build(&a, words) })
	c.Flags().IntVar(&a.within, "within", stage.Within, "a fault is at most `N` pieces away")
	c.Flags().BoolVar(&a.ask, "ask", false, "ask for each reading, and keep it in LAYOUT.build.json")
	c.Flags().BoolVar(&a.json, "json", false, "for programs")
	offer(c, "within", cobra.NoFileCompletions)
	return w.onLayout(c, false)
}

// proving proves a layout in stages while it is laid.
type proving struct{ *world }

// build prints the proof of a layout in stages.
func (w proving) build(a *buildArgs, words []string) int {
	name, err := one(words, "")
	if err != nil {
		return w.usage(err.Error(), "")
	}
	if a.within < 1 || a.within > mostWithin {
		return w.usage(fmt.Sprintf("--within %d: write 1 to %d pieces", a.within, mostWithin), "")
	}
	if a.ask && (name == demoName || name == stdinName || a.json) {
		return w.usage("--ask keeps what was read beside the layout's file: name one, without --json", "fishplate build shelf.hcl --ask")
	}
	src, err := w.load(name)
	if err != nil {
		return w.refused(err)
	}
	plan, err := stage.Make(src.layout, stage.Options{Within: a.within, Seed: 1})
	if err != nil {
		return w.fail(err)
	}
	switch {
	case a.json:
		return w.planJSON(plan)
	case a.ask:
		return w.askStages(name, src.layout, plan)
	}
	return w.print(planText(src.layout.Name, plan, w.checkWidth()))
}

func (w proving) planJSON(plan *stage.Plan) int {
	if err := encode(w.programs(), plan); err != nil {
		return w.fail(err)
	}
	return exitOK
}

// planText is the plan for people.
func planText(name string, plan *stage.Plan, width int) string {
	b := paper{width: width}
	b.para("", fmt.Sprintf("%s: %d stops while the track is laid, about %.0f min in all; no fault is more than %d pieces away (all times assumed).",
		name, len(plan.Stages), plan.Minutes, plan.Within))
	b.WriteString("\n")
	for _, s := range stage.Before() {
		b.para("- ", s)
	}
	for i := range plan.Stages {
		s := &plan.Stages[i]
		b.WriteString("\n")
		b.para(fmt.Sprintf("%2d. ", s.N), s.Head())
		for k := range s.Readings {
			b.para("    [ ] ", s.Readings[k].Say())
		}
		if tail := s.Tail(); tail != "" {
			b.para("    ", tail)
		}
	}
	b.WriteString("\n")
	b.para("", plan.Hidden())
	if len(plan.Wiring) > 0 {
		b.WriteString("\nTHEN THE WIRES\n")
	}
	for i := range plan.Wiring {
		wireText(&b, &plan.Wiring[i])
	}
	b.WriteString("\nBEFORE POWER\n")
	for _, s := range stage.Supply() {
		b.para("- ", s)
	}
	return b.String()
}

func wireText(b *paper, x *stage.Wire) {
	b.para("  ", x.Name+":")
	for _, s := range x.Do {
		b.para("    ", s)
	}
	for k := range x.Readings {
		b.para("    [ ] ", x.Readings[k].Say())
	}
	b.para("    ", x.After)
}
