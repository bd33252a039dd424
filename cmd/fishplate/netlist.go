package main

import (
	"bufio"
	"flag"

	"fishplate/diagnose/spice"
)

// netlist writes the network of a layout for a circuit simulator.
func netlist(w *world, args []string) int {
	const example = "fishplate netlist FILE"
	words, err := parse(flag.NewFlagSet("netlist", flag.ContinueOnError), args)
	if err != nil {
		return w.usage(err.Error(), example)
	}
	name, err := one(words, "")
	if err != nil {
		return w.usage(err.Error(), example)
	}
	n, err := w.network(name)
	if err != nil {
		return w.refused(err)
	}
	out := bufio.NewWriter(w.out)
	if err := spice.Write(out, n); err != nil {
		return w.fail(err)
	}
	if err := out.Flush(); err != nil {
		return w.fail(err)
	}
	return exitOK
}
