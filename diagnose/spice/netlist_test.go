package spice_test

import (
	"strconv"
	"strings"
	"testing"

	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/spice"

	"github.com/stretchr/testify/require"
)

// The text says everything that the network knows: each point with its node,
// each link as a resistor under its own name with its own comment.
func TestWrite(t *testing.T) {
	for _, construction := range invent.Constructions {
		n := network(t, invent.Oval(construction, false)+"insulated \"main 9/10\" { rails = [\"left\"] }\n")
		text := written(t, n)
		list := read(t, text)
		number := spice.Numbers(n)
		require.Len(t, list.points, len(n.Points)+len(n.Layout.Supplies),
			"every supply's hot post has a name of its own")
		require.Equal(t, list.points["T1 hot"], list.points["T1 hot post"], "with no lamp between them they are one")
		for _, p := range n.Points {
			require.Equal(t, strconv.Itoa(number[p.Node]), list.points[p.Name], p.Name)
		}
		require.Equal(t, "0", list.points["T1 common"])
		require.Len(t, list.resistors, len(n.Links))
		for i, k := range n.Links {
			r := list.resistors[i]
			require.Equal(t, []string{k.ID, string(k.Kind), k.Place, k.Rail, k.When},
				[]string{r.id, r.kind, r.place, r.rail, r.when})
			require.Equal(t, []string{list.points[n.Points[k.A].Name], list.points[n.Points[k.B].Name]},
				[]string{r.a, r.b}, k.ID)
			if k.NormallyOpen {
				require.Equal(t, 1e9, r.ohms)
			} else {
				require.InEpsilon(t, k.Ohms, r.ohms, 1e-11)
			}
			if k.Turnout >= 0 {
				require.Equal(t, n.Layout.Pieces[k.Turnout].ID(), r.turnout)
			}
		}
		require.True(t, strings.HasPrefix(text, "* fishplate netlist of layout: oval\n"))
		require.True(t, strings.HasSuffix(text, "\n.end\n"))
		require.Equal(t, text, written(t, n), "the same text every time")
	}
}

// A layout's name cannot end the title line and add a card of its own.
func TestNameStaysOnItsLine(t *testing.T) {
	n := network(t, invent.Line("two-rail", 3))
	l := *n.Layout
	l.Name = "shed\nRx 0 1 1e-9\r.end"
	n.Layout = &l
	require.Len(t, read(t, written(t, n)).resistors, len(n.Links))
	require.Contains(t, written(t, n), "shed Rx 0 1 1e-9 .end\n")
}

// Without a supply the first node is ground.
func TestNoSupply(t *testing.T) {
	text := invent.Line("two-rail", 3)
	n := network(t, text[:strings.Index(text, "supply")])
	require.Empty(t, n.Posts)
	require.Equal(t, 0, spice.Numbers(n)[0])
	list := read(t, written(t, n))
	require.Equal(t, "0", list.points[n.Points[0].Name])
}
