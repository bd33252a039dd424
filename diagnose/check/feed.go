package check

import (
	"fmt"
	"slices"

	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// dead says what a spot lacks.
type dead uint8

const (
	alive dead = iota
	noA        // the center rail (the left one) meets no feeder
	noB        // no other rail meets one
	noBoth
	noCircuit // both do, but not the two sides of one supply
)

func (f *feed) lacks(k contacts) dead {
	if s, _, _ := f.circuit(k); s >= 0 {
		return alive
	}
	a := len(f.of(k.a)) > 0
	b := slices.ContainsFunc(k.b, func(p int) bool { return len(f.of(p)) > 0 })
	switch {
	case a && b:
		return noCircuit
	case a:
		return noB
	case b:
		return noA
	}
	return noBoth
}

// feedCheck looks for track without a feeder, and for rails that float.
type feedCheck struct{ *checker }

// unfed finds pieces with no path to a feeder, however the turnouts are thrown
// and with every toggle on.
func (c feedCheck) unfed() {
	lack := c.lackOf()
	if !slices.ContainsFunc(lack, func(d dead) bool { return d != alive }) {
		return
	}
	if len(c.l.Feeders) == 0 {
		c.add(Finding{Severity: WontWork, Kind: "no-feed", Place: "the whole layout",
			What:  "there is no feeder: no track gets current",
			Why:   "without a pair of wires from a supply nothing runs",
			Do:    "add a feeder to the layout file: where it is joined, the supply, the wire and its length",
			Basis: Arithmetic}, nil)
		return
	}
	for _, group := range c.clusters(func(p int) int { return int(lack[p]) }) {
		c.unfedGroup(group, lack[group[0]])
	}
}

// lackOf says for each piece what the worst of its spots lacks.
func (c feedCheck) lackOf() []dead {
	feeds := []*feed{newFeed(c.wired)}
	if len(c.wired.frogs) > 0 {
		feeds = append(feeds, newFeed(c.wired.thrown(track.EndDiverging)))
	}
	out := make([]dead, len(c.l.Pieces))
	for _, k := range c.spots() {
		worst := feeds[0].lacks(k)
		if worst != alive && len(feeds) > 1 {
			if feeds[1].lacks(k) == alive {
				continue
			}
			worst = newFeed(c.wired.alter(func(h *graph) { h.throws = c.routeTo(k) })).lacks(k)
		}
		out[k.piece] = max(out[k.piece], worst)
	}
	return out
}

// entry is the end of the next piece that end e of piece p meets, Piece -1
// where nothing is joined.
func (c *design) entry(p, e int) track.EndRef {
	j := c.l.Pieces[p].Ends[e].Joint
	if j < 0 {
		return track.EndRef{Piece: -1, End: -1}
	}
	return c.l.Joints[j].Other(track.EndRef{Piece: p, End: e})
}

// clusters groups pieces of equal colour that are joined to each other; colour
// 0 belongs to none. Groups and their pieces are in order.
func (c feedCheck) clusters(colour func(piece int) int) [][]int {
	seen := make([]bool, len(c.l.Pieces))
	var out [][]int
	for p := range c.l.Pieces {
		if seen[p] || colour(p) == 0 {
			continue
		}
		group := []int{p}
		seen[p] = true
		for i := 0; i < len(group); i++ {
			for e := range c.l.Pieces[group[i]].Ends {
				q := c.entry(group[i], e).Piece
				if q >= 0 && !seen[q] && colour(q) == colour(p) {
					seen[q] = true
					group = append(group, q)
				}
			}
		}
		slices.Sort(group)
		out = append(out, group)
	}
	return out
}

func (c feedCheck) unfedGroup(group []int, lack dead) {
	if !slices.ContainsFunc(group, func(p int) bool { return c.l.Pieces[p].Kind != track.Bumper }) {
		return // nothing runs on a bumper
	}
	f := Finding{Severity: WontWork, Kind: "no-feed", Place: c.span(group), Basis: Arithmetic,
		Why: "a train that gets here stops, and nothing that hangs on this track works",
		Do:  "put a feeder on " + c.l.Pieces[group[0]].ID() + ", or close the way that current should take"}
	a, b := "the left rail", "the right rail"
	if c.l.Pieces[group[0]].Construction.HasRail(track.Center) {
		a, b = "the center rail", "neither outer rail"
	}
	switch lack {
	case noA:
		f.What = a + " has no path to a feeder"
	case noB:
		f.What = b + " has a path to a feeder"
		if a == "the left rail" {
			f.What = b + " has no path to a feeder"
		}
	case noCircuit:
		f.What = "the rails lead to one and the same post, or to different supplies: no current can come back"
		f.Do = "feed both rails from one supply, or join the commons of the supplies after proving their phase"
	default:
		f.What = "no rail has a path to a feeder"
	}
	if gaps := c.border(group); len(gaps) > 0 {
		f.What += "; it is cut off at " + c.jointNames(gaps)
	}
	if mm, reach := c.lengthMM(group), c.train().PickupMM; c.ways(group) > 1 && mm < reach {
		f.Severity, f.Kind = GoodToKnow, "dead-spot"
		f.Why = fmt.Sprintf("it is %s long and the pickups of the engine reach over %s, so most trains coast across",
			c.length(mm), c.length(reach))
		f.Do = "nothing, unless a short engine stops there"
	}
	c.add(f, group)
}

// ways counts the joints between a group and the rest.
func (c feedCheck) ways(group []int) int {
	n := 0
	for _, p := range group {
		for e := range c.l.Pieces[p].Ends {
			if q := c.entry(p, e).Piece; q >= 0 && !slices.Contains(group, q) {
				n++
			}
		}
	}
	return n
}

// border lists the joints with a gap between a group and the rest.
func (c feedCheck) border(group []int) []int {
	var out []int
	for j := range c.l.Joints {
		if len(c.l.Joints[j].Insulated) == 0 {
			continue
		}
		ends := c.jointPieces(j)
		if slices.Contains(group, ends[0]) != slices.Contains(group, ends[1]) {
			out = append(out, j)
		}
	}
	return out
}

// train is the layout's train with the least favourable figures of all.
func (c *design) train() track.Train {
	if len(c.l.Trains) == 0 {
		return track.DefaultTrain()
	}
	t := c.l.Trains[0]
	for _, u := range c.l.Trains[1:] {
		t.AxleMM = max(t.AxleMM, u.AxleMM)
		t.PickupMM = min(t.PickupMM, u.PickupMM)
		t.Amps = max(t.Amps, u.Amps)
	}
	return t
}

// floating finds outer rails that nothing joins to a supply, where the piece
// has current otherwise. Stretches that are cut off on purpose are left out.
func (c feedCheck) floating() {
	f := newFeed(c.wired)
	byPart := map[int][]int{}
	rail := map[int]track.Rail{}
	for p := range c.l.Pieces {
		piece := &c.l.Pieces[p]
		if !piece.Construction.HasRail(track.Center) || piece.Kind == track.Bumper {
			continue
		}
		for _, k := range c.spotsOf(p) {
			if s, _, _ := f.circuit(k); s < 0 {
				continue
			}
			for _, q := range k.b {
				part := f.part[c.n.NodeOf(max(q, 0))]
				if q >= 0 && len(f.at[part]) == 0 && !slices.Contains(byPart[part], p) {
					byPart[part] = append(byPart[part], p)
					rail[part] = c.n.Points[q].Rail
				}
			}
		}
	}
	var loose []int
	var rails, which []string
	for part := range c.n.Nodes { // in order
		if pieces := byPart[part]; len(pieces) > 0 && !c.declared(part) && !c.cutOff(part, pieces, rail[part], byPart) {
			loose = append(loose, pieces...)
			rails = append(rails, fmt.Sprintf("the %s rail floats: nothing joins it to a supply", rail[part]))
			which = append(which, fmt.Sprintf("the %s rail of %s", rail[part], c.span(pieces)))
		}
	}
	switch {
	case len(loose) == 0:
	case len(unique(rails)) == 1:
		c.looseRails(loose, rails[0])
	default:
		c.looseRails(loose, unit.And(which)+" float: nothing joins them to a supply")
	}
}

// cutOff tells of a stretch that is cut off on purpose, and says whether it is.
func (c feedCheck) cutOff(part int, pieces []int, r track.Rail, byPart map[int][]int) bool {
	gaps, cut := c.gapsOf(part, len(pieces), byPart)
	if cut {
		c.add(Finding{Severity: GoodToKnow, Kind: "insulated-rail-unused", Place: c.span(pieces),
			What: fmt.Sprintf("the %s rail is cut off at %s and works no accessory in this file", r,
				c.jointNames(gaps)),
			Why:   "trains run on it all the same; wheels there bring no current back by this rail",
			Do:    "write the insulated rail and its accessory into the file, and they are checked too",
			Basis: NoSource}, pieces)
	}
	return cut
}

func (c feedCheck) looseRails(pieces []int, what string) {
	c.add(Finding{Severity: Badly, Kind: "floating-rail", Place: c.span(pieces),
		What: what,
		Why: "in this construction the outer rails are separate. Wheels on this side bring no current back, so a " +
			"little dirt on the other rail makes lamps flicker and engines hesitate, and an insulated rail on the " +
			"other side has nothing to work against",
		Do: fmt.Sprintf("take a second common wire (or plug) to that rail, at %s for example",
			c.l.Pieces[c.feederOn(pieces)].ID()),
		Basis: NoSource}, pieces)
}

// feederOn is the first of the pieces that a feeder is on, else the first.
func (c feedCheck) feederOn(pieces []int) int {
	for i := range c.l.Feeders {
		if slices.Contains(pieces, c.l.Feeders[i].At.Piece) {
			return c.l.Feeders[i].At.Piece
		}
	}
	return pieces[0]
}

// declared says whether a part holds an insulated rail of the file.
func (c feedCheck) declared(part int) bool {
	for i := range c.l.InsulatedRails {
		ir := &c.l.InsulatedRails[i]
		if k := c.railPoint(ir); k >= 0 && c.wired.part[c.n.NodeOf(k)] == part {
			return true
		}
	}
	return false
}

// gapsOf lists the joints whose gaps bound a part, and says whether the part
// looks cut off on purpose: what lies beyond each gap is live, or larger.
func (c feedCheck) gapsOf(part, size int, byPart map[int][]int) (joints []int, cutOff bool) {
	cutOff = true
	for i := range c.n.Links {
		k := &c.n.Links[i]
		if k.Joint < 0 || !k.NormallyOpen {
			continue
		}
		a, b := c.wired.part[c.n.NodeOf(k.A)], c.wired.part[c.n.NodeOf(k.B)]
		if a != part && b != part || a == b {
			continue
		}
		other := a + b - part
		if n := len(byPart[other]); n > 0 && n <= size {
			cutOff = false
		}
		joints = append(joints, k.Joint)
	}
	return joints, cutOff && len(joints) > 0
}
