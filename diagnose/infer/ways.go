package infer

import (
	"math"

	"fishplate/diagnose/conductor"
)

// WaysTo lists the ends of a piece by each of which alone, every other joint of it
// open, current of a supply gets there in a set-up on the sound layout: nil where
// there are not two. A piece with a feeder of its own is fed by none of its ends.
func (e *turnings) WaysTo(piece, supply int, s *conductor.Setup) []int {
	return e.endsBy(piece, s, func(by *conductor.Setup) bool { return e.fedIn(by)(piece, supply) })
}

// railWays are the same of one rail of a piece, by a point of it: a gap may leave it
// fewer ways than the other one has, or more.
func (e *turnings) railWays(piece, supply, point int, s *conductor.Setup) []int {
	p := e.Net.Posts[supply]
	return e.endsBy(piece, s, func(by *conductor.Setup) bool {
		at := e.tied(by)
		return at(point) == at(p[0]) || at(point) == at(p[1])
	})
}

// endsBy lists the ends of a piece by each of which alone it is fed: nil where there
// are not two, or where it needs none.
func (e *turnings) endsBy(piece int, s *conductor.Setup, fed func(*conductor.Setup) bool) []int {
	ends := e.Net.Layout.Pieces[piece].Ends
	alone := s.Clone()
	for _, x := range ends {
		if x.Joint >= 0 {
			alone.Lift(x.Joint)
		}
	}
	if fed(&alone) {
		return nil
	}
	var out []int
	for i, x := range ends {
		if x.Joint < 0 {
			continue
		}
		by := s.Clone()
		for k, o := range ends {
			if k != i && o.Joint >= 0 && o.Joint != x.Joint {
				by.Lift(o.Joint)
			}
		}
		if fed(&by) {
			out = append(out, i)
		}
	}
	if len(out) < 2 {
		return nil
	}
	return out
}

// Feeds says whether two points lie across the posts of a supply in a set-up on
// the sound layout.
func (e *turnings) Feeds(supply int, s *conductor.Setup, hot, common int) bool {
	return e.across(e.tied(s), supply, hot, common)
}

// fedIn says whether both rails of a piece hang on the posts of a supply in a
// set-up on the sound layout.
func (e *turnings) fedIn(s *conductor.Setup) func(piece, supply int) bool {
	at := e.tied(s)
	return func(piece, supply int) bool {
		c := e.Net.Layout.Pieces[piece].Construction
		red, black := e.Net.Middle(piece, c.Hot), e.Net.Middle(piece, e.Net.CommonRail(piece))
		return red >= 0 && black >= 0 && e.across(at, supply, red, black)
	}
}

// across says whether two points lie across the posts of a supply, either way
// round.
func (e *turnings) across(at func(point int) int, supply, hot, common int) bool {
	p := e.Net.Posts[supply]
	return at(p[0]) == at(hot) && at(p[1]) == at(common) || at(p[1]) == at(hot) && at(p[0]) == at(common)
}

// explainsAlone is from what probability on a fault is said to be cause enough for
// what was seen.
const explainsAlone = 0.5

// Explains says whether some fault of a class, with nothing else wrong, shows what
// was seen.
func (e *Engine) Explains(class int) bool {
	for i := range e.Hypos {
		h := &e.Hypos[i]
		for _, s := range h.symptom {
			if h.Class == class && h.cut == 0 && math.Exp(s) >= explainsAlone {
				return true
			}
		}
	}
	return false
}
