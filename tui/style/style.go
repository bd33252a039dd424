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

// shade is a role's look. Colours are RGB, 256-colour indices (only 16 to 255,
// whose RGB is fixed) and ANSI numbers (-1: the default foreground).
type shade struct {
	dark, light       uint32
	dark256, light256 int
	ansi              int
	attr              string // SGR attributes, kept without colour too
	mark              bool   // a mark (contrast 3:1 is enough), not text
}

const noColour = 1 << 24

// shades is based on the set of M. Okabe and K. Ito, "Color Universal Design"
// (2002, 2008); where one of their colours is too faint for text on one of the
// backgrounds, it is lighter or darker here. Towards more suspicion a colour
// gets lighter on dark backgrounds and darker on light ones, so that the order
// is kept for those who see no hue.
var shades = [numRoles]shade{
	Plain:      {noColour, noColour, -1, -1, -1, "", false},
	Dim:        {0x9A9A9A, 0x5F5F5F, 247, 59, -1, "", false},
	Title:      {0x56B4E9, 0x005E94, 74, 24, -1, "1", false},
	Label:      {noColour, noColour, -1, -1, -1, "1", false},
	Key:        {0xE69F00, 0x8A4B00, 214, 94, -1, "1", false},
	Warn:       {0xF0E442, 0x8A4B00, 227, 94, -1, "1", false},
	Bad:        {0xFF8A5C, 0xA33A00, 209, 124, -1, "1", false},
	Good:       {0x3CC79A, 0x00664B, 79, 23, -1, "1", false},
	Select:     {noColour, noColour, -1, -1, -1, "7", false},
	Caret:      {noColour, noColour, -1, -1, -1, "7", false},
	Track:      {noColour, noColour, -1, -1, -1, "", true},
	Out:        {0x7F7F7F, 0x767676, 244, 243, -1, "", true},
	Possible:   {0x56B4E9, 0x0072B2, 74, 25, 12, "", true},
	Likely:     {0xE69F00, 0xA34700, 214, 130, 5, "1", true},
	Hot:        {0xF0E442, 0x7A0019, 227, 88, 9, "1", true},
	ProbeRed:   {0xFF8A5C, 0xB33C00, 209, 124, -1, "1;7", false},
	ProbeBlack: {0xFFFFFF, 0x000000, 231, 16, -1, "1;7", false},
	Feeder:     {0x3CC79A, 0x00664B, 79, 23, -1, "1", false},
	Lifted:     {0xFF8A5C, 0xA33A00, 209, 124, 9, "1", true},
	Gap:        {0xD79AB9, 0x8C3A6B, 175, 89, 5, "", true},
	Landmark:   {0xD79AB9, 0x8C3A6B, 175, 89, -1, "", false},
	Number:     {0x9A9A9A, 0x5F5F5F, 247, 59, -1, "", false},
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
		add("38;2;" + strconv.Itoa(int(rgb>>16)) + ";" + strconv.Itoa(int(rgb>>8&255)) + ";" + strconv.Itoa(int(rgb&255)))
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
