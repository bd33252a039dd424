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
	if len(p.Wires) == 0 {
		return out
	}
	out.Put(page.Block{Title: "What can hurt", List: p.Cautions()})
	out.Put(p.List(metric))
	labels := page.Block{Title: "Labels for both ends (MOROP NEM 605, 2014, 1 and 2.2: mark every wire at both)", Head: []string{"at the track", "at the block"}}
	for _, k := range p.Labels {
		labels.Rows = append(labels.Rows, []string{k.Near, k.Far})
		labels.Aloud = append(labels.Aloud, k.Near+" | "+k.Far)
	}
	out.Put(labels)
	steps := page.Block{Title: "One by one, supplies unplugged"}
	for _, s := range p.Steps() {
		steps.Ticks = append(steps.Ticks, page.Tick{Text: s.Text})
	}
	out.Put(steps)
	file := page.Block{Title: "For the file: hunts then ask at the block first", Head: []string{""}}
	for _, l := range p.Lines(metric) {
		file.Rows = append(file.Rows, []string{l})
	}
	out.Put(file)
	return out
}

// About says what a panel is, and where its block goes.
func (p *Plan) About() []string {
	out := []string{"Thin wires from the track to one labelled block. At the block a meter reads the track with nobody's hand on it: most of a hunt is done standing."}
	if p.Block != "" {
		out = append(out, fmt.Sprintf("Screw the block down beside %s: from where its wires join to the screws is a reading too.", p.Block))
	}
	return out
}

// Gains says what each further pair is worth.
func (p *Plan) Gains() page.Block {
	b := page.Block{Title: fmt.Sprintf("What it is worth: among how many pieces the fault lies, in %.0f of 100 evenings, when only the block was read (by assumed odds)", 100*held),
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
		b.List = append(b.List, fmt.Sprintf("%s, %.0f %% of such evenings: %.1f pieces in question without it, %.1f with it", k.Kind.says(), 100*k.Share, k.Before, k.After))
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
		fmt.Sprintf("These wires are for a meter alone: nothing is fed through them. %d AWG carries about %.1f A as warm as other wires do, and a breaker here opens at %.3g A: "+
			"cover the screws of the block, so that no two of them can touch, and run no wire bare beside another.", Gauge, p.Amps, p.Breaker),
	}
}

// List is the wires, a row each.
func (p *Plan) List(metric bool) page.Block {
	b := page.Block{Title: fmt.Sprintf("Wires (%d AWG or 0.34 mm2, stranded; lengths along the frame, with %s to spare, assumed)", Gauge, wiring.Length(slackMM, metric)),
		Head: []string{"terminal", "from the middle of", "rails", "length", "without it"}}
	for i := range p.Wires {
		w := &p.Wires[i]
		rails := string(w.Hot)
		if w.Common != "" {
			rails += " and " + string(w.Common)
		}
		row := []string{w.Name, w.Place, rails, wiring.Length(w.LengthMM, metric), fmt.Sprintf("%.1f pieces left", w.Without)}
		b.Rows = append(b.Rows, row)
		b.Aloud = append(b.Aloud, fmt.Sprintf("%s: from the middle of %s, %s, %s; without it %s instead of %.1f", row[0], row[1], row[2], row[3], row[4], p.After))
	}
	return b
}

// Step is one thing that hands do where a panel is joined.
type Step struct {
	Wire   int // of the plan
	Text   string
	Solder bool // it is fastened now
}

// Steps is the order of hands: fasten, beep, next.
func (p *Plan) Steps() []Step {
	var out []Step
	for i := range p.Wires {
		w := &p.Wires[i]
		text := fmt.Sprintf("%s: fasten it under %s, where no wheel, pin or joiner comes, hot on %s", w.Name, w.Place, w.Hot)
		if w.Common != "" {
			text += fmt.Sprintf(", common on %s", w.Common)
		}
		out = append(out, Step{i, text + "; label both ends.", true},
			Step{i, fmt.Sprintf("%s hot at the block to %s %s on the track: beeps.", w.Name, w.Place, w.Hot), false})
		if w.Common != "" {
			out = append(out, Step{i, fmt.Sprintf("%s common at the block to %s %s on the track: beeps. %s hot to %s common: silent, with lamps and coils off the track and the supply's wires off its posts: its winding beeps.",
				w.Name, w.Place, w.Common, w.Name, w.Name), false})
		}
	}
	return out
}

// Lines are the terminals as the layout file has them.
func (p *Plan) Lines(metric bool) []string {
	var out []string
	for i := range p.Wires {
		w := &p.Wires[i]
		out = append(out, fmt.Sprintf("terminal %q {", w.Name), fmt.Sprintf("  at     = %q", w.Place), fmt.Sprintf("  wire   = \"%d AWG\"", Gauge),
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
	return &track.Terminal{Name: w.Name, At: w.At, Hot: w.Hot, Common: w.Common, Wire: fmt.Sprintf("%d AWG", Gauge), LengthMM: w.LengthMM,
		OhmsPerWire: wire.OhmsPerMeter(wire.AreaMM2(Gauge)) * w.LengthMM / 1000}
}
