package sheet

import (
	"fmt"
	"slices"
	"sort"
	"strconv"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
)

// pieceReader reads the words of a piece.
type pieceReader struct {
	*Phrase
	stock Stock
	marks Marks
}

func (p *pieceReader) isStock(w string) bool {
	_, ok := p.stock[w]
	return ok
}

// ReadPiece reads the text of a piece as it stands in a run's list. unit is
// what a length without one is in, in mm. A text with a mistake gives a Slip,
// and count and name as far as they could be read, so that other places are not
// blamed for it.
func ReadPiece(text string, unit float64, stock Stock) (Words, Marks, *Slip) {
	p := &pieceReader{Phrase: NewPhrase(text, unit), stock: stock}
	it := Words{Count: 1}
	if len(p.words) == 0 {
		p.Fail(Whole, "an empty piece", `write a piece like "straight 10", or take the quotes out`)
		return it, p.marks, p.slip
	}
	p.count(&it)
	p.sizes(&it)
	if p.slip == nil {
		p.complete(&it)
	}
	if p.slip != nil && it.Name == "" {
		for i, w := range p.words {
			if w.text == "as" && IsName(p.wordAt(i+1)) {
				it.Name, p.marks.Name = p.wordAt(i+1), p.at(i+1)
			}
		}
	}
	return it, p.marks, p.slip
}

// ReadStock reads a stock piece: a kind and its sizes, perhaps without a hand.
func ReadStock(text string, unit float64) (Words, *Slip) {
	p := &pieceReader{Phrase: NewPhrase(text, unit)}
	it := Words{Count: 1}
	p.sizes(&it)
	if it.Name != "" || it.Again != "" || it.Trailing || it.Facing || it.ViaDiverging {
		p.Fail(Whole, "a stock piece is a kind and its sizes only", `write it like "curve diameter 72 angle 22.5"`)
	}
	return it, p.slip
}

// sizes reads the kind and all that stands behind it.
func (p *pieceReader) sizes(it *Words) {
	p.kind(it)
	for !p.Done() && p.slip == nil {
		p.argument(it)
	}
}

// count reads "8 x" or "8x".
func (p *pieceReader) count(it *Words) {
	num, took := countIn([]string{p.Peek(), p.wordAt(p.next + 1)})
	if num == "" {
		return
	}
	at := p.at(p.next)
	if p.next += took; took == 0 {
		p.Fail(at, "a number stands where a piece should begin",
			fmt.Sprintf("write a count with an x: \"%s x straight 10\"", num))
		return
	}
	n, err := strconv.Atoi(num)
	if err != nil || n < 1 || n > schema.MaxRepeat {
		p.Fail(at, fmt.Sprintf("%s is not a count", Clip(num)), fmt.Sprintf("a count is a whole number from 1 to %d",
			schema.MaxRepeat))
		return
	}
	it.Count = n
}

func (p *pieceReader) kind(it *Words) {
	if p.slip != nil {
		return
	}
	p.marks.Kind = p.at(p.next)
	if p.Done() {
		p.Fail(p.marks.Kind, "a piece is missing behind the count", "known are "+schema.Listed(kindWords, "and"))
		return
	}
	w := p.Take()
	switch {
	case p.Peek() == "again":
		p.next++
		it.Kind, it.Again = track.Crossing, w
	case w == "slip":
		it.Kind, it.Slip = track.Crossing, track.FormSlip
	case slices.Contains(kindWords, w):
		it.Kind = track.Kind(w)
	default:
		s, ok := p.stock[w]
		if !ok {
			p.Fail(p.marks.Kind, fmt.Sprintf("%q is not a kind of piece", Clip(w)),
				schema.Suggest(w, append(append([]string{}, kindWords...), stockNames(p.stock)...)))
			return
		}
		n := it.Count
		*it = s
		it.Count = n
	}
	if num, _ := SplitNumber(p.Peek()); num != "" || it.Kind == track.Straight && it.LengthMM == 0 && !p.Done() &&
		!slices.Contains(argumentsOf(it), p.Peek()) {
		switch it.Kind {
		case track.Straight:
			it.LengthMM = p.Length("a straight", minLengthMM, maxLengthMM)
		case track.Crossing:
			if it.Again == "" {
				it.Angle = p.Number("angle", 5, 175)
			}
		}
	}
}

// argument reads one thing behind the kind.
func (p *pieceReader) argument(it *Words) {
	i := p.next
	w := p.Take()
	at := p.at(i)
	allowed := argumentsOf(it)
	if !slices.Contains(allowed, w) {
		p.Fail(at, fmt.Sprintf("%q is not known behind %s", Clip(w), p.nameKind(it)), schema.Suggest(w, allowed))
		return
	}
	twice := func(set bool) {
		if set {
			p.Fail(at, fmt.Sprintf("%s is given twice", w), "take one of them out")
		}
	}
	switch w {
	case "left", "right":
		twice(it.Hand != 0)
		it.Hand = 1
		if w == "right" {
			it.Hand = -1
		}
	case "wye":
		twice(it.Hand != 0)
		it.Hand, it.Wye = 1, true
	case "three-way":
		twice(it.Hand != 0)
		it.Hand, it.ThreeWay = 1, true
	case "single":
		twice(it.Slip == track.FormSingleSlip)
		it.Slip = track.FormSingleSlip
	case "curved":
		twice(it.OuterMM != 0)
		p.curved(it)
	case "untied":
		twice(it.Untied)
		it.Untied = true
	case "sensing":
		twice(it.Sensing)
		it.Sensing = true
	case "diameter":
		twice(it.RadiusMM != 0)
		it.RadiusMM = p.Length(w, 2*minRadiusMM, 2*maxRadiusMM) / 2
	case "radius":
		twice(it.RadiusMM != 0)
		it.RadiusMM = p.Length(w, minRadiusMM, maxRadiusMM)
	case "angle":
		twice(it.Angle != 0)
		it.Angle = p.Number(w, 0.1, map[track.Kind]float64{track.Curve: 180, track.Turnout: 90,
			track.Crossing: 175}[it.Kind])
	case "length", "through":
		twice(it.LengthMM != 0)
		it.LengthMM = p.Length(w, minLengthMM, maxLengthMM)
	case "facing", "trailing":
		twice(it.Facing || it.Trailing)
		it.Facing, it.Trailing = w == "facing", w == "trailing"
	case "via":
		p.route(it)
	case "as":
		p.given(it)
	}
}

// curved reads the size of a curved turnout's through leg.
func (p *pieceReader) curved(it *Words) {
	at := p.at(p.next)
	switch w := p.Take(); w {
	case "diameter":
		it.OuterMM = p.Length(w, 2*minRadiusMM, 2*maxRadiusMM) / 2
	case "radius":
		it.OuterMM = p.Length(w, minRadiusMM, maxRadiusMM)
	default:
		p.Fail(at, "the size of the wider leg is missing behind curved", `write it like "curved diameter 72"`)
	}
}

func (p *pieceReader) nameKind(it *Words) string {
	switch {
	case it.Again != "":
		return "again"
	case it.Slips():
		return "slip"
	}
	return string(it.Kind)
}

func argumentsOf(it *Words) []string {
	switch {
	case it.Again != "":
		return []string{"facing", "trailing"}
	case it.Kind == track.Straight:
		return []string{"length", "untied", "as"}
	case it.Kind == track.Curve:
		return []string{"left", "right", "diameter", "radius", "angle", "untied", "as"}
	case it.Kind == track.Turnout:
		return []string{"left", "right", "wye", "three-way", "diameter", "radius", "angle", "through", "curved",
			"facing", "trailing", "via", "sensing", "as"}
	case it.Slips():
		return []string{"angle", "length", "single", "as"}
	case it.Kind == track.Crossing:
		return []string{"angle", "length", "as"}
	}
	return []string{"as"}
}

func (p *pieceReader) route(it *Words) {
	at := p.at(p.next)
	w := p.Take()
	routes := []string{track.EndThrough, track.EndDiverging}
	if !slices.Contains(routes, w) {
		p.Fail(at, fmt.Sprintf("a turnout has no route %q", Clip(w)), "write via through or via diverging")
		return
	}
	it.ViaDiverging = w == track.EndDiverging
}

func (p *pieceReader) given(it *Words) {
	at := p.at(p.next)
	w := p.Take()
	if !IsName(w) {
		p.Fail(at, fmt.Sprintf("%q cannot be a name", Clip(w)), NameRule)
		return
	}
	if slices.Contains(reserved, w) || p.isStock(w) {
		p.Fail(at, fmt.Sprintf("%q has a meaning of its own and cannot be a name", w), "choose another, like W1")
		return
	}
	it.Name, p.marks.Name = w, at
	if it.Count > 1 {
		p.Fail(at, fmt.Sprintf("one name for %d pieces", it.Count), "give the named piece a text of its own")
	}
}

// complete says what is still missing.
func (p *pieceReader) complete(it *Words) {
	var missing []string
	want := func(ok bool, what string) {
		if !ok {
			missing = append(missing, what)
		}
	}
	example := map[track.Kind]string{track.Straight: "straight 10", track.Curve: "curve left diameter 31 angle 45",
		track.Turnout:  "turnout left diameter 31 angle 45 as W1",
		track.Crossing: "crossing 90 length 10 as X1"}[it.Kind]
	if it.Slips() {
		example = "slip 22.5 length 12 as D1"
	}
	switch {
	case it.Again != "":
		if it.Count > 1 {
			p.Fail(p.marks.Kind, "a crossing can be crossed again only once", "take the count out")
		}
		return
	case it.Kind == track.Straight:
		want(it.LengthMM > 0, "the length")
	case it.Kind == track.Crossing:
		want(it.Angle > 0, "the angle")
		want(it.LengthMM > 0, "length")
	case it.Kind == track.Curve || it.Kind == track.Turnout:
		want(it.Hand != 0, "left or right")
		want(it.RadiusMM > 0, "diameter or radius")
		want(it.Angle > 0, "angle")
		p.forms(it)
	case it.Kind == track.Bumper && it.Count > 1:
		p.Fail(p.marks.Kind, "only one bumper fits at an end", "take the count out")
	}
	if len(missing) > 0 {
		p.Fail(p.marks.Kind, fmt.Sprintf("the %s lacks %s", p.nameKind(it), schema.Listed(missing, "and")),
			fmt.Sprintf("write it like %q", example))
	}
}

// forms answers sizes of a turnout that do not go together.
func (p *pieceReader) forms(it *Words) {
	switch {
	case it.Kind != track.Turnout:
	case it.Wye && it.OuterMM > 0:
		p.Fail(p.marks.Kind, "a turnout cannot be a wye and curved", "take wye or curved out")
	case it.ThreeWay && it.OuterMM > 0:
		p.Fail(p.marks.Kind, "a turnout cannot be three-way and curved", "take three-way or curved out")
	case it.ThreeWay && it.Sensing:
		p.Fail(p.marks.Kind, "which rails of a three-way turnout sense a train is not known", "take sensing out")
	case it.LengthMM > 0 && (it.Wye || it.OuterMM > 0):
		p.Fail(p.marks.Kind, "both legs of this turnout turn, so through has no meaning", "take through out")
	case it.OuterMM > 0 && it.OuterMM <= it.RadiusMM:
		p.Fail(p.marks.Kind, "the through leg of a curved turnout must be the wider one",
			"give curved the larger of the two sizes")
	}
}

// Slips says that it is a crossing whose points lead from one way to the other.
func (it *Words) Slips() bool { return it.Slip == track.FormSlip || it.Slip == track.FormSingleSlip }

// Form is the form that a piece is laid in.
func (it *Words) Form() track.Form {
	switch {
	case it.Wye:
		return track.FormWye
	case it.ThreeWay:
		return track.FormThreeWay
	case it.OuterMM > 0:
		return track.FormCurved
	}
	return it.Slip
}

func stockNames(stock Stock) []string {
	out := make([]string, 0, len(stock))
	for n := range stock {
		out = append(out, n)
	}
	sort.Strings(out)
	return out
}
