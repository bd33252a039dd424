package infer

import (
	"math"
	"sort"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/predict"
)

// group is a set of hypotheses that a basis cannot tell apart: the same effect
// on the same super, or, on a big layout, bridges in neighbouring pieces.
type group struct {
	hypos []int
	lead  int     // the hypothesis that stands for the group
	span  float64 // how many pieces' worth of positions the lead stands for
}

// framer gathers what is alike, so that it is solved and weighed once.
type framer struct{ *Engine }

// pointsOf lists the points that a hypothesis needs in the basis.
func (e framer) pointsOf(h *Hypo) []int {
	var out []int
	if h.Effect.Kind == predict.EffectBridge {
		out = append(out, h.Effect.A, h.Effect.B)
	}
	for _, x := range h.Extra {
		out = append(out, x.A, x.B)
	}
	return out
}

// tiles cuts the bridge hypotheses of alive into rows of neighbours such that
// about limit rows come out and likely ones stand alone. Bridges between the
// same two nodes (tied rails make left and right one) count as one. Pieces of
// apart stand alone: what is probed or fed there reads one way for pieces before
// it and another for those behind; and no row goes on over a joint that is lifted.
func (e framer) tiles(alive []int, weight []float64, limit int, apart map[int]bool, lifted map[[2]int]bool) []group {
	sum := 0.0
	for _, h := range alive {
		sum += weight[h]
	}
	share := sum / float64(limit)
	var out []group
	var acc []float64
	var tail []int
	last := map[string]int{} // rails -> the row that the next piece may join
	bundles := e.sameNodes(alive)
	if len(bundles) <= limit {
		share = 0 // each can stand alone
	}
	for _, same := range bundles {
		w := 0.0
		for _, h := range same {
			w += weight[h]
		}
		first := same[0]
		rails := e.Suspects[e.Hypos[first].Suspect].Rail
		if n, ok := last[rails]; ok && acc[n]+w/2 <= share && e.neighbours(tail[n], first) &&
			!apart[e.pieceOf(tail[n])] && !apart[e.pieceOf(first)] &&
			!lifted[[2]int{e.pieceOf(tail[n]), e.pieceOf(first)}] {
			tail[n] = first
			out[n].hypos = append(out[n].hypos, same...)
			out[n].span++
			acc[n] += w
			continue
		}
		last[rails] = len(out)
		out = append(out, group{hypos: append([]int(nil), same...), span: 1})
		acc, tail = append(acc, w), append(tail, first)
	}
	for i := range out {
		g := &out[i]
		g.lead = g.hypos[len(g.hypos)/2]
	}
	return out
}

// pieceOf is the piece of a hypothesis's suspect, -1 for none.
func (e framer) pieceOf(h int) int { return e.Suspects[e.Hypos[h].Suspect].PieceIndex }

// marked are the pieces with a feeder or one of these points.
func (e framer) marked(points []int) map[int]bool {
	out := map[int]bool{}
	for _, p := range points {
		if p >= 0 && e.Net.Points[p].Piece >= 0 {
			out[e.Net.Points[p].Piece] = true
		}
	}
	for i := range e.Net.Layout.Feeders {
		out[e.Net.Layout.Feeders[i].At.Piece] = true
	}
	return out
}

// lifted are the pieces between which set-ups lift a joint, in both orders.
func (e framer) lifted(setups []conductor.Setup) map[[2]int]bool {
	out := map[[2]int]bool{}
	for i := range setups {
		for _, j := range setups[i].Lifted {
			a, b := e.Net.Layout.Joints[j].A.Piece, e.Net.Layout.Joints[j].B.Piece
			out[[2]int{a, b}], out[[2]int{b, a}] = true, true
		}
	}
	return out
}

// sameNodes puts bridges between the same two nodes and of the same range
// together, in the order of their first.
func (e framer) sameNodes(alive []int) [][]int {
	type key struct {
		a, b, n int
		within  int
		lo      float64
	}
	at := map[key]int{}
	var out [][]int
	for _, h := range alive {
		hy := &e.Hypos[h]
		a, b := e.Net.NodeOf(hy.Effect.A), e.Net.NodeOf(hy.Effect.B)
		k := key{min(a, b), max(a, b), len(hy.sevs), hy.Effect.Within, hy.sevs[0].ohms}
		if i, ok := at[k]; ok {
			out[i] = append(out[i], h)
			continue
		}
		at[k] = len(out)
		out = append(out, []int{h})
	}
	return out
}

// neighbours says whether two bridge hypotheses are of one kind in
// consecutive plain pieces of a run.
func (e framer) neighbours(a, b int) bool {
	x, y := &e.Suspects[e.Hypos[a].Suspect], &e.Suspects[e.Hypos[b].Suspect]
	if x.PieceIndex < 0 || y.PieceIndex < 0 || x.Rail != y.Rail || e.Hypos[a].Slides == nil ||
		e.Hypos[b].Slides == nil {
		return false
	}
	p, q := &e.Net.Layout.Pieces[x.PieceIndex], &e.Net.Layout.Pieces[y.PieceIndex]
	return p.Run == q.Run && q.Number == p.Number+1
}

// frame is a basis with the groups that it can tell apart.
type frame struct {
	basis  *predict.Basis
	groups []group
	blank  []int // hypotheses that predict nothing
}

// newFrame reduces the network for a set of hypotheses and readings. points
// are more points to keep, the first read of them those of readings taken.
func (e framer) newFrame(alive []int, weight []float64, setups []conductor.Setup, points []int, read, limit int,
	scale [conductor.NumClasses]float64) *frame {
	f := &frame{}
	var bridges, series, others, twins []int
	for _, h := range alive {
		hy := &e.Hypos[h]
		switch {
		case hy.blank:
			f.blank = append(f.blank, h)
		case hy.twin:
			others, twins = append(others, h), append(twins, hy.Effect.Link, hy.Effect.Also.Link)
		case hy.compound() || hy.Effect.Kind == predict.EffectNone:
			others = append(others, h)
		case hy.Effect.Kind == predict.EffectBridge:
			bridges = append(bridges, h)
		default:
			series = append(series, h)
		}
	}
	f.groups = e.tiles(bridges, weight, limit, e.marked(points[:read]), e.lifted(setups))
	for _, h := range others {
		f.groups = append(f.groups, group{hypos: []int{h}, lead: h, span: 1})
	}
	o := predict.Options{Points: append([]int(nil), points...), Links: e.cutLinks(), Series: twins, Scale: scale}
	for _, g := range f.groups {
		o.Points = append(o.Points, e.pointsOf(&e.Hypos[g.lead])...)
		o.Links = append(o.Links, e.Hypos[g.lead].Out...)
	}
	rows := e.seriesRows(series, weight, limit)
	for _, g := range rows {
		o.Series = append(o.Series, e.Hypos[g.lead].Effect.Link)
	}
	for _, h := range series {
		if rows == nil {
			o.Series = append(o.Series, e.Hypos[h].Effect.Link)
		}
	}
	for i := range setups {
		o.Links = append(o.Links, e.switched(&setups[i])...)
		o.Points = append(o.Points, setups[i].Points(e.Net)...)
	}
	f.basis = predict.NewBasis(e.Net, o)
	if rows == nil {
		rows = e.seriesGroups(f.basis, series)
	}
	f.groups = append(f.groups, rows...)
	return f
}

// seriesCrowd is how many times the wanted rows the open and weak faults must be for
// cutting them to win time (assumed).
const seriesCrowd = 4

// seriesRows cuts the open and weak faults into rows along each rail that hold
// about equal weight, likely ones alone, where there are far more than limit:
// to weigh questions roughly. Nil where there are not.
func (e framer) seriesRows(series []int, weight []float64, limit int) []group {
	if limit > roughTiles || len(series) <= seriesCrowd*limit {
		return nil
	}
	sum := 0.0
	for _, h := range series {
		sum += weight[h]
	}
	type row struct {
		rail string
		run  string
		kind predict.EffectKind
		cut  int
	}
	at := map[row]int{}
	var out []group
	var acc []float64
	for _, h := range series {
		s := &e.Suspects[e.Hypos[h].Suspect]
		k := row{s.Rail, "", e.Hypos[h].Effect.Kind, e.Hypos[h].cut}
		if s.PieceIndex >= 0 {
			k.run = e.Net.Layout.Pieces[s.PieceIndex].Run
		}
		i, ok := at[k]
		if !ok || s.PieceIndex < 0 || acc[i]+weight[h]/2 > sum/float64(2*limit) {
			i = len(out)
			at[k] = i
			out, acc = append(out, group{span: 1}), append(acc, 0)
		}
		out[i].hypos = append(out[i].hypos, h)
		acc[i] += weight[h]
	}
	for i := range out {
		out[i].lead = out[i].hypos[len(out[i].hypos)/2]
	}
	return out
}

// seriesGroups puts together the open and weak faults that lie in one super.
func (e framer) seriesGroups(b *predict.Basis, series []int) []group {
	type key struct {
		super int
		cut   int
		kind  predict.EffectKind
		lo    float64
	}
	at := map[key]int{}
	var out []group
	for _, h := range series {
		hy := &e.Hypos[h]
		s, _ := b.SuperOf(hy.Effect.Link)
		k := key{s, hy.cut, hy.Effect.Kind, hy.sevs[0].ohms}
		if i, ok := at[k]; ok {
			out[i].hypos = append(out[i].hypos, h)
			continue
		}
		at[k] = len(out)
		out = append(out, group{hypos: []int{h}, lead: h, span: 1})
	}
	return out
}

// switched lists the links that a set-up opens, and all power-routing ones.
func (e framer) switched(s *conductor.Setup) []int {
	var out []int
	for i := range e.Net.Links {
		k := &e.Net.Links[i]
		if k.Kind == conductor.KindSwitch || (!k.NormallyOpen && !s.Leaves(k)) {
			out = append(out, i)
		}
	}
	return out
}

// weightOf adds up the weights of a group.
func (g *group) weightOf(weight []float64) float64 {
	w := 0.0
	for _, h := range g.hypos {
		w += weight[h]
	}
	return w
}

// aliveBy lists the hypotheses whose weight is at least floor, in order.
func aliveBy(weight []float64, floor float64) []int {
	var out []int
	for h, w := range weight {
		if w >= floor {
			out = append(out, h)
		}
	}
	sort.Ints(out)
	return out
}

func normalise(logw []float64) []float64 {
	m := math.Inf(-1)
	for _, x := range logw {
		m = math.Max(m, x)
	}
	out := make([]float64, len(logw))
	sum := 0.0
	for i, x := range logw {
		out[i] = math.Exp(x - m)
		sum += out[i]
	}
	for i := range out {
		out[i] /= sum
	}
	return out
}
