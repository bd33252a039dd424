package hunt

import (
	"fishplate/diagnose/infer"
	"fishplate/diagnose/track"
)

// spot is a place where probes go: one end of a piece, with the rails of the
// hot and the common side there.
type spot struct {
	end         track.EndRef
	hot, common int // points
	// other is the other running rail where the construction does not tie it
	// to the common one, -1 where it does or there is none.
	other int
}

// spotOf is the spot at an end of a piece, or in its middle (end -1), false when it
// has no rails of both sides there.
func (g *ground) spotOf(end track.EndRef) (spot, bool) {
	c := g.layout.Pieces[end.Piece].Construction
	at := func(r track.Rail) int {
		if end.End < 0 {
			return g.net.Middle(end.Piece, r)
		}
		return g.net.At(end, r)
	}
	s := spot{end, at(c.Hot), at(g.net.CommonRail(end.Piece)), -1}
	if s.hot < 0 || s.common < 0 {
		return spot{}, false
	}
	for _, r := range [2]track.Rail{track.Left, track.Right} {
		if p := at(r); r != c.Hot && p >= 0 && g.net.NodeOf(p) != g.net.NodeOf(s.common) {
			s.other = p
		}
	}
	return s, true
}

const (
	coarseSpots = 14
	cutSpots    = 9
	loadedSpots = 10 // fewer under load: each comes with every place of the lamp
	// longTrack is the number of pieces past which a lamp's current can drop
	// more along the rails than a millivolt range shows.
	longTrack = 120
)

// spotAt is the spot at the far end of a piece, false when it has no rails of
// both sides. The diverging end of a turnout comes last: it may be dead.
func (g *ground) spotAt(piece int) (spot, bool) {
	p := &g.layout.Pieces[piece]
	order := []int{1, 0}
	for e := 2; e < len(p.Ends); e++ {
		order = append(order, e)
	}
	for _, e := range order {
		if e >= len(p.Ends) || p.Ends[e].Joint < 0 {
			continue
		}
		if s, ok := g.spotOf(track.EndRef{Piece: piece, End: e}); ok {
			return s, true
		}
	}
	return spot{}, false
}

// across is the spot on the other side of the joint.
func (g *ground) across(s spot) (spot, bool) {
	if s.end.End < 0 { // its middle
		return spot{}, false
	}
	j := g.layout.Pieces[s.end.Piece].Ends[s.end.End].Joint
	if j < 0 {
		return spot{}, false
	}
	return g.spotOf(g.layout.Joints[j].Other(s.end))
}

// quantileSpots puts n spots along the track so that about equal belief lies
// between neighbours.
func (m *matter) quantileSpots(p *infer.Posterior, n int) []spot {
	return m.spotsBy(m.pieceWeights(p), n)
}

// spotsBy puts them by the weights of pieces.
func (m *matter) spotsBy(w []float64, n int) []spot {
	sum := 0.0
	for _, x := range w {
		sum += x
	}
	var out []spot
	if sum <= 0 {
		return nil
	}
	acc, next := 0.0, sum/float64(2*n)
	for i, x := range w {
		acc += x
		if acc < next {
			continue
		}
		for acc >= next {
			next += sum / float64(n)
		}
		if s, ok := m.spotAt(i); ok {
			out = append(out, s)
		}
		if x > 0.5*sum/float64(n) && i > 0 { // a likely piece: its other side too
			if s, ok := m.spotAt(i - 1); ok && (len(out) < 2 || out[len(out)-2].end != s.end) {
				out = append(out, s)
			}
		}
	}
	return dedupe(out)
}

func dedupe(in []spot) []spot {
	seen := map[track.EndRef]bool{}
	out := in[:0]
	for _, s := range in {
		if !seen[s.end] {
			seen[s.end] = true
			out = append(out, s)
		}
	}
	return out
}

func (m *matter) pieceWeights(p *infer.Posterior) []float64 {
	w := make([]float64, len(m.layout.Pieces))
	for c, x := range p.Class {
		if i := m.engine.ClassPiece[c]; i >= 0 {
			w[i] += x
		}
	}
	return w
}
