// Package price says what every act of a hunt costs, in minutes, on one layout:
// for the hunt, for practice, for the card and for the trials. All figures are
// assumed: no measurement of such work was found.
package price

import (
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
)

// What acts cost that are the same everywhere, minutes.
const (
	Probe  = 0.7 // two probes put down and read, at one place
	Block  = 0.3 // the same at the labelled block, standing
	Leads  = 0.3 // the leads touched together
	Source = 0.5 // the supply on, off, or another way
	Also   = 1.0 // a second supply on at the same time
	Load   = 1.0 // a lamp or a clip lead laid across two points
	Pull   = 1.0 // a feeder off its outlet; back on is in it
	Unplug = 1.0 // an accessory off its wires, or back on
	Throw  = 0.2 // a turnout or a toggle
	Train  = 0.5 // the trains off the rails, or one on
	Run    = 2.0 // a train run to see
	Other  = 2.0 // a look at what is no piece: a feeder, a supply, a train

	opening   = 1.0 // a joint, before what its construction takes to part
	shortLook = 1.0 // the least that lifting a piece takes
	besideOne = 0.5 // the least for a piece beside one that is up
)

// List prices acts on a network.
type List struct {
	n     *conductor.Network
	table plane.Table
	at    []track.Pose // by point: where it lies
}

// Of is the price list of a network.
func Of(n *conductor.Network) *List {
	return &List{n: n, table: plane.TableOf(n.Layout), at: places(n)}
}

// Read is one reading, the set-up standing and the probes at hand; -1 is a probe
// that goes nowhere.
func (l *List) Read(red, black int) float64 {
	if l.atBlock(red, black) {
		return Block
	}
	m := Probe
	for _, pt := range [2]int{red, black} {
		if pt < 0 {
			continue
		}
		if p := l.n.Points[pt].Piece; p >= 0 {
			m += l.n.Layout.Pieces[p].ExtraMinutes
		}
	}
	return m
}

// atBlock says whether both probes go to the labelled block, or one of them beside it
// to where a supply's wires join.
func (l *List) atBlock(red, black int) bool {
	if red < 0 || black < 0 {
		return false
	}
	a, b := l.n.Points[red].Kind, l.n.Points[black].Kind
	here := func(k conductor.PointKind) bool { return k == conductor.PointPanel || k == conductor.PointPost }
	return here(a) && here(b) && (a == conductor.PointPanel || b == conductor.PointPanel)
}

// Lift is to open a joint and, later, to close it.
func (l *List) Lift(joint int) float64 {
	p := &l.n.Layout.Pieces[l.n.Layout.Joints[joint].A.Piece]
	return opening + p.Construction.PartMinutes + p.ExtraMinutes
}

// Look is to lift a piece, look, and put it back; -1 for what is no piece.
func (l *List) Look(piece int) float64 {
	if piece < 0 {
		return Other
	}
	p := &l.n.Layout.Pieces[piece]
	return math.Max(p.Construction.LiftMinutes, shortLook) + p.ExtraMinutes
}

// Beside is a look at a piece while one beside it is up.
func (l *List) Beside(piece int) float64 {
	if piece < 0 {
		return Other
	}
	return math.Min(l.Look(piece), math.Max(l.n.Layout.Pieces[piece].Construction.PartMinutes, besideOne))
}

// Setup is to come from one set-up to another, without a reading. What is put
// back costs nothing: that is in the taking off.
func (l *List) Setup(from, to *conductor.Setup) float64 {
	m := 0.0
	if to.Source.Kind != from.Source.Kind || to.Source.From != from.Source.From {
		m += Source
	}
	for _, s := range to.Also {
		if !slices.Contains(from.Also, s) {
			m += Also
		}
	}
	for _, j := range to.Lifted {
		if !conductor.Has(from.Lifted, j) {
			m += l.Lift(j)
		}
	}
	for _, f := range to.Pulled {
		if !conductor.Has(from.Pulled, f) {
			m += Pull
		}
	}
	for _, x := range to.Loads {
		if !slices.Contains(from.Loads, x) {
			m += Load
		}
	}
	m += Throw*float64(differ(to.Off, from.Off)) + Unplug*float64(differ(to.Unplugged, from.Unplugged))
	for t, r := range to.Thrown {
		if from.Route(t) != r {
			m += Throw
		}
	}
	for t, r := range from.Thrown {
		if to.Route(t) != r && to.Thrown[t] == "" {
			m += Throw
		}
	}
	return m
}

// differ counts what stands in one of two sorted lists only.
func differ(a, b []int) int {
	n := 0
	for _, x := range a {
		if !conductor.Has(b, x) {
			n++
		}
	}
	for _, x := range b {
		if !conductor.Has(a, x) {
			n++
		}
	}
	return n
}
