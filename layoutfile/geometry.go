package layoutfile

import (
	"math"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/sheet"
)

// Poses are plain plane geometry: headings in degrees, counter-clockwise.

func rad(deg float64) float64 { return deg * math.Pi / 180 }

// norm brings an angle into -180 < a <= 180.
func norm(deg float64) float64 {
	d := math.Mod(deg, 360)
	if d > 180 {
		d -= 360
	}
	if d <= -180 {
		d += 360
	}
	return d
}

// ahead is where one gets from p after a leg of that length along the center
// line, turning evenly by turn degrees (left positive).
func ahead(p track.Pose, length, turn float64) track.Pose {
	h := rad(p.Heading)
	if turn == 0 {
		return track.Pose{X: p.X + length*math.Cos(h), Y: p.Y + length*math.Sin(h), Heading: p.Heading}
	}
	r := length / rad(turn) // signed: left positive
	g := h + rad(turn)
	return track.Pose{
		X:       p.X + r*(math.Sin(g)-math.Sin(h)),
		Y:       p.Y - r*(math.Cos(g)-math.Cos(h)),
		Heading: norm(p.Heading + turn),
	}
}

func turned(p track.Pose) track.Pose {
	p.Heading = norm(p.Heading + 180)
	return p
}

// shift is a rigid move: turn about the origin, then slide.
type shift struct{ x, y, turn float64 }

func (s shift) apply(p track.Pose) track.Pose {
	sin, cos := math.Sincos(rad(s.turn))
	return track.Pose{X: s.x + p.X*cos - p.Y*sin, Y: s.y + p.X*sin + p.Y*cos, Heading: norm(p.Heading + s.turn)}
}

// onto is the move that brings pose from onto pose to.
func onto(from, to track.Pose) shift {
	s := shift{turn: norm(to.Heading - from.Heading)}
	p := s.apply(from)
	s.x, s.y = to.X-p.X, to.Y-p.Y
	return s
}

// meeting is the move that joins an end to another one that stays: the poses
// of ends look out of their pieces, so they come to lie opposite.
func meeting(moves, stays track.Pose) shift { return onto(moves, turned(stays)) }

func movePiece(p *track.Piece, s shift) {
	for i := range p.Ends {
		p.Ends[i].Pose = s.apply(p.Ends[i].Pose)
	}
	for i := range p.Legs {
		p.Legs[i].Start = s.apply(p.Legs[i].Start)
	}
}

// shape gives a piece its ends and legs in its own frame: the first end at
// the origin, the way in along +x. Rails are named for someone who goes that
// way; where the run goes the other way, name turns them round.
func shape(it *sheet.Words) (ends []track.End, legs []track.Leg) {
	origin := track.Pose{}
	end := func(label string, out track.Pose, left track.Rail) {
		ends = append(ends, track.End{Label: label, Pose: out, OutLeft: left, Joint: -1})
	}
	leg := func(from, to int, start track.Pose, length, turn float64) {
		legs = append(legs, track.Leg{From: from, To: to, Length: length, Start: start, Turn: turn})
	}
	arc := it.RadiusMM * rad(it.Angle)
	turn := float64(it.Hand) * it.Angle
	switch it.Kind {
	case track.Straight:
		end(track.EndStart, turned(origin), track.Right)
		end(track.EndEnd, ahead(origin, it.LengthMM, 0), track.Left)
		leg(0, 1, origin, it.LengthMM, 0)
	case track.Curve:
		end(track.EndStart, turned(origin), track.Right)
		end(track.EndEnd, ahead(origin, arc, turn), track.Left)
		leg(0, 1, origin, arc, turn)
	case track.Turnout:
		through := it.LengthMM
		if through == 0 {
			through = it.RadiusMM * math.Sin(rad(it.Angle)) // both legs end abreast
		}
		end(track.EndPoints, turned(origin), track.Right)
		bend := 0.0
		switch it.Form() {
		case track.FormWye:
			through, bend = arc, -turn
		case track.FormCurved:
			through, bend = it.OuterMM*rad(it.Angle), turn
		}
		end(track.EndThrough, ahead(origin, through, bend), track.Left)
		end(track.EndDiverging, ahead(origin, arc, turn), track.Left)
		leg(0, 1, origin, through, bend)
		leg(0, 2, origin, arc, turn)
		if it.ThreeWay {
			end(track.EndThird, ahead(origin, arc, -turn), track.Left)
			leg(0, 3, origin, arc, -turn)
		}
	case track.Crossing:
		middle := ahead(origin, it.LengthMM/2, 0)
		b1 := ahead(track.Pose{X: middle.X, Y: middle.Y, Heading: it.Angle}, -it.LengthMM/2, 0)
		end("a1", turned(origin), track.Right)
		end("a2", ahead(origin, it.LengthMM, 0), track.Left)
		end("b1", turned(b1), track.Right)
		end("b2", ahead(b1, it.LengthMM, 0), track.Left)
		leg(0, 1, origin, it.LengthMM, 0)
		leg(2, 3, b1, it.LengthMM, 0)
		if it.Slips() { // arcs that touch both ways where the piece ends
			slip := it.LengthMM / 2 / math.Tan(rad(it.Angle)/2) * rad(it.Angle)
			leg(0, 3, origin, slip, it.Angle)
			if it.Slip == track.FormSlip {
				leg(2, 1, b1, slip, -it.Angle)
			}
		}
	case track.Bumper:
		end(track.EndStart, turned(origin), track.Right)
	}
	return ends, legs
}

// gap is how far two joined ends are apart: along and across the heading of
// the first (mm, left positive) and in degrees.
type gap struct{ along, across, turn float64 }

func gapBetween(a, b track.Pose) gap {
	sin, cos := math.Sincos(rad(a.Heading))
	dx, dy := b.X-a.X, b.Y-a.Y
	return gap{dx*cos + dy*sin, -dx*sin + dy*cos, norm(b.Heading + 180 - a.Heading)}
}

func (g gap) mm() float64 { return math.Hypot(g.along, g.across) }

// box is the smallest upright rectangle round some pieces.
type box struct{ x0, y0, x1, y1 float64 }

func emptyBox() box { return box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)} }

func (b *box) add(p track.Pose) {
	b.x0, b.y0 = math.Min(b.x0, p.X), math.Min(b.y0, p.Y)
	b.x1, b.y1 = math.Max(b.x1, p.X), math.Max(b.y1, p.Y)
}

func (b *box) addPiece(p *track.Piece) {
	for i := range p.Ends {
		b.add(p.Ends[i].Pose)
	}
	for _, l := range p.Legs {
		for k := 1; k < 8; k++ {
			f := float64(k) / 8
			b.add(ahead(l.Start, l.Length*f, l.Turn*f))
		}
	}
}
