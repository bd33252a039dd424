package check

import (
	"fmt"
	"math"
	"slices"

	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
	"fishplate/diagnose/wire"
)

// below rounds amperes down: to whole ones from 2 A, else to tenths.
func below(amps float64) float64 {
	if amps >= 2 {
		return math.Floor(amps)
	}
	return math.Floor(amps*10) / 10
}

// conductorOf is one pair of wires as the file has it.
type conductorOf struct {
	name, wire string
	supply     int
	mm2        float64
	holds      float64 // amperes at which a breaker or a fuse before it opens
	at         int     // piece, -1 for none
	small      bool    // it leads to an accessory alone
}

// wireCheck looks for wires thinner than their breaker allows.
type wireCheck struct{ *checker }

// pairs lists the pairs of wires whose size the file gives.
func (c wireCheck) pairs() []conductorOf {
	var out []conductorOf
	add := func(name, size string, supply int, ohms, mm, holds float64, at int, small bool) {
		if ohms > 0 && mm > 0 {
			out = append(out, conductorOf{name, size, supply, wire.Copper * mm / 1000 / ohms, holds, at, small})
		}
	}
	for i := range c.l.Buses {
		b := &c.l.Buses[i]
		add(b.Name, b.Wire, b.Supply, b.OhmsPerWire, b.LengthMM, c.l.Holds(b.On, b.Fuse), -1, false)
	}
	for i := range c.l.Feeders {
		f := &c.l.Feeders[i]
		add(f.Name, f.Wire, f.Supply, f.OhmsPerWire, f.LengthMM, c.l.Holds(f.On, f.Fuse), f.At.Piece, false)
	}
	for i := range c.l.InsulatedRails {
		r := &c.l.InsulatedRails[i]
		if a := &c.l.Accessories[r.Accessory]; a.Supply >= 0 {
			add(r.Name, r.Wire, a.Supply, r.Ohms, r.LengthMM, c.l.Holds(a.On, a.Fuse), r.Tap.Piece, true)
		}
	}
	return out
}

// wires finds wires that get hotter than they should before the breaker that
// protects them opens. One finding for each supply and size. The rule is not
// good to better than a tenth, so a wire that lacks less than that passes.
func (c wireCheck) wires() {
	type key struct {
		supply int
		wire   string
		small  bool
		holds  float64
	}
	groups := map[key][]conductorOf{}
	var order []key
	for _, w := range c.pairs() {
		if wire.Amps(w.mm2) >= 0.9*w.holds {
			continue
		}
		k := key{w.supply, w.wire, w.small, w.holds}
		if groups[k] == nil {
			order = append(order, k)
		}
		groups[k] = append(groups[k], w)
	}
	for _, k := range order {
		c.thin(groups[k])
	}
}

// thin tells of wires of one size behind one breaker.
func (c wireCheck) thin(group []conductorOf) {
	var names []string
	var pieces []int
	for _, w := range group {
		names = append(names, w.name)
		if w.at >= 0 {
			pieces = append(pieces, w.at)
		}
	}
	u, limit := &c.l.Supplies[group[0].supply], wire.Amps(group[0].mm2)
	guard := fmt.Sprintf("%.3g A breaker of %s", u.Breaker, u.Name)
	if group[0].holds < u.Breaker {
		guard = fmt.Sprintf("%.3g A fuse before it", group[0].holds)
	}
	f := Finding{Severity: NotSafe, Kind: "wire-thin", Place: unit.And(names),
		What: fmt.Sprintf("%s is thin for the %s: about %.2g A is what it carries", group[0].wire, guard, limit),
		Why: "a short, or a train that stalls, can hold the current just below the breaker for a long time, and " +
			"then the wire is the fuse",
		Do: fmt.Sprintf("take %d AWG or thicker, or put a fuse or breaker of %.2g A into that pair",
			wire.GaugeFor(group[0].holds), below(limit)),
		Caution: "a wire that is too thin for its breaker can start a fire where it is bundled or stapled",
		Basis:   wire.Basis}
	if group[0].small {
		f.Severity, f.Kind = GoodToKnow, "accessory-wire-thin"
		f.Why = "the accessory takes far less, but a short in it can heat its wires without opening the breaker"
		f.Do = fmt.Sprintf("put a fuse of %.2g A or less into the accessory's hot wire", below(limit))
	}
	c.add(f, pieces)
}

// amps is the current of the train for one supply.
func (c *design) amps(s int) float64 {
	a, _ := c.trainAmps(s)
	return a
}

// trainAmps is the current of the train for one supply, and where it comes
// from.
func (c *design) trainAmps(s int) (amps float64, from string) {
	switch {
	case c.o.TrainAmps > 0:
		return c.o.TrainAmps, "as asked for"
	case len(c.l.Trains) > 0:
		return c.train().Amps, "the largest train of the file"
	}
	amps, from = track.DefaultTrain().Amps, "assumed: two motors and some lamps, three-rail"
	i := slices.IndexFunc(c.l.Feeders, func(f track.Feeder) bool { return f.Supply == s })
	if i >= 0 && !c.l.Pieces[c.l.Feeders[i].At.Piece].Construction.HasRail(track.Center) {
		amps, from = track.TwoRailAmps, "assumed: an engine that pulls hard, two-rail"
	}
	if b := c.l.Supplies[s].Breaker; b < amps {
		return b, "all that the breaker lets through"
	}
	return amps, from
}
