package check

import (
	"fishplate/diagnose/track"
)

// candidates is the most places that are tried for one more feeder before the
// neighbourhood of the best is searched piece by piece.
const candidates = 256

// feederCheck finds where one more feeder helps most.
type feederCheck struct{ *checker }

// oneMore finds the piece at which one more pair of wires helps the worst place
// most. The pair runs to the posts of the supply, with as much copper as the
// feeder that has most of it.
//
// Each place is tried by the change of the solved network when two branches
// are added (the matrix identity of Sherman, Morrison and Woodbury), so that
// nothing is factorised anew.
func (c feederCheck) oneMore(s int, scenes []*scene, most float64, v Volts) *OneMore {
	like, wire := c.longest(s)
	if like < 0 {
		return nil
	}
	var places []int
	for p := range c.l.Pieces {
		k := c.l.Pieces[p].Kind
		if k == track.Straight || k == track.Curve {
			places = append(places, p)
		}
	}
	best, bestSide, bestOhms, bestAt := -1, 0, most, 0
	try := func(p int) {
		for side := range 2 {
			if r, at, ok := c.withFeeder(s, scenes, p, side, wire); ok && r < bestOhms*(1-1e-9) {
				best, bestSide, bestOhms, bestAt = p, side, r, at
			}
		}
	}
	stride := (len(places) + candidates - 1) / candidates
	centre := -1
	for i := 0; i < len(places); i += max(stride, 1) {
		before := best
		try(places[i])
		if best != before {
			centre = i
		}
	}
	if stride > 1 && centre >= 0 {
		for i := max(0, centre-stride+1); i < min(len(places), centre+stride); i++ {
			try(places[i])
		}
	}
	// Less than a tenth of a volt is not worth a hole in the table.
	if best < 0 || v.TrainAmps*(most-bestOhms) < 0.1 {
		return nil
	}
	hot, common := c.rails(best, bestSide)
	return &OneMore{At: c.l.Pieces[best].ID(), Hot: hot, Common: common, Worst: c.l.Pieces[bestAt].ID(),
		Volts: v.left(bestOhms),
		Like:  c.l.Feeders[like].Name, Behind: c.behind(best)}
}

// rails are those of a piece that the two wires of one more feeder go to, the
// second one to an outer rail (side 0 or 1) of three.
func (c feederCheck) rails(piece, side int) (hot, common track.Rail) {
	a, b := track.Left, track.Right
	if c.l.Pieces[piece].Construction.HasRail(track.Center) {
		a, b = track.Center, []track.Rail{track.Left, track.Right}[side]
	}
	if _, _, straight := newFeed(c.wired).circuit(c.contactsAt(piece, -1)); !straight {
		a, b = b, a
	}
	return a, b
}

// behind names the toggle without which a piece is fed otherwise or not at all.
func (c feederCheck) behind(piece int) string {
	k := c.contactsAt(piece, -1)
	on, _, _ := newFeed(c.wired).circuit(k)
	for i := range c.l.Toggles {
		if c.l.Toggles[i].Reverses {
			continue
		}
		if off, _, _ := newFeed(c.wired.switched(i)).circuit(k); off != on {
			return c.l.Toggles[i].Part()
		}
	}
	return ""
}

// longest is the feeder of a supply with the most copper from the supply to
// the track, buses and toggles on the way with it, and the ohms of one of its
// wires; -1 when there is none.
func (c feederCheck) longest(s int) (feeder int, ohms float64) {
	feeder = -1
	under := c.wired.alter(func(h *graph) { h.noTrack = true })
	for i := range c.l.Feeders {
		if c.l.Feeders[i].Supply != s {
			continue
		}
		sum := 0.0
		for _, k := range under.path(c.n.Posts[s][0], c.n.FeederPoints[i][0]) {
			sum += c.n.Links[k].Ohms
		}
		if feeder < 0 || sum > ohms {
			feeder, ohms = i, sum
		}
	}
	return feeder, ohms
}

// withFeeder is the largest resistance of a supply's spots with one more
// feeder on a piece, its other wire on one of the outer rails (side 0 or 1),
// and the piece where that is. Not ok where that rail is not fed by this supply
// with every throw of the turnouts: a feeder behind power-routing points would
// keep alive what they are to switch off.
func (c feederCheck) withFeeder(s int, scenes []*scene, p, side int, wire float64) (most float64, at int, ok bool) {
	for _, sc := range scenes {
		if !sc.has(s) {
			continue
		}
		add, can := c.branches(s, sc, p, side, wire)
		if !can {
			return 0, 0, false
		}
		for i := range sc.spots {
			q := &sc.spots[i]
			if q.supply != s {
				continue
			}
			if r := reduce(add.change(q)); r > most {
				most, at = r, q.piece
			}
		}
	}
	return most, at, true
}

// has says whether a scene has spots of a supply.
func (sc *scene) has(s int) bool {
	for i := range sc.spots {
		if sc.spots[i].supply == s {
			return true
		}
	}
	return false
}

// branches are two wires from the posts of a supply (one node, since the supply
// is stiff) to two nodes: voltage columns for one ampere through each, and the
// inverse of the matrix of the two branches.
type branches struct {
	col [2][]float64
	inv [3]float64
}

func (c feederCheck) branches(s int, sc *scene, p, side int, wire float64) (branches, bool) {
	var b branches
	k := c.contactsAt(p, -1)
	supply, _, straight := sc.f.circuit(k)
	if supply != s || side >= len(k.b) {
		return b, false
	}
	q, back := k.b[side], 0
	if straight {
		back = 1
	}
	if !sc.f.has(q, s, back) {
		return b, false
	}
	post := c.n.NodeOf(c.n.Posts[s][0])
	ends := [2]int{c.n.NodeOf(k.a), c.n.NodeOf(q)}
	inj := make([]float64, sc.fac.Nodes())
	for i, e := range ends {
		inj[e]++
		inj[post]--
		b.col[i] = sc.fac.Solve(nil, inj)
		inj[e], inj[post] = 0, 0
	}
	wire += c.l.Pieces[p].Construction.ClipOhms.Ohms
	m := [3]float64{
		b.col[0][ends[0]] - b.col[0][post] + wire,
		b.col[0][ends[1]] - b.col[0][post],
		b.col[1][ends[1]] - b.col[1][post] + wire}
	det := m[0]*m[2] - m[1]*m[1]
	if !(det > 0) {
		return b, false
	}
	b.inv = [3]float64{m[2] / det, -m[1] / det, m[0] / det}
	return b, true
}

// change is the port matrix of a spot with the branches added.
func (b *branches) change(p *spot) [3]float64 {
	port := func(out int) [2]float64 {
		return [2]float64{b.col[0][out] - b.col[0][p.nb], b.col[1][out] - b.col[1][p.nb]}
	}
	form := func(x, y [2]float64) float64 {
		return x[0]*(b.inv[0]*y[0]+b.inv[1]*y[1]) + x[1]*(b.inv[1]*y[0]+b.inv[2]*y[1])
	}
	a := port(p.na)
	z := p.z
	z[0] -= form(a, a)
	if p.nc >= 0 {
		d := port(p.nc)
		z[1] -= form(a, d)
		z[2] -= form(d, d)
	}
	return z
}
