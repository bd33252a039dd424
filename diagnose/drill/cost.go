package drill

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
)

// What acts cost, in minutes, where the hunt has the same act: package hunt's
// own figures (questions.go there). Assumed, as those are.
const (
	minutesRead   = 0.7
	minutesLeads  = 0.3 // the leads touched together
	minutesSource = 0.5
	minutesLoad   = 1.0
	minutesPull   = 1.0
	minutesLift   = 1.0 // and what the construction says, opening and closing
	minutesOther  = 2.0 // to look at a feeder, a supply, a train
)

// What acts cost that the hunt does not ask for: assumed.
const (
	minutesTrain = 0.5
	minutesThrow = 0.2
	minutesRun   = 2.0
)

// Costs prices acts on a layout.
type Costs struct{ n *conductor.Network }

// NewCosts makes the price list of a network.
func NewCosts(n *conductor.Network) Costs { return Costs{n} }

// Read is one reading, the set-up standing.
func (c Costs) Read(red, black int) float64 {
	m := minutesRead
	for _, pt := range [2]int{red, black} {
		if pt < 0 {
			continue
		}
		if p := c.n.Points[pt].Piece; p >= 0 {
			m += c.n.Layout.Pieces[p].ExtraMinutes
		}
	}
	return m
}

// Lift is to lift a joint and, later, to put it together.
func (c Costs) Lift(joint int) float64 {
	p := &c.n.Layout.Pieces[c.n.Layout.Joints[joint].A.Piece]
	return minutesLift + p.Construction.PartMinutes + p.ExtraMinutes
}

// Train is to take the trains off the rails, or to put one on.
func (c Costs) Train() float64 { return minutesTrain }

// Look is to lift a piece, look, and put it back; -1 for what is no piece.
func (c Costs) Look(piece int) float64 {
	if piece < 0 {
		return minutesOther
	}
	p := &c.n.Layout.Pieces[piece]
	return math.Max(p.Construction.LiftMinutes, 1) + p.ExtraMinutes
}

// Setup is to come from one set-up to another, without the reading.
func (c Costs) Setup(from, to *conductor.Setup) float64 {
	m := 0.0
	if from.Source.Kind != to.Source.Kind {
		m += minutesSource
	}
	if len(to.Also) > len(from.Also) {
		m += minutesSource * float64(len(to.Also)-len(from.Also))
	}
	for _, j := range to.Lifted {
		if !conductor.Has(from.Lifted, j) {
			m += c.Lift(j)
		}
	}
	for _, f := range to.Pulled {
		if !conductor.Has(from.Pulled, f) {
			m += minutesPull
		}
	}
	for _, l := range to.Loads {
		if len(from.Loads) == 0 || from.Loads[0] != l {
			m += minutesLoad
		}
	}
	for _, a := range to.Unplugged {
		if !conductor.Has(from.Unplugged, a) {
			m += minutesPull
		}
	}
	for _, t := range to.Off {
		if !conductor.Has(from.Off, t) {
			m += minutesThrow
		}
	}
	for t, r := range to.Thrown {
		if from.Route(t) != r {
			m += minutesThrow
		}
	}
	return m
}

// route says whether a turnout can be thrown to a route.
func route(p *track.Piece, to string) bool {
	return p.Kind == track.Turnout && (to == Through || to == Diverging)
}
