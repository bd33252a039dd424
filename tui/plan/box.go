package plan

import (
	"fishplate/tui/scene"
	"fishplate/tui/text"
)

const (
	// A window from this size on has the map beside the words.
	besideWide, besideHigh = 110, 24
	// TextWide is how wide a column of words may be.
	TextWide = 70
	// underRows is how many rows the map has under the words; where they need them
	// it goes. It is never made smaller, so that it holds still.
	underRows = 7
	// underWide is the width from which there is a map under the words at all.
	underWide = 60
	// leastLegend is how many rows a map has that explains its marks.
	leastLegend = 10
)

// Box is where the map stands among the words of a screen: in one place and of one
// size through a whole hunt, so that it holds still.
type Box struct {
	X, Y, W, H int
	Words      int  // columns for the words
	Beside     bool // it stands beside them, else under them
}

// BoxIn is the box in a window of w by h cells; its H is 0 where there is no room
// for a map.
func BoxIn(w, h int) Box {
	switch {
	case w >= besideWide && h >= besideHigh:
		words := min(w*9/20, TextWide)
		return Box{X: words + 3, W: w - words - 3, H: h - h/3, Words: words, Beside: true}
	case w >= underWide && h > underRows:
		return Box{Y: h - underRows, W: w, H: underRows, Words: min(w, TextWide+10)}
	}
	return Box{Words: min(w, TextWide+10)}
}

// Draw draws the map in its box; nil where there is none.
func (m *Model) Draw(sc *scene.Scene, show Show, b Box) []string {
	if b.H == 0 {
		return nil
	}
	return m.View(sc, show, b.W, b.H)
}

// Put lays words and a map out in a window h cells high: under them the map stands
// at the foot, or not at all where they need its rows.
func (b Box) Put(words, drawn []string, h int) []string {
	if b.Beside {
		return text.Beside(words, drawn, b.Words, h, "   ")
	}
	if b.H == 0 || len(words) > b.Y {
		return words
	}
	for len(words) < b.Y {
		words = append(words, "")
	}
	return append(words, drawn...)
}
