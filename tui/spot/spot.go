// Package spot says in words where a point of the layout is: which rail, at
// which joint or piece, and how to find it on the table by counting joints
// from something that can be seen. It parses the point names of the netlist
// ("main 7 center", "main 7/8 left", "F1 hot", "B1 2 hot") and knows nothing of meters.
package spot

import (
	"strings"

	"fishplate/diagnose/track"
)

// Kind says what a point's name stands for.
type Kind uint8

// The kinds of points.
const (
	Unknown   Kind = iota // a name that is not of this layout
	Track                 // a rail, at a joint or in the middle of a piece
	Feeder                // a feeder's clip on a rail
	Post                  // where the wires of a supply's post join
	Terminal              // a terminal of a bus or a strip
	Lug                   // an outgoing lug of a toggle
	Accessory             // one side of an accessory
	Block                 // a screw of the labelled block that thin wires come to
)

// Point is a parsed point name.
type Point struct {
	Name   string
	Kind   Kind
	Place  track.Place // Track, Feeder, Accessory that stands on the track; Piece -1 otherwise
	Rail   track.Rail  // Track: the rail; Feeder: the rail its wire goes to
	Inside string      // Track: another place inside a turnout ("frog")
	Wire   string      // all but Track: "hot" or "common"
	Feeder int         // index, -1
	// Part names the bus, toggle or accessory; Terminal counts from 1.
	Part     string
	Terminal int
}

// Parse reads a point's name; an unknown one comes back as Unknown.
func Parse(l *track.Layout, name string) Point {
	p := Point{Name: name, Place: track.Place{Piece: -1, End: -1}, Feeder: -1}
	clean := name
	if i := strings.Index(clean, " ("); i > 0 { // "main 7 left (2)"
		clean = clean[:i]
	}
	cut := strings.LastIndexByte(clean, ' ')
	if cut < 0 {
		return p
	}
	head, last := clean[:cut], clean[cut+1:]
	if last == "hot" || last == "common" {
		return wire(l, p, head, last)
	}
	p.Rail = track.Rail(last)
	if place, ok := FindPlace(l, head); ok {
		p.Kind, p.Place = Track, place
		return p
	}
	if k := strings.LastIndexByte(head, ' '); k > 0 {
		if i := l.FindPiece(head[:k]); i >= 0 {
			p.Kind, p.Place, p.Inside = Track, track.Place{Piece: i, End: -1}, head[k+1:]
		}
	}
	return p
}

func wire(l *track.Layout, p Point, head, which string) Point {
	for i := range l.Feeders {
		f := &l.Feeders[i]
		if f.Name != head {
			continue
		}
		p.Kind, p.Place, p.Feeder, p.Wire, p.Rail = Feeder, f.At, i, which, f.Hot
		if which == "common" {
			p.Rail = f.Common
		}
		return p
	}
	for i := range l.Supplies {
		if l.Supplies[i].Name == head {
			p.Kind, p.Wire = Post, which
			return p
		}
	}
	return under(l, p, head, which)
}

// FindPlace reads the name of a piece ("main 7", "W1") or of a side of a joint
// ("main 7/8": the end of 7 that faces 8).
func FindPlace(l *track.Layout, name string) (track.Place, bool) {
	if i := l.FindPiece(name); i >= 0 {
		return track.Place{Piece: i, End: -1}, true
	}
	for i := range l.Pieces {
		if !strings.HasPrefix(name, l.Pieces[i].ID()+"/") {
			continue
		}
		for e := range l.Pieces[i].Ends {
			if l.SideName(track.EndRef{Piece: i, End: e}) == name {
				return track.Place{Piece: i, End: e}, true
			}
		}
	}
	if j := l.FindJoint(name); j >= 0 {
		return track.Place{Piece: l.Joints[j].A.Piece, End: l.Joints[j].A.End}, true
	}
	return track.Place{Piece: -1, End: -1}, false
}

// Words are the parts of a description.
type Words struct {
	What  string // "CENTER rail", "CLIP of F1 on the CENTER rail"
	Where string // "joint main 12/13, on the 12 side"
	Side  string // which of the rails that is: "inside of the loop", "" for the center
	Near  string // "3 joints past the tunnel mouth (first main 9/10)"

	supply string // whose wires they are, where they are a supply's
}

// SamePlace says whether two descriptions are of one place: the joined wires of two
// supplies are not at one.
func (w Words) SamePlace(o Words) bool {
	return w.Where == o.Where && w.Where != "" && w.supply == o.supply
}

// Lamped says of the hot wires of a supply that they join behind the lamp, since the
// post itself lies before it. Other points stay as they are.
func (w Words) Lamped(p Point) Words {
	if p.Kind == Post && p.Wire == "hot" {
		w.Where += ", behind the lamp"
	}
	return w
}

// Describe says where a point is.
func Describe(l *track.Layout, p Point) Words {
	switch p.Kind {
	case Unknown:
		return Words{What: p.Name}
	case Post:
		supply := strings.TrimSuffix(p.Name, " "+p.Wire)
		return Words{What: strings.ToUpper(p.Wire) + " wires of " + supply, Where: "where they join", supply: supply}
	case Terminal, Lug, Accessory, Block:
		return describeUnder(l, p)
	}
	w := Words{What: strings.ToUpper(string(p.Rail)) + " rail", Where: place(l, p.Place), Near: Near(l, p.Place)}
	if p.Kind == Feeder { // by its rail: the colours of its wires may be changed over
		name := l.Feeders[p.Feeder].Name
		w.What = "CLIP of " + name + " on the " + w.What
		if w.Near == "at feeder "+name { // hands are there
			w.Near = ""
		}
	}
	if p.Inside != "" {
		w.Where = p.Inside + " of " + title(l, p.Place.Piece)
	}
	w.Side = side(l, p)
	return w
}

// title names a piece with its given name: "W1 (main 3)".
func title(l *track.Layout, i int) string {
	p := &l.Pieces[i]
	if p.Name != "" && p.Name != p.ID() {
		return p.Name + " (" + p.ID() + ")"
	}
	return p.ID()
}

// place names a place: "middle of main 12", "joint main 12/13, on 12".
func place(l *track.Layout, at track.Place) string {
	if at.End < 0 {
		return "middle of " + title(l, at.Piece)
	}
	name := l.PlaceName(at)
	if l.Pieces[at.Piece].Ends[at.End].Joint < 0 {
		return "free end " + name
	}
	return "joint " + name + ", on " + title(l, at.Piece)
}

// side says which of the outer rails is meant, for someone at the table.
func side(l *track.Layout, p Point) string {
	if p.Rail == track.Center {
		return ""
	}
	if turn := loopTurn(l, l.Pieces[p.Place.Piece].Run); turn != 0 {
		if (turn > 0) == (p.Rail == track.Left) {
			return "inside of the loop"
		}
		return "outside of the loop"
	}
	return "on your " + string(p.Rail) + " going up the numbers"
}

// loopTurn says how a closed run turns: +1 to the left all round once, -1 to
// the right, 0 for runs that are no simple loop.
func loopTurn(l *track.Layout, name string) int {
	for r := range l.Runs {
		run := &l.Runs[r]
		if run.Name != name || !run.Closed || len(run.Pieces) < 3 {
			continue
		}
		switch t := turning(l, run.Pieces); {
		case t > 359 && t < 361:
			return 1
		case t < -359 && t > -361:
			return -1
		}
	}
	return 0
}
