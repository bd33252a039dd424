package wiring

import (
	"fmt"
	"strings"

	"fishplate/diagnose/page"
	"fishplate/diagnose/sketch"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/diagnose/wire"
)

const mmPerFoot = 304.8

// Length prints a length of wire in the units of the layout; empty where it is not
// known.
func Length(mm float64, metric bool) string {
	switch {
	case mm <= 0:
		return ""
	case metric:
		return fmt.Sprintf("%.1f m", mm/1000)
	}
	return fmt.Sprintf("%.1f ft", mm/mmPerFoot)
}

// Page is the plan for paper and for the eye, with a picture of the layout it was
// made of.
func (p *Plan) Page(l *track.Layout) *page.Page {
	metric := l.Metric
	out := &page.Page{Title: p.Layout + ": wiring"}
	out.Put(page.Block{List: cautions(), Figure: picture(l)})
	out.Put(p.wireList(metric))
	out.Put(p.terminalList())
	out.Put(p.labelList())
	out.Put(p.shopping(metric))
	for i := range p.Drops {
		out.Put(p.Drops[i].block(metric))
		out.Put(p.Drops[i].forTheFile(metric))
	}
	for _, u := range p.Unsolved {
		out.Put(page.Block{Title: "Volts of " + u,
			List: []string{"Not worked out while it is shorted or joined to another supply: see what check says."}})
	}
	return out
}

// picture is the layout from above with its wires.
func picture(l *track.Layout) *page.Figure {
	return sketch.Plain(l, "Seen from above. Where boxes stand is not in the file: they are drawn in a row.",
		func(s *sketch.Sketch) { s.Wires(l) })
}

func cautions() []string {
	return []string{
		"Every supply unplugged while a wire is joined or cut; with more than one supply all plugs out, and touch no " +
			"pins: one that is fed backwards has live pins.",
		wire.Soldering,
		"A wire, a breaker and a fuse belong together: what opens first must open before the thinnest wire behind it " +
			"gets hot. Local codes rule.",
		"Never open a supply. Mains wiring is for licensed electricians, by the local codes.",
	}
}

func (p *Plan) wireList(metric bool) page.Block {
	b := page.Block{Title: "Wires", Head: []string{"wire", "from", "to", "size", "length", "each wire", "opens at",
		"carries"}}
	for i := range p.Wires {
		w := &p.Wires[i]
		carries := amps(w.Carries)
		if w.Thin() {
			carries += ", too thin"
		}
		b.Rows = append(b.Rows, []string{w.Name, w.From, w.To, w.Size, Length(w.LengthMM, metric), ohms(w.Ohms),
			amps(w.Holds), carries})
		b.Aloud = append(b.Aloud, w.say(metric))
	}
	return b
}

// say is the wire in one sentence.
func (w *Wire) say(metric bool) string {
	s := fmt.Sprintf("%s: %s to %s", w.Name, w.From, w.To)
	var more []string
	add := func(text, format string) {
		if text != "" {
			more = append(more, fmt.Sprintf(format, text))
		}
	}
	add(w.Size, "%s")
	add(Length(w.LengthMM, metric), "%s long")
	add(ohms(w.Ohms), "%s each wire")
	add(amps(w.Holds), "opens at %s")
	add(amps(w.Carries), "carries about %s")
	if len(more) > 0 {
		s += ": " + strings.Join(more, ", ")
	}
	if w.Thin() {
		s += fmt.Sprintf(". TOO THIN: take %d AWG or thicker, or a fuse of its own", wire.GaugeFor(w.Holds))
	}
	return s
}

func ohms(r float64) string {
	if r <= 0 {
		return ""
	}
	return unit.FormatDigits(r, unit.Ohm, 2)
}

func amps(a float64) string {
	if a <= 0 {
		return ""
	}
	return unit.FormatDigits(a, unit.Ampere, 2)
}

func (p *Plan) terminalList() page.Block {
	b := page.Block{Title: "What hangs where", Head: []string{"terminal", "wires"}}
	for _, t := range p.Terminals {
		text := "empty"
		if len(t.Wires) > 0 {
			text = strings.Join(t.Wires, ", ")
		}
		b.Rows = append(b.Rows, []string{t.Name, text})
		b.Aloud = append(b.Aloud, t.Name+": "+text)
	}
	return b
}

func (p *Plan) labelList() page.Block {
	b := page.Block{Title: "Labels for both ends (MOROP NEM 605, 2014, 1 and 2.2: mark every wire at both)",
		Head: []string{"at the near end", "at the far end"}}
	for i := range p.Wires {
		for _, k := range p.Wires[i].Labels {
			b.Rows = append(b.Rows, []string{k.Near, k.Far})
			b.Aloud = append(b.Aloud, k.Near+" | "+k.Far)
		}
	}
	return b
}

func (p *Plan) shopping(metric bool) page.Block {
	b := page.Block{Title: fmt.Sprintf("To buy (wire with %.0f %% to spare, assumed)", 100*spare)}
	for _, i := range p.Buy {
		if i.Meters > 0 {
			b.Ticks = append(b.Ticks, page.Tick{Text: Length(i.Meters*1000, metric) + " of " + i.What})
		} else {
			b.Ticks = append(b.Ticks, page.Tick{Text: fmt.Sprintf("%d %s", i.Count, i.What)})
		}
	}
	for _, g := range p.Gaps {
		b.List = append(b.List, fmt.Sprintf("insulated: %s %s", g.Joint, unit.And(names(g.Rails))))
	}
	return b
}

func names(rails []track.Rail) []string {
	var out []string
	for _, r := range rails {
		out = append(out, string(r))
	}
	return out
}

// block tells what a supply loses, and what would hold the limit.
func (d *Drop) block(metric bool) page.Block {
	b := page.Block{Title: "Volts of " + d.Supply}
	b.List = append(b.List, fmt.Sprintf(
		"A train of %s (%s) has the least at %s: %.2f V of %.3g V are lost on the way there. Wanted: %.2f V at most.",
		unit.Format(d.TrainAmps, unit.Ampere), d.Assumed, d.Worst, d.Lost, d.Posts, d.Wanted))
	switch {
	case d.Held():
		b.List = append(b.List, "Held: no more feeders are needed for it.")
		return b
	case len(d.Ways) == 0:
		b.List = append(b.List, "Neither thicker wire nor more feeders bring a tenth of a volt: what is lost stays "+
			"in rails and joints.")
		return b
	case !d.Ways[0].Holds:
		b.List = append(b.List, "Wire alone does not hold it; this is how far it comes.")
	default:
		b.List = append(b.List, "The least copper that holds it comes first. Lengths are assumed: as far as the "+
			"nearest feeder, and from there along and across the table.")
	}
	for i := range d.Ways {
		b.List = append(b.List, d.Ways[i].say(metric))
	}
	return b
}

// forTheFile is the first way as the layout file has it.
func (d *Drop) forTheFile(metric bool) page.Block {
	if d.Held() || len(d.Ways) == 0 || !d.Ways[0].Holds || len(d.Ways[0].Feeders) == 0 {
		return page.Block{}
	}
	b := page.Block{Title: "For the file, as the first of them", Head: []string{""}}
	for _, l := range d.Ways[0].Lines(metric) {
		b.Rows = append(b.Rows, []string{l})
	}
	return b
}

func (w *Way) say(metric bool) string {
	var parts []string
	if len(w.Anew) > 0 {
		parts = append(parts, unit.And(w.Anew)+" laid anew")
	}
	if len(w.Feeders) > 0 {
		var at []string
		for _, f := range w.Feeders {
			at = append(at, fmt.Sprintf("%s (%s)", f.At, Length(f.LengthMM, metric)))
		}
		parts = append(parts, unit.Count(len(w.Feeders), "more feeder")+" at "+unit.And(at))
	}
	held := "does not hold it"
	if w.Holds {
		held = "holds it"
	}
	return fmt.Sprintf("%d AWG: %s; %.2f V lost, at %s: %s; %.0f g of copper", w.Gauge, strings.Join(parts, ", and "),
		w.Lost, w.Worst, held, w.CopperGrams)
}

// Lines are the feeders as the layout file has them.
func (w *Way) Lines(metric bool) []string {
	var out []string
	for _, f := range w.Feeders {
		on := "supply"
		if f.OnToggle {
			on = "toggle"
		}
		out = append(out, fmt.Sprintf("feeder %q {", f.Name))
		for _, v := range [][2]string{{"at", f.At}, {on, f.On}, {"wire", fmt.Sprintf("%d AWG", w.Gauge)},
			{"length", Length(f.LengthMM, metric)},
			{"hot", string(f.Hot)}, {"common", string(f.Common)}} {
			out = append(out, fmt.Sprintf("  %s = %q", v[0], v[1]))
		}
		out = append(out, "}")
	}
	return out
}
