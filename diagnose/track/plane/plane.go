// Package plane is the layout as it lies on the table: where a place is, and how
// far someone walks from one to another.
package plane

import (
	"math"

	"fishplate/diagnose/track"
)

// Bounds is the rectangle that the track lies in, mm.
func Bounds(l *track.Layout) (x0, y0, x1, y1 float64) {
	x0, y0, x1, y1 = math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	add := func(p track.Pose) {
		x0, y0 = math.Min(x0, p.X), math.Min(y0, p.Y)
		x1, y1 = math.Max(x1, p.X), math.Max(y1, p.Y)
	}
	for i := range l.Pieces {
		for _, leg := range l.Pieces[i].Legs {
			for k := 0; k <= 8; k++ {
				add(Along(leg, float64(k)/8))
			}
		}
		for _, e := range l.Pieces[i].Ends {
			add(e.Pose)
		}
	}
	if math.IsInf(x0, 1) {
		return 0, 0, 0, 0
	}
	return x0, y0, x1, y1
}

// Along gives the place and heading at a share (0..1) of a leg's length.
func Along(leg track.Leg, share float64) track.Pose {
	h := leg.Start.Heading * math.Pi / 180
	d := leg.Length * share
	turn := leg.Turn * math.Pi / 180
	if math.Abs(turn) < 1e-9 {
		return track.Pose{X: leg.Start.X + d*math.Cos(h), Y: leg.Start.Y + d*math.Sin(h), Heading: leg.Start.Heading}
	}
	r := leg.Length / turn // signed radius: left positive
	a := h + turn*share
	return track.Pose{
		X:       leg.Start.X + r*(math.Sin(a)-math.Sin(h)),
		Y:       leg.Start.Y - r*(math.Cos(a)-math.Cos(h)),
		Heading: leg.Start.Heading + leg.Turn*share,
	}
}

// Spot gives the place on the table of a place on the track; at an end it
// lies a little inside the piece, so that the two sides of a joint differ.
func Spot(l *track.Layout, p track.Place) track.Pose {
	q := &l.Pieces[p.Piece]
	if p.End < 0 || p.End >= len(q.Ends) {
		if len(q.Legs) > 0 {
			return Along(q.Legs[0], 0.5)
		}
		if len(q.Ends) > 0 {
			return q.Ends[0].Pose
		}
		return track.Pose{}
	}
	for _, leg := range q.Legs {
		if leg.From == p.End {
			return Along(leg, 0.12)
		}
		if leg.To == p.End {
			return Along(leg, 0.88)
		}
	}
	return q.Ends[p.End].Pose
}
