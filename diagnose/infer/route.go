package infer

import (
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/nodal"
	"fishplate/diagnose/track"
)

// RouteTo is how power-routing turnouts must be thrown so that current gets
// to a piece: nil where it gets there with all of them thrown through, or
// where no throwing helps. Turnouts that it leaves out are thrown through.
func (e *Engine) RouteTo(piece int) map[int]string {
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

func (e *Engine) routeTo(piece int) map[int]string {
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

// Routing lists the pieces with links that a thrown route opens and closes.
func (e *Engine) Routing() []int {
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
func (e *Engine) reaches(piece int, thrown map[int]string) bool {
	c := e.Net.Layout.Pieces[piece].Construction
	red, black := e.Net.Middle(piece, c.Hot), e.Net.Middle(piece, c.Common)
	if red < 0 || black < 0 {
		return false
	}
	s := conductor.Usual(e.Net.Layout)
	s.Thrown = thrown
	at := e.tied(&s)
	same := func(a, b int) bool { return at(a) == at(b) }
	for _, p := range e.Net.Posts {
		if same(p[0], red) && same(p[1], black) || same(p[1], red) && same(p[0], black) {
			return true
		}
	}
	return false
}

// tied tells points apart that nothing but a load joins in a set-up: equal
// numbers for points that hang together.
func (e *Engine) tied(s *conductor.Setup) func(point int) int {
	u := nodal.NewUnion(e.Net.Nodes)
	for i := range e.Net.Links {
		if k := &e.Net.Links[i]; k.Kind != conductor.KindLoad && s.Conducts(k) {
			u.Join(e.Net.NodeOf(k.A), e.Net.NodeOf(k.B))
		}
	}
	return func(point int) int { return u.Find(e.Net.NodeOf(point)) }
}
