package hunt

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/track"
)

// Points names the turnouts of a layout that switch current, in its order: how
// they stood when a breaker tripped says where a short can lie.
func Points(l *track.Layout) []string {
	var out []string
	for i := range l.Pieces {
		if p := &l.Pieces[i]; switches(p) {
			out = append(out, turnoutName(p))
		}
	}
	return out
}

// switches says whether a piece can be thrown, and opens and closes a path by it.
func switches(p *track.Piece) bool {
	w := p.Wiring()
	return w != nil && (p.Kind == track.Turnout || p.Slips()) &&
		slices.ContainsFunc(w.Conductors, func(c track.Conductor) bool { return c.When != "" })
}

// checkThrown says what is wrong with how points are said to have stood.
func (g *ground) checkThrown(s *Symptom) error {
	if len(s.Thrown) > 0 && !s.Kind.OfShort() {
		return fmt.Errorf("thrown goes with short and short-train only: what is %s is looked for with the points set "+
			"to it", s.Kind)
	}
	for _, name := range slices.Sorted(maps.Keys(s.Thrown)) {
		p := g.layout.FindPiece(name)
		if p < 0 {
			return fmt.Errorf("there is no turnout %q on this layout%s", name, thereIs(turnouts(g.layout)))
		}
		if err := g.net.Throw(&conductor.Setup{}, name, s.Thrown[name]); err != nil {
			return err
		}
	}
	return nil
}

// turnouts names all that can be thrown.
func turnouts(l *track.Layout) []string {
	var out []string
	for i := range l.Pieces {
		if p := &l.Pieces[i]; p.Kind == track.Turnout || p.Slips() {
			out = append(out, turnoutName(p))
		}
	}
	return out
}

// stood is how the points stood when the breaker tripped, without those that
// stood to through; nil where nobody knows. With a train it stood to the train.
func (m *matter) stood() map[int]string {
	if !m.shortHunt() {
		return nil
	}
	if m.symptom.Kind == SymptomShortTrain && len(m.symptom.Thrown) == 0 {
		return m.engine.RouteTo(m.symptomPiece())
	}
	if len(m.symptom.Thrown) == 0 {
		return nil
	}
	out := map[int]string{}
	for name, route := range m.symptom.Thrown {
		if route != track.EndThrough { // one that switches no current too: its moving rails may touch
			out[m.layout.FindPiece(name)] = route
		}
	}
	return out
}

// key tells symptoms apart.
func (s *Symptom) key() string {
	key := strings.TrimSuffix(fmt.Sprintf("%s@%s %v %v", s.Kind, s.At, s.Sometimes, s.Thrown), " map[]")
	if s.Worse != nil {
		key += fmt.Sprintf(" worse %v", *s.Worse)
	}
	return key
}

// throws are the other positions of the points that a short is looked for with:
// those that bring current to where the belief is, the most of it first.
func (g *asker) throws() []conductor.Setup {
	sit := g.sit
	type way struct {
		route  map[int]string
		belief float64
	}
	weight := sit.pieceWeights(g.p)
	var ways []way
	legs := sit.engine.Legs()
	for _, leg := range legs {
		x := way{route: leg.Thrown}
		for _, p := range leg.Pieces {
			x.belief += weight[p]
		}
		ways = append(ways, x)
	}
	slices.SortStableFunc(ways, func(a, b way) int { return cmp.Compare(b.belief, a.belief) })
	ways = ways[:min(mostThrows, len(ways))]
	if len(ways) == 0 || ways[0].belief < worthThrowing {
		return nil
	}
	ways = slices.DeleteFunc(ways, func(x way) bool { return x.belief < worthThrowing })
	if len(legs) > 1 && sit.stood() == nil {
		ways = append(ways, way{route: sit.engine.Diverging()})
	}
	ways = append(ways, way{}) // all to through
	seen := map[string]bool{g.now.SwitchKey(): true}
	var out []conductor.Setup
	for _, x := range ways {
		s := g.now.Clone()
		s.Thrown = x.route
		if k := s.SwitchKey(); !seen[k] {
			seen[k] = true
			out = append(out, s)
		}
	}
	return out
}

// mostThrows is how many other positions of the points are weighed at once, and
// worthThrowing the belief that one must bring current to (both assumed).
const (
	mostThrows    = 4
	worthThrowing = 0.03
)

// nameThrown names how every turnout that switches current must stand.
func nameThrown(l *track.Layout, s *conductor.Setup) map[string]string {
	out := map[string]string{}
	for i := range l.Pieces {
		if p := &l.Pieces[i]; switches(p) {
			out[turnoutName(p)] = s.Route(i)
		}
	}
	for t, r := range s.Thrown {
		out[turnoutName(&l.Pieces[t])] = r
	}
	return out
}

// Diverted are the turnouts of a set-up that do not stand to through, by name.
func (s *Setup) Diverted() []string {
	var out []string
	for name, route := range s.Thrown {
		if route != track.EndThrough {
			out = append(out, name)
		}
	}
	slices.Sort(out)
	return out
}
