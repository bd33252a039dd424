package simulate

import (
	"fmt"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
)

// bridge adds the resistor of a bridged link, and cuts the rails where it lies
// inside a piece.
func (w *wiring) bridge(f *Fault, s *conductor.Setup) error {
	if f.Suspect.Mode != track.Bridged {
		return nil
	}
	for _, i := range f.Suspect.Links {
		k := &w.b.n.Links[i]
		if !s.Leaves(k) {
			continue
		}
		u, v := w.b.n.NodeOf(k.A), w.b.n.NodeOf(k.B)
		if k.Kind == conductor.KindInsulation && k.Piece >= 0 {
			u, v = w.along(k.Piece, k.A, f.Position), w.along(k.Piece, k.B, f.Position)
		}
		if err := w.add(edge{u: u, v: v, ohms: f.Ohms, link: -1}); err != nil {
			return fmt.Errorf("%s: %w", f.Suspect.ID, err)
		}
	}
	return nil
}

// along gives the node on a rail of a piece at a position from its first end
// (0) to its last (1), cutting the rail there. Only straights and curves have
// positions; in other pieces the answer is the middle.
func (w *wiring) along(piece, middle int, position float64) int {
	p := &w.b.n.Layout.Pieces[piece]
	plain := p.Kind == track.Straight || p.Kind == track.Curve
	if !plain || !(position >= 0 && position <= 1) || position == 0.5 {
		return w.b.n.NodeOf(middle)
	}
	end, at := 0, 2*position // from the end to the middle
	if position > 0.5 {
		end, at = 1, 2*(1-position)
	}
	for i := range w.b.n.Links {
		k := &w.b.n.Links[i]
		if k.Kind != conductor.KindRail || k.Piece != piece {
			continue
		}
		outer := k.A
		if k.A == middle {
			outer = k.B
		} else if k.B != middle {
			continue
		}
		if w.b.n.Points[outer].End != end {
			continue
		}
		if k.A == middle {
			at = 1 - at
		}
		node := w.nodes
		w.nodes++
		w.cuts[i] = append(w.cuts[i], cut{at, node})
		return node
	}
	return w.b.n.NodeOf(middle)
}

// misplaced is where the clip of a feeder on the wrong side of an insulated
// joint lies: at the far end of the joint's own link there.
func (w *wiring) misplaced(clip int) int {
	at := w.b.n.Links[clip].B
	for i := range w.b.n.Links {
		k := &w.b.n.Links[i]
		if k.Kind != conductor.KindJoint && k.Kind != conductor.KindGap {
			continue
		}
		switch at {
		case k.A:
			return w.b.n.NodeOf(k.B)
		case k.B:
			return w.b.n.NodeOf(k.A)
		}
	}
	return w.b.n.NodeOf(at)
}

// train adds the wheels and the motor of a train: an axle from rail to rail of
// every piece of three-rail track, the same metal over every joint between two of its
// pieces, and the motor on the first piece.
func (w *wiring) train(t *conductor.TrainAt) error {
	ohms := t.Wheels
	if ohms <= 0 {
		ohms = conductor.DefaultWheels
	}
	l := w.b.n.Layout
	for i, p := range t.Pieces {
		c := l.Pieces[p].Construction
		three := len(c.Rails) == 3
		if three {
			if err := w.across(p, track.Left, track.Right, ohms); err != nil {
				return err
			}
		}
		if i == 0 && t.Motor > 0 {
			if err := w.across(p, c.Hot, c.Common, t.Motor); err != nil {
				return err
			}
		}
		for k := range w.b.n.Links {
			link := &w.b.n.Links[k]
			if i == 0 || link.Kind != conductor.KindJoint && link.Kind != conductor.KindGap ||
				!joins(&l.Joints[link.Joint], t.Pieces[i-1], p) {
				continue
			}
			if wheel := three && link.Rail != string(track.Center); wheel || t.Motor > 0 {
				if err := w.add(edge{u: w.b.n.NodeOf(link.A), v: w.b.n.NodeOf(link.B), ohms: ohms,
					link: -1}); err != nil {
					return err
				}
			}
		}
	}
	return nil
}

func joins(j *track.Joint, a, b int) bool {
	return j.A.Piece == a && j.B.Piece == b || j.A.Piece == b && j.B.Piece == a
}

// across adds a resistor between two rails of a piece, where nothing ties them.
func (w *wiring) across(piece int, a, b track.Rail, ohms float64) error {
	u, v := w.under(piece, a), w.under(piece, b)
	if u < 0 || v < 0 || u == v {
		return nil
	}
	return w.add(edge{u: u, v: v, ohms: ohms, link: -1})
}

// under is the node of a rail of a piece: in its middle, else at its first end.
func (w *wiring) under(piece int, r track.Rail) int {
	end := -1
	for i := range w.b.n.Points {
		p := &w.b.n.Points[i]
		if p.Piece != piece || p.Rail != r {
			continue
		}
		if p.Kind == conductor.PointMiddle {
			return p.Node
		}
		if p.Kind == conductor.PointEnd && end < 0 {
			end = p.Node
		}
	}
	return end
}
