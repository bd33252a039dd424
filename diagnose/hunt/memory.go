package hunt

import (
	"cmp"
	"slices"

	"fishplate/diagnose/infer"
)

// memory keeps beliefs by what they rest on, so that undo and the next reading
// cost one update. Of those from further back only what the list of readings
// tells of them is kept, and of those that nothing stands on any more a few.
type memory struct {
	turn int // counts how often the hunt was derived anew
	of   map[string]*kept
}

// kept is a belief; whole says that nothing of it was left out.
type kept struct {
	p     *infer.Posterior
	whole bool
	turn  int // when it was needed last
}

const (
	mostWhole = 12      // beliefs that are kept whole
	mostKept  = 4 << 20 // weights of suspects in those that nothing stands on, 8 bytes each
)

// need gives the belief for a key, whole where that is asked for.
func (m *memory) need(key string, whole bool, work func() *infer.Posterior) *infer.Posterior {
	k := m.of[key]
	if k == nil || whole && !k.whole {
		k = &kept{p: work(), whole: true}
		if m.of == nil {
			m.of = map[string]*kept{}
		}
		m.of[key] = k
	}
	k.turn = m.turn
	return k.p
}

// have gives the belief for a key where it is kept, else nil.
func (m *memory) have(key string) *infer.Posterior {
	k := m.of[key]
	if k == nil {
		return nil
	}
	k.turn = m.turn
	return k.p
}

// keep remembers what the list of readings tells of a belief.
func (m *memory) keep(key string, p *infer.Posterior) *infer.Posterior {
	m.of[key] = &kept{p: p.Told(), turn: m.turn}
	return m.of[key].p
}

// forget lets go what is over the bounds, the oldest first; called once the hunt
// is derived.
func (m *memory) forget() {
	keys := make([]string, 0, len(m.of))
	for key := range m.of {
		keys = append(keys, key)
	}
	slices.SortFunc(keys, func(a, b string) int { // the newest first; the longest rests on most readings
		return cmp.Or(cmp.Compare(m.of[b].turn, m.of[a].turn), cmp.Compare(len(b), len(a)), cmp.Compare(a, b))
	})
	weights := 0
	for i, key := range keys {
		k := m.of[key]
		if i >= mostWhole && k.whole {
			k.p, k.whole = k.p.Told(), false
		}
		if k.turn == m.turn {
			continue
		}
		if weights += len(k.p.Hypo); weights > mostKept {
			delete(m.of, key)
		}
	}
	m.turn++
}
