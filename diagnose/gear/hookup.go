package gear

import (
	"fmt"
	"math"
	"strings"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/track"
	"fishplate/diagnose/unit"
)

// Hookup is how a lamp is put into the circuit.
type Hookup struct {
	Supply string  // the layout's own: its name
	AC     bool    // the layout's own is
	Feed   Feed    // what stands behind the lamp
	Volts  float64 // of it
	Lamps  int     // in series
	Across bool    // the rails they are laid, and not between supply and track
}

// HookupOf is the hook-up that a kit has on a layout for a symptom (nil: a short),
// at the supply with an index; false where it has no lamp or the layout no supply.
func HookupOf(k *hunt.Kit, l *track.Layout, s *hunt.Symptom, supply int) (Hookup, bool) {
	if !k.Lamp || supply < 0 || supply >= len(l.Supplies) {
		return Hookup{}, false
	}
	own := &l.Supplies[supply]
	h := Hookup{Supply: own.Name, AC: own.AC, Volts: own.Volts, Lamps: k.LampsFor(own.Volts, own.Trip()),
		Across: s != nil && s.Loaded()}
	if f := FeedOf(k); f != OwnSupply {
		h.Feed, h.Volts, h.Lamps = f, k.DCVolts, k.LampsFor(k.DCVolts, math.Inf(1))
	}
	return h, true
}

// HookupFor is the hook-up of a set-up with a lamp in series; false for any
// other set-up.
func HookupFor(k *hunt.Kit, l *track.Layout, s *hunt.Source) (Hookup, bool) {
	if s.Kind != "lamp" {
		return Hookup{}, false
	}
	for i := range l.Supplies {
		if s.From == l.Supplies[i].Name+" hot" {
			lit := *k
			lit.Lamp = true
			if s.Volts != k.DCVolts { // it does not stand in here
				lit.DCVolts = 0
			}
			return HookupOf(&lit, l, nil, i)
		}
	}
	return Hookup{}, false
}

// name is what stands behind the lamp, as a person calls it.
func (h *Hookup) name() string {
	switch {
	case h.Feed == Battery:
		return "battery " + unit.Format(h.Volts, unit.Volt)
	case h.Feed == PowerPack:
		return "DC power pack " + unit.Format(h.Volts, unit.Volt)
	case h.AC:
		return "transformer " + h.Supply
	}
	return "power pack " + h.Supply
}

// DrawWidth is how many columns Draw needs.
const DrawWidth = 35

// Draw draws the circuit, a post to a column, in lines of at most DrawWidth
// columns; in 7-bit characters where that is asked for.
func (h *Hookup) Draw(ascii bool) []string {
	const bar, rail, tie = "│", "═", "╧"
	row := func(hot, common, says string) string {
		return strings.TrimRight(fmt.Sprintf("  %s    %s  %s", centred(hot), centred(common), says), " ")
	}
	out := []string{" " + strings.ToUpper(h.name()[:1]) + h.name()[1:]}
	switch h.Feed {
	case OwnSupply:
		out = append(out, row("HOT", "COM", "posts; handle full up"), row("o", "o", ""), row(bar, bar, ""))
	case Battery:
		out = append(out, " ("+h.Supply+": unplugged, wires off)", row("+", "-", ""), row("[ ]", bar, "fuse 3 A"),
			row(bar, bar, ""))
	case PowerPack:
		out = append(out, " ("+h.Supply+": unplugged, wires off)", row("+", "-", "handle full up"), row(bar, bar, ""))
	}
	lamp, side := "the lamp, in the open", "the lamp's TRACK SIDE"
	if h.Lamps > 1 {
		lamp = fmt.Sprintf("%d lamps in a row", h.Lamps)
	}
	if h.Across {
		side = ""
	} else {
		for range h.Lamps - 1 {
			out = append(out, row("(X)", bar, ""))
		}
		out = append(out, row("(X)", bar, lamp), row(bar, bar, ""))
	}
	out = append(out, row("*", bar, "hot wires joined here"), row(bar, bar, side),
		" "+strings.Repeat(rail, 2)+tie+strings.Repeat(rail, 6)+tie+strings.Repeat(rail, 2)+"  track")
	if h.Across {
		out = append(out, "   └"+[]string{"──(X)─", "(X)(X)"}[min(h.Lamps, 2)-1]+"┘   "+lamp)
	}
	for i := range out { // a supply's name may be of any length
		out[i] = cut(out[i], DrawWidth)
	}
	if ascii {
		for i := range out {
			out[i] = strings.NewReplacer(bar, "|", rail, "=", tie, "+", "└", "+", "┘", "+", "─", "-").Replace(out[i])
		}
	}
	return out
}

func cut(s string, w int) string {
	if r := []rune(s); len(r) > w {
		return string(r[:w])
	}
	return s
}

// centred puts a sign of one column, or a word of three, into three.
func centred(s string) string {
	if len([]rune(s)) == 1 {
		return " " + s + " "
	}
	return s
}

// Words says the same in two sentences, without a stop: the way round, and
// which side a probe goes to.
func (h *Hookup) Words() (circuit, side string) {
	lamp := "lamp"
	if h.Lamps > 1 {
		lamp = fmt.Sprintf("%d lamps in a row", h.Lamps)
	}
	way := []string{"hot post of the " + h.name() + " (handle full up)", lamp}
	last := "common post"
	switch h.Feed {
	case Battery:
		way, last = []string{"plus of the " + h.name(), "fuse of 3 A", lamp}, "minus"
	case PowerPack:
		way, last = []string{"plus of the " + h.name() + " (handle full up)", lamp}, "minus"
	}
	way = append(way, "all hot wires (joined)", "track", "common wires", last)
	return "the way round is " + strings.Join(way, ", "),
		fmt.Sprintf("%q is where the hot wires join: the lamp's track side, never the supply's", h.Supply+" hot")
}
