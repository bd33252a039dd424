package sheet

import (
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
)

// Words is what the text of one piece says ("8 x curve left diameter 31 angle
// 45"). Lengths are millimeters, angles degrees.
type Words struct {
	Count        int
	Kind         track.Kind
	Hand         int // +1 left, -1 right, 0 neither
	RadiusMM     float64
	Angle        float64
	LengthMM     float64    // of a straight or a crossing, or a turnout's through leg
	Trailing     bool       // a turnout met from a leg
	Facing       bool       // said in so many words
	ViaDiverging bool       // a turnout whose diverging leg the run follows
	Slip         track.Form // of a crossing: FormSlip, FormSingleSlip or none
	Wye          bool
	ThreeWay     bool    // a turnout with a third leg
	OuterMM      float64 // radius of a curved turnout's through leg
	Untied       bool
	Sensing      bool
	Again        string // the crossing that is crossed a second time
	Name         string
}

// Marks are the places of a piece's kind and name in its text; a name that is
// not there has none.
type Marks struct{ Kind, Name Part }

// Stock is the pieces that are written by names of their own; one that could
// not be read has no kind.
type Stock map[string]Words

// The bounds of a piece's sizes.
const (
	minLengthMM, maxLengthMM = 1, 10000
	minRadiusMM, maxRadiusMM = 20, 20000
)

var kindWords = []string{"straight", "curve", "turnout", "crossing", "slip", "bumper"}

// reserved words cannot name a run or a piece.
var reserved = []string{"straight", "curve", "turnout", "crossing", "slip", "bumper", "left", "right", "center",
	"diameter", "radius", "angle",
	"length", "facing", "trailing", "via", "as", "again", "start", "end", "points", "through", "diverging", "middle",
	"a1", "a2", "b1", "b2", "x", "in", "ft", "mm", "cm", "m"}

// wordsBehind may stand behind a length without a unit, and yet be names.
var wordsBehind = append([]string{"curved", "untied", "sensing", "wye", "three-way", "single"}, reserved...)

// Piece reads the text of a piece as someone typed it. metric says that lengths
// without a unit are mm, else inches. The error says what is wrong and what to
// write instead.
func Piece(text string, metric bool, stock Stock) (Words, error) {
	if strings.ContainsAny(text, "\"\n\r\\$%") {
		return Words{}, errors.New("a piece is written on one line, without quotes, \\, $ or %")
	}
	w, _, slip := ReadPiece(text, UnitMM(metric), stock)
	if slip != nil {
		return Words{}, slip
	}
	return w, nil
}

// NameRule is what a run, a piece or a construction may be called.
var NameRule = fmt.Sprintf("a name is a letter from a to z, then such letters, digits, - or _ (up to %d)",
	schema.MaxName)

// CheckName says why name cannot be given to a run or a piece, where others
// are the names that are taken; nil when it can.
func CheckName(name string, others []string) error {
	switch {
	case !IsName(name):
		return errors.New(NameRule)
	case slices.Contains(reserved, name):
		return fmt.Errorf("%q has a meaning of its own in the file: choose another name", name)
	}
	for _, o := range others {
		if o == name {
			return fmt.Errorf("the name %q is taken", name)
		}
		if NameKey(o) == NameKey(name) {
			return fmt.Errorf("%q is too easily taken for %q: choose a name that cannot be misread", name, o)
		}
	}
	return nil
}

// ReadLength reads a length with or without a unit, in millimeters.
func ReadLength(text string, metric bool) (float64, error) {
	bad := errors.New(`write a length like "10", "4 3/8", "6 ft" or "254 mm"`)
	if strings.ContainsAny(text, "\"\n\r\\$%") || strings.TrimSpace(text) == "" {
		return 0, bad
	}
	p := NewPhrase(text, UnitMM(metric))
	mm := p.Length("the length", 1, 1e6)
	switch {
	case p.slip != nil:
		return 0, p.slip
	case !p.Done():
		return 0, bad
	}
	return mm, nil
}

// UnitMM is the unit of a layout's lengths that name none, in mm.
func UnitMM(metric bool) float64 {
	if metric {
		return MMPer["mm"]
	}
	return MMPer["in"]
}

// Reserved says that a word has a meaning of its own and can be no name.
func Reserved(name string) bool { return slices.Contains(reserved, name) }

// SplitCount takes the count off a piece's text: "8 x straight 10" is 8 of
// "straight 10".
func SplitCount(text string) (int, string) {
	words := strings.Fields(text)
	num, took := countIn(append(words, "", "")[:2])
	n, err := strconv.Atoi(num)
	if err != nil || n < 1 || took == 0 {
		return 1, strings.Join(words, " ")
	}
	return n, strings.Join(words[took:], " ")
}

// countIn finds "8 x" or "8x" in the first two words of a piece: the number, empty
// for none, and how many of the words belong to the count; a number that counts
// nothing takes none.
func countIn(words []string) (num string, took int) {
	num, rest := SplitNumber(words[0])
	times := func(s string) bool { return s == "x" || s == "X" || s == "×" || s == "*" }
	switch {
	case num == "":
	case times(rest):
		took = 1
	case rest == "" && times(words[1]):
		took = 2
	}
	return num, took
}
