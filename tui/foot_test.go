package tui

import (
	"testing"

	"github.com/charmbracelet/x/ansi"
	"github.com/muesli/termenv"
	"github.com/stretchr/testify/assert"

	"fishplate/tui/scene"
	"fishplate/tui/style"
	"fishplate/tui/text"
)

// TestFootFits: in every width, with wide signs too, the foot has as many keys as fit, none
// that does nothing now, and the last of them always.
func TestFootFits(t *testing.T) {
	keys := []scene.Key{{Hint: "a 日本語日本"}, {Hint: "b back now", Off: "not yet"}, {Hint: "c cannot reach"}, {Press: "d"}}
	for _, theme := range []style.Theme{style.New(termenv.Ascii, false), style.New(termenv.TrueColor, true)} {
		for w := 6; w < 60; w++ {
			line := keysIn(&theme, keys, scene.Key{Hint: "? help"}, w)
			assert.LessOrEqual(t, text.Width(line), w)
			want := "? help"
			if w >= 20 {
				want = "a 日本語日本  ? help"
			}
			if w >= 36 {
				want = "a 日本語日本  c cannot reach  ? help"
			}
			assert.Equal(t, want, ansi.Strip(line), "%d columns", w)
		}
	}
}
