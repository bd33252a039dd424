package price

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
)

// What walking and wires cost, minutes (assumed).
const (
	// perMetre is a metre along the table's edge, bent over it, meter in hand.
	perMetre = 0.05
	// Lengthen is to clip an extension wire to a lead, Improvise to find one
	// first where none is at hand.
	Lengthen, Improvise = 0.3, 1.0
	// LeadMetres is how far one lead of a meter reaches where nobody says.
	LeadMetres = 1.2
)

// places is where each point of a network lies.
func places(n *conductor.Network) []track.Pose {
	l := n.Layout
	out := make([]track.Pose, len(n.Points))
	home := make([]track.Pose, len(l.Supplies))
	for i := range home {
		home[i] = standOf(l, i)
	}
	for i := range n.Points {
		switch p := &n.Points[i]; {
		case p.Piece >= 0:
			out[i] = plane.Spot(l, track.Place{Piece: p.Piece, End: p.End})
		case len(home) > 0:
			out[i] = home[0] // wires under the table, where nobody says
		}
	}
	at := func(points [2]int, where track.Pose) { out[points[0]], out[points[1]] = where, where }
	for i := range l.Feeders {
		at(n.FeederPoints[i], plane.Spot(l, l.Feeders[i].At))
	}
	for i := range n.Posts {
		at(n.Posts[i], home[i])
		at(n.Windings[i], home[i])
	}
	for i := range l.Accessories {
		if a := &l.Accessories[i]; a.OnTrack {
			at(n.AccessoryPoints[i], plane.Spot(l, a.At))
		} else if r := l.RailOf(i); r >= 0 {
			at(n.AccessoryPoints[i], plane.Spot(l, l.InsulatedRails[r].Tap))
		}
	}
	return out
}

// standOf is where a supply stands: no file says, so it is where the shortest of
// its feeders meets the track.
func standOf(l *track.Layout, supply int) track.Pose {
	best := -1
	for i := range l.Feeders {
		if f := &l.Feeders[i]; f.Supply == supply && (best < 0 || f.LengthMM < l.Feeders[best].LengthMM) {
			best = i
		}
	}
	if best < 0 {
		return plane.Spot(l, track.Place{Piece: 0, End: -1})
	}
	return plane.Spot(l, l.Feeders[best].At)
}

// Apart is how far apart two points lie, m.
func (l *List) Apart(red, black int) float64 {
	if red < 0 || black < 0 {
		return 0
	}
	return plane.Apart(l.at[red], l.at[black])
}

// Walk is to come with the probes from two points to two others: to the nearer of
// these, and where the leads do not span them on to the other one. Leads is how
// far both leads of the meter reach together, m.
func (l *List) Walk(from [2]int, red, black int, leads float64) float64 {
	if red < 0 || black < 0 {
		return 0
	}
	m := l.way(from[0], red)
	for _, a := range from {
		for _, b := range [2]int{red, black} {
			m = min(m, l.way(a, b))
		}
	}
	if l.Apart(red, black) > leads {
		m += l.way(red, black)
	}
	return m * perMetre
}

// way is the walk between two points, m.
func (l *List) way(a, b int) float64 { return l.table.Walk(l.at[a], l.at[b]) }
