package sheet

import (
	"strconv"
	"strings"

	"github.com/hashicorp/hcl/v2/hclwrite"
	"github.com/zclconf/go-cty/cty"
)

// TextOf is a text as a value.
func TextOf(s string) Value {
	v := Value{Type: Text, Text: s, Written: Quote(s)}
	v.Plain = isPlain(v.Written) && v.Written == `"`+s+`"`
	return v
}

// NumberOf is a number as a value.
func NumberOf(v float64) Value { return Value{Type: Number, Number: v, Written: Figure(v)} }

// FlagOf is true or false as a value.
func FlagOf(yes bool) Value { return Value{Type: Flag, Flag: yes, Written: strconv.FormatBool(yes)} }

// TextsOf is a list of texts as a value.
func TextsOf(list []string) Value {
	v := Value{Type: List}
	written := make([]string, len(list))
	for i, s := range list {
		v.List = append(v.List, TextOf(s))
		written[i] = v.List[i].Written
	}
	v.Written = "[" + strings.Join(written, ", ") + "]"
	return v
}

// isPlain says that a text as it is written is one in quotes on one line, every
// character of which stands for itself.
func isPlain(written string) bool {
	return len(written) > 1 && written[0] == '"' && written[len(written)-1] == '"' &&
		!strings.ContainsAny(written, "\\$%")
}

// plain says that a text needs no escapes.
func plain(s string) bool {
	for i := 0; i < len(s); i++ {
		if c := s[i]; c < ' ' || c > '~' || c == '"' || c == '\\' || c == '$' || c == '%' {
			return false
		}
	}
	return true
}

// Quote writes text as the file format does, with its escapes.
func Quote(s string) string {
	if plain(s) {
		return `"` + s + `"`
	}
	return string(hclwrite.TokensForValue(cty.StringVal(s)).Bytes())
}

// Figure writes a number as the file format does.
func Figure(v float64) string {
	if n := int(v); float64(n) == v && n > -1e9 && n < 1e9 {
		return strconv.Itoa(n)
	}
	return string(hclwrite.TokensForValue(cty.NumberFloatVal(v)).Bytes())
}

// Same says that two values say the same, however they are written.
func (v *Value) Same(w *Value) bool {
	if v.Type != w.Type || len(v.List) != len(w.List) {
		return false
	}
	for i := range v.List {
		if !v.List[i].Same(&w.List[i]) {
			return false
		}
	}
	return v.Text == w.Text && v.Number == w.Number && v.Flag == w.Flag
}

// Said is the value in plain words: a text without its quotes, a number as it
// is written, the texts of a list with commas between.
func (v *Value) Said() string {
	switch v.Type {
	case Text:
		return v.Text
	case List:
		var out []string
		for i := range v.List {
			out = append(out, v.List[i].Said())
		}
		return strings.Join(out, ", ")
	}
	return v.Written
}
