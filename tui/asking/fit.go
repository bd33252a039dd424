package asking

import (
	"slices"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/tui/card"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// fitted composes the card for w by h cells: in full where that fits, else
// with what each outcome means pinned to the foot and the rest scrolling
// above it, the reason last.
func (m *Model) fitted(sc *scene.Scene, a *hunt.Ask, w, h int) []string {
	now := composed{sc.Layout, a, sc.Theme, sc.Warned, len(sc.View.Evidence), w, h, m.scroll.Top}
	if m.card != nil && now == m.cardOf {
		m.scroll = m.cardAt
		return slices.Clone(m.card)
	}
	lines := m.compose(sc, a, w, h)
	m.card, m.cardOf, m.cardAt = slices.Clone(lines), now, m.scroll
	m.cardOf.top = m.scroll.Top // where the window was moved to
	return lines
}

// composed is all that a composed card hangs on, so that typing composes none.
type composed struct {
	layout   *track.Layout
	ask      *hunt.Ask
	theme    style.Theme
	warned   bool
	evidence int
	w, h     int
	top      int
}

func (m *Model) compose(sc *scene.Scene, a *hunt.Ask, w, h int) []string {
	var lamp []string
	if !m.wide { // else it stands in the map's place
		lamp = card.Hookup(sc, a)
	}
	if full := append(card.Lines(sc, a, w), lamp...); len(full) <= h {
		m.scroll.View(full, h, nil) // nothing to scroll
		return full
	}
	top := card.Top(sc, a, w, false)
	why := append(lamp, card.Why(sc, a, w)...)
	for _, way := range []struct{ tight, whole bool }{{false, true}, {true, true}, {true, false}} {
		rows := 3
		if !way.whole {
			rows = min(max((h-9)/max(len(a.Expect), 1), 1), 2)
		}
		foot := card.Brief(sc, a, w, rows)
		if way.tight {
			top = card.Top(sc, a, w, true)
		}
		if len(top)+len(foot) <= h || !way.whole {
			keep := card.Keep(sc, a, w)
			if sight := h - len(foot) - 1; len(top)-len(keep) >= sight && len(foot) < h/2 {
				foot = append(inOne(keep, w), foot...)
			}
			return m.pinned(sc, append(top, why...), foot, h)
		}
	}
	return nil
}

// inOne cuts what must stay to one line, where all of it is out of sight until
// one scrolls: that a joint is open must not be.
func inOne(keep []string, w int) []string {
	if len(keep) > 1 {
		return []string{strings.TrimRight(text.Fit(keep[0], w-3), " ") + "..."}
	}
	return keep
}

// pinned puts the foot at the end of h lines and scrolls the body above it.
func (m *Model) pinned(sc *scene.Scene, body, foot []string, h int) []string {
	foot = foot[:min(len(foot), h/2)]
	room := h - len(foot)
	out := append([]string(nil), m.scroll.View(body, room, more(sc))...)
	for len(out) < room {
		out = append(out, "")
	}
	return append(out, foot...)
}
