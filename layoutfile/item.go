package layoutfile

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/hashicorp/hcl/v2"

	"fishplate/diagnose/track"
)

// item is one text of a run's list of pieces: "8 x curve right diameter 31
// angle 45". Lengths are millimeters, angles degrees.
type item struct {
	kind     track.Kind
	count    int
	hand     int // +1 left, -1 right
	radius   float64
	angle    float64
	length   float64 // of a straight or a crossing, or a turnout's through leg
	trailing bool
	facing   bool       // said in so many words
	leaves   bool       // via diverging
	form     track.Form // of a crossing; of a turnout: form()
	wye      bool
	three    bool    // three-way
	outer    float64 // radius of a curved turnout's through leg
	untied   bool
	sensing  bool
	again    string
	name     string
	nameAt   hcl.Range
	at       hcl.Range // the whole item
	kindAt   hcl.Range
}

// The bounds of a piece's sizes.
const (
	minLengthMM, maxLengthMM = 1, 10000
	minRadiusMM, maxRadiusMM = 20, 20000
)

var kindWords = []string{"straight", "curve", "turnout", "crossing", "slip", "bumper"}

// reserved words cannot name a run or a piece.
var reserved = []string{"straight", "curve", "turnout", "crossing", "slip", "bumper", "left", "right", "center", "diameter", "radius", "angle",
	"length", "facing", "trailing", "via", "as", "again", "start", "end", "points", "through", "diverging", "middle",
	"a1", "a2", "b1", "b2", "x", "in", "ft", "mm", "cm", "m"}

// wordsBehind may stand behind a length without a unit, and yet be names.
var wordsBehind = append([]string{"curved", "untied", "sensing", "wye", "three-way", "single"}, reserved...)

type word struct {
	text     string
	from, to int // bytes in the text
}

// phrase reads the words of one text, and knows the place of each.
type phrase struct {
	r     *reader
	raw   string
	start hcl.Pos // of the first character inside the quotes
	words []word
	next  int
	unit  float64 // mm of a length without a unit
	bad   bool
}

// newPhrase cuts a quoted text into words; nil (and an answer) when the text
// is not a plain quoted one, since then columns could not be told.
func (r *reader) newPhrase(at hcl.Range, unit float64) *phrase {
	src := string(at.SliceBytes(r.src))
	if len(src) < 2 || src[0] != '"' || src[len(src)-1] != '"' || strings.ContainsAny(src, "\\$%") {
		r.fail(at, "this text must be one line in quotes, without \\, $ or %", "")
		return nil
	}
	p := &phrase{r: r, raw: src[1 : len(src)-1], start: at.Start, unit: unit}
	p.start.Byte++
	p.start.Column++
	for i := 0; i < len(p.raw); {
		if p.raw[i] == ' ' || p.raw[i] == '\t' {
			i++
			continue
		}
		j := i
		for j < len(p.raw) && p.raw[j] != ' ' && p.raw[j] != '\t' {
			j++
		}
		p.words = append(p.words, word{p.raw[i:j], i, j})
		i = j
	}
	return p
}

// span is the place of a stretch of the text.
func (p *phrase) span(from, to int) hcl.Range {
	pos := func(i int) hcl.Pos {
		return hcl.Pos{Line: p.start.Line, Column: p.start.Column + columns(p.raw[:i]), Byte: p.start.Byte + i}
	}
	return hcl.Range{Start: pos(from), End: pos(to)}
}

func (p *phrase) at(i int) hcl.Range {
	if i < len(p.words) {
		return p.span(p.words[i].from, p.words[i].to)
	}
	return p.span(len(strings.TrimRight(p.raw, " \t")), len(p.raw))
}

func (p *phrase) done() bool { return p.next >= len(p.words) }

func (p *phrase) peek() string {
	if p.done() {
		return ""
	}
	return p.words[p.next].text
}

func (p *phrase) take() string {
	s := p.peek()
	p.next++
	return s
}

// fail answers the first mistake of the phrase; the others would only follow
// from it.
func (p *phrase) fail(at hcl.Range, summary, fix string, others ...Place) {
	if !p.bad {
		p.r.fail(at, summary, fix, others...)
	}
	p.bad = true
}

// number takes a number; what names it in the message.
func (p *phrase) number(what string, lo, hi float64) float64 {
	at := p.at(p.next)
	if p.done() {
		p.fail(at, fmt.Sprintf("a number is missing behind %s", what), "")
		return 0
	}
	v, err := number(p.take())
	if err != nil {
		p.fail(at, fmt.Sprintf("%s: %s", what, err), "")
		return 0
	}
	if v < lo || v > hi {
		p.fail(at, fmt.Sprintf("%s %g is out of bounds", what, v), fmt.Sprintf("give a number from %g to %g", lo, hi))
	}
	return v
}

// length takes a length in millimeters: "10", "10 in", "10in", "4 3/8".
func (p *phrase) length(what string, lo, hi float64) float64 {
	at := p.at(p.next)
	first := p.next
	if p.done() {
		p.fail(at, fmt.Sprintf("a length is missing behind %s", what), "")
		return 0
	}
	num, unit := splitNumber(p.peek())
	v, ok := fraction(p.peek())
	if ok {
		unit = ""
	} else {
		var err error
		if v, err = number(num); err != nil {
			p.fail(at, fmt.Sprintf("%s: %s", what, lengthError(p.peek(), num, err)), "write a length like 10, 10 in or 254 mm")
			return 0
		}
		if f, isFraction := fraction(p.wordAt(p.next + 1)); isFraction && unit == "" {
			v += f
			p.next++
		}
	}
	p.next++
	per, unitAt := p.unit, p.span(p.words[first].from+len(num), p.words[first].to)
	if unit == "" && !p.done() && !contains(wordsBehind, p.peek()) || mmPer[p.peek()] > 0 && unit == "" {
		unitAt = p.at(p.next)
		unit = p.take()
	}
	if unit != "" {
		per = mmPer[unit]
	}
	at = p.span(p.words[first].from, p.words[p.next-1].to)
	if per == 0 {
		p.fail(unitAt, fmt.Sprintf("%q is not a unit of length", clip(unit)), suggestUnit(unit))
		return 0
	}
	if mm := v * per; mm >= lo && mm <= hi {
		return mm
	}
	p.fail(at, fmt.Sprintf("%s of %s mm is out of bounds", what, trimNumber(v*per, 1)), fmt.Sprintf("give a length from %g to %g mm (%s to %s in)", lo, hi, trimNumber(lo/25.4, 2), trimNumber(hi/25.4, 1)))
	return 0
}

// unitsByHabit are ways to write a unit that people try.
var unitsByHabit = map[string]string{"inch": "in", "inches": "in", "foot": "ft", "feet": "ft", "'": "ft", "''": "in", "″": "in", "′": "ft", "”": "in", "’": "ft",
	"millimeter": "mm", "millimeters": "mm", "centimeter": "cm", "centimeters": "cm", "meter": "m", "meters": "m", "metre": "m", "metres": "m"}

func suggestUnit(unit string) string {
	if u := unitsByHabit[strings.ToLower(unit)]; u != "" {
		return fmt.Sprintf("write %q", u)
	}
	return suggest(unit, unitWords)
}

func lengthError(text, num string, err error) string {
	if num == "" {
		return fmt.Sprintf("%q is not a length", clip(text))
	}
	return err.Error()
}

func (p *phrase) wordAt(i int) string {
	if i < len(p.words) {
		return p.words[i].text
	}
	return ""
}

// sizes of a named stock piece, and whether the hand is already in it.
type stock struct {
	item item
	at   hcl.Range
}

// readItem reads one text of a run's pieces. It gives false when the text has
// a mistake (already answered); the count and the name are filled in as far
// as they could be read, so that other places are not blamed for it.
func (r *reader) readItem(e entry, unit float64, stocks map[string]stock) (item, bool) {
	it := item{count: 1, at: e.at, kindAt: e.at}
	p := r.newPhrase(e.at, unit)
	if p == nil {
		return it, false
	}
	if len(p.words) == 0 {
		r.fail(e.at, "an empty piece", `write a piece like "straight 10", or take the quotes out`)
		return it, false
	}
	p.count(&it)
	p.kind(&it, stocks)
	for !p.done() && !p.bad {
		p.argument(&it, stocks)
	}
	if !p.bad {
		p.complete(&it)
	}
	if p.bad && it.name == "" {
		for i, w := range p.words {
			if w.text == "as" && isName(p.wordAt(i+1)) {
				it.name, it.nameAt = p.wordAt(i+1), p.at(i+1)
			}
		}
	}
	return it, !p.bad
}

// count reads "8 x" or "8x".
func (p *phrase) count(it *item) {
	num, rest := splitNumber(p.peek())
	if num == "" {
		return
	}
	at := p.at(p.next)
	times := func(s string) bool { return s == "x" || s == "X" || s == "×" || s == "*" }
	switch {
	case rest == "" && times(p.wordAt(p.next+1)):
		p.next += 2
	case times(rest):
		p.next++
	default:
		p.fail(at, "a number stands where a piece should begin", fmt.Sprintf("write a count with an x: \"%s x straight 10\"", num))
		return
	}
	n, err := strconv.Atoi(num)
	if err != nil || n < 1 || n > maxRepeat {
		p.fail(at, fmt.Sprintf("%s is not a count", clip(num)), fmt.Sprintf("a count is a whole number from 1 to %d", maxRepeat))
		return
	}
	it.count = n
}

func (p *phrase) kind(it *item, stocks map[string]stock) {
	if p.bad {
		return
	}
	it.kindAt = p.at(p.next)
	if p.done() {
		p.fail(it.kindAt, "a piece is missing behind the count", "known are "+listed(kindWords, "and"))
		return
	}
	w := p.take()
	switch {
	case p.peek() == "again":
		p.next++
		it.kind, it.again = track.Crossing, w
	case w == "slip":
		it.kind, it.form = track.Crossing, track.FormSlip
	case contains(kindWords, w):
		it.kind = track.Kind(w)
	default:
		s, ok := stocks[w]
		if !ok {
			p.fail(it.kindAt, fmt.Sprintf("%q is not a kind of piece", clip(w)), suggest(w, append(append([]string{}, kindWords...), stockNames(stocks)...)))
			return
		}
		n, at, kindAt := it.count, it.at, it.kindAt
		*it = s.item
		it.count, it.at, it.kindAt = n, at, kindAt
	}
	if num, _ := splitNumber(p.peek()); num != "" || it.kind == track.Straight && it.length == 0 && !p.done() && !contains(argumentsOf(it), p.peek()) {
		switch it.kind {
		case track.Straight:
			it.length = p.length("a straight", minLengthMM, maxLengthMM)
		case track.Crossing:
			if it.again == "" {
				it.angle = p.number("angle", 5, 175)
			}
		}
	}
}

// argument reads one thing behind the kind.
func (p *phrase) argument(it *item, stocks map[string]stock) {
	i := p.next
	w := p.take()
	at := p.at(i)
	allowed := argumentsOf(it)
	if !contains(allowed, w) {
		p.fail(at, fmt.Sprintf("%q is not known behind %s", clip(w), p.nameKind(it)), suggest(w, allowed))
		return
	}
	twice := func(set bool) {
		if set {
			p.fail(at, fmt.Sprintf("%s is given twice", w), "take one of them out")
		}
	}
	switch w {
	case "left", "right":
		twice(it.hand != 0)
		it.hand = 1
		if w == "right" {
			it.hand = -1
		}
	case "wye":
		twice(it.hand != 0)
		it.hand, it.wye = 1, true
	case "three-way":
		twice(it.hand != 0)
		it.hand, it.three = 1, true
	case "single":
		twice(it.form == track.FormSingleSlip)
		it.form = track.FormSingleSlip
	case "curved":
		twice(it.outer != 0)
		p.curved(it)
	case "untied":
		twice(it.untied)
		it.untied = true
	case "sensing":
		twice(it.sensing)
		it.sensing = true
	case "diameter":
		twice(it.radius != 0)
		it.radius = p.length(w, 2*minRadiusMM, 2*maxRadiusMM) / 2
	case "radius":
		twice(it.radius != 0)
		it.radius = p.length(w, minRadiusMM, maxRadiusMM)
	case "angle":
		twice(it.angle != 0)
		it.angle = p.number(w, 0.1, map[track.Kind]float64{track.Curve: 180, track.Turnout: 90, track.Crossing: 175}[it.kind])
	case "length", "through":
		twice(it.length != 0)
		it.length = p.length(w, minLengthMM, maxLengthMM)
	case "facing", "trailing":
		twice(it.facing || it.trailing)
		it.facing, it.trailing = w == "facing", w == "trailing"
	case "via":
		p.route(it)
	case "as":
		p.given(it, stocks)
	}
}

// curved reads the size of a curved turnout's through leg.
func (p *phrase) curved(it *item) {
	at := p.at(p.next)
	switch w := p.take(); w {
	case "diameter":
		it.outer = p.length(w, 2*minRadiusMM, 2*maxRadiusMM) / 2
	case "radius":
		it.outer = p.length(w, minRadiusMM, maxRadiusMM)
	default:
		p.fail(at, "the size of the wider leg is missing behind curved", `write it like "curved diameter 72"`)
	}
}

func (p *phrase) nameKind(it *item) string {
	switch {
	case it.again != "":
		return "again"
	case it.slips():
		return "slip"
	}
	return string(it.kind)
}

func argumentsOf(it *item) []string {
	switch {
	case it.again != "":
		return []string{"facing", "trailing"}
	case it.kind == track.Straight:
		return []string{"length", "untied", "as"}
	case it.kind == track.Curve:
		return []string{"left", "right", "diameter", "radius", "angle", "untied", "as"}
	case it.kind == track.Turnout:
		return []string{"left", "right", "wye", "three-way", "diameter", "radius", "angle", "through", "curved", "facing", "trailing", "via", "sensing", "as"}
	case it.slips():
		return []string{"angle", "length", "single", "as"}
	case it.kind == track.Crossing:
		return []string{"angle", "length", "as"}
	}
	return []string{"as"}
}

func (p *phrase) route(it *item) {
	at := p.at(p.next)
	w := p.take()
	routes := []string{track.EndThrough, track.EndDiverging}
	if !contains(routes, w) {
		p.fail(at, fmt.Sprintf("a turnout has no route %q", clip(w)), "write via through or via diverging")
		return
	}
	it.leaves = w == track.EndDiverging
}

func (p *phrase) given(it *item, stocks map[string]stock) {
	at := p.at(p.next)
	w := p.take()
	if !isName(w) {
		p.fail(at, fmt.Sprintf("%q cannot be a name", clip(w)), fmt.Sprintf("a name is a letter, then letters, digits, - or _ (up to %d)", maxNameLength))
		return
	}
	if contains(reserved, w) || stocks[w].at.Start.Line > 0 {
		p.fail(at, fmt.Sprintf("%q has a meaning of its own and cannot be a name", w), "choose another, like W1")
		return
	}
	it.name, it.nameAt = w, at
	if it.count > 1 {
		p.fail(at, fmt.Sprintf("one name for %d pieces", it.count), "give the named piece a text of its own")
	}
}

// complete says what is still missing.
func (p *phrase) complete(it *item) {
	var missing []string
	want := func(ok bool, what string) {
		if !ok {
			missing = append(missing, what)
		}
	}
	example := map[track.Kind]string{track.Straight: "straight 10", track.Curve: "curve left diameter 31 angle 45",
		track.Turnout: "turnout left diameter 31 angle 45 as W1", track.Crossing: "crossing 90 length 10 as X1"}[it.kind]
	if it.slips() {
		example = "slip 22.5 length 12 as D1"
	}
	switch {
	case it.again != "":
		if it.count > 1 {
			p.fail(it.kindAt, "a crossing can be crossed again only once", "take the count out")
		}
		return
	case it.kind == track.Straight:
		want(it.length > 0, "the length")
	case it.kind == track.Crossing:
		want(it.angle > 0, "the angle")
		want(it.length > 0, "length")
	case it.kind == track.Curve || it.kind == track.Turnout:
		want(it.hand != 0, "left or right")
		want(it.radius > 0, "diameter or radius")
		want(it.angle > 0, "angle")
		p.forms(it)
	case it.kind == track.Bumper && it.count > 1:
		p.fail(it.kindAt, "only one bumper fits at an end", "take the count out")
	}
	if len(missing) > 0 {
		p.fail(it.kindAt, fmt.Sprintf("the %s lacks %s", p.nameKind(it), listed(missing, "and")), fmt.Sprintf("write it like %q", example))
	}
}

func stockNames(stocks map[string]stock) []string {
	out := make([]string, 0, len(stocks))
	for n := range stocks {
		out = append(out, n)
	}
	sortStrings(out)
	return out
}
