package hunt

import (
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/track"
)

// live asks about a block that stays live with its toggle off: what it gets
// under load, with the toggle off and with its own feeders off too (then what
// comes in comes over a gap), where along it the current runs, and, all off,
// across the toggle and across its gaps.
func (g *asker) live(piece int) {
	sit := g.sit
	block := sit.layout.BlockOf(piece)
	if block < 0 {
		return
	}
	toggle := sit.layout.Blocks[block].Toggle
	off := g.now.Clone()
	off.TurnOff(toggle)
	apart := off.Clone()
	for i := range sit.layout.Feeders {
		if o := sit.layout.FeederToggle(i); o == toggle {
			apart.Pull(i)
		}
	}
	spots := g.blockSpots(block)
	for _, s := range []conductor.Setup{off, apart} {
		g.liveVolts(s, spots)
	}
	f, ok := sit.continuity()
	if !ok {
		return
	}
	from, lugs := sit.net.Outlet(sit.layout.Toggles[toggle].On), sit.net.Lugs[toggle]
	for side := range lugs {
		g.ask(off, f, from[side], lugs[side])
		g.ask(apart, f, from[side], lugs[side])
	}
	for _, t := range spots {
		if o, ok := sit.across(t); ok {
			g.ask(apart, f, t.hot, o.hot)
			g.ask(apart, f, t.common, o.common)
			g.ask(apart, f, t.other, o.other)
		}
	}
}

// liveVolts asks for volts in the block, and along it, with each supply on and
// a lamp laid across its first place.
func (g *asker) liveVolts(s conductor.Setup, spots []spot) {
	sit := g.sit
	if len(spots) == 0 {
		return
	}
	at, ok := grasp{sit}.handSpot(sit.symptomPiece())
	if !ok {
		at = spots[0]
	}
	for i := range sit.net.Posts {
		on := sit.underLoad(&s, i, at)
		if sit.kit.Volts {
			g.ask(on, meter.Volts, at.hot, at.common)
		}
		for _, f := range sit.voltDials() {
			for k, t := range spots {
				if o, ok := sit.across(t); ok {
					g.ask(on, f, t.hot, o.hot)
					g.ask(on, f, t.common, o.common)
				}
				if k > 0 {
					g.ask(on, f, spots[k-1].hot, t.hot)
				}
			}
		}
	}
}

// blockSpots are the two ends of a block, each on the block's side of its gap,
// and a place in between.
func (g *asker) blockSpots(block int) []spot {
	sit := g.sit
	pieces := sit.layout.Blocks[block].Pieces
	var out []spot
	for _, p := range pieces {
		for e := range sit.layout.Pieces[p].Ends {
			s, ok := sit.spotOf(track.EndRef{Piece: p, End: e})
			if !ok {
				continue
			}
			o, ok := sit.across(s)
			if !ok || slices.Contains(pieces, o.end.Piece) {
				continue
			}
			out = append(out, s)
		}
	}
	if n := len(pieces); n > 2 {
		if s, ok := sit.spotAt(pieces[n/2]); ok {
			out = append(out, s)
		}
	}
	return dedupe(out)
}

// proofOfLive reads the volts in the block with its toggle off, under load.
func (pv prover) proofOfLive() *Ask {
	p := pv.symptomPiece()
	block := pv.layout.BlockOf(p)
	t, ok := grasp{pv.Situation}.handSpot(p)
	if !pv.kit.Volts || block < 0 || !ok {
		return nil
	}
	i := pv.engine.FeedsPiece(p)
	s := conductor.Usual(pv.layout)
	s.TurnOff(pv.layout.Blocks[block].Toggle)
	q := infer.Question{Setup: pv.underLoad(&s, i, t), Func: meter.Volts, Red: t.hot, Black: t.common}
	a := pv.scribe().ask(&q, nil, pv.now())
	a.Below = 0.3 * pv.layout.Supplies[i].Volts
	a.Why = "this proves the repair: with its toggle off the block is dead, under load too"
	a.Expect = pv.proofRows(a, "the toggle and the gaps hold", "current comes in another way too")
	return a
}
