package draw

import (
	"math"

	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
)

// Look says what the map shows on top of the rails.
type Look struct {
	ASCII  bool
	Levels []Level // one a piece; nil: all Unknown
	Marks  []Mark  // probes, loads, lifted joints; later ones win
	Ranks  []int   // pieces to number 1, 2, 3, ... as most suspected
	Chosen int     // a piece to point out, -1 for none
	Names  bool    // write landmarks and piece numbers where there is room
	// Letters is how many names without room have a letter in their place, those that
	// somebody explains: 0 any number, -1 none.
	Letters int
}

// Mark is a letter at a place on the track.
type Mark struct {
	At   track.Place
	Side int // +1 on the left of the rails (seen along the run), -1 right, 0 on them
	Text string
	Kind Kind
}

// Plan draws the layout in w by h cells.
func Plan(l *track.Layout, w, h int, win Window, look Look) *Grid {
	if w < 1 || h < 1 {
		return newGrid(0, 0, len(l.Pieces))
	}
	// Feeders and names stand where they have room beside the bare rails, whatever
	// is suspected and wherever the probes are: they hold still through a hunt.
	bare := rails(l, w, h, win, Look{ASCII: look.ASCII})
	p := &painter{g: bare, l: l, win: win, look: look}
	p.fixtures()
	if look.Names {
		p.names()
	}
	g := bare
	if look.Levels != nil {
		g = rails(l, w, h, win, look)
		g.over(bare)
	}
	p.g = g
	p.ranks()
	p.marks()
	return g
}

// rails draws the pieces alone, the less suspected first, so that the others are
// drawn over them.
func rails(l *track.Layout, w, h int, win Window, look Look) *Grid {
	g := newGrid(w, h, len(l.Pieces))
	for v := Unknown; v <= Hot; v++ {
		for i := range l.Pieces {
			if level(look, i) == v {
				g.piece(l, i, win, look.ASCII, v)
			}
		}
	}
	if !look.ASCII {
		g.braille()
	}
	for i := range l.Pieces {
		g.anchor(l, i, win)
	}
	return g
}

// over lays all of another map of the same size but its rails over this one.
func (g *Grid) over(o *Grid) {
	for i := range o.Cells {
		if k := o.Cells[i].Kind; k != Empty && k != Rail {
			g.Cells[i].Rune, g.Cells[i].Kind = o.Cells[i].Rune, k
		}
	}
	g.Keys = o.Keys
}

func level(look Look, i int) Level {
	if i < len(look.Levels) {
		return look.Levels[i]
	}
	return Unknown
}

func (g *Grid) anchor(l *track.Layout, i int, win Window) {
	at := plane.Spot(l, track.Place{Piece: i, End: -1})
	if x, y := win.Cell(g.W, g.H, at.X, at.Y); g.inside(x, y) {
		g.Anchor[i] = y*g.W + x
		// On a small map no dot of it may fall into that very cell.
		g.visits = append(g.visits, visit{int32(g.Anchor[i]), int32(i)})
	}
}

func (g *Grid) piece(l *track.Layout, i int, win Window, ascii bool, v Level) {
	p := &l.Pieces[i]
	for _, leg := range p.Legs {
		n := int(leg.Length/win.MMPerDot*1.5) + 2
		if n > 4096 { // far zoomed in: dots further apart than cells never show
			n = 4096
		}
		for k := 0; k <= n; k++ {
			at := plane.Along(leg, float64(k)/float64(n))
			if ascii {
				g.stroke(win, at, int32(i), v)
			} else {
				g.line(win, at, int32(i), v, k, n)
			}
		}
	}
	for _, e := range p.Ends {
		if len(p.Legs) == 0 { // a bumper of no length
			if x, y := win.Cell(g.W, g.H, e.Pose.X, e.Pose.Y); g.inside(x, y) {
				g.claim(x, y, int32(i), v)
			}
		}
	}
}

// line sets the dots of one place along a leg: dotted when ruled out, thin
// when possible, two dots thick when likely, three when most suspected. A dot
// is left out at the joints of pieces that are long enough on the map.
func (g *Grid) line(win Window, at track.Pose, p int32, v Level, k, n int) {
	if v == Out && k%4 != 0 {
		// Keep the cell known as this piece's even where no dot is set.
		if x, y := win.Cell(g.W, g.H, at.X, at.Y); g.inside(x, y) {
			g.claim(x, y, p, v)
		}
		return
	}
	if n > 24 && (k == 0 || k == n || k == 1 || k == n-1) && v != Out {
		return
	}
	x, y := win.dots(g.W, g.H, at.X, at.Y)
	a := at.Heading * math.Pi / 180
	nx, ny := -math.Sin(a), -math.Cos(a) // to the left of the track, in dots
	set := func(off float64) {
		g.dot(int(math.Floor(x+nx*off)), int(math.Floor(y+ny*off)), p, v)
	}
	switch v {
	case Likely:
		set(-0.5)
		set(0.5)
	case Hot:
		set(-1)
		set(0)
		set(1)
	default:
		set(0)
	}
}

// stroke draws one place along a leg in ASCII.
func (g *Grid) stroke(win Window, at track.Pose, p int32, v Level) {
	x, y := win.Cell(g.W, g.H, at.X, at.Y)
	if !g.inside(x, y) {
		return
	}
	c := g.claim(x, y, p, v)
	if c.Piece != p {
		return
	}
	switch v {
	case Out:
		c.Rune = '.'
	case Likely:
		c.Rune = 'o'
	case Hot:
		c.Rune = '#'
	default:
		c.Rune = slope(at.Heading)
	}
}

// slope gives the character for a heading.
func slope(heading float64) rune {
	h := math.Mod(math.Mod(heading, 180)+180, 180)
	switch {
	case h < 22.5 || h >= 157.5:
		return '-'
	case h < 67.5:
		return '/'
	case h < 112.5:
		return '|'
	}
	return '\\'
}
