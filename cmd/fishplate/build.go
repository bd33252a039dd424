package main

import (
	"fmt"

	"github.com/spf13/cobra"

	pages "fishplate/diagnose/page"
	"fishplate/diagnose/stage"
	"fishplate/diagnose/track"
)

// buildArgs is a proof in stages as asked for.
type buildArgs struct {
	within int
	ask    bool
	plain  bool
	boards bool // of a portable layout that is set up
	fresh  bool // nothing was read yet
	look   *look
	planOut
}

// command is the command that was given.
func (a *buildArgs) command() string { return (&stage.Plan{Portable: a.boards}).Command() }

// make makes the plan that was asked for.
func (a *buildArgs) make(l *track.Layout) (*stage.Plan, error) {
	if a.boards {
		return stage.Modules(l)
	}
	return stage.Make(l, stage.Options{Within: a.within, Seed: 1})
}

// mostWithin is the longest stage that can be asked for, pieces.
const mostWithin = 50

func (w commands) buildCommand() *cobra.Command {
	a := buildArgs{}
	c := w.does(&cobra.Command{
		Use:   "build LAYOUT",
		Short: "prove a layout in stages while it is laid",
		Long: "Says after which pieces to stop, what to read there and with which limit, so that a fault is never " +
			"more than N pieces away and the stops cost little: turnouts both ways, insulated rails before they are " +
			"nailed down, feeders one by one, phase before joining. At a terminal it goes through them one by one, " +
			"keeps what was good in LAYOUT.build.json, and begins a hunt on what is laid where one is not (--ask " +
			"does so line by line). --format and -o print the check list, what was good ticked.",
		Example: "fishplate build shelf.hcl --within 6 -o build.html\nfishplate build shelf.hcl --ask",
	}, func(words []string) int { return proving{w.world}.build(&a, words) })
	c.Flags().IntVar(&a.within, "within", stage.Within, "a fault is at most `N` pieces away")
	c.Flags().BoolVar(&a.ask, "ask", false,
		"ask line by line, and keep what was good in LAYOUT.build.json: screen readers")
	c.Flags().BoolVar(&a.plain, "plain", false, "print the check list, at a terminal too")
	a.flags(c)
	a.look = lookFlags(c.Flags()).readings(c.Flags())
	offer(c, "within", cobra.NoFileCompletions)
	return w.onLayout(c, false)
}

func (w commands) setupCommand() *cobra.Command {
	a := buildArgs{within: stage.Within, boards: true}
	c := w.does(&cobra.Command{
		Use:   "setup LAYOUT",
		Short: "a portable layout on the evening: joints between boards, then plugs",
		Long: "Goes through a portable layout as it is set up, for two people: one calls and ticks, one holds the " +
			"probes. The file names its boards in the order of setting up, each as a module with its first and last " +
			"piece (fishplate help file). " +
			"Board by board it says what to join and what must beep or be silent across each joint, then plug by " +
			"plug; joints that close a ring come last. " +
			"At a terminal one by one; what was good is kept in LAYOUT.build.json until --new (--ask does so line by " +
			"line). --format and -o print the check list.",
		Example: "fishplate setup shelf.hcl --new\nfishplate setup shelf.hcl -o setup.html",
	}, func(words []string) int { return proving{w.world}.build(&a, words) })
	c.Flags().BoolVar(&a.fresh, "new", false, "it is set up anew: nothing is ticked yet")
	c.Flags().BoolVar(&a.ask, "ask", false,
		"ask line by line, and keep what was good in LAYOUT.build.json: screen readers")
	c.Flags().BoolVar(&a.plain, "plain", false, "print the check list, at a terminal too")
	a.flags(c)
	a.look = lookFlags(c.Flags()).readings(c.Flags())
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
		return w.usage("--ask keeps what was read beside the layout's file: name one, without --json",
			fmt.Sprintf("fishplate %s shelf.hcl --ask", a.command()))
	}
	asked := a.form != "" || a.file != ""
	if err := a.settle(); err != nil {
		return w.usage(err.Error(), "")
	}
	src, err := w.load(name)
	if err != nil {
		return w.refused(err)
	}
	proof, kept, err := a.goneThrough(src)
	if err != nil {
		return w.fail(err)
	}
	if a.ask {
		return w.askStages(a.command(), src, proof, kept)
	}
	if _, _, ok := w.terminal(); ok && !a.plain && !a.json && !asked && name != stdinName {
		s := &stay{w: w.world, look: a.look}
		return s.run(w.screens(s, src, proof, kept))
	}
	return w.plan(&a.planOut, proof.Plan, func() *pages.Page { return proof.Page(src.layout.Name) })
}

// goneThrough is the plan of a layout, as far as it was gone through.
func (a *buildArgs) goneThrough(src *source) (*stage.Proof, *ticks, error) {
	plan, err := a.make(src.layout)
	if err != nil {
		return nil, nil, err
	}
	kept, err := ticksOf(src)
	if err == nil && a.fresh && !src.demo && src.name != stdinName {
		err = kept.forget(src.name, stage.SetUp)
	}
	if err != nil {
		return nil, nil, err
	}
	return plan.Take(kept.keys()), kept, nil
}

// ticksOf is what is kept beside a layout's file; nothing where it has none.
func ticksOf(src *source) (*ticks, error) {
	if src.demo || src.name == stdinName {
		return &ticks{}, nil
	}
	return readTicks(src.name)
}
