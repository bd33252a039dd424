package layoutfile

import (
	"fmt"
	"math"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// How far two ends may be apart before a warning: joints flex, and hand-laid
// curves are never exact (common practice, no source; assumed).
const (
	toleranceMM  = 20
	toleranceDeg = 4
)

// spaceMM lies between parts of the layout that are not joined to each other.
const spaceMM = 300

// bodies are the runs as stiff parts that are moved onto each other.
type bodies struct {
	x     *layoutReader
	group []int // by run: runs of equal group keep their places to each other
	runOf []int // by piece
}

func (x layer) newBodies() *bodies {
	b := &bodies{x: x.layoutReader, group: make([]int, len(x.runs)), runOf: make([]int, len(x.l.Pieces))}
	for i, n := range x.runs {
		b.group[i] = i
		for k := 0; k < n.count; k++ {
			b.runOf[n.first+k] = i
		}
	}
	return b
}

func (b *bodies) groupOf(piece int) int { return b.group[b.runOf[piece]] }

// settle moves groups onto each other along the joints, in order; a joint
// inside one group is where a miss shows.
func (b *bodies) settle(meets []meet) {
	for _, m := range meets {
		if m.a.End < 0 || m.b.End < 0 {
			continue // behind a bumper: join says so
		}
		ga, gb := b.groupOf(m.a.Piece), b.groupOf(m.b.Piece)
		if ga == gb {
			continue
		}
		stays, moves := m.a, m.b
		if gb < ga {
			stays, moves = m.b, m.a
			ga, gb = gb, ga
		}
		s := meeting(b.pose(moves), b.pose(stays))
		for i, n := range b.x.runs {
			if b.group[i] == gb {
				b.move(n, s)
				b.group[i] = ga
			}
		}
	}
}

func (b *bodies) pose(e track.EndRef) track.Pose { return b.x.l.Pieces[e.Piece].Ends[e.End].Pose }

func (b *bodies) move(n *run, s shift) {
	for k := 0; k < n.count; k++ {
		movePiece(&b.x.l.Pieces[n.first+k], s)
	}
	for i := range n.steps {
		n.steps[i].entry = s.apply(n.steps[i].entry)
	}
}

// against says whether the walk meets a crossing's second way from its far
// end; where nothing ties the two runs together yet, it does not.
func (b *bodies) against(n *run, s *step) bool {
	own := -1
	for i, r := range b.x.runs {
		if r == n {
			own = b.group[i]
		}
	}
	if own != b.groupOf(s.piece) {
		return false
	}
	way := b.x.l.Pieces[s.piece].Legs[1].Start.Heading
	return math.Abs(norm(s.entry.Heading-way)) > 90
}

// spread lays groups that are not joined below each other on the table.
func (b *bodies) spread() {
	boxes := make([]box, len(b.x.runs))
	for i := range boxes {
		boxes[i] = emptyBox()
	}
	for i := range b.x.l.Pieces {
		boxes[b.groupOf(i)].addPiece(&b.x.l.Pieces[i])
	}
	floor, began := 0.0, false
	for g := range boxes {
		if boxes[g].x1 < boxes[g].x0 {
			continue
		}
		if !began {
			began, floor = true, boxes[g].y0
			continue
		}
		s := shift{x: 0, y: floor - spaceMM - boxes[g].y1}
		for i, n := range b.x.runs {
			if b.group[i] == g {
				b.move(n, s)
			}
		}
		floor = boxes[g].y0 + s.y
	}
}

// join makes the joints, and answers ends that are wanted twice.
func (x layer) join(meets []meet) bool {
	l := x.l
	pairs := map[[2]int]int{}
	ok := true
	for i := range meets {
		m := &meets[i]
		if m.a.End < 0 || m.b.End < 0 {
			x.fail(m.at, "the track ends at a bumper: nothing can be joined behind it",
				"put the bumper at the very end of its run, or leave it out")
			ok = false
			continue
		}
		free := true
		for _, e := range []track.EndRef{m.a, m.b} {
			if j := l.Pieces[e.Piece].Ends[e.End].Joint; j >= 0 {
				x.endTaken(m, e, &meets[j])
				free = false
				break
			}
		}
		if free && m.a == m.b {
			x.fail(m.at, fmt.Sprintf("%s would be joined to itself", x.endName(m.a)),
				"from and to must be two different ends")
			free = false
		}
		pair := [2]int{min(m.a.Piece, m.b.Piece), max(m.a.Piece, m.b.Piece)}
		if first, twice := pairs[pair]; free && twice {
			x.fail(m.at, fmt.Sprintf("a second joint between %s and %s: the two could not be told apart by name",
				l.Pieces[pair[0]].ID(), l.Pieces[pair[1]].ID()),
				"lay one more piece between them", x.also(meets[first].at, "the first one is here"))
			free = false
		}
		if free && !x.sameRails(m) {
			free = false
		}
		if !free {
			ok = false
			l.Joints = append(l.Joints, track.Joint{}) // keeps joints and meets in step; the layout is not used
			continue
		}
		pairs[pair] = i
		l.Joints = append(l.Joints, track.Joint{A: m.a, B: m.b, Line: m.at.Line})
		l.Pieces[m.a.Piece].Ends[m.a.End].Joint = i
		l.Pieces[m.b.Piece].Ends[m.b.End].Joint = i
	}
	for i := range l.Joints {
		if ok {
			l.Joints[i].Name = l.SideName(l.Joints[i].A)
		}
	}
	return ok
}

// endName names an end for a message: "W1 diverging", "main 40 end".
func (x layer) endName(e track.EndRef) string {
	p := &x.l.Pieces[e.Piece]
	return orElse(p.Name, p.ID()) + " " + p.Ends[e.End].Label
}

func (x layer) endTaken(m *meet, e track.EndRef, first *meet) {
	other := first.a
	if other == e {
		other = first.b
	}
	var free []string
	p := &x.l.Pieces[e.Piece]
	for i := range p.Ends {
		if p.Ends[i].Joint < 0 && i != e.End {
			free = append(free, fmt.Sprintf("%q", orElse(p.Name, p.ID())+" "+p.Ends[i].Label))
		}
	}
	fix := "no end of this piece is free"
	if len(free) > 0 {
		fix = "free for now: " + schema.Listed(free, "and")
	}
	x.fail(m.at, fmt.Sprintf("%s is taken already, by %s", x.endName(e), x.endName(other)), fix,
		x.also(first.at, "that joint is made here"))
}

func (x layer) sameRails(m *meet) bool {
	a, b := x.l.Pieces[m.a.Piece].Construction, x.l.Pieces[m.b.Piece].Construction
	if a == nil || b == nil || len(a.Rails) == len(b.Rails) {
		return true
	}
	x.fail(m.at, fmt.Sprintf("%s has %d rails and %s has %d: they cannot be joined", a.Name, len(a.Rails), b.Name,
		len(b.Rails)), "give both runs track with the same rails")
	return false
}

// misses measures every joint, notes it on its run and warns where the ends
// are further apart than joints flex.
func (x layer) misses(meets []meet) {
	for _, n := range x.runs {
		if n.count == 0 {
			continue
		}
		t := track.Run{Name: n.name, Closed: n.closes}
		for k := 0; k < n.count; k++ {
			t.Pieces = append(t.Pieces, n.first+k)
		}
		x.l.Runs = append(x.l.Runs, t)
	}
	for i := range meets {
		m := &meets[i]
		g := gapBetween(x.l.Pieces[m.a.Piece].Ends[m.a.End].Pose, x.l.Pieces[m.b.Piece].Ends[m.b.End].Pose)
		if g.mm() < 1e-6 && math.Abs(g.turn) < 1e-6 {
			continue
		}
		for k := range x.l.Runs {
			if t := &x.l.Runs[k]; t.Name == m.owner.name && math.Hypot(t.MissMM, t.MissDeg) < math.Hypot(g.mm(),
				g.turn) {
				t.MissMM, t.MissDeg = g.mm(), math.Abs(g.turn)
			}
		}
		if g.mm() > toleranceMM || math.Abs(g.turn) > toleranceDeg {
			x.warn(m.at, fmt.Sprintf("run %s misses at %s: %s", m.owner.name, x.l.Joints[i].Name, x.describe(g)),
				"look for a piece too many or too few, or a curve the wrong way; everything but the drawing works "+
					"all the same")
		}
	}
}

// describe says a gap in the units of the file.
func (x layer) describe(g gap) string {
	length := func(mm float64) string {
		if x.l.Metric {
			return sheet.TrimNumber(mm, 0) + " mm"
		}
		return sheet.TrimNumber(mm/25.4, 1) + " in"
	}
	s := "the ends are " + length(g.mm()) + " apart"
	var how []string
	part := func(mm float64, plus, minus string) {
		if n := length(math.Abs(mm)); mm > 0 && n[0:2] != "0 " {
			how = append(how, n+plus)
		} else if n[0:2] != "0 " {
			how = append(how, n+minus)
		}
	}
	part(g.along, " short", " too far")
	part(g.across, " too far to the right", " too far to the left")
	if len(how) > 0 {
		s += " (" + schema.Listed(how, "and") + ")"
	}
	if math.Abs(g.turn) > 0.05 {
		s += fmt.Sprintf(" and %s degrees off", sheet.TrimNumber(math.Abs(g.turn), 1))
	}
	return s
}
