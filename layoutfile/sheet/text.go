package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"github.com/apparentlymart/go-textseg/v15/textseg"

	"fishplate/layoutfile/schema"
)

// MMPer is the length of the units in millimeters (inch: 25.4 mm exactly by
// the international yard and pound agreement of 1959).
var MMPer = map[string]float64{"mm": 1, "cm": 10, "m": 1000, "in": 25.4, "ft": 304.8}

var unitWords = []string{"in", "ft", "mm", "cm", "m"}

// SplitNumber cuts "10in" into "10" and "in".
func SplitNumber(s string) (number, rest string) {
	i := 0
	for i < len(s) && (s[i] >= '0' && s[i] <= '9' || s[i] == '.' || s[i] == ',' ||
		i == 0 && (s[i] == '-' || s[i] == '+')) {
		i++
	}
	return s[:i], s[i:]
}

// Decimal reads a plain decimal number. A comma gets a hint of its own.
func Decimal(s string) (float64, error) {
	if strings.Contains(s, ",") {
		return 0, fmt.Errorf("write %s with a decimal point: %s", s, strings.ReplaceAll(s, ",", "."))
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsInf(v, 0) || math.IsNaN(v) || strings.ContainsAny(s, "xXpPeE_") {
		return 0, fmt.Errorf("%q is not a number", s)
	}
	return v, nil
}

// fraction reads "3/8".
func fraction(s string) (float64, bool) {
	a, b, ok := strings.Cut(s, "/")
	if !ok {
		return 0, false
	}
	x, errA := strconv.ParseUint(a, 10, 16)
	y, errB := strconv.ParseUint(b, 10, 16)
	if errA != nil || errB != nil || y == 0 {
		return 0, false
	}
	return float64(x) / float64(y), true
}

// TrimNumber writes a number with up to n digits behind the point.
func TrimNumber(v float64, n int) string {
	s := strconv.FormatFloat(v, 'f', n, 64)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	if s == "-0" {
		return "0"
	}
	return s
}

// IsName says whether s can name a run or a piece.
func IsName(s string) bool {
	if s == "" || len(s) > schema.MaxName {
		return false
	}
	for i := 0; i < len(s); i++ {
		c := s[i]
		letter := c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z'
		if !letter && (i == 0 || !(c >= '0' && c <= '9' || c == '_' || c == '-')) {
			return false
		}
	}
	return true
}

// NameKey is what a name looks and sounds like: names with equal folds are
// confusable on a screen read from two metres or called across a table.
func NameKey(s string) string {
	return strings.NewReplacer("-", "", "_", "", "o", "0", "l", "1", "i", "1").Replace(strings.ToLower(s))
}

// PlainASCII says that every byte is a character of its own.
func PlainASCII(s string) bool {
	for i := 0; i < len(s); i++ {
		if s[i] >= 0x80 || s[i] == '\r' {
			return false
		}
	}
	return true
}

// Columns counts the characters of s as people count them.
func Columns(s string) int {
	if PlainASCII(s) {
		return len(s)
	}
	n, err := textseg.TokenCount([]byte(s), textseg.ScanGraphemeClusters)
	if err != nil {
		return len([]rune(s))
	}
	return n
}

// Graphemes splits text into characters as people count them.
func Graphemes(s string) []string {
	if PlainASCII(s) {
		return strings.Split(s, "")
	}
	all, err := textseg.AllTokens([]byte(s), textseg.ScanGraphemeClusters)
	if err != nil {
		return strings.Split(s, "")
	}
	out := make([]string, len(all))
	for i, g := range all {
		out[i] = string(g)
	}
	return out
}

// Clip shortens what is quoted back to the user.
func Clip(s string) string {
	g := Graphemes(strings.Join(strings.Fields(s), " "))
	if len(g) > 40 {
		return strings.Join(g[:40], "") + "..."
	}
	return strings.Join(g, "")
}

// LeadingNumber is the plain number that a text begins with.
func LeadingNumber(s string) (string, bool) {
	n, _ := SplitNumber(strings.TrimSpace(s))
	_, err := Decimal(n)
	return n, err == nil
}
