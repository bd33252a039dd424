// Package spice writes a network as a SPICE netlist, so that anyone can check
// the predictions with a circuit simulator that we did not write.
package spice

import (
	"bufio"
	"fmt"
	"io"
	"strconv"
	"strings"

	"fishplate/diagnose/conductor"
)

// OpenOhms stands in the netlist for a link that is normally open.
const OpenOhms = 1e9

// Write writes the netlist: a table of node numbers and point names as
// comments, then one resistor a link with its kind, place and rail in a
// comment. The supply is left out; node 0 is the first supply's common post
// (the first node when there is no supply).
func Write(w io.Writer, n *conductor.Network) error {
	b := bufio.NewWriter(w)
	number := Numbers(n)
	fmt.Fprintf(b, "* fishplate netlist of layout: %s\n", oneLine(n.Layout.Name))
	fmt.Fprintf(b, "* %d points, %d nodes, %d links. Resistances in ohm, medians.\n", len(n.Points), n.Nodes, len(n.Links))
	fmt.Fprintf(b, "* A link that is normally open (insulation, a gap) stands as %g ohm; the supply is left out.\n", OpenOhms)
	fmt.Fprintf(b, "* Points that share a node are tied to each other in the construction.\n")
	fmt.Fprintf(b, "* To lift a joint: open every resistor with kind=joint or kind=gap of that place.\n")
	fmt.Fprintf(b, "* To pull a feeder: open both resistors with kind=feeder of that place.\n")
	fmt.Fprintf(b, "* To throw a turnout: kind=switch conducts while when= is the thrown route, else it is open.\n")
	fmt.Fprintf(b, "* node point\n")
	for i := range n.Points {
		fmt.Fprintf(b, "*: %d %s\n", number[n.Points[i].Node], n.Points[i].Name)
	}
	for i := range n.Links {
		k := &n.Links[i]
		ohms := k.Ohms
		if k.NormallyOpen {
			ohms = OpenOhms
		}
		fmt.Fprintf(b, "%s %d %d %s ; kind=%s place=%s rail=%s", k.ID,
			number[n.NodeOf(k.A)], number[n.NodeOf(k.B)], strconv.FormatFloat(ohms, 'g', 12, 64),
			k.Kind, strconv.Quote(k.Place), k.Rail)
		if k.When != "" {
			fmt.Fprintf(b, " turnout=%s when=%s", strconv.Quote(n.Layout.Pieces[k.Turnout].ID()), k.When)
		}
		fmt.Fprintln(b)
	}
	fmt.Fprintln(b, ".end")
	return b.Flush()
}

// Numbers gives each node its number in the netlist.
func Numbers(n *conductor.Network) []int {
	ground := 0
	if len(n.Posts) > 0 {
		ground = n.NodeOf(n.Posts[0][1])
	}
	out := make([]int, n.Nodes)
	for i := range out {
		switch {
		case i == ground:
			out[i] = 0
		case i < ground:
			out[i] = i + 1
		default:
			out[i] = i
		}
	}
	return out
}

func oneLine(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' {
			return ' '
		}
		return r
	}, s)
}
