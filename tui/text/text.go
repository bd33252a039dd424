// Package text lays out lines: wrapping, hanging labels, columns and cutting
// to a width, all in terminal columns and with escape sequences in mind. It
// knows nothing of what the lines say.
package text

import (
	"strings"

	"github.com/charmbracelet/x/ansi"
)

// Width is the number of columns that s takes.
func Width(s string) int { return ansi.StringWidth(s) }

// Signs that no line breaks at stand for a hyphen and for the space before a
// number while lines are made.
var (
	whole = strings.NewReplacer("-", "\u2011", " 0", "\u00a00", " 1", "\u00a01", " 2", "\u00a02", " 3", "\u00a03",
		" 4", "\u00a04",
		" 5", "\u00a05", " 6", "\u00a06", " 7", "\u00a07", " 8", "\u00a08", " 9", "\u00a09")
	again = strings.NewReplacer("\u2011", "-", "\u00a0", " ")
)

// Wrap breaks s at spaces into lines of at most w columns; a word longer than
// a line is cut. A flag (--plain), a figure
// with its sign (-36.9) and a number with what it counts (main 12) stay whole.
func Wrap(s string, w int) []string {
	if w < 1 {
		w = 1
	}
	return strings.Split(again.Replace(ansi.Wrap(whole.Replace(s), w, "")), "\n")
}

// Hang wraps s beside a label, each line indented by the label's column; a
// label that is wider gets a line of its own. It may carry escape sequences.
func Hang(label, s string, indent, w int) []string {
	if indent > w/2 {
		indent = w / 2
	}
	lines := Wrap(s, w-indent)
	long := Width(label) > indent // a line of its own
	if long {
		lines = append([]string{""}, lines...)
	}
	for i := range lines {
		if i == 0 && long {
			lines[i] = Fit(label, min(Width(label), w))
		} else if i == 0 {
			lines[i] = Fit(label, indent) + lines[i]
		} else {
			lines[i] = strings.Repeat(" ", indent) + lines[i]
		}
	}
	return lines
}

// Fit cuts or pads s to exactly w columns.
func Fit(s string, w int) string {
	if w <= 0 {
		return ""
	}
	n := ansi.StringWidth(s)
	if n > w {
		s = ansi.Truncate(s, w, "")
		n = ansi.StringWidth(s)
	}
	if n < w {
		s += strings.Repeat(" ", w-n)
	}
	return s
}

// Beside puts two blocks next to each other, h lines high: the left one lw
// columns wide, then gap, then the right one.
func Beside(left, right []string, lw, h int, gap string) []string {
	out := make([]string, h)
	for i := range out {
		l, r := "", ""
		if i < len(left) {
			l = left[i]
		}
		if i < len(right) {
			r = right[i]
		}
		out[i] = Fit(l, lw) + gap + r
	}
	return out
}

var ascii = strings.NewReplacer("Ω", "ohm", "µ", "u", "μ", "u", "±", "+/-", "–", "-", "—", "-", "’", "'", "‘", "'",
	"“", "\"", "”", "\"", "…", "...", "·", "-", "×", "x", "≈", "~", "≤", "<=", "≥", ">=",
	"→", "->", "│", "|", "─", "-", "°", " deg")

// ASCII puts a text into 7-bit characters: known signs by words, others by '?'.
func ASCII(s string) string {
	s = ascii.Replace(s)
	return strings.Map(func(r rune) rune {
		if r > '~' {
			return '?'
		}
		return r
	}, s)
}
