package text

import (
	"strings"
	"testing"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/tui/style"
)

// TestWidths: nothing that is laid out is wider than asked for, whatever the
// text, and no word is lost.
func TestWidths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.StringMatching(`([a-zé漢Ω]{1,12} ){0,12}`).Draw(t, "s")
		label := rapid.StringMatching(`[A-Z]{0,12}`).Draw(t, "label")
		w, indent := rapid.IntRange(4, 60).Draw(t, "w"), rapid.IntRange(0, 20).Draw(t, "indent")
		lines := Hang(label, s, indent, w)
		for _, l := range lines {
			require.LessOrEqual(t, Width(l), w, "%q", l)
		}
		for _, l := range Wrap(s, w) {
			require.LessOrEqual(t, Width(l), w, "%q", l)
		}
		require.Equal(t, strings.Join(strings.Fields(s), ""),
			strings.Join(strings.Fields(strings.Join(Wrap(s, w), "")), ""))
		require.Equal(t, w, Width(Fit(s, w)))
	})
}

// TestWholeWords: a flag, a figure with its sign and a piece are one word each.
func TestWholeWords(t *testing.T) {
	assert.Equal(t, []string{"fishplate hunt", "--plain FILE:", "-36.9 mV"},
		Wrap("fishplate hunt --plain FILE: -36.9 mV", 16))
	assert.Equal(t, []string{"the joint of", "main 12 and", "main 13"}, Wrap("the joint of main 12 and main 13", 16))
}

// TestScroll: every line comes into view, and what is hidden is said.
func TestScroll(t *testing.T) {
	lines := []string{"a", "b", "c", "d", "e"}
	theme := style.New(termenv.Ascii, false)
	says := map[int]string{0: "-- 3 more: Down", 1: "-- 2 more: Down  1 above: Up", 2: "-- 1 more: Down  2 above: Up",
		3: "-- 3 above: Up"}
	var s Scroll
	seen := map[string]bool{}
	for k := range 5 {
		out := s.View(&theme, lines, 3, "Down")
		require.Len(t, out, 3)
		assert.Equal(t, says[min(k, 3)], ansi.Strip(out[2]))
		assert.Equal(t, [2]int{min(k, 3), 3 - min(k, 3)}, [2]int{s.Top(), s.Below()})
		for _, l := range out[:2] {
			seen[l] = true
		}
		assert.True(t, s.Key("down"))
	}
	for _, l := range lines {
		assert.True(t, seen[l], l)
	}
	assert.False(t, s.On(), "at the end")
	assert.False(t, s.Key("x"))
	assert.Equal(t, lines, s.View(&theme, lines, 5, "Down"))
	s = Scroll{}
	s.View(&theme, lines, 3, "Down")
	assert.True(t, s.On())
	assert.Equal(t, []string{"c", "d", "-- 1 more: PgDn  2 above: PgUp"}, plainly(s.View(&theme, lines, 3, "PgDn")))
	assert.Empty(t, s.View(&theme, lines, 0, "Down"))
	assert.Len(t, s.View(&theme, lines, 1, "Down"), 1)
}

func plainly(lines []string) []string {
	for i := range lines {
		lines[i] = ansi.Strip(lines[i])
	}
	return lines
}

// TestInput: typing, moving and a line longer than its room; the caret stays
// in sight.
func TestInput(t *testing.T) {
	i := NewInput()
	for _, r := range "0123456789" {
		assert.True(t, i.Update(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}}))
	}
	mark := func(s string) string { return "[" + s + "]" }
	v, x := i.View(6, mark)
	assert.Equal(t, "56789[ ]", v)
	assert.Equal(t, 5, x)
	i.Update(tea.KeyMsg{Type: tea.KeyHome})
	v, x = i.View(6, mark)
	assert.Equal(t, "[0]12345", v)
	assert.Equal(t, 0, x)
	assert.Equal(t, "0123456789", i.Value())
	assert.False(t, i.Update(tea.KeyMsg{Type: tea.KeyHome}), "nothing changed")
}

// TestMinusErases: behind text "-" takes back a character, at the start of the
// line it is a sign; what is pasted stays whole.
func TestMinusErases(t *testing.T) {
	i := NewInput()
	minus := tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{'-'}}
	for _, r := range "-12" {
		i.UpdatePad(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune{r}})
	}
	assert.Equal(t, "-12", i.Value())
	for _, want := range []string{"-1", "-", "", "-", ""} {
		assert.True(t, i.UpdatePad(minus))
		assert.Equal(t, want, i.Value())
	}
	i.Set("3")
	i.UpdatePad(tea.KeyMsg{Type: tea.KeyHome})
	i.UpdatePad(minus)
	assert.Equal(t, "-3", i.Value())
	i.Set("1")
	i.UpdatePad(tea.KeyMsg{Type: tea.KeyRunes, Runes: []rune("-2"), Paste: true})
	assert.Equal(t, "1-2", i.Value())
}

func TestASCII(t *testing.T) {
	assert.Equal(t, "0.4 ohm +/-1 ... ? ", ASCII("0.4 Ω ±1 … 漢 "))
}
