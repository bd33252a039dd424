package sheet

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/diagnose/track"
)

var wide = Stock{"wide": {Kind: track.Curve, RadiusMM: 15.5 * 25.4, Angle: 45}}

func TestPiece(t *testing.T) {
	w, err := Piece("8 x curve left diameter 31 angle 45", false, nil)
	require.NoError(t, err)
	assert.Equal(t, Words{Count: 8, Kind: track.Curve, Hand: 1, RadiusMM: 15.5 * 25.4, Angle: 45}, w)
	w, err = Piece("wide right as Z1", false, wide)
	require.NoError(t, err)
	assert.Equal(t, Words{Count: 1, Kind: track.Curve, Hand: -1, RadiusMM: 15.5 * 25.4, Angle: 45, Name: "Z1"}, w)
	_, err = Piece("curve left diameter 31", false, nil)
	assert.ErrorContains(t, err, "lacks angle")
	_, err = Piece("wade right", false, wide)
	assert.ErrorContains(t, err, "not a kind of piece")
	mm, err := ReadLength("4 3/8", false)
	require.NoError(t, err)
	assert.InDelta(t, 4.375*25.4, mm, 1e-9)
	mm, err = ReadLength("40 ft", true)
	require.NoError(t, err)
	assert.InDelta(t, 12192, mm, 1e-9)
	for _, bad := range []string{"", "x", "10 as W1", "-3", "1 parsec", "1\n2", `"`} {
		_, err := ReadLength(bad, false)
		assert.Error(t, err, bad)
	}
}

func TestCheckName(t *testing.T) {
	assert.NoError(t, CheckName("W12", []string{"W1", "main"}))
	assert.ErrorContains(t, CheckName("Wl", []string{"W1"}), "too easily taken")
	assert.ErrorContains(t, CheckName("main", []string{"main"}), "is taken")
	assert.ErrorContains(t, CheckName("left", nil), "meaning of its own")
	assert.ErrorContains(t, CheckName("Güter", nil), "a letter from a to z", "ü is a letter, and none of these")
	assert.Error(t, CheckName("7up", nil))
}

// TestAnyWords: no text makes the readers of single words panic.
func TestAnyWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.SampledFrom([]string{"8", "x", "straight", "curve", "left", "turnout", "via", "as", "W1", "again",
			"diameter", "3/8", "10mm", "wide", "é", "\\", "$", "%{", "\"", ",", "-", "untied", "wye", "slip"})
		text := ""
		for _, w := range rapid.SliceOfN(word, 0, 9).Draw(t, "words") {
			text += w + rapid.SampledFrom([]string{" ", "", "\t"}).Draw(t, "gap")
		}
		_, _ = Piece(text, false, wide)
		_, _ = ReadLength(text, true)
		_, _ = SplitCount(text)
		_ = CheckName(text, []string{"a"})
	})
}
