package hunt

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/track"
	"fishplate/diagnose/wire"
)

// A caution's first sentence stands alone: it is what is said when the same
// danger comes again (Brief).
const (
	cautionLamp = " Stand the lamp in the open: it gets hot enough to burn skin and scorch foam. " +
		"Switch off between readings."
	cautionFolds = " If the supply trips or folds back though the lamp is in (a fast electronic one may), use a " +
		"battery or a plain transformer instead."
	cautionLive = "The track is live: hands off joints and wires, no beeper and no ohms until it is off again. " +
		"If the breaker trips as you switch on, switch off at once: that is a short, and a hunt of its own."
	cautionStandIn = "A fuse of 3 A stays in at the plus: if it blows there is a short, and a hunt of its own; put " +
		"in no bigger one. While it is on: hands off joints and wires, no beeper and no ohms."
	cautionDead = "Supply off and unplugged before the beeper or ohms. " +
		"A live track gives wrong readings and can hurt the meter."
	cautionCharge = "Let it stand a minute before the beeper or ohms. " +
		"Capacitors in lit cars, bumpers and electronic supplies hold a charge: take such cars off, and wait until " +
		"volts read zero."
	cautionLaid = "The load across the rails gets hot: keep it off ties and scenery. " +
		"Take it away after the reading."
	cautionBoth = "Two supplies are on: touch neither plug's pins, and keep their hot wires apart. " +
		"One supply can feed the other's mains plug backwards, and out of phase their volts add up. " +
		"Both plugs out before any wire is moved."
	cautionOthers = "More than one supply: both plugs out but for what a step plugs in, and touch no pins. " +
		"A supply that is fed backwards through the track has live mains pins."
	cautionMains = "Never open a supply. " +
		"Mains wiring is for licensed electricians, by the local codes."
	cautionEarth = "Nothing earthed may touch the rails: no computer cable, no metal shelf, no meter that runs on " +
		"mains. Any of them joins an outer rail to earth, and so to every other: pull the cable, lift the track off " +
		"the metal, and use a meter on batteries."
	cautionCommand = "Command control on these rails? Its booster comes off before anything is read. " +
		"Its signal of 4 to 9 kHz (NMRA S-9.1) makes meters show anything: take the booster's wires off the track, " +
		"and use a battery and a lamp instead."
	cautionLook = "Off and unplugged before you lift anything."
	cautionWarm = "Rails, wires and the lamp may be hot after a short: go near with the back of the hand first."
)

// Brief is a caution in short, for when it was said in full before.
func Brief(caution string) string {
	if i := strings.Index(caution, ". "); i >= 0 {
		return caution[:i+1]
	}
	return caution
}

// BeforeRepair are the cautions for whoever goes to a piece with a report in hand,
// without the hunt.
func BeforeRepair(l *track.Layout) []string {
	out := []string{cautionDead, cautionWarm, wire.Soldering, cautionMains}
	if len(l.Supplies) > 1 {
		out[0] = cautionOthers
	}
	return out
}

// DangerReturns says whether the cautions of the step are to be said again though
// they were said before: power goes on or off, or pieces are looked at.
func (v *View) DangerReturns() bool {
	return v.Step.Inspect != nil || slices.ContainsFunc(v.Moves, func(m Move) bool {
		return !m.See && (m.Act == ActOff || m.Act == ActOn || m.Act == ActLampIn)
	})
}

// checkSupplies refuses a layout on which nobody should put hands.
func (g *ground) checkSupplies() error {
	for i := range g.layout.Supplies {
		if s := &g.layout.Supplies[i]; s.Volts > s.ToyVolts() {
			kind := DC
			if s.AC {
				kind = AC
			}
			return fmt.Errorf("%s gives %.3g V %s, more than a toy's supply may (%g V %s): do not power this track, "+
				"and no hunt is begun on it; take a supply made for toy trains, or put its volts right in the layout "+
				"file", s.Name, s.Volts, kind, s.ToyVolts(), kind)
		}
	}
	return nil
}

// cautions are what can hurt someone, or the meter, in this reading and on the
// way to it.
func (gd guide) cautions(q *infer.Question, moves []Move) []string {
	out := []string{gd.cautionOfSource(q)}
	if said := gd.tripped(q.Setup.Source); said != "" {
		out = append(out, said)
	}
	does := func(a Act) bool {
		return slices.ContainsFunc(moves, func(m Move) bool { return m.Act == a && !m.See })
	}
	if said := gd.mayTrip(q.Setup.Source); said != "" && (does(ActLampIn) || does(ActLay)) {
		out = append(out, said+".")
	}
	if q.Setup.Source.Kind == conductor.SourceNone && (does(ActOff) || does(ActClear)) {
		out = append(out, cautionCharge)
	}
	if slices.ContainsFunc(q.Setup.Loads, func(l conductor.Load) bool { return l.Ohms >= 1 }) {
		out = append(out, cautionLaid)
	}
	switch {
	case len(q.Setup.Also) > 0:
		out = append(out, cautionBoth)
	case len(gd.layout.Supplies) > 1:
		out = append(out, strings.Replace(cautionOthers, "both plugs", plugs(len(gd.layout.Supplies)), 1))
	}
	if gd.found != "" && len(gd.proof) == 0 {
		out = append(out, wire.Soldering)
	}
	if does(ActClear) { // the first reading
		out = append(out, cautionEarth, cautionMains)
		if !gd.standIn() {
			out = append(out, cautionCommand)
		}
	}
	return out
}

// cautionOfSource is what to mind of what feeds the track.
func (gd guide) cautionOfSource(q *infer.Question) string {
	x := q.Setup.Source
	i := gd.supplyAt(x.From)
	switch {
	case x.Kind == conductor.SourceVolts && i >= 0 && gd.hands().isStandIn(x, i):
		return cautionStandIn
	case x.Kind == conductor.SourceVolts:
		return cautionLive
	case x.Kind != conductor.SourceLamp:
		return cautionDead
	case i >= 0 && gd.hands().isStandIn(x, i) && gd.kit.Battery:
		return "The lamp and a fuse of 3 A stay in: never the bare battery into a short." +
			strings.Replace(cautionLamp, "Switch off", "Take the clip off the battery's plus", 1)
	case i >= 0 && gd.hands().isStandIn(x, i):
		return "The lamp stays in: never the bare power pack into a short." + cautionLamp
	}
	return "The lamp stays in: never the bare supply into a short." + cautionLamp + cautionFolds
}

// cautionsOfLook are what to mind before pieces are lifted.
func (gd guide) cautionsOfLook(in *Inspect) []string {
	look := cautionLook
	if n := len(gd.layout.Supplies); n > 1 {
		look = "Every supply off, " + plugs(n) + " out, touch no pins, before you lift anything."
	}
	out := []string{look}
	if gd.shortHunt() {
		out = append(out, cautionWarm)
	}
	if slices.ContainsFunc(in.Pieces, func(c Candidate) bool { return c.Solder }) {
		out = append(out, wire.Soldering)
	}
	for i := range gd.layout.Supplies {
		if slices.ContainsFunc(in.Pieces, func(c Candidate) bool { return c.Piece == gd.layout.Supplies[i].Name }) {
			return append(out, cautionMains)
		}
	}
	return out
}
