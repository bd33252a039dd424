package rival

import (
	"fmt"
	"slices"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/track"
)

// stop is a place on the way from the supply to a dead place.
type stop struct {
	name  string // what to look at there
	point [2]int // hot, common
}

// dead hunts a break along the way from the supply to where it is dead, first
// on the hot side, then on the common one.
func (h *halving) dead(at string) error {
	if err := h.clear(); err != nil {
		return err
	}
	way := h.way(h.l.FindPiece(at))
	if len(way) < 2 {
		return fmt.Errorf("there is no way from the supply to %s", at)
	}
	for side := range 2 {
		on, err := h.beepAlong(way, len(way)-1, side)
		if err != nil {
			return err
		}
		if on {
			continue
		}
		return h.breakOn(way, side)
	}
	return nil
}

func (h *halving) beepAlong(way []stop, k, side int) (bool, error) {
	n := h.t.Network()
	return h.beep(n.Points[way[0].point[side]].Name, n.Points[way[k].point[side]].Name)
}

// breakOn halves the way: up to lo it sounds, from hi on it does not.
func (h *halving) breakOn(way []stop, side int) error {
	lo, hi := 0, len(way)-1
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		on, err := h.beepAlong(way, mid, side)
		if err != nil {
			return err
		}
		if on {
			lo = mid
		} else {
			hi = mid
		}
	}
	names := []string{way[lo].name, way[hi].name}
	if lo < 2 { // the feeder, its clip, or its piece; or what lies before the feeder
		names = append([]string{way[1].name, way[hi].name}, h.wiring()...)
	}
	_, err := h.try(names...)
	return err
}

// wiring names what lies between the supplies and the feeders.
func (h *halving) wiring() []string {
	var out []string
	for _, s := range fault.List(h.t.Network()) {
		if s.PieceIndex < 0 && !slices.Contains(out, s.Piece) {
			out = append(out, s.Piece)
		}
	}
	return out
}

// way lists the places from the supply's post over the nearest feeder to a
// piece.
func (h *halving) way(to int) []stop {
	n := h.t.Network()
	if to < 0 {
		return nil
	}
	var best []int
	feeder := -1
	for i := range h.l.Feeders {
		if p := path(h.l, h.l.Feeders[i].At.Piece, to); p != nil && (best == nil || len(p) < len(best)) {
			best, feeder = p, i
		}
	}
	if feeder < 0 {
		return nil
	}
	f := &h.l.Feeders[feeder]
	out := []stop{{f.Name, n.Posts[f.Supply]}, {f.Name, n.FeederPoints[feeder]}}
	for _, p := range best {
		if hot, common := drill.Across(n, p); hot >= 0 && common >= 0 {
			out = append(out, stop{h.l.Pieces[p].ID(), [2]int{hot, common}})
		}
	}
	return out
}

// path is the shortest row of pieces from one to another, nil when there is
// none.
func path(l *track.Layout, from, to int) []int {
	back := make([]int, len(l.Pieces))
	for i := range back {
		back[i] = -1
	}
	back[from] = from
	for todo := []int{from}; len(todo) > 0; todo = todo[1:] {
		p := todo[0]
		if p == to {
			var out []int
			for ; p != from; p = back[p] {
				out = append([]int{p}, out...)
			}
			return append([]int{from}, out...)
		}
		for i := range l.Joints {
			j := &l.Joints[i]
			if !conducts(l, j) {
				continue
			}
			for _, q := range [2][2]int{{j.A.Piece, j.B.Piece}, {j.B.Piece, j.A.Piece}} {
				if q[0] == p && back[q[1]] < 0 {
					back[q[1]] = p
					todo = append(todo, q[1])
				}
			}
		}
	}
	return nil
}
