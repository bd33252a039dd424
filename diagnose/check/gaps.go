package check

import (
	"fmt"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// bypass is how current gets round a gap.
type bypass uint8

const (
	apart   bypass = iota
	byTies         // through the ties of the two pieces themselves
	byTrack        // along other track
	byWires        // through feeders only
)

// gapLinks lists the links that stand for gaps, in order.
func (c *design) gapLinks() []int {
	var out []int
	for i := range c.n.Links {
		if k := &c.n.Links[i]; k.Joint >= 0 && k.NormallyOpen {
			out = append(out, i)
		}
	}
	return out
}

// gapCheck looks for gaps that separate nothing, are bypassed, or stand opposed.
type gapCheck struct{ *checker }

// gaps looks at what each gap separates.
func (c gapCheck) gaps() {
	bare := c.wired.alter(func(h *graph) { h.noToggles = true })
	var tied []int
	groups := map[string][]int{} // the gaps that one way goes round
	var order []string
	for _, i := range c.gapLinks() {
		k := &c.n.Links[i]
		if c.ownedGap(k.Joint) || c.told[k.Joint] {
			continue // told with its insulated rail, or with its block
		}
		how := c.bypassed(k)
		switch {
		case how == apart:
			continue
		case how == byTies:
			tied = append(tied, k.Joint)
			continue
		case how == byWires && (!bare.joined(k.A, k.B) || c.besidePoints(k.Joint)):
			continue // a toggle is in that way: a block; or points that switch a rail need the gap
		}
		key := fmt.Sprintf("%d %d", how, c.wired.part[c.n.NodeOf(k.A)])
		if how == byWires {
			key = "wires"
		}
		if groups[key] == nil {
			order = append(order, key)
		}
		groups[key] = append(groups[key], i)
	}
	if len(tied) > 0 {
		c.tiedGaps(tied)
	}
	var rounds [][]int
	for _, key := range order {
		if key == "wires" {
			c.wiredGaps(groups[key])
		} else {
			rounds = append(rounds, groups[key])
		}
	}
	for _, links := range c.sameJoints(rounds) {
		c.trackGaps(links)
	}
	c.opposed()
}

// besidePoints says whether a joint is at a turnout whose points switch rails.
func (c gapCheck) besidePoints(joint int) bool {
	ends := c.jointPieces(joint)
	return slices.ContainsFunc(c.n.Links, func(k conductor.Link) bool {
		return k.Kind == conductor.KindSwitch && slices.Contains(ends, k.Turnout)
	})
}

// ownedGap says whether a gap bounds an insulated rail of the file.
func (c gapCheck) ownedGap(joint int) bool {
	return slices.ContainsFunc(c.l.InsulatedRails, func(r track.InsulatedRail) bool {
		return r.From == joint || r.To == joint
	})
}

// bypassed says how the two sides of a gap are joined all the same.
func (c gapCheck) bypassed(k *conductor.Link) bypass {
	if !c.wired.joined(k.A, k.B) {
		return apart
	}
	if !c.rails.joined(k.A, k.B) {
		return byWires
	}
	ends := c.jointPieces(k.Joint)
	for _, i := range c.rails.path(k.A, k.B) {
		if p := c.n.Links[i].Piece; p >= 0 && !slices.Contains(ends, p) {
			return byTrack
		}
	}
	return byTies
}

func (c gapCheck) tiedGaps(joints []int) {
	var pieces []int
	for _, j := range joints {
		pieces = append(pieces, c.jointPieces(j)...)
	}
	c.add(Finding{Severity: WontWork, Kind: "gap-tied", Place: c.jointNames(joints),
		What: "the gap in an outer rail separates nothing: the ties of the pieces on both sides join the outer rails",
		Why: "current goes from the rail through a tie to the other outer rail, past the joint, and back through the " +
			"next tie. In this construction an insulated outer rail needs a special piece, or ties cut or insulated " +
			"along its whole stretch",
		Do: "lay special pieces (one outer rail held off the ties) from gap to gap and write untied for them, or " +
			"take the gap out",
		Basis: NoSource}, pieces)
}

// sameJoints puts groups of gaps together that lie in the same joints: both
// rails of a stretch cut in vain are one finding.
func (c gapCheck) sameJoints(groups [][]int) [][]int {
	var out [][]int
	for _, g := range groups {
		k := slices.IndexFunc(out, func(o []int) bool { return slices.Equal(c.jointsOf(o), c.jointsOf(g)) })
		if k < 0 {
			out = append(out, g)
		} else {
			out[k] = append(out[k], g...)
		}
	}
	return out
}

// jointsOf lists the joints of gaps in order, each once.
func (c gapCheck) jointsOf(links []int) []int {
	var out []int
	for _, i := range links {
		out = append(out, c.n.Links[i].Joint)
	}
	slices.Sort(out)
	return slices.Compact(out)
}

func (c gapCheck) trackGaps(links []int) {
	var ends []int
	var rails []string
	for _, i := range links {
		ends = append(ends, c.jointPieces(c.n.Links[i].Joint)...)
		rails = append(rails, c.n.Links[i].Rail)
	}
	first := &c.n.Links[links[0]]
	words, _ := c.way(c.rails.path(first.A, first.B))
	f := Finding{Severity: WontWork, Kind: "gap-bypassed", Place: c.jointNames(c.jointsOf(links)), Basis: Arithmetic,
		What: fmt.Sprintf("the %s-rail gap separates nothing: the track itself goes round it, by %s", first.Rail,
			words),
		Why: "what was to be cut off keeps its current from the other side",
		Do:  "put a second gap in that way, or take this one out"}
	if len(links) > 1 {
		f.What = fmt.Sprintf("the gaps (%s rail) separate nothing: the track itself goes round them, past %s for "+
			"example by %s",
			unit.And(unique(rails)), c.l.Joints[first.Joint].Name, words)
		f.Do = "put a further gap in that way, or take these out"
	}
	c.add(f, ends)
}

func (c gapCheck) wiredGaps(links []int) {
	var joints, ends []int
	for _, i := range links {
		joints = append(joints, c.n.Links[i].Joint)
		ends = append(ends, c.jointPieces(c.n.Links[i].Joint)...)
	}
	joints = slices.Compact(joints)
	first := &c.n.Links[links[0]]
	var by []string
	for _, i := range c.wired.path(first.A, first.B) {
		if w := c.wireName(&c.n.Links[i]); w != "" {
			by = append(by, w)
		}
	}
	c.add(Finding{Severity: GoodToKnow, Kind: "gap-same-feed", Place: c.jointNames(joints), Basis: Arithmetic,
		What: fmt.Sprintf("both sides of the gap are fed from the same post, by %s, with no toggle between",
			unit.And(unique(by))),
		Why: "it separates the parts for fault finding (pull one feeder), but nobody can switch them apart",
		Do:  "nothing, unless a block was meant: then put a toggle into one feeder"}, ends)
}

// opposed finds gaps in two-rail track with hot on one side and common of the
// same supply on the other: wheels that cross join them.
func (c gapCheck) opposed() {
	f := newFeed(c.wired)
	var joints, ends []int
	for _, i := range c.gapLinks() {
		k := &c.n.Links[i]
		if c.opposite(f, k) < 0 || c.turnedRight(k) {
			continue
		}
		joints = append(joints, k.Joint)
		ends = append(ends, c.jointPieces(k.Joint)...)
	}
	if len(joints) == 0 {
		return
	}
	joints = slices.Compact(joints)
	c.add(Finding{Severity: WontWork, Kind: "gap-opposed", Place: c.jointNames(joints), Basis: NoSource,
		What: "the rail is hot on one side of the gap and common on the other",
		Why: "the wheels of every train that crosses join the two: the supply is shorted, and an engine would turn " +
			"round and go back",
		Do: "in a reversing loop or wye: gaps in both rails at both ends, and the stretch between fed through a " +
			"toggle that reverses. Elsewhere: change the places of the two wires of the feeder on one side"}, ends)
}

// opposite is the supply whose hot and common lie on the two sides of a gap,
// -1 when there is none. Sides that are shorted anyway do not count.
func (c gapCheck) opposite(f *feed, k *conductor.Link) int {
	for _, p := range f.of(k.A) {
		other := pole{p.supply, 1 - p.side}
		if !c.fighting[p.supply] && slices.Contains(f.of(k.B), other) && !slices.Contains(f.of(k.A), other) {
			return p.supply
		}
	}
	return -1
}

// turnedRight says whether a toggle that reverses sets the two sides of a gap
// alike.
func (c gapCheck) turnedRight(k *conductor.Link) bool {
	for t := range c.l.Toggles {
		if c.l.Toggles[t].Reverses && c.opposite(newFeed(c.wired.switched(t)), k) < 0 {
			return true
		}
	}
	return false
}
