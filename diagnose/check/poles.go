package check

import (
	"slices"

	"fishplate/diagnose/track"
)

// pole is one post of a supply: side 0 is hot, 1 common.
type pole struct{ supply, side int }

// sides names the posts.
var sides = [2]string{"hot", "common"}

// poles lists the posts that each part of a graph is joined to, by part.
func (g *graph) poles() map[int][]pole {
	out := map[int][]pole{}
	for s, posts := range g.n.Posts {
		for side, p := range posts {
			part := g.part[g.n.NodeOf(p)]
			out[part] = append(out[part], pole{s, side})
		}
	}
	return out
}

// feed is a graph with the posts that its parts are joined to.
type feed struct {
	*graph
	at map[int][]pole
}

func newFeed(g *graph) *feed { return &feed{g, g.poles()} }

// of lists the posts that a point is joined to; none for a point that is not
// there (-1).
func (f *feed) of(point int) []pole {
	if point < 0 {
		return nil
	}
	return f.at[f.part[f.n.NodeOf(point)]]
}

// contacts are the points at which a train takes current at one spot: from a,
// and back into any of b. Three-rail track has the center as a, the outer rails
// as b; two-rail track left and right.
type contacts struct {
	piece, end int // end -1 in the middle
	a          int
	b          []int
}

// spots lists where a train can stand: the middle of plain pieces, each used
// end of the others.
func (c *design) spots() []contacts {
	var out []contacts
	for p := range c.l.Pieces {
		out = append(out, c.spotsOf(p)...)
	}
	return out
}

func (c *design) spotsOf(p int) []contacts {
	piece := &c.l.Pieces[p]
	if piece.Kind != track.Turnout && piece.Kind != track.Crossing {
		return []contacts{c.contactsAt(p, -1)}
	}
	var out []contacts
	for e := range piece.Ends {
		if c.used(piece, e) {
			out = append(out, c.contactsAt(p, e))
		}
	}
	return out
}

// used says whether a way through a turnout or a crossing that has end e leads
// anywhere: the second way of a crossing may lie there unused.
func (c *design) used(piece *track.Piece, e int) bool {
	if piece.Kind == track.Turnout || piece.Ends[e].Joint >= 0 {
		return true
	}
	for _, leg := range piece.Legs {
		if (leg.From == e || leg.To == e) && (piece.Ends[leg.From].Joint >= 0 || piece.Ends[leg.To].Joint >= 0) {
			return true
		}
	}
	return false
}

func (c *design) contactsAt(p, e int) contacts {
	at := func(r track.Rail) int {
		if e < 0 {
			return c.n.Middle(p, r)
		}
		return c.n.At(track.EndRef{Piece: p, End: e}, r)
	}
	k := contacts{piece: p, end: e}
	if c.l.Pieces[p].Construction.HasRail(track.Center) {
		k.a, k.b = at(track.Center), []int{at(track.Left), at(track.Right)}
	} else {
		k.a, k.b = at(track.Left), []int{at(track.Right)}
	}
	return k
}

// circuit gives a supply and the point of b by which a train at the contacts
// would close a circuit, hot on a when straight. Without one, supply is -1.
func (f *feed) circuit(k contacts) (supply, b int, straight bool) {
	for _, p := range f.of(k.a) {
		for _, q := range k.b {
			if f.has(q, p.supply, 1-p.side) {
				return p.supply, q, p.side == 0
			}
		}
	}
	return -1, -1, false
}

// has says whether a point is joined to a post of a supply.
func (f *feed) has(point, supply, side int) bool {
	return slices.Contains(f.of(point), pole{supply, side})
}
