package main

import (
	"fmt"

	"fishplate/diagnose/panel"
	"fishplate/diagnose/trial"
)

// panelTable hunts the same shorts without a panel and with one.
func panelTable(o *options) error {
	fmt.Fprint(o.out, "pairs: of wires to the block. track: readings with a probe on the track. block: the block "+
		"read and nothing else, pieces that hold 90 %,\nhow often the bad one is among them, and how far the "+
		"likeliest is from it, in pieces: mean, and at most three (percent).\n")
	fmt.Fprintf(o.out, "%-8s %4s %5s | %8s %6s %7s %6s %5s %5s | %6s %6s %6s %6s\n", "layout", "n", "pairs",
		"readings", "track", "minutes", "total", "first", "three", "block:", "right", "apart", "<= 3")
	for i, name := range []string{"loop", "loop", "yard", "club"} {
		pieces := []int{60, 200, 60, 0}[i]
		if o.only != "" && o.only != fmt.Sprint(name, pieces) {
			continue
		}
		text := trial.Club()
		if pieces > 0 {
			var err error
			if text, err = trial.Shape(name, pieces, trial.Build{}); err != nil {
				return err
			}
		}
		for _, pairs := range []int{0, 2, 3} {
			if err := o.panelRow(name, text, pairs); err != nil {
				return err
			}
		}
	}
	return nil
}

func (o *options) panelRow(name, text string, pairs int) error {
	l, err := layoutOf(text)
	if err != nil {
		return err
	}
	if pairs > 0 {
		plan, err := panel.Make(l, panel.Options{Pairs: pairs, Seed: o.seed})
		if err != nil {
			return err
		}
		for i := range plan.Wires {
			l.Terminals = append(l.Terminals, *plan.Wires[i].Terminal())
		}
	}
	kit, m := instruments("cheap", false)
	kit.LampWatts, kit.LampVolts, kit.Block = 31.5, l.Supplies[0].Volts, o.block
	f, err := trial.NewField(trial.Setting{Layout: l, Kit: kit, Meter: m, LampSD: 0.04, LevelSD: 0.2}, nil)
	if err != nil {
		return err
	}
	r := newRow(o, f, 77)
	r.beside = false
	if err := r.run(o.n); err != nil {
		return err
	}
	a := mean(r.all, ours)
	onTrack := 0.0
	for i := range r.all {
		onTrack += float64(r.all[i].ours.Track) / float64(o.n)
	}
	fmt.Fprintf(o.out, "%-8s %4d %5d | %8.2f %6.2f %7.1f %6.1f %5.0f %5.0f |", name, len(l.Pieces), pairs, a.readings,
		onTrack, a.minutes, a.total, 100*a.first, 100*a.three)
	if pairs == 0 {
		fmt.Fprintf(o.out, " %6s %6s %6s %6s\n", "-", "-", "-", "-")
		return nil
	}
	held, right, apart, near := 0, 0, 0, 0
	for k := range o.n {
		x, err := r.draw(k)
		if err != nil {
			return err
		}
		if o.spice {
			if x.Exact, err = exact(f, x); err != nil {
				return err
			}
		}
		t, err := f.Block(x)
		if err != nil {
			return err
		}
		held, apart = held+t.Held, apart+t.Apart
		if t.In {
			right++
		}
		if t.Apart <= 3 {
			near++
		}
	}
	n := float64(o.n)
	fmt.Fprintf(o.out, " %6.1f %6.0f %6.1f %6.0f\n", float64(held)/n, 100*float64(right)/n, float64(apart)/n,
		100*float64(near)/n)
	return nil
}
