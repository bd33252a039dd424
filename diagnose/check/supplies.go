package check

import (
	"fmt"
	"slices"

	"fishplate/diagnose/track"
)

const toyBasis = "IEC 61558-2-7:2007 cl. 1: at most 24 V AC or 33 V DC, 10 A, 200 VA; NEM 609 (2010) 6.1"

const backFeed = "two supplies joined at the track: while one is plugged in, the prongs of the other's plug can " +
	"carry mains voltage. Pull BOTH plugs before you touch a wire, and never hold a loose plug. Anything on the " +
	"mains side: local codes, and a licensed electrician"

const backFeedBasis = "MOROP NEM 609 (2010) 6.1 and fig. 2: outputs in series or parallel are forbidden, for lethal " +
	"back-transformation onto the mains pins"

// supplyCheck looks at what supplies may give, and at two of them that meet.
type supplyCheck struct{ *checker }

// supplyLimits looks at the figures of each supply.
func (c supplyCheck) supplyLimits() {
	for s := range c.l.Supplies {
		u := &c.l.Supplies[s]
		kind, limit := "AC", u.ToyVolts()
		if !u.AC {
			kind = "DC"
		}
		if u.Volts > limit {
			c.add(Finding{Severity: WontWork, Kind: "supply-volts", Place: u.Name,
				What: fmt.Sprintf("%.3g V %s is more than a toy's supply may give (%g V %s)", u.Volts, kind, limit,
					kind),
				Why: "bare rails are there to be touched, by children too, and engines and lamps are not made " +
					"for it",
				Do: "take a supply made for toy trains",
				Caution: "above 30 V AC or 60 V DC a bare conductor counts as hazardous live (IEC 61010-031): do not " +
					"power this track",
				Basis: toyBasis}, nil)
		}
		if u.Breaker > track.ToyAmps {
			c.add(Finding{Severity: Badly, Kind: "breaker-large", Place: u.Name,
				What: fmt.Sprintf("a breaker of %.3g A is more than a toy's supply may give (%g A)", u.Breaker,
					track.ToyAmps),
				Why: "either the supply is none for toys, or the breaker does not protect it: it holds while the " +
					"winding burns",
				Do:      "take the breaker that the supply's label asks for, 10 A at most",
				Caution: "a short that does not trip makes heat: switch off and let it cool before you touch it",
				Basis:   toyBasis}, nil)
		}
		if va := u.Volts * u.Breaker; va > track.ToyVA && u.Volts <= limit && u.Breaker <= track.ToyAmps {
			c.add(Finding{Severity: Badly, Kind: "supply-power", Place: u.Name,
				What: fmt.Sprintf("%.3g V behind a breaker of %.3g A is %.0f VA, more than a toy's supply may give "+
					"(%g VA)", u.Volts, u.Breaker, va, track.ToyVA),
				Why: "either the supply is none for toys, or the breaker lets through more than it is made for",
				Do: fmt.Sprintf("read the amperes on the supply's label: at these volts %.2g A at most",
					below(track.ToyVA/u.Volts)),
				Basis: toyBasis}, nil)
		}
		if !c.runsTrains(s) && !c.feedsAccessory(s) {
			c.add(Finding{Severity: GoodToKnow, Kind: "supply-unused", Place: u.Name,
				What: "nothing hangs on this supply",
				Why:  "it was forgotten, or its feeders are not in the file", Do: "add its feeders, or take it out",
				Basis: Arithmetic}, nil)
		}
	}
}

// feedsAccessory says whether an accessory or the second position of a toggle
// hangs on a supply.
func (c supplyCheck) feedsAccessory(s int) bool {
	for i := range c.l.Toggles {
		if c.l.Toggles[i].Chooses && c.otherSupply(i) == s {
			return true
		}
	}
	return slices.ContainsFunc(c.l.Accessories, func(a track.Accessory) bool { return !a.OnTrack && a.Supply == s })
}

// joinedSupplies finds supplies that the track or the wires join without a gap,
// with all toggles on or with one that chooses between supplies thrown.
func (c supplyCheck) joinedSupplies() {
	for s := range c.l.Supplies {
		for t := s + 1; t < len(c.l.Supplies); t++ {
			if c.joinedPair(s, t, c.wired, "") {
				continue
			}
			for i := range c.l.Toggles {
				if g := c.chosen(i); g != nil &&
					c.joinedPair(s, t, g, " (with "+c.l.Toggles[i].Part()+" in its second position)") {
					break
				}
			}
		}
	}
}

// chosen is the graph with a toggle that chooses between supplies in its second
// position, nil for all other toggles.
func (c supplyCheck) chosen(toggle int) *graph {
	if !c.l.Toggles[toggle].Chooses {
		return nil
	}
	return c.wired.switched(toggle)
}

// joinedPair says whether it found two supplies joined.
func (c supplyCheck) joinedPair(s, t int, g *graph, how string) bool {
	a, b := c.n.Posts[s], c.n.Posts[t]
	hots, commons := g.joined(a[0], b[0]), g.joined(a[1], b[1])
	cross := g.joined(a[0], b[1]) || g.joined(a[1], b[0])
	shorted := g.joined(a[0], a[1]) || g.joined(b[0], b[1])
	if !hots && (!cross || shorted) {
		return false
	}
	from, to := a[0], b[0]
	if !hots {
		from, to = a[0], b[1]
		if !g.joined(from, to) {
			from, to = a[1], b[0]
		}
	}
	words, pieces := c.way(g.path(from, to))
	words += how
	names := c.l.Supplies[s].Name + " and " + c.l.Supplies[t].Name
	f := Finding{Severity: WontWork, Kind: "supplies-joined", Place: names, Caution: backFeed, Basis: backFeedBasis,
		Do: "cut gaps so that every way from one to the other crosses one (the hot rail in three-rail track, both " +
			"rails in two-rail track), or feed both parts from one supply"}
	switch {
	case hots && commons:
		f.What = fmt.Sprintf("they are in parallel: their hot posts are joined by %s", words)
		f.Why = "out of phase or at different volts they drive current through each other, and neither breaker sees " +
			"all of a short"
	case hots:
		f.What = fmt.Sprintf("their hot posts are joined by %s, and nothing else is", words)
		f.Why = "as soon as the commons meet anywhere they are in parallel and drive current through each other"
	default:
		f.What = fmt.Sprintf("hot of one and common of the other are joined by %s", words)
		f.Why = "they are in series: the two voltages add up between their free posts"
	}
	c.fighting[s], c.fighting[t] = true, true
	c.add(f, pieces)
	return true
}

// meet is two supplies and the joints with a gap between them.
type meet struct {
	s, t   int
	joints []int
}

// neighbours looks at supplies that meet at a gap: a train that stands across
// it joins them. Toggles that choose between supplies are thrown one by one.
func (c supplyCheck) neighbours() {
	meets := c.meets(nil, newFeed(c.wired))
	for i := range c.l.Toggles {
		if g := c.chosen(i); g != nil {
			meets = c.meets(meets, newFeed(g))
		}
	}
	slices.SortStableFunc(meets, func(a, b meet) int { return (a.s-b.s)*len(c.l.Supplies) + a.t - b.t })
	for _, m := range meets {
		c.meeting(m.s, m.t, m.joints)
	}
}

func (c supplyCheck) meets(meets []meet, f *feed) []meet {
	for i := range c.n.Links {
		k := &c.n.Links[i]
		if k.Joint < 0 || !k.NormallyOpen {
			continue
		}
		for _, p := range f.of(k.A) {
			for _, q := range f.of(k.B) {
				if p.supply == q.supply || c.fighting[p.supply] || c.fighting[q.supply] {
					continue
				}
				meets = meeting(meets, min(p.supply, q.supply), max(p.supply, q.supply), k.Joint)
			}
		}
	}
	return meets
}

// meeting adds a joint to the ones where two supplies meet.
func meeting(meets []meet, s, t, joint int) []meet {
	for i := range meets {
		if m := &meets[i]; m.s == s && m.t == t {
			if !slices.Contains(m.joints, joint) {
				m.joints = append(m.joints, joint)
			}
			return meets
		}
	}
	return append(meets, meet{s, t, []int{joint}})
}

// meeting says what must be known before a train goes from the one supply to
// the other.
func (c supplyCheck) meeting(s, t int, joints []int) {
	u, v := &c.l.Supplies[s], &c.l.Supplies[t]
	names := u.Name + " and " + v.Name
	var pieces []int
	for _, j := range joints {
		pieces = append(pieces, c.jointPieces(j)...)
	}
	f := Finding{Severity: GoodToKnow, Place: c.jointNames(joints), Caution: backFeed,
		Basis: backFeedBasis + "; phase test: common practice, no source"}
	switch {
	case u.AC != v.AC:
		f.Severity, f.Kind = WontWork, "supplies-mixed"
		f.What = fmt.Sprintf("an AC and a DC supply (%s) meet at a gap", names)
		f.Why = "wheels or pickups that stand across the gap put one on the other"
		f.Do = "keep their track apart, with a dead piece longer than an engine between, or feed both parts alike"
	case !u.AC:
		f.Kind = "supplies-meet"
		f.What = fmt.Sprintf("%s meet here", names)
		f.Why = "a train that crosses joins them for a moment: set to opposite directions their voltages add up"
		f.Do = "set both to the same direction and about the same volts before a train crosses"
	case c.phase(s) == track.PhaseUnknown || c.phase(t) == track.PhaseUnknown:
		f.Kind = "phase-unknown"
		f.What = fmt.Sprintf("%s meet here, and the file does not say whether they are in phase", names)
		f.Why = fmt.Sprintf("out of phase they stand %.3g V apart, and every train that crosses shorts that",
			u.Volts+v.Volts)
		f.Do = "before the first train: no train on the gap, both on at about half, read AC volts across it on the " +
			"hot rail: near 0 is in phase; near the sum, switch off and turn one plug round. Mark the plugs and " +
			"write phase = \"in phase\" into the file"
		if !c.wired.joined(c.n.Posts[s][1], c.n.Posts[t][1]) {
			f.Do = "for the test, join the two common posts with one wire, both plugs pulled. Then, " + f.Do
		}
	case c.phase(s) != c.phase(t):
		f.Kind, f.Severity = "phase-reversed", WontWork
		f.What = fmt.Sprintf("%s meet here and are out of phase", names)
		f.Why = fmt.Sprintf("they stand %.3g V apart, and every train that crosses shorts that", u.Volts+v.Volts)
		f.Do = "switch off, pull both plugs, turn one of them round, read again, and mark the plugs"
	default:
		return
	}
	c.add(f, pieces)
}

// phase is the phase of a supply; the first AC one is what the others are
// compared with.
func (c supplyCheck) phase(s int) track.Phase {
	for i := range c.l.Supplies {
		if c.l.Supplies[i].AC {
			if i == s && c.l.Supplies[s].Phase == track.PhaseUnknown {
				return track.PhaseIn
			}
			break
		}
	}
	return c.l.Supplies[s].Phase
}
