package tui

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// typedIn is what comes out of a guard whose input comes in these pieces, a pause
// before each.
func typedIn(t require.TestingT, pieces []string, pauses []time.Duration) string {
	clock := time.Unix(0, 0)
	i := 0
	g := &pasteGuard{now: func() time.Time { return clock }}
	g.read = func(p []byte) (int, error) {
		clock = clock.Add(pauses[i])
		i++
		return copy(p, pieces[i-1]), nil
	}
	var out strings.Builder
	buf := make([]byte, 256)
	for i < len(pieces) || len(g.rest) > 0 {
		n, err := g.Read(buf)
		require.NoError(t, err)
		out.Write(buf[:n])
	}
	return out.String()
}

// A paste that never ends does not deafen the keyboard: it ends where a hand
// begins to type.
func TestPasteThatNeverEnds(t *testing.T) {
	const s = time.Second
	for _, c := range []struct {
		pieces []string
		pauses []time.Duration
		want   string
	}{
		{[]string{"a", "b"}, []time.Duration{0, 9 * s}, "ab"},
		{[]string{pasteStart + "12" + pasteEnd, "q"}, []time.Duration{0, 9 * s}, pasteStart + "12" + pasteEnd + "q"},
		{[]string{pasteStart + "12", "3" + pasteEnd, "q"}, []time.Duration{0, s / 2, 9 * s},
			pasteStart + "123" + pasteEnd + "q"},
		{[]string{pasteStart + "12", "q", "r"}, []time.Duration{0, 2 * s, 2 * s}, pasteStart + "12" + pasteEnd + "qr"},
		{[]string{"\x1b[20", "0~12", "q"}, []time.Duration{0, 0, 2 * s}, pasteStart + "12" + pasteEnd + "q"},
		{[]string{pasteStart + "12\x1b[20", "1~", "q"}, []time.Duration{0, 0, 2 * s},
			pasteStart + "12" + pasteEnd + "q"},
		{[]string{pasteStart, strings.Repeat("x", 250) + "yz", strings.Repeat("q", 256)}, []time.Duration{0, 0, 2 * s},
			pasteStart + strings.Repeat("x", 250) + "yz" + pasteEnd + strings.Repeat("q", 256)},
	} {
		assert.Equal(t, c.want, typedIn(t, c.pieces, c.pauses))
	}
}

// A very long paste is cut, its end is not, and what comes after it is typed.
func TestPasteIsCut(t *testing.T) {
	var pieces []string
	text := pasteStart + strings.Repeat("x", 1<<20) + pasteEnd + "q"
	for len(text) > 0 {
		n := min(256, len(text))
		pieces, text = append(pieces, text[:n]), text[n:]
	}
	out := typedIn(t, pieces, make([]time.Duration, len(pieces)))
	assert.Less(t, len(out), pasteMost+100)
	assert.True(t, strings.HasPrefix(out, pasteStart+"x"))
	assert.True(t, strings.HasSuffix(out, "x"+pasteEnd+"q"))
}

// Whatever comes in: without pauses and long pastes it goes through as it is.
func TestPasteGuardPassesOn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		pieces := rapid.SliceOf(rapid.StringOfN(rapid.RuneFrom([]rune("\x1b[201~a")), 1, 60, -1)).Draw(t, "pieces")
		assert.Equal(t, strings.Join(pieces, ""), typedIn(t, pieces, make([]time.Duration, len(pieces))))
	})
}
