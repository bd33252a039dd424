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
	h := g.h
	block := h.layout.BlockOf(piece)
	if block < 0 {
		return
	}
	toggle := h.layout.Blocks[block].Toggle
	off := g.now.Clone()
	off.TurnOff(toggle)
	apart := off.Clone()
	for i := range h.layout.Feeders {
		if o := h.layout.FeederToggle(i); o == toggle {
			apart.Pull(i)
		}
	}
	spots := g.blockSpots(block)
	for _, s := range []conductor.Setup{off, apart} {
		g.liveVolts(s, spots)
	}
	f, ok := h.continuity()
	if !ok {
		return
	}
	from, lugs := h.outletPoints(h.layout.Toggles[toggle].On), h.net.Lugs[toggle]
	for side := range lugs {
		g.ask(off, f, from[side], lugs[side])
		g.ask(apart, f, from[side], lugs[side])
	}
	for _, t := range spots {
		if o, ok := h.across(t); ok {
			g.ask(apart, f, t.hot, o.hot)
			g.ask(apart, f, t.common, o.common)
			g.ask(apart, f, t.other, o.other)
		}
	}
}

// liveVolts asks for volts in the block, and along it, with each supply on and
// a lamp laid across its first place.
func (g *asker) liveVolts(s conductor.Setup, spots []spot) {
	h := g.h
	if len(spots) == 0 {
		return
	}
	at, ok := h.spotAt(h.symptomPiece())
	if !ok {
		at = spots[0]
	}
	for i := range h.net.Posts {
		on := h.underLoad(&s, i, at)
		if h.kit.Volts {
			g.ask(on, meter.Volts, at.hot, at.common)
		}
		for _, f := range h.voltDials() {
			for k, t := range spots {
				if o, ok := h.across(t); ok {
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
	h := g.h
	pieces := h.layout.Blocks[block].Pieces
	var out []spot
	for _, p := range pieces {
		for e := range h.layout.Pieces[p].Ends {
			s, ok := h.spotOf(track.EndRef{Piece: p, End: e})
			if !ok {
				continue
			}
			o, ok := h.across(s)
			if !ok || slices.Contains(pieces, o.end.Piece) {
				continue
			}
			out = append(out, s)
		}
	}
	if n := len(pieces); n > 2 {
		if s, ok := h.spotAt(pieces[n/2]); ok {
			out = append(out, s)
		}
	}
	return dedupe(out)
}

// proofOfLive reads the volts in the block with its toggle off, under load.
func (h *Hunt) proofOfLive() *Ask {
	p := h.symptomPiece()
	block := h.layout.BlockOf(p)
	t, ok := h.spotAt(p)
	if !h.kit.Volts || block < 0 || !ok {
		return nil
	}
	i := h.engine.FeedsPiece(p)
	s := conductor.Usual(h.layout)
	s.TurnOff(h.layout.Blocks[block].Toggle)
	q := infer.Question{Setup: h.underLoad(&s, i, t), Func: meter.Volts, Red: t.hot, Black: t.common}
	a := h.ask(&q, nil, h.now())
	a.Below = 0.3 * h.layout.Supplies[i].Volts
	a.Why = "this proves the repair: with its toggle off the block is dead, under load too"
	a.Expect = h.proofRows(a, "the toggle and the gaps hold", "current comes in another way too: the hunt goes on")
	return a
}
