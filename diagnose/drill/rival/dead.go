package rival

import (
	"fmt"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/drill"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/track"
)

// dead hunts a break along the ways from the supply to where it is dead, on the
// hot side and on the common one. Of one break all ways to a dead place lead
// over it, so that any of them can be halved: up to the break a beeper sounds,
// from there on it does not.
func (h *halving) dead(at string) error {
	if err := h.clear(); err != nil {
		return err
	}
	piece := h.l.FindPiece(at)
	if piece < 0 {
		return fmt.Errorf("there is no place %s", at)
	}
	hot, common := drill.Across(h.t.Network(), piece)
	for side, point := range [2]int{hot, common} {
		way := h.way(side, point)
		if len(way) < 2 {
			return fmt.Errorf("there is no way from the supply to %s", at)
		}
		on, err := h.sounds(way, len(way)-1)
		if err != nil {
			return err
		}
		if on {
			continue
		}
		return h.breakOn(way)
	}
	return nil
}

// stop is a point on a way that a probe can touch, and the links from the stop
// before to it.
type stop struct {
	point int
	links []int
}

func (h *halving) sounds(way []stop, k int) (bool, error) {
	n := h.t.Network()
	return h.beep(n.Points[way[0].point].Name, n.Points[way[k].point].Name)
}

// breakOn halves the way, and looks at what lies between the last stop that
// sounds and the first that does not.
func (h *halving) breakOn(way []stop) error {
	lo, hi := 0, len(way)-1
	for hi-lo > 1 {
		mid := (lo + hi) / 2
		on, err := h.sounds(way, mid)
		if err != nil {
			return err
		}
		if on {
			lo = mid
		} else {
			hi = mid
		}
	}
	_, err := h.try(h.on(way[hi].links)...)
	return err
}

// on names what can be bad where links are, breaks first.
func (h *halving) on(links []int) []string {
	var open, other []string
	for _, s := range fault.List(h.t.Network()) {
		if !slices.ContainsFunc(s.Links, func(k int) bool { return slices.Contains(links, k) }) {
			continue
		}
		if s.Mode == track.Open {
			open = append(open, s.Piece)
		} else {
			other = append(other, s.Piece)
		}
	}
	return append(open, other...)
}

// way is the shortest row of links from a supply's post to a point, as the
// layout stands; nil when there is none.
func (h *halving) way(side, to int) []stop {
	n, set := h.t.Network(), h.t.State().Setup
	if to < 0 {
		return nil
	}
	at := make([][]int, n.Nodes) // links at each node
	for k := range n.Links {
		if l := &n.Links[k]; set.Conducts(l) && l.Kind != conductor.KindLoad {
			at[n.NodeOf(l.A)] = append(at[n.NodeOf(l.A)], k)
			at[n.NodeOf(l.B)] = append(at[n.NodeOf(l.B)], k)
		}
	}
	back, seen := make([]int, n.Nodes), make([]bool, n.Nodes)
	var todo []int
	for i := range n.Posts {
		post := n.NodeOf(n.Posts[i][side])
		back[post], seen[post] = -1, true
		todo = append(todo, post)
	}
	for ; len(todo) > 0 && !seen[n.NodeOf(to)]; todo = todo[1:] {
		for _, k := range at[todo[0]] {
			if x := across(n, k, todo[0]); !seen[x] {
				seen[x], back[x] = true, k
				todo = append(todo, x)
			}
		}
	}
	if !seen[n.NodeOf(to)] {
		return nil
	}
	return stops(n, back, n.NodeOf(to))
}

// across is the node at the other end of a link.
func across(n *conductor.Network, link, node int) int {
	if a := n.NodeOf(n.Links[link].A); a != node {
		return a
	}
	return n.NodeOf(n.Links[link].B)
}

// stops follows a search back to where it began.
func stops(n *conductor.Network, back []int, node int) []stop {
	touch := make([]int, n.Nodes)
	for i := range touch {
		touch[i] = -1
	}
	for p := range n.Points {
		if n.Points[p].Kind != conductor.PointInternal && touch[n.NodeOf(p)] < 0 {
			touch[n.NodeOf(p)] = p
		}
	}
	var out []stop
	for {
		if p := touch[node]; p >= 0 {
			out = append(out, stop{point: p})
		}
		k := back[node]
		if k < 0 {
			break
		}
		if len(out) > 0 {
			out[len(out)-1].links = append(out[len(out)-1].links, k)
		}
		node = across(n, k, node)
	}
	slices.Reverse(out)
	return out
}
