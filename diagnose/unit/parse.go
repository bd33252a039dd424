package unit

import (
	"strconv"
	"strings"
)

// maxTyped bounds what is read and what is shown back in a message, bytes.
const maxTyped = 60

// maxDigits is more than any hand-held meter shows.
const maxDigits = 9

// Parse reads what a person typed from a meter that is set to s. A bare number
// takes the setting's unit (on Millivolts 212 means 212 mV); a number with a
// unit must fit the setting. The decimal sign may be a point or a comma. M is
// mega and m is milli. On the beeper an over-limit display is the same answer
// as silence and gives Silent. Errors are of type *Error.
//
// A lone 1 is refused on the settings that show numbers: many meters show it
// for over-limit, so it can mean two things. Thousand separators are refused
// too, and so is a comma before exactly three digits, unless a 0 stands
// before it.
func Parse(text string, s Setting) (Reading, error) {
	typed := strings.TrimSpace(text)
	p := parser{typed: typed, setting: s}
	if !s.Known() {
		return Reading{}, p.fail("there is no meter setting "+strconv.Quote(shorten(string(s))), "")
	}
	if typed == "" {
		return Reading{}, p.fail("nothing was typed", "type what the meter shows: "+settings[s].example)
	}
	if len(typed) > maxTyped {
		return Reading{}, p.fail("too long for a reading", "type only what the meter shows: "+settings[s].example)
	}
	clean := normalise(typed)
	word := strings.ToLower(clean)
	if s == Lamp {
		return p.light(word)
	}
	if s.Unit() == None {
		return p.answer(word)
	}
	if overWords[strings.TrimPrefix(word, "-")] || s == Ohms && word == "open" {
		return Reading{Kind: OverLimit, Unit: s.Unit(), Typed: typed}, nil
	}
	if yesWords[word] || noWords[word] {
		return Reading{}, p.fail("the meter is on "+string(s)+", so a number is wanted",
			"write what it shows: "+settings[s].example)
	}
	return p.number(clean)
}

var (
	yesWords   = words("beep beeps beeping y yes tone tones b lit on true")
	noWords    = words("no n silent silence none quiet nothing dark off false")
	lightWords = words("lit bright glowing glow dim dark")
	// Displays write over-limit as OL with or without points; people type the
	// letter O as a zero.
	overWords = words("ol o.l o.l. .ol 0l 0.l 0.l. .0l ofl over overlimit over-limit overload inf infinite infinity")
)

func words(list string) map[string]bool {
	m := map[string]bool{}
	for w := range strings.FieldsSeq(list) {
		m[w] = true
	}
	return m
}

// parser carries what messages need.
type parser struct {
	typed   string
	setting Setting
}

func (p *parser) fail(what, write string) error {
	return &Error{Typed: shorten(p.typed), What: what, Write: write}
}

func shorten(s string) string {
	if len(s) <= maxTyped {
		return s
	}
	return strings.ToValidUTF8(s[:maxTyped-3], "") + "..."
}

// normalise replaces the look-alikes of signs and drops doubled spaces.
func normalise(s string) string {
	s = strings.NewReplacer(
		"\u2212", "-", "\u2013", "-", // minus sign, en dash
		"\u2126", "ohm", "\u03a9", "ohm", "\u03c9", "ohm", // ohm sign, omega
		"\u00b5", "u", "\u03bc", "u", // micro sign, mu
		"\u00a0", " ", "\u202f", " ", "\u2009", " ", "~", "",
	).Replace(s)
	s = strings.Join(strings.Fields(s), " ")
	if l := strings.ToLower(s); l == "over limit" || l == "o l" || l == "0 l" {
		return "ol"
	}
	return s
}

// answer reads a tone or a yes/no.
func (p *parser) answer(word string) (Reading, error) {
	w := strings.TrimRight(word, ".! ")
	switch {
	case p.setting == Beeper && lightWords[w]:
		return Reading{}, p.fail("this is asked of the meter's beeper, not of a lamp", "write beep or no")
	case yesWords[w]:
		return Reading{Kind: Beep, Unit: None, Typed: p.typed}, nil
	case noWords[w], w == "no beep", w == "no tone":
		return Reading{Kind: Silent, Unit: None, Typed: p.typed}, nil
	case p.setting == Beeper && (overWords[word] || word == "open"):
		return Reading{Kind: Silent, Unit: None, Typed: p.typed}, nil
	}
	if p.setting == Beeper && startsNumber(word) {
		return Reading{}, p.fail("on the beeper only the tone counts, not the number", "write beep (1) or no (0)")
	}
	return Reading{}, p.fail("not understood", "write "+settings[p.setting].example)
}

func startsNumber(w string) bool {
	w = strings.TrimLeft(w, "+-., ")
	return w != "" && w[0] >= '0' && w[0] <= '9'
}

// number reads a number with or without a unit.
func (p *parser) number(s string) (Reading, error) {
	u := p.setting.Unit()
	n, rest, err := p.digits(s)
	if err != nil {
		return Reading{}, err
	}
	exp := settings[p.setting].exp
	switch {
	case rest == "":
		if n.whole == "1" && n.frac == "" && !n.point {
			sym := settings[p.setting].symbol
			return Reading{}, p.fail("a 1 alone can be a one or the sign for over-limit",
				"write OL when the rest of the display is blank, or "+n.sign+"1 "+sym)
		}
	default:
		mark, ok := findMark(rest)
		if !ok {
			return Reading{}, p.fail("the unit "+strconv.Quote(rest)+" is not known",
				"write "+settings[p.setting].example)
		}
		if err := p.fits(n, mark); err != nil {
			return Reading{}, err
		}
		exp = mark.exp
		if n.code { // 4k7: the prefix stood in the place of the point
			exp += n.exp
		}
	}
	if n.code && rest == "" {
		if u != Ohm {
			return Reading{}, p.fail("the form 4k7 is for ohms only", "write "+settings[p.setting].example)
		}
		exp = n.exp
	}
	if u == Ohm && n.sign == "-" && strings.Trim(n.whole+n.frac, "0") != "" {
		return Reading{}, p.fail("ohms cannot be below zero",
			"a meter that shows this sees volts on the track: switch the supply off and read again")
	}
	return p.build(n, exp), nil
}

// build turns digits and a power of ten into a Reading. The digits go through
// the decimal reader in one piece, so that 212 mV is exactly 0.212.
func (p *parser) build(n num, exp int) Reading {
	dec := len(n.frac)
	tail := "e" + strconv.Itoa(exp-dec)
	// Both texts are digits and a small exponent: they cannot fail.
	v, _ := strconv.ParseFloat(n.sign+"0"+n.whole+n.frac+tail, 64)
	step, _ := strconv.ParseFloat("1"+tail, 64)
	return Reading{Kind: Value, Value: noMinusZero(v), Unit: p.setting.Unit(), Decimals: dec, Step: step,
		Typed: p.typed}
}
