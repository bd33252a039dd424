package main

import (
	"os"
	"time"

	"fishplate/diagnose/piece"
	"fishplate/tui"
	pieces "fishplate/tui/piece"
)

// screens takes a box through on the screen.
func (b *box) screens(s *stay, lots []piece.Lot, only []int) tui.Options {
	s.rounds = func() []string { return []string{b.came()} }
	o := tui.Options{Layout: b.layout, LayoutPath: b.name, Piece: b.onScreen(lots, only)}
	s.look.into(&o, os.Getenv)
	return o
}

// onScreen is what the screen of a box needs.
func (b *box) onScreen(lots []piece.Lot, only []int) *pieces.Options {
	before := map[int]string{}
	for p := range b.layout.Pieces {
		before[p] = b.ticks.aside(b.layout.Pieces[p].ID())
	}
	return &pieces.Options{Layout: b.layout.Name, Lots: lots, Only: only, Passed: b.hasPassed, Beeper: b.beeper,
		Name:  func(p int) string { return b.layout.Pieces[p].ID() },
		Loose: func(p int) string { return piece.Loose(b.layout, p) },
		Keep: func(lot *piece.Lot, p int) (string, time.Time, error) {
			says, err := b.keep(lot, p)
			return says, time.Now(), err
		},
		Aside: b.putAside, Before: before}
}
