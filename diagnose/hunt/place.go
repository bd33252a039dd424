package hunt

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/infer"
)

// seen turns the symptom into the terms of the belief.
func (m *matter) seen() infer.Symptom {
	y := infer.Symptom{Kind: infer.SymptomKind(m.symptom.Kind), Piece: -1, Accessory: -1, Supply: -1,
		Sometimes: m.symptom.Sometimes}
	if len(m.symptom.Thrown) > 0 {
		y.Thrown = m.stood()
	}
	if w := m.symptom.Worse; w != nil {
		y.Worse, y.Ohms = m.worse(w), w.Ohms
	}
	switch {
	case m.symptom.Kind.OfAccessory():
		y.Accessory = m.accessory(m.symptom.At)
	case m.symptom.Kind == SymptomPhase:
		y.Supply = m.otherSupply(m.symptom.At)
	default:
		y.Piece = m.symptomPiece()
	}
	return y
}

// worse are the links of what got worse.
func (g *ground) worse(w *Worse) map[int]float64 {
	out := map[int]float64{}
	for i := range g.net.Links {
		k := &g.net.Links[i]
		if share, ok := w.Places[k.Place+" "+k.Rail]; ok && !k.NormallyOpen {
			out[i] = share
		}
	}
	return out
}

// checkWorse refuses what no health check can have told.
func (g *ground) checkWorse(s *Symptom) error {
	w := s.Worse
	if w == nil {
		return nil
	}
	if s.Kind != SymptomWeak || len(w.Places) == 0 || len(w.Places) > mostListed {
		return fmt.Errorf("%d places that got worse are none that a hunt begins from", len(w.Places))
	}
	sum := 0.0
	for _, share := range g.worse(w) {
		if err := within("a share", share, 0, 1); err != nil {
			return err
		}
		sum += share
	}
	if !(sum > 0) {
		return fmt.Errorf("none of the places that got worse is on this layout")
	}
	return within("ohms that a contact got worse by", w.Ohms, 1e-4, 1e4)
}

// accessory finds an accessory by name, or by the name of the insulated rail
// that works it; -1 when there is none.
func (g *ground) accessory(name string) int {
	l := g.layout
	for i := range l.Accessories {
		if strings.EqualFold(l.Accessories[i].Name, name) {
			return i
		}
	}
	for i := range l.InsulatedRails {
		if strings.EqualFold(l.InsulatedRails[i].Name, name) {
			return l.InsulatedRails[i].Accessory
		}
	}
	return -1
}

// otherSupply finds an AC supply that is not the first one; without a name the
// only one there is. -1 when there is none.
func (g *ground) otherSupply(name string) int {
	found, others := -1, otherSupplies(g.layout)
	for i := range g.layout.Supplies {
		s := &g.layout.Supplies[i]
		if !slices.Contains(others, s.Name) {
			continue
		}
		if strings.EqualFold(s.Name, name) || name == "" {
			if found >= 0 {
				return -1 // more than one: say which
			}
			found = i
		}
	}
	return found
}

// thereIs says what there is, for the end of an error.
func thereIs(names []string) string {
	if len(names) == 0 {
		return ", nor is there any other"
	}
	return ": there is " + strings.Join(names, ", ")
}
