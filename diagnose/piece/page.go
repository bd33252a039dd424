package piece

import (
	"fmt"
	"strings"

	"fishplate/diagnose/page"
	"fishplate/diagnose/track"
)

// Page is the check of pieces on paper, a block a lot; counted says that there are as many
// of each as are named.
func Page(l *track.Layout, lots []Lot, beeper, counted bool) (*page.Page, error) {
	p := &page.Page{Title: l.Name + ": each piece alone on the bench, before it goes down."}
	p.Put(page.Block{List: Before()})
	motors := false
	for i := range lots {
		more, err := lots[i].Page(l, beeper, counted)
		if err != nil {
			return nil, err
		}
		p.Blocks = append(p.Blocks, more.Blocks...)
		motors = motors || lots[i].Motor
	}
	if motors {
		p.Put(page.Block{Title: "Motors", List: Motor()})
	}
	return p, nil
}

// Page is the check of one lot on paper.
func (lot *Lot) Page(l *track.Layout, beeper, counted bool) (*page.Page, error) {
	faults, err := lot.Faults(beeper)
	if err != nil {
		return nil, err
	}
	odds, err := lot.Factor(beeper)
	if err != nil {
		return nil, err
	}
	head := lot.Name
	if counted {
		head += fmt.Sprintf(", %d of them: %s", len(lot.Pieces), strings.Join(l.RowNames(lot.Pieces), ", "))
	}
	p := &page.Page{}
	b := page.Block{Title: head + ". " + lot.Takes() + " (assumed)."}
	if s := lot.TakeOff(); s != "" {
		b.List = append(b.List, s)
	}
	at := ""
	for _, r := range lot.Rows() {
		if r.Position != at {
			if len(b.Ticks) > 0 {
				p.Put(b)
				b = page.Block{}
			}
			at, b.List = r.Position, append(b.List, "Points "+r.Position+":")
		}
		b.Ticks = append(b.Ticks, page.Tick{Text: fmt.Sprintf("%s. black on %s, red on %s: must %s",
			Numbers(r.Readings), r.Black, strings.Join(r.Reds, ", "), r.Must)})
	}
	p.Put(b)
	b = page.Block{}
	for i := range faults {
		m := &faults[i]
		where := "Seen by none of them: "
		if len(m.Readings) > 0 {
			where = "Wrong at " + Numbers(m.Readings) + ": "
		}
		b.List = append(b.List, where+m.Say())
	}
	b.List = append(b.List, fmt.Sprintf(
		"One that passes has %.2g of the odds that it had: what these readings cannot see, and what comes with "+
			"laying or later (%.0f %%, assumed).", odds, 100*Later))
	p.Put(b)
	return p, nil
}
