package panel

import (
	"fmt"

	"fishplate/diagnose/page"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/diagnose/wire"
	"fishplate/diagnose/wiring"
)

// Page is the plan for paper and for the eye.
func (p *Plan) Page(metric bool) *page.Page {
	out := &page.Page{Title: p.Layout + ": a panel that is read without kneeling"}
	out.Put(page.Block{List: p.About()})
	out.Put(p.Gains())
	steps := page.Block{Title: "One by one, supplies unplugged", List: listed(p.Elsewhere())}
	for _, s := range p.Steps() {
		steps.Ticks = append(steps.Ticks, page.Tick{Text: s.Text, Done: p.Did(&s)})
	}
	if len(steps.Ticks) == 0 {
		return out
	}
	out.Put(page.Block{Title: "What can hurt", List: p.Cautions()})
	out.Put(p.List(metric))
	labels := page.Block{Title: "Labels for both ends (MOROP NEM 605, 2014, 1 and 2.2: mark every wire at both)",
		Head: []string{"at the track", "at the block"}}
	for _, k := range p.Labels {
		labels.Rows = append(labels.Rows, []string{k.Near, k.Far})
		labels.Aloud = append(labels.Aloud, k.Near+" | "+k.Far)
	}
	out.Put(labels)
	out.Put(steps)
	file := page.Block{Title: "For the file: hunts then ask at the block first", Head: []string{""}}
	for _, l := range p.Lines(metric) {
		file.Rows = append(file.Rows, []string{l})
	}
	if len(p.Wires) > 0 {
		out.Put(file)
	}
	return out
}

// About says what a panel is, and where its block goes.
func (p *Plan) About() []string {
	out := []string{"Thin wires from the track to one labelled block. At the block a meter reads the track with " +
		"nobody's hand on it: most of a hunt is done standing."}
	if p.Block != "" {
		out = append(out, fmt.Sprintf("Screw the block down beside %s: from where its wires join to the screws is a "+
			"reading too.", p.Block))
	}
	return out
}

// listed is a list of one sentence, or none.
func listed(says string) []string {
	if says == "" {
		return nil
	}
	return []string{says}
}

// Gains says what each further pair is worth.
func (p *Plan) Gains() page.Block {
	b := page.Block{Title: fmt.Sprintf("What it is worth: among how many pieces the fault lies, in %.0f of 100 "+
		"evenings, when only the block was read (by assumed odds)", 100*held),
		Head: []string{"pairs of wires", "pieces left"}}
	for k, x := range p.Left {
		note := ""
		switch {
		case k == 0:
			note = ", by what can be read so far"
		case k == p.Worth+1:
			note = ", less than half a piece saved: not worth its wires"
		}
		b.Rows = append(b.Rows, []string{fmt.Sprint(k), fmt.Sprintf("%.1f", x)})
		b.Aloud = append(b.Aloud, fmt.Sprintf("%s: %.1f pieces left%s", pairs(k), x, note))
	}
	for _, k := range p.Kinds {
		b.List = append(b.List, fmt.Sprintf(
			"%s, %.0f %% of such evenings: %.1f pieces in question without it, %.1f with it", k.Kind.says(),
			100*k.Share, k.Before, k.After))
	}
	return b
}

func pairs(k int) string {
	if k == 0 {
		return "No pair"
	}
	return unit.Count(k, "pair")
}

func (k Kind) says() string {
	switch k {
	case Short:
		return "A short"
	case Dead:
		return "A place where nothing runs"
	}
	return "A place where trains slow"
}

// Cautions say what can hurt while wires are joined, and later.
func (p *Plan) Cautions() []string {
	return []string{
		"Every supply unplugged before a wire is joined; with more than one supply all plugs out.",
		wire.Soldering,
		fmt.Sprintf("These wires are for a meter alone: nothing is fed through them. %d AWG carries about %.1f A as "+
			"warm as other wires do, and a breaker here opens at %.3g A: cover the screws of the block, so that no "+
			"two of them can touch, and run no wire bare beside another.", Gauge, p.Amps, p.Breaker),
	}
}

// List is the wires, a row each.
func (p *Plan) List(metric bool) page.Block {
	b := page.Block{Title: fmt.Sprintf("Wires (%d AWG or 0.34 mm2, stranded; lengths along the frame, with %s to "+
		"spare, assumed)", Gauge, wiring.Length(slackMM, metric)),
		Head: []string{"terminal", "from the middle of", "rails", "length", "without it"}}
	for i, w := range p.All() {
		row := []string{w.Name, w.Place, w.rails(), wiring.Length(w.LengthMM, metric),
			fmt.Sprintf("%.1f pieces left", w.Without)}
		without := fmt.Sprintf("without it %s instead of %.1f", row[4], p.After)
		if i < len(p.begun) {
			row[4], without = "", "it stands in the file"
		}
		b.Rows = append(b.Rows, row)
		b.Aloud = append(b.Aloud, fmt.Sprintf("%s: from the middle of %s, %s, %s; %s", row[0], row[1], row[2], row[3],
			without))
	}
	return b
}

// Lines are the terminals as the layout file has them.
func (p *Plan) Lines(metric bool) []string {
	var out []string
	for i := range p.Wires {
		w := &p.Wires[i]
		out = append(out, fmt.Sprintf("terminal %q {", w.Name), fmt.Sprintf("  at     = %q", w.Place),
			fmt.Sprintf("  wire   = \"%d AWG\"", Gauge),
			fmt.Sprintf("  length = %q", wiring.Length(w.LengthMM, metric)))
		if w.Common == "" {
			out = append(out, `  wires  = "hot"`)
		}
		out = append(out, "}")
	}
	return out
}

// Terminal is the pair as the layout has it.
func (w *Wire) Terminal() *track.Terminal {
	return &track.Terminal{Name: w.Name, At: w.At, Hot: w.Hot, Common: w.Common, Wire: fmt.Sprintf("%d AWG", Gauge),
		LengthMM:    w.LengthMM,
		OhmsPerWire: wire.OhmsPerMeter(wire.AreaMM2(Gauge)) * w.LengthMM / 1000}
}
