package draw

import (
	"math"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
)

type painter struct {
	g    *Grid
	l    *track.Layout
	win  Window
	look Look
	keys int
}

func (p *painter) cell(at track.Pose) (int, int) { return p.win.Cell(p.g.W, p.g.H, at.X, at.Y) }

// fixtures draws what is always there: bumpers, insulated joints, feeders.
func (p *painter) fixtures() {
	for i := range p.l.Pieces {
		q := &p.l.Pieces[i]
		if q.Kind != track.Bumper {
			continue
		}
		at := q.Ends[0].Pose
		if len(q.Legs) > 0 {
			at = plane.Along(q.Legs[0], 1)
		}
		if x, y := p.cell(at); p.g.inside(x, y) {
			p.g.put(x, y, "]", BumperMark)
		}
	}
	for i := range p.l.Joints {
		j := &p.l.Joints[i]
		if len(j.Insulated) == 0 {
			continue
		}
		if x, y := p.cell(p.l.Pieces[j.A.Piece].Ends[j.A.End].Pose); p.g.inside(x, y) {
			p.g.put(x, y, ":", GapMark)
		}
	}
	for i := range p.l.Feeders {
		f := &p.l.Feeders[i]
		p.beside(plane.Spot(p.l, f.At), f.Name, FeederMark)
	}
}

// beside writes a short name next to the rails, or over them where there is
// no room.
func (p *painter) beside(at track.Pose, s string, k Kind) {
	x, y := p.cell(at)
	if !p.g.inside(x, y) || s == "" {
		return
	}
	for _, c := range spots(x, y, len(s), at.Heading) {
		if p.g.free(c[0], c[1], len(s)) {
			p.g.put(c[0], c[1], s, k)
			return
		}
	}
	if x+len(s) > p.g.W {
		x = p.g.W - len(s)
	}
	p.g.put(x, y, s, k)
}

// spots lists the cells where a name of n letters may begin, best first: above
// and below rails that run across, right and left of those that run up.
func spots(x, y, n int, heading float64) [][2]int {
	above := [][2]int{{x - n/2, y - 1}, {x - n/2, y + 1}, {x, y - 1}, {x, y + 1}, {x - n/2, y - 2}, {x - n/2, y + 2}}
	aside := [][2]int{{x + 2, y}, {x - n - 1, y}, {x + 3, y}, {x - n - 2, y}}
	if slope(heading) == '-' {
		return append(above, aside...)
	}
	return append(aside, above...)
}

// ranks writes 1, 2, 3 on the most suspected pieces.
func (p *painter) ranks() {
	for k := len(p.look.Ranks) - 1; k >= 0; k-- {
		i := p.look.Ranks[k]
		if k > 8 || i < 0 || i >= len(p.l.Pieces) || p.g.Anchor[i] < 0 {
			continue
		}
		a := p.g.Anchor[i]
		p.g.put(a%p.g.W, a/p.g.W, strconv.Itoa(k+1), Rank)
	}
}

// marks draws the caller's marks. Two marks never share a cell: the later one
// moves to the nearest free cell.
func (p *painter) marks() {
	used := map[int]bool{}
	if i := p.look.Chosen; i >= 0 && i < len(p.l.Pieces) && p.g.Anchor[i] >= 0 {
		a := p.g.Anchor[i]
		p.g.put(a%p.g.W, a/p.g.W, "@", Chosen)
		used[a] = true
	}
	for _, m := range p.look.Marks {
		if m.At.Piece < 0 || m.At.Piece >= len(p.l.Pieces) {
			continue
		}
		at := plane.Spot(p.l, m.At)
		x0, y0 := p.cell(at)
		if !p.g.inside(x0, y0) {
			continue // outside the window
		}
		x, y := p.cell(p.shift(at, m))
		x, y = p.unused(used, [2]int{x, y}, [2]int{x0, y0}, m.At.Piece)
		if x < 0 {
			continue
		}
		used[y*p.g.W+x] = true
		p.g.put(x, y, m.Text, m.Kind)
	}
}

// shift moves a mark to its side of the rails, by one cell.
func (p *painter) shift(at track.Pose, m Mark) track.Pose {
	if m.Side == 0 {
		return at
	}
	a := at.Heading * math.Pi / 180
	if m.At.End >= 0 || m.At.Piece >= 0 {
		a = p.runHeading(m.At, at) * math.Pi / 180
	}
	s := float64(m.Side)
	at.X += -math.Sin(a) * s * 2 * p.win.MMPerDot
	at.Y += math.Cos(a) * s * 4 * p.win.MMPerDot
	return at
}

// runHeading turns the heading of a place round where the run goes through
// the piece against the piece's own direction: left is left along the run.
func (p *painter) runHeading(place track.Place, at track.Pose) float64 {
	q := &p.l.Pieces[place.Piece]
	if q.Reversed || q.Backward && place.End >= 2 { // the second way's ends
		return at.Heading + 180
	}
	return at.Heading
}

// reach is how many cells a mark may move to be free.
const reach = 4

// unused finds the cell nearest to where a mark should be, and to the place that
// it marks, that carries no mark of the caller's and no feeder's name, and that is
// not on or beside the rails of another track, where the mark would be taken for
// one of a place there. A row counts as two columns. It gives -1, -1 where there
// is none.
func (p *painter) unused(used map[int]bool, want, place [2]int, piece int) (int, int) {
	bestX, bestY, least := -1, -1, math.MaxInt
	for y := want[1] - reach; y <= want[1]+reach; y++ {
		for x := want[0] - reach; x <= want[0]+reach; x++ {
			if !p.g.inside(x, y) || used[y*p.g.W+x] || p.g.feederName(x, y) { // its name stays whole
				continue
			}
			away := 2*abs(x-want[0]) + 4*abs(y-want[1]) + abs(x-place[0]) + 2*abs(y-place[1])
			if p.foreign(x, y, piece) {
				away += 8 * reach
			}
			if k := p.g.Cells[y*p.g.W+x].Kind; k == LandmarkName || k == PieceNumber {
				away += 3
			}
			for _, beside := range [2]int{x - 1, x + 1} {
				if p.g.feederName(beside, y) || p.foreign(beside, y, piece) { // "F1S" would be one word
					away += 6
				}
			}
			if away < least {
				bestX, bestY, least = x, y, away
			}
		}
	}
	return bestX, bestY
}

// foreign says whether a cell has the rails of another track than a piece's.
func (p *painter) foreign(x, y, piece int) bool {
	if !p.g.inside(x, y) {
		return false
	}
	c := &p.g.Cells[y*p.g.W+x]
	return c.Kind == Rail && !p.near(piece, int(c.Piece))
}

// sameTrack is how many pieces along a run are one track to the eye.
const sameTrack = 8

// near says whether two pieces lie on one run near each other.
func (p *painter) near(a, b int) bool {
	if b < 0 {
		return true
	}
	q, r := &p.l.Pieces[a], &p.l.Pieces[b]
	if q.Run != r.Run {
		return false
	}
	apart := abs(q.Number - r.Number)
	for i := range p.l.Runs {
		if run := &p.l.Runs[i]; run.Name == q.Run && run.Closed {
			apart = min(apart, len(run.Pieces)-apart)
		}
	}
	return apart <= sameTrack
}

// feederName says whether a cell has part of a feeder's name.
func (g *Grid) feederName(x, y int) bool {
	return g.inside(x, y) && g.Cells[y*g.W+x].Kind == FeederMark
}

// names writes landmarks, accessories, runs and piece numbers where there is
// room; a landmark, an accessory or a run without room gets a letter and a line in Keys.
func (p *painter) names() {
	for i := range p.l.Landmarks {
		m := &p.l.Landmarks[i]
		p.landmark(plane.Spot(p.l, m.At), plainASCII(m.Name))
	}
	for i := range p.l.Accessories {
		if at, ok := p.l.StandsAt(i); ok {
			p.landmark(plane.Spot(p.l, at), plainASCII(p.l.Accessories[i].Name))
		}
	}
	p.numbers()
}

func (p *painter) landmark(at track.Pose, name string) {
	x, y := p.cell(at)
	if !p.g.inside(x, y) || name == "" {
		return
	}
	for _, c := range spots(x, y, len(name), at.Heading) {
		if p.g.free(c[0], c[1], len(name)) {
			p.g.put(c[0], c[1], name, LandmarkName)
			return
		}
	}
	p.letter(x, y, at.Heading, name)
}

// letter puts a letter at a place in place of a name, and explains it in Keys.
func (p *painter) letter(x, y int, heading float64, name string) {
	if most := p.look.Letters; most != 0 && p.keys >= most || p.keys >= 26 {
		return
	}
	letter := string(rune('a' + p.keys))
	for _, c := range append(spots(x, y, 1, heading), [2]int{x, y}) {
		if !p.g.inside(c[0], c[1]) {
			continue
		}
		if k := p.g.Cells[c[1]*p.g.W+c[0]].Kind; k == Empty || k == Rail {
			p.keys++
			p.g.put(c[0], c[1], letter, LandmarkName)
			p.g.Keys = append(p.g.Keys, KeyEntry{letter, name})
			return
		}
	}
}

// numbers writes the number of the first piece of each run (with the run's
// name) and of every piece that has room, the round ones first.
func (p *painter) numbers() {
	for _, every := range []int{0, 10, 5, 1} {
		for r := range p.l.Runs {
			run := &p.l.Runs[r]
			for k, i := range run.Pieces {
				s := strconv.Itoa(p.l.Pieces[i].Number)
				switch {
				case every == 0 && k == 0:
					s = plainASCII(p.l.Pieces[i].ID())
				case every == 0 || k == 0 || p.round(i) != every:
					continue
				case r > 0 && every > 1 && !p.roomy(i):
					continue // a bare "5" would be taken for one of the first run's
				case every == 1 && !p.roomy(i):
					continue // too close together to be told apart
				}
				p.number(i, s)
			}
		}
	}
}

// round gives how round a piece's number is: 10, 5 or 1.
func (p *painter) round(i int) int {
	for _, n := range []int{10, 5} {
		if p.l.Pieces[i].Number%n == 0 {
			return n
		}
	}
	return 1
}

// roomy says whether a piece is long enough on the map to stand apart from
// its neighbours.
func (p *painter) roomy(i int) bool {
	legs := p.l.Pieces[i].Legs
	return len(legs) > 0 && legs[0].Length/p.win.MMPerDot >= 14
}

func (p *painter) number(i int, s string) {
	at := plane.Spot(p.l, track.Place{Piece: i, End: -1})
	x, y := p.cell(at)
	if !p.g.inside(x, y) {
		return
	}
	for _, c := range spots(x, y, len(s), at.Heading) {
		if p.g.free(c[0], c[1], len(s)) && (!bare(s) || !p.besides(c[0], c[1], len(s), i)) {
			p.g.put(c[0], c[1], s, PieceNumber)
			return
		}
	}
	if q := &p.l.Pieces[i]; !bare(s) && q.Run != p.l.Runs[0].Name { // bare numbers are the first run's
		p.letter(x, y, at.Heading, s)
	}
}

// bare says whether a label is a number that does not say of which run.
func bare(s string) bool { return strings.Trim(s, "0123456789") == "" }

// besides says whether a label would stand beside another track than its piece's, and be
// taken for one of its numbers.
func (p *painter) besides(x, y, n, piece int) bool {
	for k := -1; k <= n; k++ {
		if p.foreign(x+k, y-1, piece) || p.foreign(x+k, y, piece) || p.foreign(x+k, y+1, piece) {
			return true
		}
	}
	return false
}

// plainASCII keeps a name one column a byte: other runes become '?'.
func plainASCII(s string) string {
	b := make([]byte, 0, len(s))
	for _, r := range s {
		if r < ' ' || r > '~' {
			r = '?'
		}
		b = append(b, byte(r))
	}
	return string(b)
}
