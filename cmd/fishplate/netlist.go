package main

import (
	"bufio"

	"github.com/spf13/cobra"

	"fishplate/diagnose/spice"
)

func (w commands) netlistCommand() *cobra.Command {
	return w.onLayout(w.does(&cobra.Command{
		Use:   "netlist LAYOUT",
		Short: "the layout's circuit, for a SPICE simulator",
		Long: "Prints the circuit that the hunt reckons with: a resistor a link, and a comment for every name of a " +
			"point. How to read it: fishplate help circuit. - reads the layout from stdin.",
		Example: "fishplate netlist demo > demo.cir\nfishplate netlist shelf.hcl",
	}, w.netlist), false)
}

// netlist writes the network of a layout for a circuit simulator.
func (w *world) netlist(words []string) int {
	name, err := one(words, "")
	if err != nil {
		return w.usage(err.Error(), "")
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
