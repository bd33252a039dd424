package check

import (
	"fmt"
	"slices"

	"fishplate/diagnose/track"
)

// railPoint is a point of an insulated rail.
func (c *design) railPoint(r *track.InsulatedRail) int {
	if r.Own {
		return c.pointAt(r.Tap, r.TapRail)
	}
	k := c.spotsOf(r.Pieces[0])[0]
	return c.outer(k, r.Rail)
}

// outer is the point of a rail among the contacts of a spot, -1 without one.
func (c *design) outer(k contacts, r track.Rail) int {
	for _, q := range k.b {
		if q >= 0 && c.n.Points[q].Rail == r {
			return q
		}
	}
	return -1
}

// railCheck looks at insulated rails: what they work, how far they reach.
type railCheck struct{ *checker }

// insulatedRails looks at the design of every insulated rail of the file.
func (c railCheck) insulatedRails() {
	f := newFeed(c.wired)
	for i := range c.l.InsulatedRails {
		r := &c.l.InsulatedRails[i]
		k := c.railPoint(r)
		if k < 0 {
			continue
		}
		if poles := f.of(k); len(poles) > 0 {
			c.railBridged(r, k, poles[0])
			continue
		}
		c.railReach(r, k)
		if !r.Own {
			c.railReturn(r, f)
			c.railLength(r)
		}
	}
	loadCheck{c.checker}.loads()
}

// railFinding begins a finding about an insulated rail.
func (c railCheck) railFinding(r *track.InsulatedRail, s Severity, kind string) Finding {
	return Finding{Severity: s, Kind: kind, Place: r.Name + " (" + c.span(r.Pieces) + ")", Basis: NoSource}
}

func (c railCheck) works(r *track.InsulatedRail) string { return c.l.Accessories[r.Accessory].Name }

// railBridged explains why an insulated rail is not cut off at all.
func (c railCheck) railBridged(r *track.InsulatedRail, k int, p pole) {
	f := c.railFinding(r, WontWork, "insulated-rail-bridged")
	f.Why = fmt.Sprintf("%s is always on, train or none", c.works(r))
	if p.side == 0 {
		f.Why = "the rail is hot: the first wheels on it short the supply through the other outer rail"
	}
	if uncut := c.uncut(r); len(uncut) > 0 {
		f.Kind = "insulated-rail-uncut"
		f.What = fmt.Sprintf("the %s rail is not cut at %s", r.Rail, c.jointNames(uncut))
		f.Do = fmt.Sprintf("put an insulating pin or joiner there, and write insulated %q { rails = [%q] }",
			c.l.Joints[uncut[0]].Name, r.Rail)
		if r.Own {
			f.Do = "the rail behind the frog must meet nothing beyond the turnout: put an insulating pin or joiner " +
				"there"
		}
		c.add(f, r.Pieces)
		return
	}
	if tied := c.tiedPieces(r); len(tied) > 0 {
		f.Kind = "insulated-rail-tied"
		f.What = fmt.Sprintf("the ties of %s join its outer rails, so the %s rail is not cut off", c.span(tied), r.Rail)
		f.Do = "lay special pieces, one outer rail held off the ties, from gap to gap (or cut or insulate their " +
			"ties) and write untied for them"
		c.add(f, r.Pieces)
		return
	}
	words, pieces := c.way(c.wired.path(k, c.n.Posts[p.supply][p.side]))
	f.What = fmt.Sprintf("another way bridges it: from the %s rail to %s of %s by %s", r.Rail, sides[p.side],
		c.l.Supplies[p.supply].Name, words)
	f.Do = "cut that way too: a gap in that rail of the siding or turnout, or the feeder's wire on the other outer rail"
	c.add(f, append(slices.Clone(pieces), r.Pieces...))
}

// uncut lists the ends of an insulated rail that have no gap in it.
func (c railCheck) uncut(r *track.InsulatedRail) []int {
	var out []int
	for _, j := range []int{r.From, r.To} {
		if j < 0 {
			continue
		}
		if !slices.ContainsFunc(c.gapLinks(), func(i int) bool { return c.n.Links[i].Joint == j && c.sideOf(r, i) }) {
			out = append(out, j)
		}
	}
	return out
}

// sideOf says whether a gap is in the insulated rail: one of its sides lies on
// a piece of it, on the rail as it is named there.
func (c railCheck) sideOf(r *track.InsulatedRail, link int) bool {
	for _, p := range []int{c.n.Links[link].A, c.n.Links[link].B} {
		q := &c.n.Points[p]
		if slices.Contains(r.Pieces, q.Piece) && q.Rail == r.Rail {
			return true
		}
	}
	return false
}

// tiedPieces lists the pieces of an insulated rail whose ties join the outer
// rails.
func (c railCheck) tiedPieces(r *track.InsulatedRail) []int {
	var out []int
	for _, p := range r.Pieces {
		piece := &c.l.Pieces[p]
		if len(piece.Construction.TiedWith(r.Rail)) > 1 && !piece.Untied {
			out = append(out, p)
		}
	}
	return out
}

// railReach finds track beyond the insulated rail that is joined to it.
func (c railCheck) railReach(r *track.InsulatedRail, k int) {
	part := c.wired.part[c.n.NodeOf(k)]
	var more []int
	for p := range c.n.Points {
		q := &c.n.Points[p]
		if q.Piece >= 0 && q.End < 0 && c.wired.part[q.Node] == part && !slices.Contains(r.Pieces, q.Piece) {
			more = append(more, q.Piece)
		}
	}
	if len(more) == 0 {
		return
	}
	f := c.railFinding(r, WontWork, "insulated-rail-reach")
	f.What = fmt.Sprintf("the rail does not end where the file says: %s is joined to it", c.span(more))
	f.Why = fmt.Sprintf("a train there works %s too", c.works(r))
	f.Do = "cut the rail at the end of the stretch, or in the turnout that leads on"
	if uncut := c.uncut(r); len(uncut) > 0 {
		f.Kind = "insulated-rail-uncut"
		f.What = fmt.Sprintf("the %s rail is not cut at %s: %s is joined to it", r.Rail, c.jointNames(uncut),
			c.span(more))
		f.Do = fmt.Sprintf("put an insulating pin or joiner there, and write insulated %q { rails = [%q] }",
			c.l.Joints[uncut[0]].Name, r.Rail)
	}
	c.add(f, append(more, r.Pieces...))
}

// railReturn looks whether the other outer rail carries the common that the
// accessory needs.
func (c railCheck) railReturn(r *track.InsulatedRail, f *feed) {
	s := c.l.Accessories[r.Accessory].Supply
	if s < 0 {
		return
	}
	var dead []int
	name := r.Rail
	for i, p := range r.Pieces {
		if i > 0 {
			name = c.carry(r.Pieces[i-1], p, name)
		}
		for _, k := range c.spotsOf(p) {
			if q := c.outer(k, name.Mirror()); q < 0 || !slices.Contains(f.of(q), pole{s, 1}) {
				dead = append(dead, p)
				break
			}
		}
	}
	if len(dead) == 0 {
		return
	}
	g := c.railFinding(r, WontWork, "insulated-rail-no-return")
	g.What = fmt.Sprintf("the other outer rail at %s is not common of %s, which feeds %s", c.span(dead),
		c.l.Supplies[s].Name, c.works(r))
	g.Why = fmt.Sprintf("wheels join the two outer rails, but no current comes back: %s never works there", c.works(r))
	g.Do = fmt.Sprintf("join that rail to common of %s (a second wire of a feeder, or the commons of two supplies "+
		"once their phase is proven)", c.l.Supplies[s].Name)
	c.add(g, r.Pieces)
}

// carry follows the name of a rail from one piece to the next along a stretch.
func (c railCheck) carry(from, to int, r track.Rail) track.Rail {
	for e := range c.l.Pieces[from].Ends {
		j := c.l.Pieces[from].Ends[e].Joint
		if j < 0 || c.entry(from, e).Piece != to {
			continue
		}
		if c.swaps(j) {
			return r.Mirror()
		}
		return r
	}
	return r
}

// railLength compares an insulated rail with the train and with its run.
func (c railCheck) railLength(r *track.InsulatedRail) {
	long, t := c.lengthMM(r.Pieces), c.train()
	if long <= t.AxleMM {
		f := c.railFinding(r, Badly, "insulated-rail-short")
		f.What = fmt.Sprintf("it is %s long, and the axles of %s are up to %s apart", c.length(long), t.Name,
			c.length(t.AxleMM))
		f.Why = fmt.Sprintf("between two trucks no wheel is on it: %s drops out and comes on again", c.works(r))
		f.Do = fmt.Sprintf("make it longer than %s; a crossing on the road takes about four straights",
			c.length(t.AxleMM))
		f.Basis = "geometry; four straights for a crossing: common practice, no source"
		if len(c.l.Trains) == 0 {
			f.What += " (assumed: the file names no train)"
		}
		c.add(f, r.Pieces)
	}
	for i := range c.l.Runs {
		run := &c.l.Runs[i]
		if run.Name == c.l.Pieces[r.Pieces[0]].Run && run.Closed && 2*long > c.lengthMM(run.Pieces) {
			f := c.railFinding(r, GoodToKnow, "insulated-rail-long")
			f.What = fmt.Sprintf("it is %s long, more than half of %s (%s)", c.length(long), run.Name,
				c.length(c.lengthMM(run.Pieces)))
			f.Why = fmt.Sprintf("%s is on for most of each lap, and that much track has one outer rail less for the "+
				"trains", c.works(r))
			f.Do = "make it as short as the purpose allows: the way a train needs from the signal to the road"
			c.add(f, r.Pieces)
		}
	}
}
