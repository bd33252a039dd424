package check

import (
	"fmt"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// polarityCheck looks for crossed feeders, loops that turn a train round, and shorts by design.
type polarityCheck struct{ *checker }

// onto is the point of the track that a feeder's wire is joined to.
func (c polarityCheck) onto(feeder, side int) int {
	f := &c.l.Feeders[feeder]
	r := f.Hot
	if side == 1 {
		r = f.Common
	}
	return c.pointAt(f.At, r)
}

// pointAt is the point of a rail at a place, -1 when there is none.
func (c *design) pointAt(at track.Place, r track.Rail) int {
	if at.End >= 0 {
		return c.n.At(track.EndRef{Piece: at.Piece, End: at.End}, r)
	}
	return c.n.Middle(at.Piece, r)
}

// railPart is the part of the track alone that a feeder's wire goes to.
func (c polarityCheck) railPart(feeder, side int) int {
	p := c.onto(feeder, side)
	if p < 0 {
		return -1
	}
	return c.rails.part[c.n.NodeOf(p)]
}

// crossedFeeders finds feeders of one supply that are joined the other way
// round than the rest: the hot wire of one and the common wire of another are
// on one and the same rail.
func (c polarityCheck) crossedFeeders() {
	for s := range c.l.Supplies {
		byPart := map[int]*[2][]int{} // part -> feeders with their hot, common wire there
		var parts []int
		for i := range c.l.Feeders {
			hot, common := c.railPart(i, 0), c.railPart(i, 1)
			if c.l.Feeders[i].Supply != s || hot == common || hot < 0 || common < 0 ||
				c.behindReverser(c.l.Feeders[i].On) {
				continue
			}
			for side, part := range [2]int{hot, common} {
				if byPart[part] == nil {
					byPart[part] = &[2][]int{}
					parts = append(parts, part)
				}
				byPart[part][side] = append(byPart[part][side], i)
			}
		}
		told := map[int]bool{}
		for _, part := range parts {
			hot, common := byPart[part][0], byPart[part][1]
			if len(hot) == 0 || len(common) == 0 {
				continue
			}
			odd, rest := common, hot
			if len(hot) < len(common) || len(hot) == len(common) && hot[0] > common[0] {
				odd, rest = hot, common
			}
			c.fighting[s] = true
			for _, i := range odd {
				if !told[i] && !told[rest[0]] {
					told[i] = true
					c.crossed(i, rest[0])
				}
			}
		}
	}
}

// hotOutside finds feeders of three-rail track that put hot on an outer rail.
func (c polarityCheck) hotOutside() {
	var names []string
	var pieces []int
	for i := range c.l.Feeders {
		f := &c.l.Feeders[i]
		if c.fighting[f.Supply] || !c.l.Pieces[f.At.Piece].Construction.HasRail(track.Center) || f.Hot == track.Center {
			continue
		}
		names = append(names, f.Name)
		pieces = append(pieces, f.At.Piece)
	}
	if len(names) == 0 {
		return
	}
	c.add(Finding{Severity: Badly, Kind: "hot-outside", Place: unit.And(names) + " at " + c.span(pieces),
		What: "hot goes to an outer rail, and common to the center rail",
		Why: "trains run, but wheels, frames and every insulated rail are hot then: an accessory or a second " +
			"supply joined the usual way shorts",
		Do: "change the places of the two wires: hot to the center rail, common to the outer rails",
		Basis: "three-rail AC: common to the outer rails, hot to the center (common practice; a handbook of layout " +
			"wiring, source not named)"}, pieces)
}

func (c polarityCheck) crossed(odd, other int) {
	f, g := &c.l.Feeders[odd], &c.l.Feeders[other]
	c.add(Finding{Severity: WontWork, Kind: "feeder-crossed",
		Place: f.Name + " at " + c.l.PlaceName(f.At),
		What: fmt.Sprintf("its wires are the other way round than those of %s: the track joins hot of one to "+
			"common of the other", g.Name),
		Why: "the supply is shorted as soon as it is switched on",
		Do: fmt.Sprintf("change the places of the two wires of %s (it has hot on the %s rail), or of %s if that "+
			"is the wrong one", f.Name, f.Hot, g.Name),
		Caution: "work on feeders with the supply's plug pulled",
		Basis:   Arithmetic}, []int{f.At.Piece})
}

// behindReverser says whether an outlet hangs on a toggle that crosses its
// wires.
func (c polarityCheck) behindReverser(o track.Outlet) bool {
	for range 20 { // outlets hang on earlier ones, so the chain ends
		switch o.Kind {
		case track.OnToggle:
			if c.l.Toggles[o.Index].Reverses {
				return true
			}
			o = c.l.Toggles[o.Index].On
		case track.OnBus:
			o = c.l.Buses[o.Index].On
		default:
			return false
		}
	}
	return false
}

// reversing finds the loops and wyes that bring a train back the other way
// round: there the left rail meets the right one.
func (c polarityCheck) reversing() {
	three := []int{}
	for _, loop := range c.turningLoops() {
		p := loop[0]
		piece := &c.l.Pieces[p]
		if piece.Construction.HasRail(track.Center) {
			three = append(three, loop...)
			continue
		}
		k := c.spotsOf(p)[0]
		if k.a < 0 || k.b[0] < 0 || !c.rails.joined(k.a, k.b[0]) {
			continue // gaps keep them apart; what the gaps separate is looked at there
		}
		c.reversingLoop(loop)
	}
	if len(three) == 0 {
		return
	}
	c.add(Finding{Severity: GoodToKnow, Kind: "reversing-three-rail", Place: c.span(three),
		What: "this track turns a train round",
		Why: "two-rail track would be shorted here; three-rail track is free of it, since the center rail stays " +
			"the center rail",
		Do:    "nothing for running. Left and right change places here, so an insulated rail changes sides too",
		Basis: NoSource}, three)
}

func (c polarityCheck) reversingLoop(loop []int) {
	for s, posts := range c.n.Posts {
		if c.wired.joined(posts[0], posts[1]) {
			c.fighting[s] = true
		}
	}
	name, gaps := "reversing loop or wye", "in both rails at both ends of one stretch of it"
	if joints := c.loopJoints(loop); len(joints) == 2 {
		name, gaps = "reversing loop", fmt.Sprintf("in both rails at %s", c.jointNames(joints))
	} else if c.turnoutsIn(loop) >= 3 {
		name = "wye"
	}
	c.add(Finding{Severity: WontWork, Kind: "reversing-short", Place: c.span(loop),
		What: fmt.Sprintf("a %s without gaps: on the way round, the left rail comes back and meets the right one",
			name),
		Why: "in two-rail track that is a short as it is laid, whatever the turnouts are thrown to",
		Do: fmt.Sprintf("cut gaps %s, so that the longest train fits between, and feed the stretch through a toggle "+
			"that reverses; the two gaps of an end go side by side", gaps),
		Basis: NoSource}, loop)
}

func (c polarityCheck) turnoutsIn(loop []int) int {
	n := 0
	for _, p := range loop {
		if c.l.Pieces[p].Kind == track.Turnout {
			n++
		}
	}
	return n
}

// loopJoints are the joints at the two legs of the one turnout that closes a
// loop, none where there are several.
func (c polarityCheck) loopJoints(loop []int) []int {
	var out []int
	for _, p := range loop {
		piece := &c.l.Pieces[p]
		if piece.Kind != track.Turnout {
			continue
		}
		var legs []int
		for e := range piece.Ends {
			if piece.Ends[e].Label != track.EndPoints && slices.Contains(loop, c.entry(p, e).Piece) {
				legs = append(legs, piece.Ends[e].Joint)
			}
		}
		if len(legs) == 2 {
			out = append(out, legs...)
		}
	}
	return out
}

// turn is a place in the double cover of the track: an end of a piece, and
// whether left and right have changed places on the way there.
type turn struct {
	piece, end int
	swapped    bool
}

// turningLoops lists rows of pieces along which left becomes right, one for
// each joint that closes such a row. Gaps do not count.
func (c polarityCheck) turningLoops() [][]int {
	type side struct {
		lead    track.EndRef
		swapped bool
	}
	lead := map[track.EndRef]side{}
	var find func(track.EndRef) side
	find = func(x track.EndRef) side {
		s, ok := lead[x]
		if !ok || s.lead == x {
			return side{x, false}
		}
		r := find(s.lead)
		r.swapped = r.swapped != s.swapped
		lead[x] = r
		return r
	}
	// join says false where x and y were joined before with the other parity.
	join := func(x, y track.EndRef, swapped bool) bool {
		a, b := find(x), find(y)
		if a.lead == b.lead {
			return (a.swapped != b.swapped) == swapped
		}
		lead[a.lead] = side{b.lead, a.swapped != b.swapped != swapped}
		return true
	}
	for p := range c.l.Pieces {
		for _, leg := range c.l.Pieces[p].Legs {
			join(track.EndRef{Piece: p, End: leg.From}, track.EndRef{Piece: p, End: leg.To}, false)
		}
	}
	var out [][]int
	blocked := map[int]bool{}
	for j := range c.l.Joints {
		if !join(c.l.Joints[j].A, c.l.Joints[j].B, c.swaps(j)) && len(out) < 20 {
			if loop := c.turningLoop(j, blocked); len(loop) > 0 {
				out = append(out, loop)
			}
			blocked[j] = true
		}
	}
	return out
}

// swaps says whether left on one piece of a joint is right on the other.
func (c *design) swaps(j int) bool { return c.l.AcrossJoint(j, track.Left) != track.Left }

// turningLoop finds a shortest row from one side of a joint back to itself
// with left and right changed, and leaves out what it goes twice.
func (c polarityCheck) turningLoop(j int, blocked map[int]bool) []int {
	start := turn{c.l.Joints[j].A.Piece, c.l.Joints[j].A.End, false}
	goal := start
	goal.swapped = true
	from := map[turn]turn{start: start}
	queue := []turn{start}
	for len(queue) > 0 {
		if _, ok := from[goal]; ok {
			break
		}
		x := queue[0]
		queue = queue[1:]
		for _, y := range c.turns(x, blocked) {
			if _, ok := from[y]; !ok {
				from[y] = x
				queue = append(queue, y)
			}
		}
	}
	if _, ok := from[goal]; !ok {
		return nil
	}
	row := []int{goal.piece}
	for x := goal; x != start; {
		x = from[x]
		if row[len(row)-1] != x.piece {
			row = append(row, x.piece)
		}
	}
	for len(row) > 2 && row[0] == row[len(row)-1] && row[1] == row[len(row)-2] {
		row = row[1 : len(row)-1]
	}
	return slices.Compact(slices.Sorted(slices.Values(row)))
}

// turns lists the places next to x.
func (c polarityCheck) turns(x turn, blocked map[int]bool) []turn {
	var out []turn
	piece := &c.l.Pieces[x.piece]
	for _, leg := range piece.Legs {
		if leg.From == x.end {
			out = append(out, turn{x.piece, leg.To, x.swapped})
		} else if leg.To == x.end {
			out = append(out, turn{x.piece, leg.From, x.swapped})
		}
	}
	if j := piece.Ends[x.end].Joint; j >= 0 && !blocked[j] {
		in := c.entry(x.piece, x.end)
		out = append(out, turn{in.Piece, in.End, x.swapped != c.swaps(j)})
	}
	return out
}

// shorts finds supplies whose posts the design joins in a way that was not
// named yet.
func (c polarityCheck) shorts() {
	for s, posts := range c.n.Posts {
		for _, route := range []string{track.EndThrough, track.EndDiverging} {
			g := c.wired
			if route == track.EndDiverging {
				if len(c.wired.frogs) == 0 {
					continue
				}
				g = c.wired.thrown(route)
			}
			if c.fighting[s] || !g.joined(posts[0], posts[1]) {
				continue
			}
			c.fighting[s] = true
			c.short(s, g, route)
		}
	}
}

func (c polarityCheck) short(s int, g *graph, route string) {
	path := g.path(c.n.Posts[s][0], c.n.Posts[s][1])
	words, pieces := c.way(path)
	f := Finding{Severity: WontWork, Kind: "short-by-design", Place: c.l.Supplies[s].Name,
		What:    fmt.Sprintf("hot and common of %s are joined by: %s", c.l.Supplies[s].Name, words),
		Why:     "the supply is shorted as soon as it is switched on",
		Do:      "look along that way for the wire on the wrong rail or for the rail that should have a gap",
		Caution: "work on feeders with the supply's plug pulled",
		Basis:   Arithmetic}
	if len(g.frogs) > 0 {
		f.What += fmt.Sprintf(" (turnouts whose frog is fed thrown to %s)", route)
	}
	if i := c.tiedFeeder(path); i >= 0 {
		at := c.l.Feeders[i].At
		f.Kind, f.Place = "feeder-on-tied-rails", c.l.Feeders[i].Name+" at "+c.l.PlaceName(at)
		f.What = fmt.Sprintf("both wires of %s go to rails that are one: the %s and the %s rail are joined inside %s",
			c.l.Feeders[i].Name, c.l.Feeders[i].Hot, c.l.Feeders[i].Common, c.l.Pieces[at.Piece].ID())
		if c.l.Feeders[i].Hot == c.l.Feeders[i].Common {
			f.What = fmt.Sprintf("both wires of %s go to the %s rail", c.l.Feeders[i].Name, c.l.Feeders[i].Hot)
		}
		f.Do = fmt.Sprintf("take the hot wire of %s to the %s rail", c.l.Feeders[i].Name,
			c.l.Pieces[at.Piece].Construction.Hot)
		pieces = []int{at.Piece}
	}
	c.add(f, pieces)
}

// tiedFeeder is the feeder whose two wires a path goes through without leaving
// its piece, -1 when there is none.
func (c polarityCheck) tiedFeeder(path []int) int {
	feeder := -1
	for _, i := range path {
		k := &c.n.Links[i]
		switch {
		case k.Kind == conductor.KindJoint:
			return -1
		case k.Feeder >= 0 && feeder >= 0 && feeder != k.Feeder:
			return -1
		case k.Feeder >= 0:
			feeder = k.Feeder
		}
	}
	return feeder
}
