package big

import (
	"strings"
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// TestGlyphs: every letter is five rows of one width, no two look alike, and
// everything a place or a dial may hold has one.
func TestGlyphs(t *testing.T) {
	seen := map[string]rune{}
	for r := range letters {
		g := glyph(r)
		require.Len(t, g, High, "%q", r)
		for _, row := range g {
			require.Equal(t, len(g[0]), len(row), "%q", r)
		}
		shape := strings.Join(g, "/")
		if other, ok := seen[shape]; ok {
			t.Errorf("%q looks like %q", r, other)
		}
		seen[shape] = r
	}
	for _, r := range "ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789/.,+-mk " {
		assert.Contains(t, letters, r)
	}
}

func TestDraw(t *testing.T) {
	assert.Equal(t, []string{
		" #  ###",
		"##    #",
		" #  ###",
		" #  #",
		"### ###"}, Draw("12", 1, 40, true))
	assert.Equal(t, []string{"⣿⣿⣿⣿⣿⣿", "    ⣿⣿", "  ⣿⣿", "  ⣿⣿", "  ⣿⣿"}, Draw("7", 2, 40, false))
	assert.Equal(t, Draw("1", 1, 4, true), Draw("12", 1, 4, true), "cut at a whole letter")
}

// TestWidth: nothing is wider than it says, nor than it may be.
func TestWidth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`[A-Za-z0-9/. é-]{0,20}`).Draw(t, "s")
		wide, w, ascii := rapid.IntRange(1, 3).Draw(t, "wide"), rapid.IntRange(0, 90).Draw(t, "w"),
			rapid.Bool().Draw(t, "ascii")
		lines := Draw(s, wide, w, ascii)
		require.Len(t, lines, High)
		for _, l := range lines {
			require.LessOrEqual(t, ansi.StringWidth(l), w)
			require.LessOrEqual(t, ansi.StringWidth(l), Width(s, wide))
		}
		for _, l := range Fit([]string{s + s, s}, w, ascii) {
			require.LessOrEqual(t, ansi.StringWidth(l), w)
		}
	})
}
