package hunt

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/infer"
	"fishplate/diagnose/track"
)

// seen turns the symptom into the terms of the belief.
func (h *Hunt) seen() infer.Symptom {
	y := infer.Symptom{Kind: infer.SymptomKind(h.symptom.Kind), Piece: -1, Accessory: -1, Supply: -1, Sometimes: h.symptom.Sometimes}
	switch {
	case h.symptom.Kind.OfAccessory():
		y.Accessory = h.accessory(h.symptom.At)
	case h.symptom.Kind == SymptomPhase:
		y.Supply = h.otherSupply(h.symptom.At)
	default:
		y.Piece = h.symptomPiece()
	}
	return y
}

// accessory finds an accessory by name, or by the name of the insulated rail
// that works it; -1 when there is none.
func (h *Hunt) accessory(name string) int {
	l := h.layout
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

func (h *Hunt) accessoryNames() []string {
	var out []string
	for i := range h.layout.Accessories {
		out = append(out, h.layout.Accessories[i].Name)
	}
	return out
}

// otherSupply finds an AC supply that is not the first one; without a name the
// only one there is. -1 when there is none.
func (h *Hunt) otherSupply(name string) int {
	found := -1
	for i := range h.layout.Supplies {
		s := &h.layout.Supplies[i]
		if !slices.Contains(h.otherSupplies(), s.Name) {
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

func (h *Hunt) otherSupplies() []string {
	var out []string
	first := true
	for i := range h.layout.Supplies {
		s := &h.layout.Supplies[i]
		if !s.AC {
			continue
		}
		if !first {
			out = append(out, s.Name)
		}
		first = false
	}
	return out
}

// known1 says what there is, for the end of an error.
func (h *Hunt) known1(names []string) string {
	if len(names) == 0 {
		return ", and none of that kind at all"
	}
	return ": there is " + strings.Join(names, ", ")
}

// turnoutName is how an ask names a turnout: by its own name where it has one.
func turnoutName(p *track.Piece) string {
	if p.Name != "" {
		return p.Name
	}
	return p.ID()
}

// namedState puts the toggles and accessories of a written set-up into one of
// the network.
func (h *Hunt) namedState(to *conductor.Setup, s *Setup) error {
	for _, name := range s.Off {
		i := slices.IndexFunc(h.layout.Toggles, func(t track.Toggle) bool { return t.Name == name })
		if i < 0 {
			return fmt.Errorf("there is no toggle %q on this layout", name)
		}
		to.Off = append(to.Off, i)
	}
	for _, name := range s.Unplugged {
		i := slices.IndexFunc(h.layout.Accessories, func(a track.Accessory) bool { return a.Name == name })
		if i < 0 {
			return fmt.Errorf("there is no accessory %q on this layout", name)
		}
		to.Unplugged = append(to.Unplugged, i)
	}
	slices.Sort(to.Off)
	slices.Sort(to.Unplugged)
	return nil
}
