package draw

import (
	"math"

	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
)

// Window is the part of the table that the map shows.
type Window struct {
	X, Y     float64 // the middle, mm
	MMPerDot float64 // a cell is 2 dots wide and 4 high
}

// Fit gives the window that shows the whole layout in w by h cells.
func Fit(l *track.Layout, w, h int) Window {
	x0, y0, x1, y1 := plane.Bounds(l)
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

// dots gives the dot (not rounded) of a place on the table.
func (win Window) dots(w, h int, x, y float64) (float64, float64) {
	return float64(w) + (x-win.X)/win.MMPerDot, float64(2*h) - (y-win.Y)/win.MMPerDot
}

// Cell gives the cell of a place on the table; it may lie outside the grid.
func (win Window) Cell(w, h int, x, y float64) (int, int) {
	dx, dy := win.dots(w, h, x, y)
	return int(math.Floor(dx / 2)), int(math.Floor(dy / 4))
}
