package stage

import (
	"fmt"

	"fishplate/diagnose/page"
	"fishplate/diagnose/unit"
)

// Page is the check list of a layout, with what was good ticked, for paper and for the
// eye.
func (x *Proof) Page(layout string) *page.Page {
	p := &page.Page{Title: layout + ": proven in stages while it is laid"}
	p.Put(page.Block{List: []string{fmt.Sprintf("%s while the track is laid, about %.0f min in all; no fault is more than %s away (all times assumed).",
		unit.Count(len(x.Plan.Stages), "stop"), x.Plan.Minutes, unit.Count(x.Plan.Within, "piece"))}})
	p.Put(page.Block{Title: "Before", List: Before()})
	for i := range x.Plan.Stages {
		s := &x.Plan.Stages[i]
		b := page.Block{Title: fmt.Sprintf("%d. %s", s.N, s.Head())}
		for k := range s.Readings {
			r := &s.Readings[k]
			b.Ticks = append(b.Ticks, page.Tick{Text: r.Say(), Done: x.Good(r)})
		}
		p.Put(b)
		p.Put(listed("", s.Tail()))
	}
	p.Blocks = append(p.Blocks, x.Plan.after()...)
	return p
}

// Done is what comes when all track is proven: what the readings did not show, the wires,
// and what is minded before power.
func (p *Plan) Done() *page.Page {
	return &page.Page{Title: "All track is proven as far as these readings go.", Blocks: p.after()}
}

func (p *Plan) after() []page.Block {
	out := []page.Block{listed("", p.Hidden())}
	for i := range p.Wiring {
		w := &p.Wiring[i]
		b := listed("The wires: "+w.Name, w.Do...)
		for k := range w.Readings {
			b.Ticks = append(b.Ticks, page.Tick{Text: w.Readings[k].Say()})
		}
		out = append(out, b, listed("", w.After))
	}
	return append(out, listed("Before power", Supply()...))
}

// listed is a block of sentences, those that say nothing left out.
func listed(title string, list ...string) page.Block {
	b := page.Block{Title: title}
	for _, s := range list {
		if s != "" {
			b.List = append(b.List, s)
		}
	}
	return b
}
