// Package rig builds layouts of our own invention and a hunt that follows a
// script, for the tests of the screens. No shipped code imports it.
package rig

import (
	"fmt"
	"math"

	"fishplate/diagnose/track"
)

// turtle lays pieces one after the other.
type turtle struct {
	l    *track.Layout
	c    *track.Construction
	run  int
	pose track.Pose
	last track.EndRef // the open end to join to, Piece -1 for none
}

func (t *turtle) add(kind track.Kind, length, turn float64) int {
	l := t.l
	i := len(l.Pieces)
	leg := track.Leg{From: 0, To: 1, Length: length, Start: t.pose, Turn: turn}
	end := along(leg)
	back := t.pose
	back.Heading += 180
	p := track.Piece{Run: l.Runs[t.run].Name, Number: len(l.Runs[t.run].Pieces) + 1, Kind: kind, Construction: t.c,
		Ends: []track.End{{Label: track.EndStart, Pose: back, OutLeft: track.Right, Joint: -1},
			{Label: track.EndEnd, Pose: end, OutLeft: track.Left, Joint: -1}},
		Legs: []track.Leg{leg}}
	if kind == track.Bumper {
		p.Ends = p.Ends[:1]
		p.Legs = nil
	}
	l.Pieces = append(l.Pieces, p)
	l.Runs[t.run].Pieces = append(l.Runs[t.run].Pieces, i)
	t.join(track.EndRef{Piece: i, End: 0})
	t.pose, t.last = end, track.EndRef{Piece: i, End: 1}
	return i
}

// turnout lays a left-hand turnout met from its points and gives the turtle
// that goes on from its diverging leg.
func (t *turtle) turnout(name string, length, turn float64) *turtle {
	i := t.add(track.Turnout, length, 0)
	p := &t.l.Pieces[i]
	p.Name, p.Hand = name, 1
	p.Ends[0].Label, p.Ends[1].Label = track.EndPoints, track.EndThrough
	leg := track.Leg{From: 0, To: 2, Length: length, Start: p.Legs[0].Start, Turn: turn}
	p.Legs = append(p.Legs, leg)
	p.Ends = append(p.Ends, track.End{Label: track.EndDiverging, Pose: along(leg), OutLeft: track.Left, Joint: -1})
	t.l.Runs = append(t.l.Runs, track.Run{})
	return &turtle{l: t.l, c: t.c, run: len(t.l.Runs) - 1, pose: along(leg), last: track.EndRef{Piece: i, End: 2}}
}

func (t *turtle) join(b track.EndRef) {
	if t.last.Piece < 0 {
		return
	}
	j := len(t.l.Joints)
	t.l.Joints = append(t.l.Joints, track.Joint{A: t.last, B: b})
	t.l.Pieces[t.last.Piece].Ends[t.last.End].Joint = j
	t.l.Pieces[b.Piece].Ends[b.End].Joint = j
	p, q := &t.l.Pieces[t.last.Piece], &t.l.Pieces[b.Piece]
	if p.Run == q.Run {
		t.l.Joints[j].Name = fmt.Sprintf("%s/%d", p.ID(), q.Number)
	} else {
		t.l.Joints[j].Name = p.ID() + "/" + q.ID()
	}
}

func along(leg track.Leg) track.Pose {
	h, n := leg.Start.Heading, 64
	p := leg.Start
	for k := 0; k < n; k++ { // small steps: another way than package draw's
		a := (h + leg.Turn*(float64(k)+0.5)/float64(n)) * math.Pi / 180
		p.X += leg.Length / float64(n) * math.Cos(a)
		p.Y += leg.Length / float64(n) * math.Sin(a)
	}
	p.Heading = h + leg.Turn
	return p
}

// Pressed is an invented three-rail construction.
func Pressed() *track.Construction {
	return &track.Construction{Name: "pressed", Rails: []track.Rail{track.Left, track.Center, track.Right},
		Hot: track.Center, Common: track.Left, Tied: [][]track.Rail{{track.Left, track.Right}},
		LiftMinutes: 2, PartMinutes: 1}
}

// Oval is an invented oval of 4*straights + 16 pieces with a siding that ends
// at a bumper, two feeders, a tunnel, an insulated joint and landmarks.
func Oval(straights int) *track.Layout {
	l := &track.Layout{Name: "test oval", Runs: []track.Run{{Name: "main", Closed: true}}}
	t := &turtle{l: l, c: Pressed(), last: track.EndRef{Piece: -1}}
	var siding *turtle
	for half := 0; half < 2; half++ {
		for k := 0; k < 2*straights; k++ {
			if half == 0 && k == 2 {
				siding = t.turnout("W1", 254, 22.5)
				l.Runs[siding.run].Name = "siding"
				continue
			}
			t.add(track.Straight, 254, 0)
		}
		for k := 0; k < 8; k++ {
			t.add(track.Curve, 310, 22.5)
		}
	}
	t.join(track.EndRef{Piece: 0, End: 0})
	siding.add(track.Curve, 254, -22.5)
	for k := 0; k < straights; k++ {
		siding.add(track.Straight, 254, 0)
	}
	siding.add(track.Bumper, 0, 0)
	far := 2*straights + 8
	for i := far; i < far+4; i++ {
		l.Pieces[i].Hidden, l.Pieces[i].ExtraMinutes = "tunnel", 2
	}
	l.Hidden = []track.Stretch{{Name: "tunnel", Pieces: []int{far, far + 1, far + 2, far + 3}, Minutes: 2}}
	l.Landmarks = []track.Landmark{{Name: "tunnel mouth", At: track.Place{Piece: far, End: 0}},
		{Name: "station", At: track.Place{Piece: 0, End: -1}}}
	l.Supplies = []track.Supply{{Name: "T1", AC: true, Volts: 18, Breaker: 10}}
	l.Feeders = []track.Feeder{
		{Name: "F1", At: track.Place{Piece: 1, End: -1}, Hot: track.Center, Common: track.Left, Wire: "16 AWG",
			LengthMM: 1500},
		{Name: "F2", At: track.Place{Piece: far + 2*straights - 1, End: -1}, Hot: track.Center, Common: track.Left,
			Wire: "16 AWG", LengthMM: 3000}}
	l.Joints[5].Insulated = []track.Rail{track.Right}
	return l
}
