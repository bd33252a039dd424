package bench

import (
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/track"
)

// bridge lays the resistor of a hidden bridge, where it is along its piece.
func (c *circuit) bridge(hidden int) {
	f := &c.b.Faults[hidden]
	if f.Suspect.Mode != track.Bridged {
		return
	}
	for _, i := range f.Suspect.Links {
		k := &c.b.net.Links[i]
		if !c.b.leaves(k) {
			continue
		}
		u, v := c.b.net.NodeOf(k.A), c.b.net.NodeOf(k.B)
		if k.Kind == conductor.KindInsulation && k.Piece >= 0 {
			u, v = c.along(k.Piece, k.A, f.Position), c.along(k.Piece, k.B, f.Position)
		}
		c.add(u, v, math.Max(f.Ohms, 1e-6))
	}
}

// along is the node on the rail through a piece's middle at a position from its
// first end (0) to its last (1). Only plain pieces have positions.
func (c *circuit) along(piece, middle int, position float64) int {
	n := c.b.net
	p := &n.Layout.Pieces[piece]
	if p.Kind != track.Straight && p.Kind != track.Curve || position == 0.5 {
		return n.NodeOf(middle)
	}
	end, fromMiddle := 0, 1-2*position
	if position > 0.5 {
		end, fromMiddle = 1, 2*position-1
	}
	for i := range n.Links {
		k := &n.Links[i]
		if k.Kind != conductor.KindRail || k.Piece != piece {
			continue
		}
		at, outer := fromMiddle, k.B
		if k.B == middle {
			at, outer = 1-fromMiddle, k.A
		} else if k.A != middle {
			continue
		}
		if n.Points[outer].End == end {
			c.cuts[i] = append(c.cuts[i], cut{at, c.nodes})
			c.nodes++
			return c.nodes - 1
		}
	}
	return n.NodeOf(middle)
}

// link lays a link as it is, sound or not. Where a bridge lies along it, a break
// or a weak spot is on the side of its point A.
func (c *circuit) link(i int) {
	k := &c.b.net.Links[i]
	if k.NormallyOpen || !c.b.leaves(k) {
		return
	}
	a, z, extra := k.A, k.B, 0.0
	for j := range c.b.Faults {
		s := &c.b.Faults[j].Suspect
		if c.b.away {
			break
		}
		if m := slices.IndexFunc(s.Moves, func(m fault.Move) bool { return m.Link == i }); m >= 0 {
			a, z = s.Moves[m].A, s.Moves[m].B
		}
		if !slices.Contains(s.Links, i) {
			continue
		}
		switch s.Mode {
		case track.Open:
			return
		case track.Weak:
			extra += c.b.Faults[j].Ohms
		}
	}
	from, to := c.end(k, a), c.end(k, z)
	cuts := slices.Clone(c.cuts[i])
	slices.SortFunc(cuts, func(x, y cut) int { return int(math.Copysign(1, x.at-y.at)) })
	done := 0.0
	for _, x := range cuts {
		c.add(from, x.node, (x.at-done)*c.b.Ohms[i]+extra)
		from, done, extra = x.node, x.at, 0
	}
	c.add(from, to, (1-done)*c.b.Ohms[i]+extra)
}

// end is the node of a link's end: the leads of a supply's winding go to its
// posts, not to the wires that may hang there.
func (c *circuit) end(k *conductor.Link, point int) int {
	if k.Kind == conductor.KindLead && k.Supply >= 0 {
		for side, p := range c.b.net.Posts[k.Supply] {
			if p == point {
				return c.b.post(k.Supply, side)
			}
		}
	}
	return c.b.net.NodeOf(point)
}
