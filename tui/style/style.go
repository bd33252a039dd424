// Package style holds the colours of the screens: one table of roles, each
// with a colour for dark and for light backgrounds at every colour depth. A
// role never stands on colour alone: whoever paints with it also shows a word,
// a letter or a shape. It knows nothing of what is painted.
package style

import (
	"strconv"
	"strings"

	"github.com/muesli/termenv"
)

// Role is what a piece of text or a mark stands for.
type Role uint8

// The roles. Text roles come first, then those of marks on the map.
const (
	Plain      Role = iota
	Dim             // explanations, less important
	Title           // names of screens and of blocks
	Label           // RED, BLACK, METER, ...
	Key             // a key to press
	Warn            // cautions
	Bad             // errors
	Good            // proven, found
	Select          // the selected row
	Caret           // the place where typing goes
	Track           // rails before anything is suspected
	Out             // ruled out
	Possible        // suspected a little
	Likely          // suspected more
	Hot             // suspected most
	ProbeRed        // where the red probe goes
	ProbeBlack      // where the black probe goes
	Feeder          // feeders
	Lifted          // lifted joints
	Gap             // insulated joints
	Landmark        // landmarks and bumpers
	Number          // piece numbers
	numRoles
)

// ink is one colour on dark and on light backgrounds: RGB and 256-colour indices
// (only 16 to 255, whose RGB is fixed).
type ink struct {
	dark, light       uint32
	dark256, light256 int
}

// shade is a role's look.
type shade struct {
	ink
	ansi int    // ANSI number, -1: the default foreground
	attr string // SGR attributes, kept without colour too
	mark bool   // a mark (contrast 3:1 is enough), not text
}

const noColour = 1 << 24

// Three colours have one meaning each: do this; danger; what the program makes of
// the readings. All else is weight and room. They are of the set of M. Okabe and K.
// Ito, "Color Universal Design" (2002, 2008), lighter or darker where one would be
// too faint for text on one of the backgrounds; on a light one danger is a red,
// since no yellow can be read there. Towards more suspicion the third gets lighter
// on dark backgrounds and darker on light ones, so that the order is kept for those
// who see no hue.
var (
	none   = ink{noColour, noColour, -1, -1}
	grey   = ink{0x9A9A9A, 0x5F5F5F, 247, 59}
	do     = ink{0xE69F00, 0x8A4B00, 214, 94}
	danger = ink{0xF0E442, 0xA3102D, 227, 124}
	makes  = [3]ink{{0x56B4E9, 0x0072B2, 74, 25}, {0x8CCDF2, 0x005288, 117, 24}, {0xD4EEFC, 0x002B49, 195, 17}}
)

var shades = [numRoles]shade{
	Plain:      {none, -1, "", false},
	Dim:        {grey, -1, "", false},
	Title:      {none, -1, "1", false},
	Label:      {none, -1, "1", false},
	Key:        {do, -1, "1", false},
	Warn:       {danger, -1, "1", false},
	Bad:        {danger, -1, "1", false},
	Good:       {makes[0], -1, "1", false},
	Select:     {none, -1, "7", false},
	Caret:      {none, -1, "7", false},
	Track:      {none, -1, "", true},
	Out:        {ink{0x7F7F7F, 0x767676, 244, 243}, -1, "", true},
	Possible:   {makes[0], 12, "", true},
	Likely:     {makes[1], 12, "1", true},
	Hot:        {makes[2], 12, "1", true},
	ProbeRed:   {do, -1, "1;7", false},
	ProbeBlack: {none, -1, "1;7", false},
	Feeder:     {none, -1, "1", false},
	Lifted:     {do, -1, "1", true},
	Gap:        {none, -1, "", true},
	Landmark:   {none, -1, "", false},
	Number:     {grey, -1, "", false},
}

// Theme paints for one terminal.
type Theme struct {
	Light   bool
	Profile termenv.Profile
	sgr     [numRoles]string
}

// New makes the theme for a colour depth and a background. In termenv.Ascii
// (no colour wanted, or none there) only bold and reverse are left.
func New(p termenv.Profile, light bool) Theme {
	t := Theme{Light: light, Profile: p}
	for r := range shades {
		t.sgr[r] = shades[r].sgr(p, light)
	}
	return t
}

func (s shade) sgr(p termenv.Profile, light bool) string {
	rgb, index := s.dark, s.dark256
	if light {
		rgb, index = s.light, s.light256
	}
	code := s.attr
	if p == termenv.ANSI && s.ansi >= 0 && s.ansi < 8 {
		code = strings.TrimPrefix(code, "1") // bold would make another colour of it
	}
	add := func(c string) {
		if code != "" {
			code += ";"
		}
		code += c
	}
	switch {
	case rgb == noColour || p == termenv.Ascii:
	case p == termenv.TrueColor:
		add("38;2;" + strconv.Itoa(int(rgb>>16)) + ";" + strconv.Itoa(int(rgb>>8&255)) + ";" +
			strconv.Itoa(int(rgb&255)))
	case p == termenv.ANSI256:
		add("38;5;" + strconv.Itoa(index))
	case s.ansi >= 8:
		add(strconv.Itoa(90 + s.ansi - 8))
	case s.ansi >= 0:
		add(strconv.Itoa(30 + s.ansi))
	}
	if code == "" {
		return ""
	}
	return "\x1b[" + code + "m"
}

// Reset ends what Start began.
const Reset = "\x1b[0m"

// Start gives the escape sequence that begins a role, empty for none.
func (t *Theme) Start(r Role) string { return t.sgr[r] }

// Paint puts s in the look of a role.
func (t *Theme) Paint(r Role, s string) string {
	if t.sgr[r] == "" || s == "" {
		return s
	}
	return t.sgr[r] + s + Reset
}
