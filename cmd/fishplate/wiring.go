package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	pages "fishplate/diagnose/page"
	"fishplate/diagnose/wiring"
)

// wiringArgs is a wiring plan as asked for.
type wiringArgs struct {
	drop, amps string
	planOut
}

func (w commands) wiringCommand() *cobra.Command {
	a := wiringArgs{}
	c := w.does(&cobra.Command{
		Use:   "wiring LAYOUT",
		Short: "every wire with its labels, what to buy, feeders for the far end",
		Long: "Lists every wire with its length, size and what stands before it, a label for both of its ends, what " +
			"hangs on each terminal, what to buy, and the feeders with the least copper that hold the volts at the " +
			"far end.",
		Example: "fishplate wiring demo\nfishplate wiring shelf.hcl --drop 0.5 -o wires.html",
	}, func(words []string) int { return w.wiring(&a, words) })
	fs := c.Flags()
	fs.StringVar(&a.drop, "drop", "", "the most `VOLTS` that may be lost on the way to a train (else 5 % of the "+
		"supply's)")
	fs.StringVar(&a.amps, "train-amps", "", "`AMPS` of the train (else as for check)")
	a.flags(c)
	offer(c, "drop", cobra.NoFileCompletions)
	offer(c, "train-amps", cobra.NoFileCompletions)
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
	if err := a.settle(); err != nil {
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
	return w.plan(&a.planOut, plan, func() *pages.Page { return plan.Page(src.layout) })
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
