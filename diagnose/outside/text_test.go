package outside

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// steering is what terminals act on, and what fools the eye.
const steering = "\x1b]52;c;cm0gLXJm\x07 \x1b]8;;http://x\x1b\\ \x1b[2J \u009b2J \r \u202e \u2066 \u200b \u2028 " +
	"\ufeff \U000e0041 \u3164"

func TestShow(t *testing.T) {
	assert.Equal(t, "a<U+001B>[2Jb", Show("a\x1b[2Jb", Marked))
	assert.Equal(t, "main 12, Straße, 線路, ❤️\n\tx", Show("main 12, Straße, 線路, ❤️\n\tx", Marked))
	assert.Equal(t, "a b<U+202E>", Line("a\nb\u202e"))
	assert.Equal(t, "&lt;U+200B&gt;", Show("\u200b", Entity))
	for _, r := range steering {
		if r >= 0x7f || r < 0x20 {
			assert.Equal(t, !strings.ContainsRune("http:/xcm0gLXJm;]", r), Unseen(r), "%U", r)
		}
	}
}

// However a text is cut into writes, nothing that steers comes through, and
// what is plain comes through as it is.
func TestWriter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.StringN(0, 60, -1), rapid.Just(steering), rapid.StringMatching(`[ -~\n\t]{0,40}`),
			rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) })).Draw(t, "text")
		var out bytes.Buffer
		w := NewWriter(&out, Marked)
		for rest := []byte(text); len(rest) > 0; {
			n := rapid.IntRange(1, len(rest)).Draw(t, "cut")
			got, err := w.Write(rest[:n])
			require.NoError(t, err)
			require.Equal(t, n, got)
			rest = rest[n:]
		}
		for _, r := range out.String() {
			require.False(t, Unseen(r), "%U in %q", r, out.String())
		}
		require.True(t, utf8.Valid(out.Bytes()))
		plain := strings.IndexFunc(text, Unseen) < 0 && utf8.ValidString(text)
		if plain {
			require.Equal(t, text, out.String())
		}
	})
}

// What JSON holds stays what it is, only written so that it steers nothing.
func TestEscapedIsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.Just(steering)).Draw(t, "text")
		data, err := json.Marshal(text)
		require.NoError(t, err)
		var out bytes.Buffer
		_, err = NewWriter(&out, Escaped).Write(data)
		require.NoError(t, err)
		var back string
		require.NoError(t, json.Unmarshal(out.Bytes(), &back), out.String())
		var want string
		require.NoError(t, json.Unmarshal(data, &want))
		require.Equal(t, want, back)
		require.Equal(t, out.String(), Show(out.String(), Marked))
	})
}
