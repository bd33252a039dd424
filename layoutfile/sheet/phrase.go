package sheet

import (
	"fmt"
	"slices"
	"strings"

	"fishplate/layoutfile/schema"
)

type word struct {
	text     string
	from, to int // bytes in the text
}

// Part is a stretch of a text, in bytes.
type Part struct{ From, To int }

// Whole is all of a text, its quotes too.
var Whole = Part{-1, -1}

// Slip is the first mistake in a text of several words: the others would only
// follow from it.
type Slip struct {
	At           Part
	Summary, Fix string
}

// Error says what is wrong and what to write instead.
func (s *Slip) Error() string {
	if s.Fix == "" {
		return s.Summary
	}
	return s.Summary + ": " + s.Fix
}

// Phrase reads the words of one text, and knows the place of each.
type Phrase struct {
	raw   string
	words []word
	next  int
	unit  float64 // mm of a length without a unit
	slip  *Slip
}

// NewPhrase cuts a text into words. unit is what a length without one is in,
// in mm.
func NewPhrase(text string, unit float64) *Phrase {
	p := &Phrase{raw: text, unit: unit}
	for i := 0; i < len(text); {
		if text[i] == ' ' || text[i] == '\t' {
			i++
			continue
		}
		j := i
		for j < len(text) && text[j] != ' ' && text[j] != '\t' {
			j++
		}
		p.words = append(p.words, word{text[i:j], i, j})
		i = j
	}
	return p
}

// Slip is the mistake that was found, nil when there is none.
func (p *Phrase) Slip() *Slip { return p.slip }

// Here is the place of the next word, or what is behind the last one.
func (p *Phrase) Here() Part { return p.at(p.next) }

func (p *Phrase) at(i int) Part {
	if i < len(p.words) {
		return Part{p.words[i].from, p.words[i].to}
	}
	return Part{len(strings.TrimRight(p.raw, " \t")), len(p.raw)}
}

// Done says that no word is left.
func (p *Phrase) Done() bool { return p.next >= len(p.words) }

// Peek is the next word, empty when none is left.
func (p *Phrase) Peek() string {
	if p.Done() {
		return ""
	}
	return p.words[p.next].text
}

// Take takes the next word.
func (p *Phrase) Take() string {
	s := p.Peek()
	p.next++
	return s
}

// Fail notes the first mistake.
func (p *Phrase) Fail(at Part, summary, fix string) {
	if p.slip == nil {
		p.slip = &Slip{at, summary, fix}
	}
}

// Number takes a number; what names it in the message.
func (p *Phrase) Number(what string, lo, hi float64) float64 {
	at := p.at(p.next)
	if p.Done() {
		p.Fail(at, fmt.Sprintf("a number is missing behind %s", what), "")
		return 0
	}
	v, err := Decimal(p.Take())
	if err != nil {
		p.Fail(at, fmt.Sprintf("%s: %s", what, err), "")
		return 0
	}
	if v < lo || v > hi {
		p.Fail(at, fmt.Sprintf("%s %g is out of bounds", what, v), fmt.Sprintf("give a number from %g to %g", lo, hi))
	}
	return v
}

// Length takes a length in millimeters: "10", "10 in", "10in", "4 3/8".
func (p *Phrase) Length(what string, lo, hi float64) float64 {
	at := p.at(p.next)
	first := p.next
	if p.Done() {
		p.Fail(at, fmt.Sprintf("a length is missing behind %s", what), "")
		return 0
	}
	num, unit := SplitNumber(p.Peek())
	v, ok := fraction(p.Peek())
	if ok {
		unit = ""
	} else {
		var err error
		if v, err = Decimal(num); err != nil {
			p.Fail(at, fmt.Sprintf("%s: %s", what, lengthError(p.Peek(), num, err)),
				"write a length like 10, 10 in or 254 mm")
			return 0
		}
		if f, isFraction := fraction(p.wordAt(p.next + 1)); isFraction && unit == "" {
			v += f
			p.next++
		}
	}
	p.next++
	per, unitAt := p.unit, Part{p.words[first].from + len(num), p.words[first].to}
	if unit == "" && !p.Done() && !slices.Contains(wordsBehind, p.Peek()) || MMPer[p.Peek()] > 0 && unit == "" {
		unitAt = p.at(p.next)
		unit = p.Take()
	}
	if unit != "" {
		per = MMPer[unit]
	}
	at = Part{p.words[first].from, p.words[p.next-1].to}
	if per == 0 {
		p.Fail(unitAt, fmt.Sprintf("%q is not a unit of length", Clip(unit)), suggestUnit(unit))
		return 0
	}
	if mm := v * per; mm >= lo && mm <= hi {
		return mm
	}
	p.Fail(at, fmt.Sprintf("%s of %s mm is out of bounds", what, TrimNumber(v*per, 1)),
		fmt.Sprintf("give a length from %g to %g mm (%s to %s in)", lo, hi, TrimNumber(lo/25.4, 2),
			TrimNumber(hi/25.4, 1)))
	return 0
}

// unitsByHabit are ways to write a unit that people try.
var unitsByHabit = map[string]string{"inch": "in", "inches": "in", "foot": "ft", "feet": "ft", "'": "ft", "''": "in",
	"″": "in", "′": "ft", "”": "in", "’": "ft",
	"millimeter": "mm", "millimeters": "mm", "centimeter": "cm", "centimeters": "cm", "meter": "m", "meters": "m",
	"metre": "m", "metres": "m"}

func suggestUnit(unit string) string {
	if u := unitsByHabit[strings.ToLower(unit)]; u != "" {
		return fmt.Sprintf("write %q", u)
	}
	return schema.Suggest(unit, unitWords)
}

func lengthError(text, num string, err error) string {
	if num == "" {
		return fmt.Sprintf("%q is not a length", Clip(text))
	}
	return err.Error()
}

func (p *Phrase) wordAt(i int) string {
	if i < len(p.words) {
		return p.words[i].text
	}
	return ""
}
