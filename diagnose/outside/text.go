// Package outside stands between the program and whatever comes from outside:
// it makes text harmless before a person reads it, and measures files before
// anything parses them. It opens nothing and knows no layouts.
package outside

import (
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Unseen says whether a character is one that a reader cannot see or that
// steers a terminal: control characters, directions, zero-width marks, line
// ends other than \n, private signs. Newline and tab are the only ones of
// those that pass; what makes an emblem of two signs (U+FE0E, U+FE0F) does too.
func Unseen(r rune) bool {
	switch {
	case r == '\n' || r == '\t':
		return false
	case r < 0x20 || r >= 0x7f && r < 0xa0:
		return true
	case r < 0xa0 || r >= 0xfe00 && r <= 0xfe0f:
		return false
	}
	return r == 0x2028 || r == 0x2029 || r == utf8.RuneError ||
		unicode.In(r, unicode.Cf, unicode.Co, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector)
}

// Find gives the first unseen character of a text, and false where there is
// none. A newline counts as one here: names and titles have one line.
func Find(s string) (rune, bool) {
	for _, r := range s {
		if r == '\n' || Unseen(r) {
			return r, true
		}
	}
	return 0, false
}

// Form is how an unseen character is written so that it can be seen.
type Form func(rune) string

// Marked is for text and Markdown: <U+202E>.
func Marked(r rune) string { return fmt.Sprintf("<U+%04X>", r) }

// Escaped is for JSON, in whose texts it stands for the character itself.
func Escaped(r rune) string {
	if r > 0xffff {
		r -= 0x10000
		return fmt.Sprintf(`\u%04x\u%04x`, 0xd800+r>>10, 0xdc00+r&0x3ff)
	}
	return fmt.Sprintf(`\u%04x`, r)
}

// Entity is for HTML.
func Entity(r rune) string { return fmt.Sprintf("&lt;U+%04X&gt;", r) }

// Show writes a text with its unseen characters in a form.
func Show(s string, form Form) string {
	if strings.IndexFunc(s, Unseen) < 0 {
		return s
	}
	var b strings.Builder
	for _, r := range s {
		if Unseen(r) {
			b.WriteString(form(r))
		} else {
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Line is a text from outside on one line: what would break it is a space, and
// what cannot be seen is marked.
func Line(s string) string {
	return Show(strings.Map(func(r rune) rune {
		if r == '\n' || r == '\r' || r == '\t' {
			return ' '
		}
		return r
	}, s), Marked)
}

// Writer passes on text with its unseen characters in a form. A carriage return
// before a newline is left out. Bytes of a character that were cut in two wait
// for the rest of it.
type Writer struct {
	to   io.Writer
	form Form
	rest []byte
}

// NewWriter makes a writer in front of another.
func NewWriter(to io.Writer, form Form) *Writer { return &Writer{to: to, form: form} }

// Write gives the length of p unless writing fails.
func (w *Writer) Write(p []byte) (int, error) {
	data := p
	if len(w.rest) > 0 {
		data = append(w.rest, p...)
		w.rest = nil
	}
	out := make([]byte, 0, len(data)+16)
	for len(data) > 0 {
		r, n := utf8.DecodeRune(data)
		switch {
		case r == utf8.RuneError && !utf8.FullRune(data), r == '\r' && len(data) == 1:
			w.rest = append([]byte(nil), data...)
			n = len(data)
		case r == 0x0d && data[1] == 0x0a:
		case r == utf8.RuneError && n == 1:
			out = append(out, w.form(rune(data[0]))...)
		case Unseen(r):
			out = append(out, w.form(r)...)
		default:
			out = append(out, data[:n]...)
		}
		data = data[n:]
	}
	if _, err := w.to.Write(out); err != nil {
		return 0, err
	}
	return len(p), nil
}

// In is the same writer with another form: JSON and HTML have their own.
func (w *Writer) In(form Form) *Writer { return NewWriter(w.to, form) }
