package infer

import (
	"maps"
	"slices"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/track"
)

// turnings are the ways of the current through a layout's turnouts. What RouteTo and
// Legs worked out is kept: it follows from the layout alone.
type turnings struct {
	Net    *conductor.Network
	routes map[int]map[int]string
	legs   []Leg
}

// RouteTo is how power-routing turnouts must be thrown so that current gets
// to a piece: nil where it gets there with all of them thrown through, or
// where no throwing helps. Turnouts that it leaves out are thrown through.
func (e *turnings) RouteTo(piece int) map[int]string {
	if r, ok := e.routes[piece]; ok {
		return r
	}
	if e.routes == nil {
		e.routes = map[int]map[int]string{}
	}
	r := e.routeTo(piece)
	e.routes[piece] = r
	return r
}

func (e *turnings) routeTo(piece int) map[int]string {
	turnouts := e.Routing()
	if len(turnouts) == 0 || piece < 0 {
		return nil
	}
	if e.reaches(piece, nil) {
		return nil
	}
	throw := func(list ...int) map[int]string {
		out := map[int]string{}
		for _, t := range list {
			out[t] = track.EndDiverging
		}
		return out
	}
	for _, t := range turnouts {
		if r := throw(t); e.reaches(piece, r) {
			return r
		}
	}
	for i, t := range turnouts {
		for _, u := range turnouts[:i] {
			if r := throw(t, u); e.reaches(piece, r) {
				return r
			}
		}
	}
	if r := throw(turnouts...); e.reaches(piece, r) {
		return r
	}
	return nil
}

// Leg is a part of the track that gets current, or shows a short to the supply,
// only with turnouts thrown so.
type Leg struct {
	Thrown map[int]string
	Pieces []int
}

// mostLegs is how many are told apart; hopeless after how many pieces that no
// throwing reaches no more are tried.
const mostLegs, hopeless = 16, 8

// Legs lists what current reaches only with turnouts thrown otherwise than to
// through: the legs of the track, and each turnout itself.
func (e *turnings) Legs() []Leg {
	if e.legs != nil {
		return e.legs
	}
	e.legs = []Leg{}
	routing := e.Routing()
	if len(routing) == 0 {
		return e.legs
	}
	fed, lost := e.fedBy(nil), 0
	for p := range e.Net.Layout.Pieces {
		if fed[p] || lost == hopeless || len(e.legs) == mostLegs {
			continue
		}
		route := e.RouteTo(p)
		if route == nil {
			lost++
			continue
		}
		leg := Leg{Thrown: route}
		for q, is := range e.fedBy(route) {
			if is && !fed[q] {
				leg.Pieces, fed[q] = append(leg.Pieces, q), true
			}
		}
		e.legs = append(e.legs, leg)
	}
	for _, t := range routing {
		one := map[int]string{t: track.EndDiverging}
		i := slices.IndexFunc(e.legs, func(x Leg) bool { return maps.Equal(x.Thrown, one) })
		if i >= 0 {
			e.legs[i].Pieces = append(e.legs[i].Pieces, t)
		} else if len(e.legs) < mostLegs {
			e.legs = append(e.legs, Leg{Thrown: one, Pieces: []int{t}})
		}
	}
	return e.legs
}

// Diverging has every turnout that switches current thrown to its other leg.
func (e *turnings) Diverging() map[int]string {
	out := map[int]string{}
	for _, t := range e.Routing() {
		out[t] = track.EndDiverging
	}
	return out
}

// Routing lists the pieces with links that a thrown route opens and closes.
func (e *turnings) Routing() []int {
	var out []int
	seen := map[int]bool{}
	for i := range e.Net.Links {
		k := &e.Net.Links[i]
		if k.Kind == conductor.KindSwitch && k.Turnout >= 0 && !seen[k.Turnout] {
			seen[k.Turnout] = true
			out = append(out, k.Turnout)
		}
	}
	return out
}

// reaches says whether both rails of a piece hang on the posts of a supply in
// the sound layout with turnouts thrown so.
func (e *turnings) reaches(piece int, thrown map[int]string) bool { return e.fedByAny(thrown)(piece) }

// fedBy says it of every piece.
func (e *turnings) fedBy(thrown map[int]string) []bool {
	out, in := make([]bool, len(e.Net.Layout.Pieces)), e.fedByAny(thrown)
	for p := range out {
		out[p] = in(p)
	}
	return out
}

func (e *turnings) fedByAny(thrown map[int]string) func(piece int) bool {
	s := conductor.Usual(e.Net.Layout)
	s.Thrown = thrown
	in := e.fedIn(&s)
	return func(piece int) bool {
		for i := range e.Net.Posts {
			if in(piece, i) {
				return true
			}
		}
		return false
	}
}

// tied tells points apart that nothing but a load joins in a set-up: equal
// numbers for points that hang together.
func (e *turnings) tied(s *conductor.Setup) func(point int) int {
	u := nodal.NewUnion(e.Net.Nodes)
	for i := range e.Net.Links {
		if k := &e.Net.Links[i]; k.Kind != conductor.KindLoad && s.Conducts(k) {
			u.Join(e.Net.NodeOf(k.A), e.Net.NodeOf(k.B))
		}
	}
	return func(point int) int { return u.Find(e.Net.NodeOf(point)) }
}
