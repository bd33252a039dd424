package style

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
)

// luminance and ratio follow WCAG 2.2 (W3C, 2023), "relative luminance" and
// "contrast ratio".
func luminance(rgb uint32) float64 {
	lin := func(c uint32) float64 {
		v := float64(c&255) / 255
		if v <= 0.04045 {
			return v / 12.92
		}
		return math.Pow((v+0.055)/1.055, 2.4)
	}
	return 0.2126*lin(rgb>>16) + 0.7152*lin(rgb>>8) + 0.0722*lin(rgb)
}

func ratio(a, b uint32) float64 {
	x, y := luminance(a), luminance(b)
	if x < y {
		x, y = y, x
	}
	return (x + 0.05) / (y + 0.05)
}

// cube gives the RGB of indices 16 to 255 of the 256-colour set: a 6x6x6 cube
// with the steps 0, 95, 135, ... and 24 greys from 8 (common practice, the
// table of one early terminal, from memory).
func cube(i int) uint32 {
	if i >= 232 {
		v := uint32(8 + 10*(i-232))
		return v<<16 | v<<8 | v
	}
	step := []uint32{0, 95, 135, 175, 215, 255}
	i -= 16
	return step[i/36]<<16 | step[i/6%6]<<8 | step[i%6]
}

// The ends of the scale: WCAG 2.2, the definition of contrast ratio, has 1:1 to 21:1.
func TestRatioAtItsEnds(t *testing.T) {
	assert.InDelta(t, 21, ratio(0, 0xFFFFFF), 1e-9)
	assert.InDelta(t, 1, ratio(0x123456, 0x123456), 1e-9)
}

// TestContrast holds every role to SC 1.4.3 (text, 4.5:1) or SC 1.4.11
// (marks, 3:1) on two dark and two light backgrounds. A reversed role has the
// background's colour as its letters, so the same ratio counts.
func TestContrast(t *testing.T) {
	back := map[bool][]uint32{false: {0x000000, 0x1E1E1E}, true: {0xFFFFFF, 0xFDF6E3}}
	for r, s := range shades {
		if s.dark == noColour {
			continue
		}
		least := 4.5
		if s.mark {
			least = 3
		}
		for _, light := range []bool{false, true} {
			rgb, index := s.dark, s.dark256
			if light {
				rgb, index = s.light, s.light256
			}
			for _, bg := range back[light] {
				assert.GreaterOrEqual(t, ratio(rgb, bg), least, "role %d #%06X on #%06X", r, rgb, bg)
				if assert.GreaterOrEqual(t, index, 16, "role %d: indices below 16 have no fixed colour", r) {
					assert.GreaterOrEqual(t, ratio(cube(index), bg), least, "role %d index %d (#%06X) on #%06X", r,
						index, cube(index), bg)
				}
			}
		}
	}
}

// TestSixteen keeps to the ANSI colours that reach 3:1 on black and on white
// in the two common tables, and to the default foreground for text.
func TestSixteen(t *testing.T) {
	for r, s := range shades {
		assert.Contains(t, []int{-1, 5, 9, 12}, s.ansi, fmt.Sprint("role ", r))
	}
}

// TestThreeColours: besides greys there are three colours, and one role of each
// meaning has no look of another.
func TestThreeColours(t *testing.T) {
	meaning := map[uint32]string{do.dark: "do", danger.dark: "danger", makes[0].dark: "makes", makes[1].dark: "makes",
		makes[2].dark: "makes"}
	seen := map[string]bool{}
	for r, s := range shades {
		red, green, blue := s.dark>>16&255, s.dark>>8&255, s.dark&255
		if s.dark == noColour || red == green && green == blue {
			continue
		}
		if assert.Contains(t, meaning, s.dark, "role %d", r) {
			seen[meaning[s.dark]] = true
		}
	}
	assert.Len(t, seen, 3)
}

// TestOrderOfSuspicion: more suspicion stands out more, by luminance alone.
func TestOrderOfSuspicion(t *testing.T) {
	order := []Role{Out, Possible, Likely, Hot}
	for i := 1; i < len(order); i++ {
		a, b := shades[order[i-1]], shades[order[i]]
		assert.Greater(t, luminance(b.dark), luminance(a.dark), "dark, role %d", order[i])
		assert.Less(t, luminance(b.light), luminance(a.light), "light, role %d", order[i])
	}
}

func TestNoColourMeansNoColour(t *testing.T) {
	for _, light := range []bool{false, true} {
		th := New(termenv.Ascii, light)
		for r := Role(0); r < numRoles; r++ {
			for _, c := range []string{"3", "4", "9", "10"} {
				assert.False(t, strings.HasPrefix(strings.TrimPrefix(th.Start(r), "\x1b["), c), "role %d: %q", r,
					th.Start(r))
				assert.NotContains(t, th.Start(r), ";"+c, "role %d", r)
			}
		}
	}
}
