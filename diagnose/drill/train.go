package drill

import (
	"math"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
)

// What a train does to the rails that it stands on: its motor lies from hot to
// common, its wheels join the running rails of three-rail track, and both wheels
// and pickups reach over an insulated joint to the neighbour piece. All of it is
// put into loads, which a hunt's set-up can name.

// touches lists what a train on a piece joins besides its motor: empty on most
// pieces.
func touches(n *conductor.Network, piece int) []conductor.Load {
	var out []conductor.Load
	row := reach(n.Layout, piece)
	for _, p := range row {
		if len(n.Layout.Pieces[p].Construction.Rails) == 3 {
			out = join(n, out, n.Middle(p, track.Left), n.Middle(p, track.Right))
		}
	}
	for i := 1; i < len(row); i++ {
		j := between(n.Layout, row[i-1], row[i])
		if j < 0 || len(n.Layout.Joints[j].Insulated) == 0 {
			continue
		}
		for k := range n.Links {
			if link := &n.Links[k]; link.Kind == conductor.KindGap && link.Joint == j {
				out = join(n, out, link.A, link.B)
			}
		}
	}
	return out
}

// between is the joint of two pieces, -1 when they have none.
func between(l *track.Layout, a, b int) int {
	for _, e := range l.Pieces[a].Ends {
		if e.Joint < 0 {
			continue
		}
		j := &l.Joints[e.Joint]
		if j.A.Piece == a && j.B.Piece == b || j.A.Piece == b && j.B.Piece == a {
			return e.Joint
		}
	}
	return -1
}

// join adds a pair of wheels between two points that are not one already.
func join(n *conductor.Network, list []conductor.Load, a, b int) []conductor.Load {
	if a < 0 || b < 0 || n.NodeOf(a) == n.NodeOf(b) {
		return list
	}
	return append(list, conductor.Load{From: a, To: b, Ohms: wheels})
}

// reach is a piece between the ones joined to it: a train reaches that far (the
// same is taken by package infer).
func reach(l *track.Layout, piece int) []int {
	var beside []int
	for k, end := range l.Pieces[piece].Ends {
		if end.Joint < 0 {
			continue
		}
		j := &l.Joints[end.Joint]
		o := j.A
		if o.Piece == piece && o.End == k {
			o = j.B
		}
		if o.Piece != piece && len(beside) < 2 {
			beside = append(beside, o.Piece)
		}
	}
	switch len(beside) {
	case 0:
		return []int{piece}
	case 1:
		return []int{beside[0], piece}
	}
	return []int{beside[0], piece, beside[1]}
}

// withTrain adds a train to a set-up, its motor of so many ohm.
func withTrain(n *conductor.Network, s conductor.Setup, train int, ohms float64) conductor.Setup {
	out := s.Clone()
	if train < 0 {
		return out
	}
	if hot, common := Across(n, train); hot >= 0 {
		out.Loads = append(out.Loads, conductor.Load{From: hot, To: common, Ohms: ohms})
	}
	out.Loads = append(out.Loads, touches(n, train)...)
	return out
}

// local lists the pieces where a train may do what it does nowhere else: those
// that reach a gap, and those of insulated rails.
func local(l *track.Layout) []int {
	in := map[int]bool{}
	for i := range l.InsulatedRails {
		for _, p := range l.InsulatedRails[i].Pieces {
			in[p] = true
		}
	}
	var out []int
	for p := range l.Pieces {
		row := reach(l, p)
		for i := 1; i < len(row) && !in[p]; i++ {
			j := between(l, row[i-1], row[i])
			in[p] = j >= 0 && len(l.Joints[j].Insulated) > 0
		}
		if in[p] {
			out = append(out, p)
		}
	}
	return out
}

// trainShorts lists the pieces on which a train, and nothing else, trips a
// breaker; none where it does so all over the layout, for that is no place.
func (w *world) trainShorts() []int {
	places := local(w.n.Layout)
	var out []int
	for _, p := range places {
		if w.trainTrips(p) {
			out = append(out, p)
		}
	}
	if len(out) == 0 {
		return nil
	}
	for p := range w.n.Layout.Pieces { // one far from all of them
		if !slices.Contains(places, p) && len(touches(w.n, p)) > 0 {
			if w.trainTrips(p) {
				return nil
			}
			break
		}
	}
	return out
}

// trainTrips says that a train on a piece trips a breaker.
func (w *world) trainTrips(piece int) bool {
	for i := range w.n.Posts {
		amps := w.bench.Amps(withTrain(w.n, volts(w.n, i), piece, soundTrain(w.n)))
		if amps > trips(&w.n.Layout.Supplies[i]) || math.IsNaN(amps) {
			return true
		}
	}
	return false
}
