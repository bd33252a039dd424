package draw

import (
	"math"

	"fishplate/diagnose/track"
)

// Window is the part of the table that the map shows.
type Window struct {
	X, Y     float64 // the middle, mm
	MMPerDot float64 // a cell is 2 dots wide and 4 high
}

// Fit gives the window that shows the whole layout in w by h cells.
func Fit(l *track.Layout, w, h int) Window {
	x0, y0, x1, y1 := bounds(l)
	// One cell of margin left and right, half a cell above and below.
	dw, dh := float64(2*w-5), float64(4*h-5)
	scale := math.Max((x1-x0)/math.Max(dw, 1), (y1-y0)/math.Max(dh, 1))
	if scale <= 0 {
		scale = 1
	}
	return Window{X: (x0 + x1) / 2, Y: (y0 + y1) / 2, MMPerDot: scale}
}

// Near gives the window of w by h cells that shows the layout `zoom` times
// bigger than Fit would, about the point (x, y).
func Near(l *track.Layout, w, h int, zoom, x, y float64) Window {
	win := Fit(l, w, h)
	if zoom <= 1 {
		return win
	}
	return Window{X: x, Y: y, MMPerDot: win.MMPerDot / zoom}
}

func bounds(l *track.Layout) (x0, y0, x1, y1 float64) {
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

// dots gives the dot (not rounded) of a place on the table.
func (win Window) dots(w, h int, x, y float64) (float64, float64) {
	return float64(w) + (x-win.X)/win.MMPerDot, float64(2*h) - (y-win.Y)/win.MMPerDot
}

// Cell gives the cell of a place on the table; it may lie outside the grid.
func (win Window) Cell(w, h int, x, y float64) (int, int) {
	dx, dy := win.dots(w, h, x, y)
	return int(math.Floor(dx / 2)), int(math.Floor(dy / 4))
}
