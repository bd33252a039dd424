package check

import (
	"cmp"
	"fmt"
	"slices"

	"fishplate/diagnose/track"
)

// switchCheck looks at blocks and at what their toggles switch.
type switchCheck struct{ *checker }

// blocks looks whether each block can be switched off.
func (c switchCheck) blocks() {
	for i := range c.l.Blocks {
		b := &c.l.Blocks[i]
		place := b.Name + " (" + c.span(b.Pieces) + ")"
		c.shortBlock(b, place)
		if b.Toggle < 0 {
			c.add(Finding{Severity: GoodToKnow, Kind: "block-no-toggle", Place: place, Basis: NoSource,
				What: "no toggle feeds this block",
				Why:  "it is cut off or live for good: a train cannot be parked in it with the current off",
				Do:   "put a toggle into its feeder, or leave it so if it is for fault finding alone"}, b.Pieces)
			continue
		}
		off := newFeed(c.wired.switched(b.Toggle))
		switch t := &c.l.Toggles[b.Toggle]; {
		case t.Reverses:
			c.reversed(b, off)
			continue
		case t.Chooses:
			continue // never off; whether it joins its supplies is looked at there
		}
		live, k := c.stillFed(b.Pieces, off)
		if len(live) == 0 {
			continue
		}
		s, q, straight := off.circuit(k)
		// The side that the toggle should have cut is the one worth naming.
		point, side := k.a, 0
		if straight != c.l.Toggles[b.Toggle].Hot {
			point, side = q, 1
		}
		if !straight {
			side = 1 - side
		}
		words, pieces := c.way(off.path(point, c.n.Posts[s][side]))
		for _, p := range b.Pieces {
			for e := range c.l.Pieces[p].Ends {
				if j := c.l.Pieces[p].Ends[e].Joint; j >= 0 {
					c.told[j] = true
				}
			}
		}
		c.add(Finding{Severity: WontWork, Kind: "block-bridged", Place: place, Basis: Arithmetic,
			What: fmt.Sprintf("with %s off, %s still has current, by %s", c.l.Toggles[b.Toggle].Name, c.span(live),
				words),
			Why: "the toggle does not switch the block off: a train in it runs on",
			Do:  "put a gap in that way at the edge of the block, or move the feeder in that way out of it"},
			append(slices.Clone(pieces), b.Pieces...))
	}
}

// shortBlock looks whether the pickups of the train reach over a whole block: they
// then join the track before it to the track behind it.
func (c switchCheck) shortBlock(b *track.Block, place string) {
	long, t := c.lengthMM(b.Pieces), track.DefaultTrain()
	if len(c.l.Trains) > 0 {
		t = slices.MaxFunc(c.l.Trains, func(a, b track.Train) int { return cmp.Compare(a.PickupMM, b.PickupMM) })
	}
	if b.Toggle < 0 || long <= 0 || long > t.PickupMM {
		return
	}
	c.add(Finding{Severity: Badly, Kind: "block-short", Place: place, Basis: "geometry",
		What: fmt.Sprintf("it is %s long, and the pickups of the %s reach over %s", c.length(long), t.Name,
			c.length(t.PickupMM)),
		Why: "an engine that stands on it has pickups on live track before or behind it: the block feeds nothing of " +
			"its own, and cannot be switched off under it",
		Do: "make the block longer than the engine's pickups reach"}, b.Pieces)
}

// stillFed lists the pieces that have current in a graph, and a spot on the
// first.
func (c switchCheck) stillFed(pieces []int, f *feed) (live []int, at contacts) {
	for _, p := range pieces {
		for _, k := range c.spotsOf(p) {
			if s, _, _ := f.circuit(k); s >= 0 {
				if len(live) == 0 {
					at = k
				}
				live = append(live, p)
				break
			}
		}
	}
	return live, at
}

// reversed looks what a toggle that reverses does to its block: the block must
// be cut off from the rest, or the toggle shorts the supply.
func (c switchCheck) reversed(b *track.Block, off *feed) {
	t := &c.l.Toggles[b.Toggle]
	posts := c.n.Posts[t.Supply]
	if !off.joined(posts[0], posts[1]) || c.wired.joined(posts[0], posts[1]) {
		return
	}
	c.reverserShorts(b.Toggle, off, b.Pieces)
}

func (c switchCheck) reverserShorts(i int, off *feed, pieces []int) {
	t := &c.l.Toggles[i]
	posts := c.n.Posts[t.Supply]
	words, _ := c.way(off.path(posts[0], posts[1]))
	c.add(Finding{Severity: WontWork, Kind: "reverser-shorts", Place: t.Part(), Basis: Arithmetic,
		What:    fmt.Sprintf("thrown to reverse, it shorts %s, by %s", c.l.Supplies[t.Supply].Name, words),
		Why:     "the track that it reverses is joined to track that it does not reverse",
		Do:      "gaps in both rails at both ends of the stretch that it feeds",
		Caution: "do not try it out: throw it with the supply's plug pulled"}, pieces)
}

// toggles looks what each toggle switches.
func (c switchCheck) toggles() {
	base := newFeed(c.wired)
	for i := range c.l.Toggles {
		t := &c.l.Toggles[i]
		off := newFeed(c.wired.switched(i))
		if t.Reverses {
			posts := c.n.Posts[t.Supply]
			told := slices.ContainsFunc(c.l.Blocks, func(b track.Block) bool { return b.Toggle == i })
			if !told && off.joined(posts[0], posts[1]) && !c.wired.joined(posts[0], posts[1]) {
				c.reverserShorts(i, off, nil)
			}
			continue
		}
		told := slices.ContainsFunc(c.l.Blocks, func(b track.Block) bool { return b.Toggle == i })
		if told || t.Side || c.switchesTrack(base, off) || c.switchesAccessory(i) {
			continue
		}
		c.add(Finding{Severity: WontWork, Kind: "toggle-idle", Place: t.Name, Basis: Arithmetic,
			What: "this toggle switches nothing: all track has current with it off as with it on",
			Why:  "what it feeds is fed by another way too, or nothing hangs on it",
			Do:   "cut gaps round what it is to switch, or take it out"}, nil)
	}
}

// otherSupply is the supply of the second position of a toggle that chooses.
func (c *design) otherSupply(toggle int) int {
	o := c.l.Toggles[toggle].Other
	for range 20 {
		switch o.Kind {
		case track.OnBus:
			o = c.l.Buses[o.Index].On
		case track.OnToggle:
			o = c.l.Toggles[o.Index].On
		default:
			return o.Index
		}
	}
	return -1
}

// switchesTrack says whether a spot has its current from elsewhere, or none, in
// one of two graphs.
func (c switchCheck) switchesTrack(on, off *feed) bool {
	return slices.ContainsFunc(c.spots(), func(k contacts) bool {
		a, _, _ := on.circuit(k)
		b, _, _ := off.circuit(k)
		return a != b
	})
}

// switchesAccessory says whether an accessory hangs on a toggle, however far
// down the wires.
func (c switchCheck) switchesAccessory(toggle int) bool {
	for i := range c.l.Accessories {
		a := &c.l.Accessories[i]
		o := a.On
		for range 20 {
			if a.OnTrack || o.Kind == track.OnSupply {
				break
			}
			if o.Kind == track.OnToggle {
				if o.Index == toggle {
					return true
				}
				o = c.l.Toggles[o.Index].On
			} else {
				o = c.l.Buses[o.Index].On
			}
		}
	}
	return false
}
