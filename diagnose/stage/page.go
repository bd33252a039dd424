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
	about := fmt.Sprintf("%s while the track is laid, about %.0f min in all; no fault is more than %s away (all "+
		"times assumed).",
		unit.Count(len(x.Plan.Stages), "stop"), x.Plan.Minutes, unit.Count(x.Plan.Within, "piece"))
	if x.Plan.Portable {
		p.Title, about = layout+": set up, board by board", x.Plan.aboutSetUp()
	}
	p.Put(page.Block{List: []string{about}})
	p.Put(page.Block{Title: "Before", List: x.Plan.Before()})
	for i := range x.Plan.Stages {
		s := &x.Plan.Stages[i]
		p.Put(page.Block{Title: s.Head(), Ticks: x.Ticks(s)})
		p.Put(listed("", s.Tail()))
	}
	p.Put(listed("", x.Plan.Hidden()))
	for i := range x.Plan.Wiring {
		w := &x.Plan.Wiring[i]
		p.Put(listed(w.Head(), append([]string{w.Caution}, w.Do...)...))
		p.Put(page.Block{Ticks: x.Ticks(w)})
		p.Put(listed("", w.Tail()))
	}
	p.Put(listed("Before power", Supply()...))
	return p
}

// Ticks are the readings of a stop, those that were good ticked.
func (x *Proof) Ticks(s Stop) []page.Tick {
	var out []page.Tick
	for _, r := range s.Asks() {
		out = append(out, page.Tick{Text: r.Say(), Done: x.Good(&r)})
	}
	return out
}

// Done is what comes when all is proven: what the readings did not show, and what is
// minded before power.
func (p *Plan) Done() *page.Page {
	return &page.Page{Title: p.what() + " are proven as far as these readings go.",
		Blocks: []page.Block{listed("", p.Hidden()), listed("Before power", Supply()...)}}
}

// Command is the command that goes through such a plan.
func (p *Plan) Command() string {
	if p.Portable {
		return "setup"
	}
	return "build"
}

func (p *Plan) what() string {
	if p.Portable {
		return "Boards and plugs"
	}
	return "Track and wires"
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
