package unit

import (
	"strconv"
	"strings"
)

// num is a number as typed.
type num struct {
	sign        string // "" or "-"
	whole, frac string // digits before and after the point
	point       bool   // a point or comma was typed
	code        bool   // the form 4k7, where a letter stands in the place of the point
	exp         int    // power of ten of that letter
}

// digits splits the number off the front of s and gives what follows it.
func (p *parser) digits(s string) (num, string, error) {
	var n num
	switch {
	case strings.HasPrefix(s, "-"):
		n.sign, s = "-", strings.TrimLeft(s[1:], " ")
	case strings.HasPrefix(s, "+"):
		s = strings.TrimLeft(s[1:], " ")
	}
	end := strings.IndexFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789.,'_", r) })
	if end < 0 {
		end = len(s)
	}
	body, rest := s[:end], s[end:]
	if !strings.ContainsAny(body, "0123456789") {
		return n, "", p.fail("not a number", "write what the meter shows: "+settings[p.setting].example)
	}
	// A space between groups of digits is a thousand separator as well.
	if r := strings.TrimLeft(rest, " "); r != rest && r != "" && r[0] >= '0' && r[0] <= '9' {
		if k := strings.IndexFunc(r, func(c rune) bool { return !strings.ContainsRune("0123456789., ", c) }); k >= 0 {
			r = r[:k]
		}
		r = strings.ReplaceAll(r, " ", "")
		return n, "", p.fail("thousand separators are not read", "write the number without the space: "+n.sign+body+r)
	}
	if err := p.split(&n, body); err != nil {
		return n, "", err
	}
	rest, err := p.letterAsPoint(&n, rest)
	if err != nil {
		return n, "", err
	}
	if len(n.whole)+len(n.frac) > maxDigits {
		return n, "", p.fail("more digits than a meter shows", "write what the display shows: "+
			settings[p.setting].example)
	}
	return n, strings.TrimSpace(rest), nil
}

// split parts the digits at the decimal sign and refuses separators.
func (p *parser) split(n *num, body string) error {
	if strings.ContainsAny(body, "'_") {
		plain := strings.NewReplacer("'", "", "_", "").Replace(body)
		return p.fail("thousand separators are not read", "write the number without them: "+n.sign+plain)
	}
	marks := strings.Count(body, ".") + strings.Count(body, ",")
	if marks > 1 {
		if strings.Contains(body, "..") || strings.Contains(body, ",,") {
			return p.fail("two decimal points", "write one, as in 0.4")
		}
		last := strings.LastIndexAny(body, ".,")
		drop := strings.NewReplacer(".", "", ",", "")
		plain := drop.Replace(body)
		if body[last] != body[strings.IndexAny(body, ".,")] {
			plain = drop.Replace(body[:last]) + "." + body[last+1:]
		}
		return p.fail("thousand separators are not read", "write the number with one point or none: "+n.sign+plain)
	}
	n.whole = body
	if i := strings.IndexAny(body, ".,"); i >= 0 {
		n.whole, n.frac, n.point = body[:i], body[i+1:], true
		if body[i] == ',' && len(n.frac) == 3 && len(n.whole) >= 1 && len(n.whole) <= 3 && n.whole[0] != '0' {
			return p.fail("the comma can be a decimal sign or a thousand separator",
				"write "+n.sign+n.whole+"."+n.frac+" or "+n.sign+n.whole+n.frac)
		}
	}
	return nil
}

// letterAsPoint reads 4k7, 4R7 and 2M2: the letter of IEC 60062 in the place
// of the decimal point.
func (p *parser) letterAsPoint(n *num, rest string) (string, error) {
	if len(rest) < 2 || rest[1] < '0' || rest[1] > '9' {
		return rest, nil
	}
	exp, ok := map[byte]int{'R': 0, 'r': 0, 'k': 3, 'K': 3, 'M': 6}[rest[0]]
	if !ok || n.point {
		return rest, p.fail("not understood after "+strconv.Quote(n.whole), "write "+settings[p.setting].example)
	}
	end := 1
	for end < len(rest) && rest[end] >= '0' && rest[end] <= '9' {
		end++
	}
	n.frac, n.code, n.exp, n.point = rest[1:end], true, exp, true
	return rest[end:], nil
}

// mark is a unit with a prefix, as typed after a number.
type mark struct {
	unit   Unit // None when only a prefix was typed
	exp    int
	prefix string // "", "u", "m", "k", "M"
}

var unitWords = map[string]Unit{
	"ohm": Ohm, "ohms": Ohm,
	"v": Volt, "volt": Volt, "volts": Volt, "vac": Volt, "vdc": Volt,
	"a": Ampere, "amp": Ampere, "amps": Ampere, "ampere": Ampere, "amperes": Ampere, "aac": Ampere, "adc": Ampere,
}

var prefixes = []struct {
	text, name string
	exp        int
	anyCase    bool
}{
	{"mega", "M", 6, true}, {"meg", "M", 6, true}, {"milli", "m", -3, true}, {"micro", "u", -6, true},
	{"kilo", "k", 3, true}, {"kil", "k", 3, true},
	{"M", "M", 6, false}, {"m", "m", -3, false}, {"k", "k", 3, true}, {"u", "u", -6, true},
}

// findMark reads a unit: "mV", "Mohm", "k", "millivolts", "VAC", "mV DC".
func findMark(s string) (mark, bool) {
	l := strings.ToLower(s)
	for _, tail := range []string{" ac", " dc"} {
		if strings.HasSuffix(l, tail) {
			s = strings.TrimSpace(s[:len(s)-len(tail)])
			l = strings.ToLower(s)
		}
	}
	if u, ok := unitWords[l]; ok {
		return mark{u, 0, ""}, true
	}
	for _, pre := range prefixes {
		has := strings.HasPrefix(s, pre.text) || pre.anyCase && strings.HasPrefix(l, pre.text)
		if !has {
			continue
		}
		after := strings.TrimSpace(l[len(pre.text):])
		if u, ok := unitWords[after]; ok {
			return mark{u, pre.exp, pre.name}, true
		}
		if after == "" {
			return mark{None, pre.exp, pre.name}, true
		}
	}
	return mark{}, false
}

// unitNames are for messages.
var unitNames = map[Unit]struct{ kind, symbol string }{
	Ohm: {"ohms", "ohm"}, Volt: {"volts", "V"}, Ampere: {"amperes", "A"},
}

// fits refuses a unit that the setting does not show.
func (p *parser) fits(n num, m mark) error {
	u := p.setting.Unit()
	name := unitNames[u]
	typed := n.sign + n.whole
	if n.point && !n.code {
		typed += "." + n.frac
	}
	if m.unit != None && m.unit != u {
		return p.fail("the meter is on "+string(p.setting)+", and this is a reading in "+unitNames[m.unit].kind,
			"write the reading in "+name.kind+", such as "+settings[p.setting].example+", or change the setting")
	}
	if u != Ohm && (m.prefix == "M" || m.prefix == "k") {
		if m.prefix == "M" {
			return p.fail("M means a million", "write m for a thousandth: "+typed+" m"+name.symbol)
		}
		return p.fail("k means a thousand, too much for a train's supply", "write "+settings[p.setting].example)
	}
	if n.code && (m.prefix != "" || u != Ohm) {
		return p.fail("the letter inside the number already says the size", "write "+settings[p.setting].example)
	}
	return nil
}
