package conductor

import "fishplate/diagnose/track"

// CommonRail is the rail by which a train's current goes back on a piece: that of its
// construction, or the other running rail where that one is an insulated rail, which
// waits for wheels.
func (n *Network) CommonRail(piece int) track.Rail {
	c := n.Layout.Pieces[piece].Construction
	if !n.waits(piece, c.Common) {
		return c.Common
	}
	for _, r := range c.Rails {
		if r != c.Hot && n.Middle(piece, r) >= 0 && !n.waits(piece, r) {
			return r
		}
	}
	return c.Common
}

// waits says whether a rail of a piece is cut off as an insulated rail.
func (n *Network) waits(piece int, r track.Rail) bool {
	m := n.Middle(piece, r)
	return m >= 0 && n.waiting[n.NodeOf(m)]
}

// cutOff finds the nodes of the insulated rails: all that their taps reach along rails
// and joints. What reaches a wire of a supply is not cut off.
func (n *Network) cutOff() {
	n.waiting = map[int]bool{}
	for i := range n.Layout.InsulatedRails {
		r := &n.Layout.InsulatedRails[i]
		at := n.Middle(r.Tap.Piece, r.TapRail)
		if r.Tap.End >= 0 {
			at = n.At(track.EndRef{Piece: r.Tap.Piece, End: r.Tap.End}, r.TapRail)
		}
		if at < 0 {
			continue
		}
		if rail, cut := n.along(n.NodeOf(at)); cut {
			for node := range rail {
				n.waiting[node] = true
			}
		}
	}
}

// along is what a node reaches along rails and joints, and whether no clip is on it.
func (n *Network) along(node int) (rail map[int]bool, cut bool) {
	beside := map[int][]int{}
	clipped := map[int]bool{}
	for i := range n.Links {
		k := &n.Links[i]
		a, b := n.NodeOf(k.A), n.NodeOf(k.B)
		switch {
		case k.Kind == KindClip:
			clipped[a], clipped[b] = true, true
		case k.NormallyOpen || k.Piece < 0 && k.Joint < 0 || k.Kind == KindTap || k.Kind == KindSense:
		default:
			beside[a], beside[b] = append(beside[a], b), append(beside[b], a)
		}
	}
	rail = map[int]bool{node: true}
	for todo := []int{node}; len(todo) > 0; {
		x := todo[0]
		todo = todo[1:]
		if clipped[x] {
			return nil, false
		}
		for _, y := range beside[x] {
			if !rail[y] {
				rail[y] = true
				todo = append(todo, y)
			}
		}
	}
	return rail, true
}
