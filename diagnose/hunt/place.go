package hunt

import (
	"slices"
	"strings"

	"fishplate/diagnose/infer"
)

// seen turns the symptom into the terms of the belief.
func (m *matter) seen() infer.Symptom {
	y := infer.Symptom{Kind: infer.SymptomKind(m.symptom.Kind), Piece: -1, Accessory: -1, Supply: -1, Sometimes: m.symptom.Sometimes}
	if len(m.symptom.Thrown) > 0 {
		y.Thrown = m.stood()
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
		return ", and none of that kind at all"
	}
	return ": there is " + strings.Join(names, ", ")
}
