package course

import (
	"errors"
	"fmt"
	"slices"
	"strings"

	"fishplate/diagnose/track"
)

// Sizes are the sizes in use: for each kind the size that a plain key lays,
// first in its list, and the others that were used before. A size is what
// stands behind the kind and the hand in the file: "10", "diameter 31 angle
// 45", "diameter 31 angle 45 through 10", "90 length 10", or the name of a
// stock piece.
type Sizes struct {
	Straight []string `json:"straight"`
	Curve    []string `json:"curve"`
	Turnout  []string `json:"turnout"`
	Crossing []string `json:"crossing"`
}

// StartSizes are the sizes to begin with, before any was said: common practice,
// no source.
func StartSizes(metric bool) Sizes {
	if metric {
		return Sizes{Straight: []string{"250", "125", "60"},
			Curve:    []string{"radius 400 angle 30", "radius 500 angle 30", "radius 400 angle 15"},
			Turnout:  []string{"radius 400 angle 30 through 250", "radius 600 angle 15"},
			Crossing: []string{"90 length 125", "30 length 250"}}
	}
	return Sizes{Straight: []string{"10", "5", "2 1/2"}, Curve: []string{"diameter 31 angle 45", "diameter 42 angle 30",
		"diameter 54 angle 22.5"},
		Turnout:  []string{"diameter 31 angle 45 through 10", "diameter 72 angle 22.5"},
		Crossing: []string{"90 length 10", "45 length 10"}}
}

// Of gives the list of a kind; nil for a bumper.
func (z *Sizes) Of(k track.Kind) *[]string {
	switch k {
	case track.Straight:
		return &z.Straight
	case track.Curve:
		return &z.Curve
	case track.Turnout:
		return &z.Turnout
	case track.Crossing:
		return &z.Crossing
	}
	return nil
}

// Now is the size that a plain key lays.
func (z *Sizes) Now(k track.Kind) string {
	if l := z.Of(k); l != nil && len(*l) > 0 {
		return (*l)[0]
	}
	return ""
}

// Use makes a size the first of its kind; the eight used last are kept.
func (z *Sizes) Use(k track.Kind, size string) {
	l := z.Of(k)
	if l == nil || size == "" {
		return
	}
	out := append([]string{size}, slices.DeleteFunc(slices.Clone(*l), func(s string) bool { return s == size })...)
	*l = out[:min(len(out), 8)]
}

// fill puts in what is missing.
func (z *Sizes) fill(from Sizes) {
	for _, k := range []track.Kind{track.Straight, track.Curve, track.Turnout, track.Crossing} {
		if l := z.Of(k); len(*l) == 0 {
			*l = slices.Clone(*from.Of(k))
		}
	}
}

// Compose writes the text of a piece from its kind, hand (+1 left, -1 right)
// and size.
func (sizing Sizing) Compose(k track.Kind, hand int, size string) string {
	words := []string{string(k)}
	if first, _, _ := strings.Cut(size, " "); sizing.c.stock[first] != "" {
		words = nil // a stock piece's name stands for kind and size
		if w, err := sizing.c.words(size); err == nil && w.Hand == hand {
			return size
		}
		words = append(words, first)
		size = strings.TrimPrefix(strings.TrimPrefix(size, first), " ")
	}
	switch {
	case hand > 0:
		words = append(words, "left")
	case hand < 0:
		words = append(words, "right")
	}
	return strings.Join(strings.Fields(strings.Join(append(words, size), " ")), " ")
}

// SizeOf takes kind, hand, way and name off a piece's text: what is left is
// its size.
func (sizing Sizing) SizeOf(p *Piece) string {
	words := strings.Fields(p.Text)
	var out []string
	for i := 0; i < len(words); i++ {
		switch w := words[i]; w {
		case "left", "right", "facing", "trailing":
		case "via", "as":
			i++
		default:
			if i == 0 && w == string(p.Words.Kind) {
				continue
			}
			out = append(out, w)
		}
	}
	return strings.Join(out, " ")
}

// ParseSize reads a size as people type it and gives it as the file has it:
// "5", "31 45" (diameter and angle; with mm, radius and angle), "r15.5 45",
// "31 45 10" (a turnout with its through leg), "90 10" (a crossing), a stock
// piece's name, or the words of the file.
func (sizing Sizing) ParseSize(k track.Kind, text string) (string, error) {
	text = strings.Join(strings.Fields(strings.ReplaceAll(text, ",", ".")), " ")
	if text == "" {
		return "", errors.New("type a size, or choose one by its number")
	}
	size := text
	if f := strings.Fields(text); sizing.c.stock[f[0]] == "" {
		size = shorthand(k, f, sizing.c.now.Metric)
	}
	hand := 0
	if k == track.Curve || k == track.Turnout {
		hand = 1
	}
	w, err := sizing.c.words(sizing.Compose(k, hand, size))
	switch {
	case err != nil:
		return "", fmt.Errorf("%w; %s", err, SizeHint(k, sizing.c.now.Metric))
	case w.Kind != k || w.Name != "" || w.Again != "" || w.Trailing || w.ViaDiverging || w.Count != 1:
		return "", errors.New(SizeHint(k, sizing.c.now.Metric))
	}
	return size, nil
}

// SizeHint says how a size is typed.
func SizeHint(k track.Kind, metric bool) string {
	switch {
	case k == track.Straight && metric:
		return "type a length, like 250 or 12.5 cm"
	case k == track.Straight:
		return "type a length, like 10, 4 3/8 or 254 mm"
	case k == track.Curve && metric:
		return "type radius and angle, like 400 30"
	case k == track.Curve:
		return "type diameter and angle, like 31 45 (common practice) or r18 30"
	case k == track.Turnout && metric:
		return "type radius and angle, like 400 30; a third number is its through length"
	case k == track.Turnout:
		return "type diameter and angle, like 31 45; a third number is its through length"
	}
	return "type angle and length, like 90 10"
}

// shorthand turns bare numbers into the words of the file.
func shorthand(k track.Kind, f []string, metric bool) string {
	number := func(s string) bool { return s != "" && s[0] >= '0' && s[0] <= '9' }
	first := f[0]
	width := "diameter"
	if metric {
		width = "radius"
	}
	if len(first) > 1 && number(first[1:]) {
		switch first[0] {
		case 'r', 'R':
			width, first = "radius", first[1:]
		case 'd', 'D':
			width, first = "diameter", first[1:]
		}
	}
	plain := number(first) && len(f) > 1 && number(f[1])
	switch {
	case k == track.Curve && plain && len(f) == 2:
		return fmt.Sprintf("%s %s angle %s", width, first, f[1])
	case k == track.Turnout && plain && len(f) == 2:
		return fmt.Sprintf("%s %s angle %s", width, first, f[1])
	case k == track.Turnout && plain && len(f) == 3 && number(f[2]):
		return fmt.Sprintf("%s %s angle %s through %s", width, first, f[1], f[2])
	case k == track.Crossing && plain && len(f) == 2:
		return fmt.Sprintf("%s length %s", first, f[1])
	}
	return strings.Join(f, " ")
}

// use makes the size of a piece the one that a plain key lays; pieces of a
// special form are no size of their kind.
func (sizing Sizing) use(p *Piece) {
	size := sizing.SizeOf(p)
	for _, w := range strings.Fields(size) {
		if slices.Contains([]string{"wye", "curved", "sensing", "untied", "slip", "three-way", "single"}, w) {
			return
		}
	}
	hand := 0
	if p.Words.Kind == track.Curve || p.Words.Kind == track.Turnout {
		hand = 1
	}
	if w, err := sizing.c.words(sizing.Compose(p.Words.Kind, hand, size)); p.Words.Again == "" && err == nil &&
		w.Kind == p.Words.Kind {
		sizing.c.Sizes.Use(w.Kind, size)
	}
}

// learn takes the sizes of the pieces that are laid, the commonest of the
// layout's first pieces last so that a plain key lays it.
func (sizing Sizing) learn() {
	for i := len(sizing.c.now.Runs) - 1; i >= 0; i-- {
		r := &sizing.c.now.Runs[i]
		for k := len(r.Pieces) - 1; k >= 0; k-- {
			sizing.use(&r.Pieces[k])
		}
	}
}

// Plain says a piece in words, without its name: "curve left diameter 31 angle
// 45".
func (sizing Sizing) Plain(p *Piece) string {
	w := &p.Words
	if w.Again != "" {
		return "the other way across"
	}
	words := []string{string(w.Kind)}
	switch {
	case w.Kind == track.Turnout && w.Trailing:
		// Seen from someone who walks towards the points.
		words = append(words, map[int]string{1: "joined from the right", -1: "joined from the left"}[w.Hand])
	case w.Kind == track.Turnout:
		words = append(words, map[int]string{1: "leaving to the left", -1: "leaving to the right"}[w.Hand])
	case w.Kind == track.Curve:
		words = append(words, map[int]string{1: "left", -1: "right"}[w.Hand])
	}
	if w.ViaDiverging {
		words = append(words, "by its diverging leg")
	}
	return strings.TrimSpace(strings.Join(append(words, sizing.SizeOf(p)), " "))
}
