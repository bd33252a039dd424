package card

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/gear"
	"fishplate/diagnose/hunt"
	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// sheet is all that hands need for one reading, in their order: what can hurt,
// what to set up, what must stay so, the dial, where each probe goes, and how it
// looks there. Nothing of it is ever scrolled: what does not fit one leaf is
// turned to with Enter.
type sheet struct {
	sc   *scene.Scene
	a    *hunt.Ask
	w, h int
}

// look is how roomily a sheet is laid out.
type look struct {
	full     bool // cautions in all their words
	air      bool // empty lines between the parts
	near     bool // what to count from on a line of its own
	picture  bool
	outcomes bool // what each answer would mean, and why it is asked for
	short    bool // that the reading comes again, but not why; the first caution alone
	bare     bool // what must stay so was on the leaf before
}

// looks are tried in this order until one fits.
var looks = []look{
	{full: true, air: true, near: true, picture: true, outcomes: true},
	{full: true, air: true, near: true, picture: true},
	{full: true, near: true, picture: true},
	{near: true, picture: true},
	{picture: true},
	{near: true},
	{},
}

// Leaves are what is shown of a reading one after the other, each of h lines at
// most: one where all fits, else the set-up on as many as it takes and then the
// reading. What must stay so may take spare lines more, below the set-up.
func Leaves(sc *scene.Scene, a *hunt.Ask, w, h, spare int) [][]string {
	s := sheet{sc: sc, a: a, w: w, h: max(h, 1)}
	steps := s.steps(s.w)
	for _, k := range looks {
		if !k.picture && s.sc.View.HooksUp() {
			break // the lamp's drawing is worth a leaf
		}
		if lines := s.lay(k, steps); len(lines) <= s.h {
			return [][]string{lines}
		}
	}
	out := s.setUp()
	for _, k := range looks {
		if lines := s.lay(k, nil); len(lines) <= s.h {
			return append(out, lines)
		}
	}
	if len(out) == 0 { // what can hurt has a leaf of its own, before
		out = slices.Collect(slices.Chunk(s.care(false, false), s.h))
	}
	last := s.lay(look{short: true}, nil)
	if keep := Keep(s.sc, s.a, s.w); len(last) > s.h {
		last = s.lay(look{short: true, bare: true}, nil)
		if i := len(out) - 1; i >= 0 && len(out[i])+len(keep) <= s.h+spare {
			out[i] = append(out[i], keep...)
		} else if len(keep) > 0 {
			out = append(out, keep)
		}
	}
	if len(last) <= s.h {
		return append(out, last)
	}
	return append(out, s.parted()...)
}

// parted is the barest reading in a window that does not hold even that: the dial and
// each probe go on as many leaves as it takes, and none is cut off.
func (s sheet) parted() (leaves [][]string) {
	for _, part := range [][]string{s.care(false, true), s.hands(false, false)} {
		for lines := range slices.Chunk(part, s.h) {
			leaves = append(leaves, lines)
		}
	}
	return leaves
}

// lay puts the parts one under the other.
func (s sheet) lay(k look, steps [][]string) []string {
	var keep []string
	if !k.bare {
		keep = Keep(s.sc, s.a, s.w)
	}
	parts := [][]string{s.care(k.full, k.short), slices.Concat(steps...), keep, s.hands(k.near, steps != nil)}
	if k.picture {
		var lamp []string
		if steps != nil {
			lamp = Hookup(s.sc, s.a)
		}
		parts = append(parts, lamp)
		if lamp == nil || k.air {
			parts = append(parts, Picture(s.sc, s.a, s.w))
		}
	}
	if k.outcomes {
		parts = append(parts, Outcomes(s.sc, s.a, s.w), Why(s.sc, s.a, s.w))
	}
	var out []string
	for _, p := range parts {
		if len(p) > 0 && len(out) > 0 && k.air {
			out = append(out, "")
		}
		out = append(out, p...)
	}
	return out
}

// setUp is the steps on leaves of their own, under what can hurt, with the lamp
// drawn beside them or under them where a step hooks it up. What can hurt is a leaf
// before them where the longest step has no room below it.
func (s sheet) setUp() [][]string {
	care, lamp, w := s.care(false, false), Hookup(s.sc, s.a), s.w
	beside := lamp != nil && s.w >= 2*gear.DrawWidth
	if beside {
		w -= gear.DrawWidth + 2
	}
	steps := s.steps(w)
	longest := 0
	for _, step := range steps {
		longest = max(longest, len(step))
	}
	var before [][]string
	if longest > s.h-len(care)-1 {
		before, care = slices.Collect(slices.Chunk(care, s.h)), nil
	}
	room := s.h - len(care) - 1
	leaves := packed(steps, room)
	if last := len(leaves) - 1; !beside && last >= 0 && len(leaves[last])+len(lamp) <= room {
		leaves[last] = append(leaves[last], lamp...)
	}
	for i := range leaves {
		if beside {
			leaves[i] = text.Beside(leaves[i], lamp, w, max(len(leaves[i]), len(lamp)), "  ")
		}
		leaves[i] = slices.Concat(care, []string{s.ready(i, len(leaves))}, leaves[i])
	}
	return append(before, leaves...)
}

// ready is the head of one leaf of steps.
func (s sheet) ready(i, of int) string {
	t := &s.sc.Theme
	head := t.Paint(style.Label, "GET READY")
	if of > 1 {
		head += t.Paint(style.Dim, fmt.Sprintf("  %d of %d", i+1, of))
	}
	return head
}

// packed puts steps on leaves of so many lines, none of them parted.
func packed(steps [][]string, room int) (leaves [][]string) {
	for _, step := range steps {
		if last := len(leaves) - 1; last >= 0 && len(leaves[last])+len(step) <= room {
			leaves[last] = append(leaves[last], step...)
			continue
		}
		leaves = append(leaves, slices.Clone(step))
	}
	return leaves
}

// care is what was wrong with the last answer, then what can hurt now.
func (s sheet) care(full, short bool) []string {
	if a := *s.a; short && len(a.Cautions) > 1 {
		a.Cautions, s.a = a.Cautions[:1], &a
	}
	return append(Again(s.sc, s.a, s.w, short), Care(s.sc, s.a, s.w, full)...)
}

// steps are the acts, each with its lines of w columns; turning the dial is lit.
func (s sheet) steps(w int) [][]string {
	t := &s.sc.Theme
	moves := s.sc.View.Moves
	var out [][]string
	for i, words := range StepWords(s.sc, s.a) {
		role := style.Plain
		if len(moves) == len(s.a.Steps) && moves[i].Act == hunt.ActDial {
			role = style.Key
		}
		lines := text.Hang("", words, 4, w)
		for k, l := range lines {
			lines[k] = "    " + t.Paint(role, strings.TrimPrefix(l, "    "))
		}
		lines[0] = t.Paint(style.Key, fmt.Sprintf("%2d", i+1)) + strings.TrimPrefix(lines[0], "  ")
		out = append(out, lines)
	}
	return out
}

// hands is the dial and both probes, or what eyes look at. A dial that a step
// above turns is not said again.
func (s sheet) hands(near, stepped bool) []string {
	probes := Probes(s.sc, s.a, s.w, near)
	switch {
	case !s.turned() || s.a.OfLamp(): // "turn the dial to off" does not say where to look
		return append(Dial(s.sc, s.a, s.w), probes...)
	case stepped:
		return probes
	}
	return append(text.Hang(s.sc.Theme.Paint(style.Key, "DIAL"), s.sc.Theme.Paint(style.Key, s.a.Dial), Indent, s.w),
		probes...)
}

// turned says whether this reading wants the dial turned.
func (s sheet) turned() bool {
	return slices.ContainsFunc(s.sc.View.Moves, func(m hunt.Move) bool { return m.Act == hunt.ActDial })
}
