// Package piece is a piece of track on the bench, before it goes down: which of
// its rail ends must beep through to each other and which must be open, in each
// position of its points, worked out from how its construction is made; what is
// wrong where a reading is not so; and how much likelier a piece is good that
// passed. It knows the piece alone: a joint is made of two.
package piece

import (
	"math"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/track"
)

// What a check takes for granted. All are assumed; no count was found.
const (
	// SecondsRead is one reading on the bench, black clipped on and red held.
	SecondsRead = 4
	// SecondsTurn is to take the next piece, or to throw points.
	SecondsTurn = 5
	// Later is the share of a laid piece's faults that come with the laying or
	// after it: screws, spikes, stray metal, heat. No check on the bench sees them.
	Later = 0.2
	// OverLeads is what a sound path may read over the leads alone, ohm: five digits
	// of a range of 0.1 ohm steps (a 400 ohm range, +-(0.8 % + 5 digits), by a meter's
	// manual).
	OverLeads = 0.5
	// BeepsTo is where the quietest beeper falls silent, ohm: 40 to 100 by model.
	BeepsTo = 40
	// CoilWithin is the factor that the ohms of a coil may be off.
	CoilWithin = 2.0
)

// Kind says what a reading should be.
type Kind string

// The kinds of readings.
const (
	Beeps  Kind = "beeps"  // metal all the way
	Silent Kind = "silent" // open: OL on the highest range of ohms
	Coil   Kind = "coil"   // a coil of the turnout's motor: some ohms
)

// Reading is one of a check, between two ends of rails ("points left").
type Reading struct {
	N        int    `json:"n"`                  // from 1, through all positions
	Position string `json:"position,omitempty"` // what the points are thrown to; empty without points
	Black    string `json:"black"`
	Red      string `json:"red"`
	Want     Kind   `json:"want"`
	// Ohms is what a sound piece has there, without leads; 0 where it is open.
	Ohms float64 `json:"ohms,omitempty"`
	a, b int     // nodes; the frog, which hangs on nothing, is -1
}

// Check is all that is read on one kind of piece.
type Check struct {
	Name      string // "metal-tie turnout, left-hand"
	Readings  []Reading
	Positions []string // of its points, none without them
	// DeadFrog says that the frog is no part of any rail: Frog names its point.
	DeadFrog bool
	// Motor says that coils may be on it, which the readings of a turnout that
	// senses trains already hold.
	Motor, Sensing bool
	// OnTrack names what lies across its rails and comes off before the check.
	OnTrack []string

	net      *conductor.Network
	suspects []fault.Suspect
}

// Frog is the point of a frog that is insulated from every rail.
const Frog = "frog"

// Of is the check of a piece of a layout. It fails where the construction's
// wiring names a contact that the piece does not have.
func Of(l *track.Layout, piece int) (*Check, error) {
	p := l.Pieces[piece]
	alone := &track.Layout{Constructions: l.Constructions, Runs: []track.Run{{Name: p.Run, Pieces: []int{0}}}}
	p.Reversed, p.Backward = false, false // on the bench left and right are as seen from its own first end
	p.Ends = append([]track.End(nil), p.Ends...)
	for e := range p.Ends {
		p.Ends[e].Joint = -1
	}
	alone.Pieces = []track.Piece{p}
	n, err := conductor.Build(alone)
	if err != nil {
		return nil, err
	}
	c := &Check{Name: nameOf(&p), net: n, suspects: fault.List(n), Positions: p.Positions(), DeadFrog: deadFrog(&p),
		Motor: p.Kind == track.Turnout || p.Slips(), Sensing: p.Sensing, OnTrack: onTrack(l, []int{piece})}
	for _, route := range routes(c) {
		if err := c.position(route, coils(l, piece, &p)); err != nil {
			return nil, err
		}
	}
	for i := range c.Readings {
		c.Readings[i].N = i + 1
	}
	return c, nil
}

// nameOf names the kind of a piece, the same for all that are checked alike.
func nameOf(p *track.Piece) string {
	words := []string{p.Construction.Name}
	if p.Form != track.FormUsual {
		words = append(words, string(p.Form))
	}
	switch {
	case p.Kind == track.Straight || p.Kind == track.Curve:
		words = append(words, "straight or curve")
	case !p.Slips():
		words = append(words, string(p.Kind))
	}
	name := strings.Join(words, " ")
	for _, more := range []struct {
		say  bool
		word string
	}{{p.Hand > 0, "left-hand"}, {p.Hand < 0, "right-hand"}, {p.Untied, "untied"}, {p.Sensing, "sensing"}} {
		if more.say && !(p.Form == track.FormWye || p.Form == track.FormThreeWay) {
			name += ", " + more.word
		}
	}
	return name
}

func routes(c *Check) []string {
	if len(c.Positions) == 0 {
		return []string{""}
	}
	return c.Positions
}

// deadFrog says whether a piece has a frog that no rail is joined to: a stretch
// without current in two-rail turnouts and crossings (in three-rail track that
// stretch is a gap of the center rail), where no conductor is a frog.
func deadFrog(p *track.Piece) bool {
	w := p.Wiring()
	if w == nil || w.DeadMM <= 0 || p.Construction.HasRail(track.Center) {
		return false
	}
	for _, c := range w.Conductors {
		if strings.Contains(c.From.End, Frog) || strings.Contains(c.To.End, Frog) {
			return false
		}
	}
	return true
}

// coil is a coil of the motor on a sensing turnout, from the hot rail to one of
// its own.
type coil struct {
	end  string
	rail track.Rail
	ohms float64
}

func coils(l *track.Layout, piece int, alone *track.Piece) []coil {
	var out []coil
	for i := range l.InsulatedRails {
		r := &l.InsulatedRails[i]
		if !r.Own || r.Tap.Piece != piece {
			continue
		}
		rail := r.TapRail
		if l.Pieces[piece].Reversed {
			rail = rail.Mirror()
		}
		out = append(out, coil{alone.Ends[r.Tap.End].Label, rail, l.Accessories[r.Accessory].ColdOhms})
	}
	return out
}

// spot is an end of a rail, or the frog.
type spot struct {
	name string
	node int
	coil float64 // ohms of the coil from here to the hot rail, 0 for none
	hot  bool
}

func (c *Check) spots(with []coil) []spot {
	p := &c.net.Layout.Pieces[0]
	var out []spot
	for _, r := range p.Construction.Rails { // rail by rail: the clip stays on one rail
		for e := range p.Ends {
			s := spot{name: p.Ends[e].Label + " " + string(r), hot: r == p.Construction.Hot}
			s.node = c.net.NodeOf(c.net.At(track.EndRef{Piece: 0, End: e}, r))
			for _, k := range with {
				if k.end == p.Ends[e].Label && k.rail == r {
					s.coil = k.ohms
				}
			}
			out = append(out, s)
		}
	}
	if c.DeadFrog {
		out = append(out, spot{name: Frog, node: -1})
	}
	return out
}

// factor solves the piece with its points thrown, with one suspect as it is bad.
func (c *Check) factor(route string, s *fault.Suspect, ohms float64) (*nodal.Factor, error) {
	setup := conductor.Setup{Thrown: map[int]string{0: route}}
	var edges []nodal.Edge
	for i := range c.net.Links {
		k := &c.net.Links[i]
		r := k.Ohms
		if s != nil && s.Links[0] == i {
			switch s.Mode {
			case track.Open:
				continue
			case track.Weak:
				r += ohms
			default:
				edges = append(edges, nodal.Edge{U: c.net.NodeOf(k.A), V: c.net.NodeOf(k.B), Ohms: ohms})
				continue
			}
		}
		if setup.Conducts(k) {
			edges = append(edges, nodal.Edge{U: c.net.NodeOf(k.A), V: c.net.NodeOf(k.B), Ohms: r})
		}
	}
	return nodal.NewFactor(c.net.Nodes, edges, nil)
}

// position adds the readings of one position of the points: black on one end of
// every group of joined rails and red on each of its others; then one reading
// between every two groups, which says all about them once each group beeps.
func (c *Check) position(route string, with []coil) error {
	f, err := c.factor(route, nil, 0)
	if err != nil {
		return err
	}
	var groups [][]spot
	for _, s := range c.spots(with) {
		at := -1
		for g := range groups {
			if n := groups[g][0].node; n >= 0 && s.node >= 0 && f.Island(n) == f.Island(s.node) {
				at = g
			}
		}
		if at < 0 {
			groups = append(groups, nil)
			at = len(groups) - 1
		}
		groups[at] = append(groups[at], s)
	}
	for _, g := range groups {
		for _, s := range g[1:] {
			c.add(route, Beeps, g[0], s, f.Resistance(g[0].node, s.node))
		}
	}
	for i, g := range groups {
		for _, h := range groups[i+1:] {
			c.between(route, g[0], h[0])
		}
	}
	return nil
}

// between reads two groups against each other: open, but where a coil joins them.
// Two rails with a coil each are joined through both, and say nothing more.
func (c *Check) between(route string, a, b spot) {
	switch {
	case a.coil > 0 && b.coil > 0:
	case a.hot && b.coil > 0:
		c.add(route, Coil, a, b, b.coil)
	case b.hot && a.coil > 0:
		c.add(route, Coil, b, a, a.coil)
	default:
		c.add(route, Silent, a, b, 0)
	}
}

func (c *Check) add(route string, want Kind, black, red spot, ohms float64) {
	c.Readings = append(c.Readings, Reading{Position: route, Black: black.name, Red: red.name, Want: want, Ohms: ohms,
		a: black.node, b: red.node})
}

// Ends are the ends of such a piece, and Rails its rails, as readings name them: the end,
// then the rail.
func (c *Check) Ends() []string {
	var out []string
	for _, e := range c.net.Layout.Pieces[0].Ends {
		out = append(out, e.Label)
	}
	return out
}

// Rails are the rails of such a piece.
func (c *Check) Rails() []track.Rail { return c.net.Layout.Pieces[0].Construction.Rails }

// Good says whether a beep, or none, is as it must be; known is false for a coil that
// beeps, whose ohms say it.
func (r *Reading) Good(beeps bool) (good, known bool) {
	if r.Want == Coil {
		return false, !beeps
	}
	return beeps == (r.Want == Beeps), true
}

// Seconds is how long the check takes, assumed.
func (c *Check) Seconds() float64 {
	return float64(len(c.Readings)*SecondsRead + max(1, len(c.Positions))*SecondsTurn)
}

// Most is what a reading that beeps may show on ohms over the leads alone.
func (r *Reading) Most() float64 { return OverLeads + math.Ceil(r.Ohms*10)/10 }
