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
	fmt.Fprintf(b, "* %d points, %d nodes, %d links. Resistances in ohm, medians.\n", len(n.Points), n.Nodes,
		len(n.Links))
	fmt.Fprintf(b, "* A link that is normally open (insulation, a gap) stands as %g ohm; the supply is left out.\n",
		OpenOhms)
	fmt.Fprintf(b, "* Points that share a node are tied to each other in the construction.\n")
	fmt.Fprintf(b, "* To lift a joint: open every resistor with kind=joint or kind=gap of that place.\n")
	fmt.Fprintf(b, "* To pull a feeder: open both resistors with kind=feeder of that place.\n")
	fmt.Fprintf(b, "* To throw a turnout: kind=switch conducts while when= is the thrown route, else it is open.\n")
	fmt.Fprintf(b, "* A turnout has two names, turnout= (its piece) and name= (the one given to it).\n")
	if len(n.Posts) > 0 {
		s := n.Layout.Supplies[0].Name
		fmt.Fprintf(b, "* \"%s hot\" is where the hot wires join: the track's side of a lamp in series. \"%s\" is "+
			"the supply's side;\n", s, n.HotPost(0))
		fmt.Fprintf(b, "* with no lamp between them they are one node, as here. A lamp in series drives \"%s hot\" "+
			"through its ohms.\n", s)
	}
	underTable(b, n)
	fmt.Fprintf(b, "* node point\n")
	for i := range n.Points {
		fmt.Fprintf(b, "*: %d %s\n", number[n.Points[i].Node], n.Points[i].Name)
	}
	for i := range n.Posts {
		fmt.Fprintf(b, "*: %d %s\n", number[n.NodeOf(n.Posts[i][0])], n.HotPost(i))
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
		if k.Turnout >= 0 {
			p := &n.Layout.Pieces[k.Turnout]
			fmt.Fprintf(b, " turnout=%s", strconv.Quote(p.ID()))
			if p.Name != "" {
				fmt.Fprintf(b, " name=%s", strconv.Quote(p.Name))
			}
		}
		if k.When != "" {
			fmt.Fprintf(b, " when=%s", k.When)
		}
		fmt.Fprintln(b)
	}
	fmt.Fprintln(b, ".end")
	return b.Flush()
}

// underTable explains what a layout has beyond track and feeders.
func underTable(w io.Writer, n *conductor.Network) {
	l := n.Layout
	if len(l.Buses) > 0 {
		fmt.Fprintf(w, "* A bus or strip has points by terminal: \"B1 2 hot\"; kind=bus is one wire from one "+
			"terminal to the next.\n")
	}
	if len(l.Toggles) > 0 {
		fmt.Fprintf(w, "* To switch a toggle: kind=toggle conducts while when= is its position (on, or off: the "+
			"second one), else it is open.\n")
		fmt.Fprintf(w, "* One that is off in the middle is two: \"S1\" is off there, \"S1 side\" has its two sides.\n")
		fmt.Fprintf(w, "* Its points (\"S1 hot\") are its outgoing lugs. Bridged: a contact that never opens.\n")
	}
	if len(l.Accessories) > 0 {
		fmt.Fprintf(w, "* An accessory has its own two points; kind=lead and kind=tap are its wires. kind=load "+
			"conducts with when=hot while an\n")
		fmt.Fprintf(w, "* ideal supply (volts) is on, else with when=cold: behind a lamp and under an ohmmeter loads "+
			"stay cold.\n")
		fmt.Fprintf(w, "* To unplug one: open every resistor with kind=load or kind=insulation of that place.\n")
	}
	if len(l.Terminals) > 0 {
		fmt.Fprintf(w, "* kind=sense is a thin wire from the track to a labelled terminal (\"A1 hot\"), where a "+
			"meter reads; nothing feeds through it.\n")
	}
	fmt.Fprintf(w, "* A train on neighbouring pieces: on three-rail track a resistor of wheels (usually %g ohm) from "+
		"\"main 7 left\" to\n", conductor.DefaultWheels)
	fmt.Fprintf(w, "* \"main 7 right\" of each piece, one across every joint between them for each outer rail, and "+
		"with a motor also for the\n")
	fmt.Fprintf(w, "* center; on two-rail track one across every joint, with a motor only. The motor lies across hot "+
		"and common of the first piece.\n")
	if len(l.Supplies) > 1 {
		fmt.Fprintf(w, "* Several supplies at once: drive \"T2 winding hot\" to \"T2 winding common\" where these "+
			"points are, else the posts. A plug the\n")
		fmt.Fprintf(w, "* other way round (swapped) is those two leads with their far ends crossed.\n")
	}
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
