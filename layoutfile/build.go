package layoutfile

import (
	"fmt"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// step is one way through a piece on the walk along a run: in by one end, out
// by another (-1 at a bumper's blind side).
type step struct {
	piece, in, out int
	again          *item // the second way through a crossing
	entry          track.Pose
}

// meet is a joint to be made.
type meet struct {
	a, b     track.EndRef
	owner    *run
	at       sheet.Span
	boundary bool // closes, from or to: where a miss is spoken of
}

// layer lays the pieces of all runs and joins their ends.
type layer struct{ *layoutReader }

// build makes pieces, joints and places out of the runs. It needs runs that
// could be read whole.
func (x layer) build() bool {
	if !x.layPieces() {
		return false
	}
	x.laid = true
	bodies := x.newBodies()
	x.resolveEnds()
	bodies.settle(x.boundaries())
	if !x.crossAgain(bodies) {
		return false
	}
	meets := x.meets()
	bodies.settle(meets)
	ok := x.join(meets)
	if !ok || x.failed() {
		return false
	}
	bodies.spread()
	x.misses(meets)
	return true
}

// layPieces lays every run's own pieces in a frame of the run.
func (x layer) layPieces() bool {
	x.crossLength = map[string]float64{}
	for _, n := range x.runs {
		for i := range n.items {
			if it := &n.items[i]; it.Kind == track.Crossing && it.Name != "" {
				x.crossLength[it.Name] = it.LengthMM
			}
		}
	}
	for _, n := range x.runs {
		n.first = len(x.l.Pieces)
		pose := track.Pose{}
		for i := range n.items {
			it := &n.items[i]
			x.suits(it, n.construction)
			for k := 0; k < it.Count; k++ {
				if it.Again != "" {
					n.steps = append(n.steps, step{piece: -1, in: -1, out: -1, again: it, entry: pose})
					pose = x.acrossAgain(it, pose)
					continue
				}
				if len(x.l.Pieces) >= schema.MaxPieces {
					x.fail(it.at, fmt.Sprintf("more than %d pieces; that is the limit", schema.MaxPieces),
						"split the layout into several files")
					return false
				}
				pose = x.layPiece(n, it, pose)
			}
		}
		n.count = len(x.l.Pieces) - n.first
		if n.closes && n.count < 3 {
			x.fail(n.b.rangeOf("closes"), fmt.Sprintf("a run of %d pieces cannot close on itself", n.count),
				"it takes at least 3 pieces")
			return false
		}
	}
	return len(x.l.Pieces) > 0
}

// acrossAgain moves the walk over a crossing that is met a second time; an
// unknown one is answered later, in crossAgain.
func (x layer) acrossAgain(it *item, pose track.Pose) track.Pose {
	return ahead(pose, x.crossLength[it.Again], 0)
}

// throughEnds gives the ends by which a run goes in and out of a piece.
func throughEnds(it *item, firstInRun bool) (in, out int, reversed bool) {
	switch it.Kind {
	case track.Turnout:
		far := 1
		if it.ViaDiverging {
			far = 2
		}
		if it.Trailing {
			return far, 0, true
		}
		return 0, far, false
	case track.Bumper:
		if firstInRun {
			return -1, 0, true
		}
		return 0, -1, false
	}
	return 0, 1, false
}

func (x layer) layPiece(n *run, it *item, pose track.Pose) track.Pose {
	ends, legs := shape(&it.Words)
	index := len(x.l.Pieces)
	in, out, reversed := throughEnds(it, index == n.first && len(n.items) > 1)
	p := track.Piece{Run: n.name, Number: index - n.first + 1, Name: it.Name, Kind: it.Kind,
		Construction: n.construction,
		Ends:         ends, Legs: legs, Reversed: reversed, Form: it.Form(), Untied: it.Untied, Sensing: it.Sensing,
		Line: it.at.Line}
	if it.Kind == track.Turnout {
		p.Hand = it.Hand
	}
	if reversed { // rails are named along the run, so the shape's names turn round
		for i := range p.Ends {
			p.Ends[i].OutLeft = p.Ends[i].OutLeft.Mirror()
		}
	}
	if in >= 0 {
		movePiece(&p, onto(p.Ends[in].Pose, turned(pose)))
	} else {
		movePiece(&p, onto(p.Ends[out].Pose, pose))
	}
	if out >= 0 {
		pose = p.Ends[out].Pose
	}
	if it.Name != "" {
		x.pieceByName[it.Name] = index
	}
	n.steps = append(n.steps, step{piece: index, in: in, out: out})
	x.l.Pieces = append(x.l.Pieces, p)
	x.itemOf = append(x.itemOf, it)
	return pose
}

// crossAgain finds the crossings that are met a second time, and by which of
// the two ways: as the text says, else as the geometry shows.
func (x layer) crossAgain(b *bodies) bool {
	ok := true
	for _, n := range x.runs {
		for i := range n.steps {
			s := &n.steps[i]
			if s.again == nil {
				continue
			}
			at := s.again.kindAt
			index, known := x.pieceByName[s.again.Again]
			if !known {
				x.fail(at, fmt.Sprintf("no crossing is named %q", sheet.Clip(s.again.Again)),
					schema.Suggest(s.again.Again, x.crossingNames()))
				ok = false
				continue
			}
			if p := &x.l.Pieces[index]; p.Kind != track.Crossing {
				x.fail(at, fmt.Sprintf("%s is a %s, not a crossing", s.again.Again, p.Kind),
					"only a crossing can be crossed again", x.also(x.itemOf[index].at, "it is laid here"))
				ok = false
				continue
			}
			s.piece, s.in, s.out = index, 2, 3
			if s.again.Trailing || !s.again.Facing && b.against(n, s) {
				s.in, s.out = 3, 2
				backward(&x.l.Pieces[index])
			}
		}
	}
	return ok
}

// backward turns the rail names of a crossing's second way round, for a run
// that goes over it from b2 to b1.
func backward(p *track.Piece) {
	if p.Backward {
		return
	}
	p.Backward = true
	for e := 2; e < 4; e++ {
		p.Ends[e].OutLeft = p.Ends[e].OutLeft.Mirror()
	}
}

func (x layer) crossingNames() []string {
	var out []string
	for i := range x.l.Pieces {
		if p := &x.l.Pieces[i]; p.Kind == track.Crossing && p.Name != "" {
			out = append(out, p.Name)
		}
	}
	return out
}

// resolveEnds finds what from and to name, once for every run.
func (x layer) resolveEnds() {
	x.joining = true
	defer func() { x.joining = false }()
	for _, n := range x.runs {
		if n.b == nil {
			continue // its label could not be read
		}
		n.fromEnd, n.toEnd = x.endOf(n, "from", n.from), x.endOf(n, "to", n.to)
	}
}

// boundaries gives the joints of from and to, as far as both sides are known
// by now (the walk may begin or end on a crossing not yet found).
func (x layer) boundaries() []meet {
	var out []meet
	for _, n := range x.runs {
		first, last := n.ends()
		if len(n.steps) == 0 {
			first = n.toEnd
		}
		if n.fromEnd.Piece >= 0 && first.Piece >= 0 {
			out = append(out, meet{a: n.fromEnd, b: first, owner: n, at: n.b.rangeOf("from"), boundary: true})
		}
		if n.toEnd.Piece >= 0 && last.Piece >= 0 {
			out = append(out, meet{a: last, b: n.toEnd, owner: n, at: n.b.rangeOf("to"), boundary: true})
		}
	}
	return out
}

// ends gives the outer ends of a run's walk; the piece is -1 where the walk
// begins or ends on a crossing not yet found.
func (n *run) ends() (first, last track.EndRef) {
	first, last = track.EndRef{Piece: -1, End: -1}, track.EndRef{Piece: -1, End: -1}
	if len(n.steps) > 0 {
		s, e := n.steps[0], n.steps[len(n.steps)-1]
		first, last = track.EndRef{Piece: s.piece, End: s.in}, track.EndRef{Piece: e.piece, End: e.out}
	}
	return first, last
}

// endOf finds the end that from or to names; its piece is -1 when there is
// none.
func (x layer) endOf(n *run, attr, text string) track.EndRef {
	none := track.EndRef{Piece: -1, End: -1}
	if text == "" {
		return none
	}
	at := n.b.rangeOf(attr)
	piece, end, ok := x.resolve(text, at)
	if !ok {
		return none
	}
	if end < 0 {
		x.fail(at, fmt.Sprintf("%q names a piece, not one of its ends", sheet.Clip(text)),
			fmt.Sprintf("write %s", schema.Listed(x.endNames(piece), "or")))
		return none
	}
	return track.EndRef{Piece: piece, End: end}
}

func (x *layoutReader) endNames(piece int) []string {
	p := &x.l.Pieces[piece]
	var out []string
	for _, e := range p.Ends {
		out = append(out, fmt.Sprintf("\"%s %s\"", orElse(p.Name, p.ID()), e.Label))
	}
	return out
}

// meets lists every joint, run by run, in the order of the walk.
func (x layer) meets() []meet {
	var out []meet
	for _, n := range x.runs {
		for i := 1; i < len(n.steps); i++ {
			a, b := n.steps[i-1], n.steps[i]
			out = append(out, meet{a: track.EndRef{Piece: a.piece, End: a.out},
				b: track.EndRef{Piece: b.piece, End: b.in}, owner: n, at: x.stepAt(&b)})
		}
		if n.closes {
			first, last := n.ends()
			out = append(out, meet{a: last, b: first, owner: n, at: n.b.rangeOf("closes"), boundary: true})
		}
	}
	return append(out, x.boundaries()...)
}

func (x layer) stepAt(s *step) sheet.Span {
	if s.again != nil {
		return s.again.at
	}
	return x.itemOf[s.piece].at
}
