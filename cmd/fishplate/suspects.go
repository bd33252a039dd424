package main

import (
	"bufio"
	"fmt"

	"github.com/spf13/cobra"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
)

// suspectLine is one suspect, for programs. Resistors are named as in the
// netlist; points are the two ends of the first one.
type suspectLine struct {
	ID        string    `json:"id"`
	Resistor  string    `json:"resistor"`
	Resistors []string  `json:"resistors"`
	Mode      string    `json:"mode"`
	Part      string    `json:"part"`
	Odds      float64   `json:"odds"`
	Piece     string    `json:"piece"`
	Place     string    `json:"place"`
	Rail      string    `json:"rail"`
	Points    [2]string `json:"points"`
	MinOhms   float64   `json:"min_ohms"`
	MaxOhms   float64   `json:"max_ohms"`
	What      string    `json:"what"`
	Look      string    `json:"look"`
	// Moves says where resistors go that are wired wrongly (swapped,
	// misplaced).
	Moves []moveLine `json:"moves,omitempty"`
}

// moveLine is a resistor that lies between other points than it should.
type moveLine struct {
	Resistor string    `json:"resistor"`
	Points   [2]string `json:"points"`
}

func (w commands) suspectsCommand() *cobra.Command {
	var asJSON bool
	c := w.does(&cobra.Command{
		Use:   "suspects LAYOUT",
		Short: "everything that can be wrong with a layout",
		Long: "Lists every fault that the hunt thinks of, the likeliest first, with its odds and the piece to lift. " +
			"What the fields mean: fishplate help circuit. - reads the layout from stdin.",
		Example: "fishplate suspects demo\nfishplate suspects shelf.hcl --json",
	}, func(words []string) int { return w.suspects(words, asJSON) })
	c.Flags().BoolVar(&asJSON, "json", false, "for programs")
	return w.onLayout(c, false)
}

// suspects lists everything that can be wrong with a layout.
func (w *world) suspects(words []string, asJSON bool) int {
	name, err := one(words, "")
	if err != nil {
		return w.usage(err.Error(), "")
	}
	n, err := w.network(name)
	if err != nil {
		return w.refused(err)
	}
	list := fault.List(n)
	out := bufio.NewWriter(w.out)
	if asJSON {
		out = bufio.NewWriter(w.programs())
		err = suspectsJSON(out, n, list)
	} else {
		err = suspectsText(out, n, list)
	}
	if err != nil {
		return w.fail(err)
	}
	if err := out.Flush(); err != nil {
		return w.fail(err)
	}
	return exitOK
}

func suspectsJSON(out *bufio.Writer, n *conductor.Network, list []fault.Suspect) error {
	lines := make([]suspectLine, 0, len(list))
	for i := range list {
		s := &list[i]
		k := &n.Links[s.Links[0]]
		l := suspectLine{ID: s.ID, Resistor: k.ID, Mode: string(s.Mode), Part: string(s.Part), Odds: s.Odds,
			Piece: s.Piece, Place: s.Place, Rail: s.Rail,
			Points:  [2]string{n.Points[k.A].Name, n.Points[k.B].Name},
			MinOhms: s.MinOhms, MaxOhms: s.MaxOhms, What: s.What, Look: s.Look}
		for _, link := range s.Links {
			l.Resistors = append(l.Resistors, n.Links[link].ID)
		}
		for _, m := range s.Moves {
			l.Moves = append(l.Moves, moveLine{n.Links[m.Link].ID, [2]string{n.Points[m.A].Name, n.Points[m.B].Name}})
		}
		lines = append(lines, l)
	}
	return encode(out, struct {
		Suspects []suspectLine `json:"suspects"`
	}{lines})
}

func suspectsText(out *bufio.Writer, n *conductor.Network, list []fault.Suspect) error {
	fmt.Fprintf(out, "%d suspects, the likeliest first: odds, what goes wrong, what to lift, the resistor of the "+
		"netlist, the fault\n", len(list))
	for _, s := range fault.MostLikely(list) {
		fmt.Fprintf(out, "%7.4f %%  %-9s %-12s %-6s %s\n", 100*s.Odds, s.Mode, s.Piece, n.Links[s.Links[0]].ID,
			s.Describe())
	}
	return nil
}
