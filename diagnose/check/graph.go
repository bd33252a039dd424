package check

import (
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
)

// anyRoute closes both legs of every turnout; see graph.conducts for the ones
// that this would short.
const anyRoute = ""

// graph is what conducts: nodes joined by links that carry current without
// being a load. Joined nodes are one part.
type graph struct {
	n *conductor.Network
	// route is the route all turnouts are thrown to, or anyRoute.
	route string
	wires bool  // wires, toggles, buses and feeders belong to it
	out   []int // joints taken out, to look for a second way
	// frogs are the turnouts of which one route only may be closed, since both
	// together would join two rails (a frog fed through the points).
	frogs  map[int]bool
	frogTo string         // the route those are thrown to
	throws map[int]string // single turnouts thrown otherwise
	off    map[int]bool   // toggles in their second position
	// noToggles opens every toggle, whatever its position.
	noToggles bool
	noTrack   bool // wires alone
	adj       [][]arc
	part      []int // node -> lowest node of its part
}

type arc struct{ link, to int }

// isTrack says whether a link belongs to the track itself.
func isTrack(k *conductor.Link) bool {
	switch k.Kind {
	case conductor.KindRail, conductor.KindJoint, conductor.KindJumper, conductor.KindSwitch:
		return true
	}
	return false
}

func newGraph(n *conductor.Network, route string, wires bool) *graph {
	g := &graph{n: n, route: route, wires: wires, frogTo: track.EndThrough}
	g.frogs = liveFrogs(n)
	g.build()
	return g
}

// alter gives the same graph after a change.
func (g *graph) alter(change func(*graph)) *graph {
	h := &graph{n: g.n, route: g.route, wires: g.wires, out: slices.Clone(g.out), frogs: g.frogs, frogTo: g.frogTo,
		throws: g.throws, off: g.off, noToggles: g.noToggles, noTrack: g.noTrack}
	change(h)
	h.build()
	return h
}

// thrown is the same graph with the turnouts of frogs thrown to a route.
func (g *graph) thrown(route string) *graph {
	return g.alter(func(h *graph) { h.frogTo = route })
}

// switched is the same graph with these toggles alone in their second position.
func (g *graph) switched(toggles ...int) *graph {
	return g.alter(func(h *graph) {
		h.off = map[int]bool{}
		for _, t := range toggles {
			h.off[t] = true
		}
	})
}

func (g *graph) conducts(k *conductor.Link) bool {
	if k.NormallyOpen || k.Kind == conductor.KindLoad {
		return false
	}
	if isTrack(k) && g.noTrack || !isTrack(k) && !g.wires {
		return false
	}
	switch k.Kind {
	case conductor.KindJoint:
		return !slices.Contains(g.out, k.Joint)
	case conductor.KindToggle:
		return !g.noToggles && (k.When == conductor.WhenOff) == g.off[k.Toggle]
	case conductor.KindSwitch:
		want := g.route
		if want == anyRoute && g.frogs[k.Turnout] {
			want = g.frogTo
		}
		if r, ok := g.throws[k.Turnout]; ok {
			want = r
		}
		return want == anyRoute || k.When == want
	}
	return true
}

func (g *graph) build() {
	g.adj = make([][]arc, g.n.Nodes)
	g.part = make([]int, g.n.Nodes)
	for i := range g.part {
		g.part[i] = -1
	}
	for i := range g.n.Links {
		k := &g.n.Links[i]
		if !g.conducts(k) {
			continue
		}
		a, b := g.n.NodeOf(k.A), g.n.NodeOf(k.B)
		g.adj[a] = append(g.adj[a], arc{i, b})
		g.adj[b] = append(g.adj[b], arc{i, a})
	}
	var stack []int
	for root := range g.part {
		if g.part[root] >= 0 {
			continue
		}
		g.part[root] = root
		stack = append(stack[:0], root)
		for len(stack) > 0 {
			k := stack[len(stack)-1]
			stack = stack[:len(stack)-1]
			for _, a := range g.adj[k] {
				if g.part[a.to] < 0 {
					g.part[a.to] = root
					stack = append(stack, a.to)
				}
			}
		}
	}
}

// joined says whether two points are in one part.
func (g *graph) joined(a, b int) bool {
	return g.part[g.n.NodeOf(a)] == g.part[g.n.NodeOf(b)]
}

// path is the links of a shortest way between two points, nil where there is
// none (and where they are one node).
func (g *graph) path(from, to int) []int {
	a, b := g.n.NodeOf(from), g.n.NodeOf(to)
	if g.part[a] != g.part[b] || a == b {
		return nil
	}
	via := make([]arc, g.n.Nodes) // the link by which a node was reached, and where from
	for i := range via {
		via[i].link = -1
	}
	queue := []int{a}
	for len(queue) > 0 && via[b].link < 0 {
		k := queue[0]
		queue = queue[1:]
		for _, e := range g.adj[k] {
			if e.to != a && via[e.to].link < 0 {
				via[e.to] = arc{e.link, k}
				queue = append(queue, e.to)
			}
		}
	}
	var out []int
	for k := b; k != a; k = via[k].to {
		out = append(out, via[k].link)
	}
	slices.Reverse(out)
	return out
}

// liveFrogs finds the turnouts in which both routes at once would join two
// rails that one route alone keeps apart.
func liveFrogs(n *conductor.Network) map[int]bool {
	out := map[int]bool{}
	links := map[int][]*conductor.Link{}
	switched := map[int]bool{}
	for i := range n.Links {
		k := &n.Links[i]
		if k.Piece < 0 || !isTrack(k) {
			continue
		}
		links[k.Piece] = append(links[k.Piece], k)
		switched[k.Piece] = switched[k.Piece] || k.Kind == conductor.KindSwitch
	}
	for p := range switched {
		if switched[p] && joinsRails(n, p, links[p]) {
			out[p] = true
		}
	}
	return out
}

// joinsRails says whether the links of one piece join points of its first end
// that lie on different rails.
func joinsRails(n *conductor.Network, p int, links []*conductor.Link) bool {
	lead := map[int]int{}
	var find func(int) int
	find = func(x int) int {
		if r, ok := lead[x]; ok && r != x {
			return find(r)
		}
		return x
	}
	for _, k := range links {
		a, b := find(n.NodeOf(k.A)), find(n.NodeOf(k.B))
		lead[max(a, b)] = min(a, b)
	}
	piece := &n.Layout.Pieces[p]
	rails := piece.Construction.Rails
	for i, r := range rails {
		for _, q := range rails[i+1:] {
			if slices.Contains(piece.Construction.TiedWith(r), q) {
				continue
			}
			a, b := n.At(track.EndRef{Piece: p}, r), n.At(track.EndRef{Piece: p}, q)
			if a >= 0 && b >= 0 && find(n.NodeOf(a)) == find(n.NodeOf(b)) {
				return true
			}
		}
	}
	return false
}
