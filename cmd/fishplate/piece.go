package main

import (
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	pages "fishplate/diagnose/page"
	"fishplate/diagnose/piece"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// pieceArgs is a bench check as asked for.
type pieceArgs struct {
	beeper bool
	plain  bool
	look   *look
	planOut
}

func (w commands) pieceCommand() *cobra.Command {
	a := pieceArgs{}
	c := w.does(&cobra.Command{
		Use:   "piece check LAYOUT|KIND, piece test LAYOUT [PIECE...]",
		Short: "pieces on the bench, before they go down: what must beep, what not",
		Long: "check lists, for every kind of piece of a layout or of a KIND of track (metal-tie, two-rail...), what " +
			"the beeper must say from rail end to rail end in each position of the points, and what is wrong where " +
			"it does not. test takes a box of them through, one key a reading at a terminal, else a line a piece " +
			"(Enter, or the numbers of what was wrong); it writes who passed into the layout's file.",
		Example: "fishplate piece check metal-tie\nfishplate piece test shelf.hcl --beeper",
	}, func(words []string) int { return benching{w.world}.piece(words, &a) })
	c.Flags().BoolVar(&a.beeper, "beeper", false, "you have a beeper and no ohms")
	c.Flags().BoolVar(&a.plain, "plain", false, "test line by line, at a terminal too: screen readers")
	a.flags(c)
	a.look = lookFlags(c.Flags())
	c.ValidArgsFunction = func(_ *cobra.Command, words []string, typed string) ([]string, cobra.ShellCompDirective) {
		switch len(words) {
		case 0:
			return []string{"check", "test"}, cobra.ShellCompDirectiveNoFileComp
		case 1:
			files, how := layoutsFor(typed)
			return append(kindsOfTrack(), files...), how
		}
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return c
}

// kindsOfTrack names the constructions that come with the program.
func kindsOfTrack() []string {
	var out []string
	for _, c := range layoutfile.Constructions() {
		out = append(out, c.Name)
	}
	return out
}

// benching takes pieces through the bench before they go down.
type benching struct{ *world }

// piece tells what pieces show on the bench.
func (w benching) piece(words []string, a *pieceArgs) int {
	switch {
	case len(words) > 0 && words[0] == "test":
		return w.testBox(words[1:], a)
	case len(words) == 0 || words[0] != "check":
		return w.usage("say what to do with the pieces: check or test", "fishplate piece check shelf.hcl")
	}
	name, err := one(words[1:], "")
	if err != nil {
		return w.usage(strings.Replace(err.Error(), "name a layout file", "name a layout file, a kind of track", 1), "")
	}
	if err := a.settle(); err != nil {
		return w.usage(err.Error(), "")
	}
	l, err := w.boxOf(name)
	if err != nil {
		return w.refused(err)
	}
	lots, err := piece.Box(l)
	if err != nil {
		return w.fail(err)
	}
	counted := !slices.Contains(kindsOfTrack(), name)
	if a.json {
		return w.lotsJSON(l, lots, a.beeper, counted)
	}
	sheet, err := piece.Page(l, lots, a.beeper, counted)
	if err != nil {
		return w.fail(err)
	}
	return w.plan(&a.planOut, lots, func() *pages.Page { return sheet })
}

// boxOf is a layout's pieces, or one of each piece of a kind of track.
func (w benching) boxOf(name string) (*track.Layout, error) {
	for _, c := range layoutfile.Constructions() {
		if c.Name == name {
			return samples(c)
		}
	}
	s, err := w.load(name)
	if err != nil {
		return nil, err
	}
	return s.layout, nil
}

// samples is a layout that holds one of each piece of a kind of track.
func samples(c *track.Construction) (*track.Layout, error) {
	kinds := []string{"straight 10", "turnout left diameter 31 angle 45", "turnout right diameter 31 angle 45",
		"turnout wye diameter 31 angle 22.5", "crossing 90 length 10", "bumper"}
	for _, more := range []struct {
		w    track.Wiring
		kind string
	}{{c.ThreeWay, "turnout three-way diameter 54 angle 22.5"}, {c.Slip, "slip 22.5 length 12"},
		{c.SingleSlip, "slip 22.5 single length 12"}} {
		if len(more.w.Conductors) > 0 {
			kinds = append(kinds, more.kind)
		}
	}
	if len(c.Tied) > 0 {
		kinds = append(kinds, "straight 10 untied")
	}
	if c.HasRail(track.Center) {
		kinds = append(kinds, "turnout left diameter 31 angle 45 sensing", "turnout right diameter 31 angle 45 sensing")
	}
	var b strings.Builder
	fmt.Fprintf(&b, "name = %q\nunits = \"in\"\nconstruction = %q\n", c.Name, c.Name)
	for i, k := range kinds {
		pieces := fmt.Sprintf("%q", k)
		if k == "bumper" {
			pieces = `"straight 10", "bumper"`
		}
		fmt.Fprintf(&b, "run \"r%d\" { pieces = [%s] }\n", i+1, pieces)
	}
	file, problems := layoutfile.Read(c.Name, []byte(b.String()))
	if file == nil {
		return nil, problems
	}
	return file.Layout, nil
}

// lotLine is one lot, for programs.
type lotLine struct {
	Kind      string          `json:"kind"`
	Pieces    []string        `json:"pieces,omitempty"`
	Positions []string        `json:"positions,omitempty"`
	Seconds   float64         `json:"seconds"`
	TakeOff   []string        `json:"take_off,omitempty"`
	Readings  []piece.Reading `json:"readings"`
	Faults    []piece.Mend    `json:"faults"`
	// Unseen is the share of faults inside that a pass leaves, Odds what the piece's
	// history then says.
	Unseen float64 `json:"unseen"`
	Odds   float64 `json:"odds"`
}

func (w benching) lotsJSON(l *track.Layout, lots []piece.Lot, beeper, counted bool) int {
	var out []lotLine
	for _, lot := range lots {
		faults, err := lot.Faults(beeper)
		if err != nil {
			return w.fail(err)
		}
		unseen, err := lot.Unseen(beeper)
		if err != nil {
			return w.fail(err)
		}
		odds, err := lot.Factor(beeper)
		if err != nil {
			return w.fail(err)
		}
		line := lotLine{Kind: lot.Name, Positions: lot.Positions, Seconds: lot.Seconds(), TakeOff: lot.OnTrack,
			Readings: list(lot.Readings),
			Faults:   list(faults), Unseen: unseen, Odds: odds}
		if counted {
			line.Pieces = ids(l, lot.Pieces)
		}
		out = append(out, line)
	}
	err := encode(w.programs(), struct {
		Kinds []lotLine `json:"kinds"`
	}{list(out)})
	if err != nil {
		return w.fail(err)
	}
	return exitOK
}

func ids(l *track.Layout, pieces []int) []string {
	var out []string
	for _, p := range pieces {
		out = append(out, l.Pieces[p].ID())
	}
	return out
}
