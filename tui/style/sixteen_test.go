package style

import (
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
)

// sixteen are the RGB values that two common terminals give the ANSI colours
// this program uses: the tables of one early terminal for the X Window System
// and of the VGA text screen (common practice, from memory). Others differ, and
// users change them; so text keeps the default foreground.
var sixteen = map[int][2]uint32{5: {0xCD00CD, 0xAA00AA}, 9: {0xFF0000, 0xFF5555}, 12: {0x5C5CFF, 0x5555FF}}

// TestContrastOfSixteen holds marks to WCAG 2.2, SC 1.4.11 (3:1) on black and
// on white, in both tables; text has no colour of its own there, so that it is
// as readable as the terminal's own (SC 1.4.3).
func TestContrastOfSixteen(t *testing.T) {
	for r, s := range shades {
		if !s.mark {
			assert.Equal(t, -1, s.ansi, "role %d is text", r)
			continue
		}
		if s.ansi < 0 {
			continue
		}
		tables, known := sixteen[s.ansi]
		if !assert.True(t, known, "role %d has ANSI colour %d", r, s.ansi) {
			continue
		}
		for _, rgb := range tables {
			for _, bg := range []uint32{0x000000, 0xFFFFFF} {
				assert.GreaterOrEqual(t, ratio(rgb, bg), 3.0, "role %d #%06X on #%06X", r, rgb, bg)
			}
		}
	}
}

// TestBoldMakesNoOtherColour: many terminals show a bold ANSI colour 0 to 7 as
// the bright one, whose contrast is another.
func TestBoldMakesNoOtherColour(t *testing.T) {
	for _, s := range shades {
		s.attr = "1"
		for s.ansi = range 8 {
			assert.NotContains(t, s.sgr(termenv.ANSI, false), "\x1b[1;", "colour %d", s.ansi)
		}
		if s.ansi = 9; s.dark != noColour {
			assert.Contains(t, s.sgr(termenv.ANSI, false), "\x1b[1;", "a bright one stays bright")
		}
	}
}

// TestLevelsDifferWithoutColour: without colour the four levels of suspicion
// are told apart by the map's own shapes; the attributes never carry them
// alone. Here: none of them is reverse, which is kept for the probes.
func TestLevelsDifferWithoutColour(t *testing.T) {
	for _, r := range []Role{Out, Possible, Likely, Hot} {
		th := New(termenv.Ascii, false)
		assert.NotContains(t, th.Start(r), "7", "role %d", r)
	}
}
