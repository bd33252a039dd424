package plane

import (
	"math"

	"fishplate/diagnose/track"
)

// armReach is how far in from its edge a table is worked at, m (assumed).
const armReach = 0.75

// Table is the table that a layout lies on: the rectangle about its track, mm.
// Nobody walks across it.
type Table struct{ x0, y0, x1, y1 float64 }

// TableOf is the table under a layout.
func TableOf(l *track.Layout) Table {
	x0, y0, x1, y1 := Bounds(l)
	return Table{x0, y0, x1, y1}
}

// Apart is how far apart two places are, m, as a wire between them runs.
func Apart(a, b track.Pose) float64 { return math.Hypot(a.X-b.X, a.Y-b.Y) / 1000 }

// Walk is how far one walks along the edge from one place to another, m: from
// where the one is within an arm's length (or nearest to it) to where the other is,
// the shorter way round. What both hands reach from one stand costs no walk.
func (t Table) Walk(a, b track.Pose) float64 {
	if Apart(a, b) <= armReach {
		return 0
	}
	round := 2 * (t.x1 - t.x0 + t.y1 - t.y0) / 1000
	best := math.Inf(1)
	for _, from := range t.stands(a) {
		for _, to := range t.stands(b) {
			way := math.Abs(from - to)
			best = math.Min(best, math.Min(way, round-way))
		}
	}
	return math.Max(best, 0)
}

// stands are the places along the edge, m from its first corner, from which a
// place is reached: on each side that is at most an arm's length further than the
// nearest one.
func (t Table) stands(p track.Pose) []float64 {
	w, h := t.x1-t.x0, t.y1-t.y0
	x, y := p.X-t.x0, p.Y-t.y0
	sides := [4]struct{ in, at float64 }{{y, x}, {w - x, w + y}, {h - y, w + h + (w - x)}, {x, 2*w + h + (h - y)}}
	nearest := math.Inf(1)
	for _, s := range sides {
		nearest = math.Min(nearest, s.in)
	}
	var out []float64
	for _, s := range sides {
		if s.in <= nearest+armReach*1000 {
			out = append(out, s.at/1000)
		}
	}
	return out
}
