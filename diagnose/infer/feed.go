package infer

import (
	"math"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/predict"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// feeding is the track of some readings along the rails behind a lamp, with a wire more
// than the file has.
type feeding struct {
	e     *Engine
	ls    []loss
	ends  []place // where the wire may meet the track
	outs  []place // where the short may be
	outOf []int   // piece -> the place that stands for it
	wire  float64 // ohm, of one wire and its clip
	amps  float64 // of the lamp
	off   float64 // of the wire's ohms, a part of them
	clip  float64 // ohm, of its clip alone
	moved int     // a feeder of the file that is the wire itself, -1 for none
	home  *place  // where the file has that one, nil for none
	rigs  map[string]*rig
	sides [2][]feedLink // of the hot and of the common side, in any set-up
}

// place is a piece with the nodes of its hot and of its common rail.
type place struct {
	piece int
	node  [2]int
}

// rig is the track in a set-up, with no short: its two sides hang together nowhere.
type rig struct {
	f     *nodal.Factor
	posts [2]int
	on    []bool            // by link of the network: it conducts
	volts map[int][]float64 // by node: of every node for one ampere into it
}

// feedLink is a rail, a joint or a wire.
type feedLink struct {
	link, u, v     int
	ohms, variance float64
}

// flow is one ampere that comes in at the posts of a side, a part of it by a wire at
// one place, and goes out at another: what it loses on the way to a node is linear in
// columns.
type flow struct {
	to, posts, in []float64 // volts of every node for one ampere into each
	wire          float64   // the part of it in the wire
	start         float64
}

// at is what is lost on the way from the posts to a node.
func (x *flow) at(node int) float64 {
	v := x.start + x.to[node] - (1-x.wire)*x.posts[node]
	if x.wire != 0 {
		v -= x.wire * x.in[node]
	}
	return v
}

// flow is the current to a node, with a wire at a place or none; false where there is
// no way to it. Where the file's feeders are on too the wire is a change of rank one.
func (g *feeding) flow(r *rig, side, to int, in *place) (flow, bool) {
	h := r.posts[side]
	x := flow{to: r.volts[to], posts: r.volts[h]}
	if r.f.Island(h) == r.f.Island(to) {
		x.start = x.posts[h] - x.to[h]
		if in == nil || r.f.Island(in.node[side]) != r.f.Island(h) {
			return x, true
		}
		p := in.node[side]
		x.in = r.volts[p]
		grounded := func(c []float64, n int) float64 { return c[n] - c[h] - x.posts[n] + x.posts[h] }
		x.wire = grounded(x.to, p) / (grounded(x.in, p) + g.wire)
		x.start -= x.wire * (x.posts[h] - x.in[h])
		return x, true
	}
	if in == nil || r.f.Island(in.node[side]) != r.f.Island(to) {
		return x, false
	}
	p := in.node[side]
	x.in, x.wire = r.volts[p], 1
	x.start = g.wire + x.in[p] - x.to[p]
	return x, true
}

// atWire stands for a probe on the wire's clip, wherever that is.
const atWire = -1

// loss is a reading along the rails, or from where the wires join to one of them.
type loss struct {
	rig        *rig
	side       int
	red, black int // nodes
	shown, sd  float64
}

// entering weighs where current comes in.
type entering struct{ *Engine }

// feeding has the readings that say where current comes in, and so many places; nil
// where there is none.
func (e entering) feeding(obs []Observation, ins, outs int) *feeding {
	g := &feeding{e: e.Engine, wire: feederOhms(e.Net.Layout), off: wireOff, moved: -1}
	return g.with(obs, ins, outs)
}

func (g *feeding) with(obs []Observation, ins, outs int) *feeding {
	e, l := g.e, g.e.Net.Layout
	g.rigs, g.outOf = map[string]*rig{}, make([]int, len(l.Pieces))
	every := func(n int) int { return (len(l.Pieces) + n - 1) / n }
	for i := range l.Pieces {
		c := l.Pieces[i].Construction
		if i%every(outs) == 0 {
			g.outs = g.add(g.outs, i, e.Net.Middle(i, c.Hot), e.Net.Middle(i, e.Net.CommonRail(i)))
		}
		g.outOf[i] = len(g.outs) - 1
		if at := (track.EndRef{Piece: i, End: min(1, len(l.Pieces[i].Ends)-1)}); i%every(ins) == 0 {
			g.ends = g.add(g.ends, i, e.Net.At(at, c.Hot), e.Net.At(at, e.Net.CommonRail(i)))
		}
	}
	for i := range obs {
		if !behindLamp(&obs[i].Setup) || g.rig(&obs[i].Setup) == nil {
			continue
		}
		g.amps = obs[i].Setup.Source.Amps
		if x, ok := g.loss(&obs[i]); ok && obs[i].Shown.Kind == unit.Value {
			g.ls = append(g.ls, x)
		}
	}
	if g.amps == 0 || len(g.ends) == 0 || len(g.outs) == 0 {
		return nil
	}
	return g
}

func (g *feeding) add(to []place, piece, hot, common int) []place {
	if hot < 0 || common < 0 {
		return to
	}
	return append(to, place{piece, [2]int{g.e.Net.NodeOf(hot), g.e.Net.NodeOf(common)}})
}

// feederOhms are those of the longest wire of a layout's feeders, with its clip.
func feederOhms(l *track.Layout) float64 {
	most := 0.01
	for i := range l.Feeders {
		f := &l.Feeders[i]
		most = max(most, f.OhmsPerWire+l.Pieces[f.At.Piece].Construction.ClipOhms.Ohms)
	}
	return most
}

// rig is the track in a set-up, solved once; nil where it cannot be, or where hot and
// common hang together by what is laid or plugged in.
func (g *feeding) rig(s *conductor.Setup) *rig {
	key := s.Key()
	if r, ok := g.rigs[key]; ok {
		return r
	}
	r := g.solve(s)
	g.rigs[key] = r
	if r == nil {
		return nil
	}
	for side := range g.sides {
		g.join(r, side)
	}
	for side := range g.sides { // before many look at it at once
		for _, list := range [2][]place{g.ends, g.outs} {
			for i := range list {
				r.column(list[i].node[side])
			}
		}
		r.column(r.posts[side])
	}
	return r
}

func (g *feeding) solve(s *conductor.Setup) *rig {
	n := g.e.Net
	if g.moved >= 0 {
		if conductor.Has(s.Pulled, g.moved) {
			return nil
		}
		c := s.Clone()
		c.Pull(g.moved)
		s = &c
	}
	r := &rig{on: make([]bool, len(n.Links)), volts: map[int][]float64{}}
	r.posts = [2]int{n.NodeOf(s.Source.From), n.NodeOf(s.Source.To)}
	var edges []nodal.Edge
	for i := range n.Links {
		k := &n.Links[i]
		u, v := n.NodeOf(k.A), n.NodeOf(k.B)
		if u == v || k.Kind == conductor.KindLoad || !s.Conducts(k) {
			continue
		}
		mean, _ := predict.MeanVar(k.Ohms, k.Spread)
		edges, r.on[i] = append(edges, nodal.Edge{U: u, V: v, Ohms: mean}), true
	}
	var err error
	if r.f, err = nodal.NewFactor(n.Nodes, edges, nil); err != nil || len(s.Loads)+len(s.Also) > 0 || len(g.outs) == 0 {
		return nil
	}
	joined := func(a [2]int) bool { return r.f.Island(a[0]) == r.f.Island(a[1]) }
	if joined(r.posts) || joined(g.outs[0].node) {
		return nil
	}
	return r
}

// join adds the links of a side that conduct in a set-up to those known.
func (g *feeding) join(r *rig, side int) {
	in, known := map[int]bool{r.f.Island(r.posts[side]): true}, map[int]bool{}
	for i := range g.outs {
		in[r.f.Island(g.outs[i].node[side])] = true
	}
	for _, k := range g.sides[side] {
		known[k.link] = true
	}
	n := g.e.Net
	for i := range n.Links {
		k := &n.Links[i]
		if u, v := n.NodeOf(k.A), n.NodeOf(k.B); r.on[i] && !known[i] && in[r.f.Island(u)] {
			mean, variance := predict.MeanVar(k.Ohms, k.Spread)
			g.sides[side] = append(g.sides[side], feedLink{i, u, v, mean, variance})
		}
	}
}

// column is the volts of every node for one ampere into one, zero in other islands.
func (r *rig) column(node int) []float64 {
	if c, ok := r.volts[node]; ok {
		return c
	}
	c := r.f.Column(nil, node)
	r.volts[node] = c
	return c
}

// loss is false for a reading that is none: both probes on one side, one of them on
// the track.
func (g *feeding) loss(o *Observation) (loss, bool) {
	r := g.rig(&o.Setup)
	if r == nil || o.Func != meter.Millivolts && o.Func != meter.Volts {
		return loss{}, false
	}
	n := g.e.Net
	node := func(point int) int {
		if g.moved >= 0 && (point == n.FeederPoints[g.moved][0] || point == n.FeederPoints[g.moved][1]) {
			return atWire
		}
		return n.NodeOf(point)
	}
	x := loss{rig: r, red: node(o.Red), black: node(o.Black), shown: math.Abs(o.Shown.Value)}
	x.sd = g.e.Model.Meter.Of(o.Func).SD(x.shown, o.Shown.Step)
	for side := range x.rig.posts {
		on := func(node int) bool {
			if node == atWire {
				return true
			}
			i := r.f.Island(node)
			return node == r.posts[side] || i == r.f.Island(r.posts[side]) || i == r.f.Island(g.outs[0].node[side])
		}
		if on(x.red) && on(x.black) {
			x.side = side
			for _, end := range [2]int{x.red, x.black} {
				if end != atWire {
					r.column(end)
				}
			}
			return x, x.red != x.black
		}
	}
	return loss{}, false
}
