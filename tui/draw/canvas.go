// Package draw turns a layout and what is believed about it into a grid of
// character cells: the plan view. It is pure: no terminal, no colours (only
// roles), no state. In the Unicode form a cell holds 2 by 4 braille dots,
// which are one column wide in every locale; the ASCII form uses one character
// a cell. Both share one geometry, so a mark stands in the same cell.
package draw

// Level is how much a piece is suspected, as the map shows it.
type Level uint8

// The levels, from least to most. Unknown is a map on which nothing is
// suspected yet.
const (
	Unknown Level = iota
	Out
	Possible
	Likely
	Hot
)

// The suspicion from which a piece is Possible, Likely and Hot. Below
// PossibleFrom times the even share (1 / number of pieces) it is Out.
const (
	PossibleFrom = 0.08
	LikelyFrom   = 0.06
	HotFrom      = 0.25
)

// Levels turns suspicions (0..1, one a piece) into levels. With nothing
// suspected at all every piece is Unknown.
func Levels(suspicion []float64) []Level {
	out := make([]Level, len(suspicion))
	total := 0.0
	for _, p := range suspicion {
		total += p
	}
	if total <= 0 {
		return out
	}
	even := 1 / float64(len(suspicion))
	for i, p := range suspicion {
		switch {
		case p < PossibleFrom*even:
			out[i] = Out
		case p >= HotFrom:
			out[i] = Hot
		case p >= LikelyFrom && p >= 1.5*even:
			out[i] = Likely
		default:
			out[i] = Possible
		}
	}
	return out
}

// Kind says what a cell holds, for its colour.
type Kind uint8

// The kinds of cells. Rail cells take their look from the level.
const (
	Empty Kind = iota
	Rail
	ProbeRed
	ProbeBlack
	LoadEnd
	FeederMark
	LiftedMark
	GapMark
	BumperMark
	LandmarkName
	PieceNumber
	Rank
	Chosen
)

// Cell is one character of the map.
type Cell struct {
	Rune  rune
	Kind  Kind
	Level Level
	Piece int32 // the piece drawn here, -1 for none
}

type visit struct {
	cell, piece int32
}

// Grid is a drawn map.
type Grid struct {
	W, H  int
	Cells []Cell
	// Anchor is, for each piece, the cell of its middle (-1: outside the
	// window): a way to reach pieces that share a cell with others.
	Anchor []int
	// Keys explains the letters that stand for names with no room on the map.
	Keys   []KeyEntry
	visits []visit
	dots   []uint8
}

// KeyEntry is one line of the map's own key.
type KeyEntry struct{ Letter, Name string }

func newGrid(w, h, pieces int) *Grid {
	g := &Grid{W: w, H: h, Cells: make([]Cell, w*h), dots: make([]uint8, w*h), Anchor: make([]int, pieces)}
	for i := range g.Cells {
		g.Cells[i] = Cell{Rune: ' ', Piece: -1}
	}
	for i := range g.Anchor {
		g.Anchor[i] = -1
	}
	return g
}

// At lists the pieces drawn in a cell or, where there is none, in the nearest
// cells up to two columns and one row away.
func (g *Grid) At(x, y int) []int {
	for _, reach := range [][2]int{{0, 0}, {1, 0}, {1, 1}, {2, 1}} {
		var out []int
		seen := map[int]bool{}
		for _, v := range g.visits {
			cx, cy := int(v.cell)%g.W, int(v.cell)/g.W
			if abs(cx-x) <= reach[0] && abs(cy-y) <= reach[1] && !seen[int(v.piece)] {
				seen[int(v.piece)] = true
				out = append(out, int(v.piece))
			}
		}
		if len(out) > 0 {
			return out
		}
	}
	return nil
}

func abs(a int) int {
	if a < 0 {
		return -a
	}
	return a
}

// inside says whether a cell belongs to the grid.
func (g *Grid) inside(x, y int) bool { return x >= 0 && y >= 0 && x < g.W && y < g.H }

// dotBits gives the braille bit of the dot at column x (0, 1), row y (0..3)
// of a cell (The Unicode Standard, block Braille Patterns U+2800).
var dotBits = [2][4]uint8{{0x01, 0x02, 0x04, 0x40}, {0x08, 0x10, 0x20, 0x80}}

// claim notes that piece p at level v passes through the cell; the higher
// level keeps the cell.
func (g *Grid) claim(x, y int, p int32, v Level) *Cell {
	i := y*g.W + x
	c := &g.Cells[i]
	n := len(g.visits)
	if n == 0 || g.visits[n-1] != (visit{int32(i), p}) {
		g.visits = append(g.visits, visit{int32(i), p})
	}
	if c.Piece < 0 || v > c.Level {
		c.Piece, c.Level, c.Kind = p, v, Rail
	}
	return c
}

// dot sets one dot, in dots from the top left corner.
func (g *Grid) dot(x, y int, p int32, v Level) {
	if x < 0 || y < 0 || !g.inside(x/2, y/4) {
		return
	}
	g.claim(x/2, y/4, p, v)
	g.dots[y/4*g.W+x/2] |= dotBits[x&1][y&3]
}

// braille turns the dots into characters.
func (g *Grid) braille() {
	for i, d := range g.dots {
		if d != 0 {
			g.Cells[i].Rune = rune(0x2800) + rune(d)
		}
	}
}

// put writes text over the map; false when it does not fit in the row.
func (g *Grid) put(x, y int, s string, k Kind) bool {
	if y < 0 || y >= g.H || x < 0 || x+len(s) > g.W {
		return false
	}
	for i := 0; i < len(s); i++ {
		c := &g.Cells[y*g.W+x+i]
		c.Rune, c.Kind = rune(s[i]), k
	}
	return true
}

// free says whether n cells from x are empty, with one empty cell (or the
// border) on either side.
func (g *Grid) free(x, y, n int) bool {
	if y < 0 || y >= g.H || x < 0 || x+n > g.W {
		return false
	}
	for i := x - 1; i <= x+n; i++ {
		if i >= 0 && i < g.W && g.Cells[y*g.W+i].Kind != Empty {
			return false
		}
	}
	return true
}

// String gives the map as text, a line a row.
func (g *Grid) String() string {
	out := make([]rune, 0, (g.W+1)*g.H)
	for y := 0; y < g.H; y++ {
		for x := 0; x < g.W; x++ {
			out = append(out, g.Cells[y*g.W+x].Rune)
		}
		out = append(out, '\n')
	}
	return string(out)
}
