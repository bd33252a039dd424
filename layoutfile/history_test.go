package layoutfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
)

// TestWithHistory: what is known more is added, by hand; the rest keeps its bytes.
func TestWithHistory(t *testing.T) {
	const tail = `history "W1" { odds = 2 } # it was hot once
`
	text := small + tail
	f := mustRead(t, "x.hcl", text)
	got := string(f.WithHistory([]track.OddsFactor{{Piece: 0, Factor: 0.2, Why: "bench check passed"},
		{Piece: 1, Factor: 0.25, Why: "bench check passed"}}))
	assert.Equal(t, small+`history "W1" {
  odds = 0.5
  why  = "bench check passed"
} # it was hot once

history "main 1" {
  odds = 0.2
  why  = "bench check passed"
}
`, got)
	f = mustRead(t, "x.hcl", got)
	require.Len(t, f.Layout.Odds, 2)
	assert.Equal(t, got, string(f.WithHistory([]track.OddsFactor{{Piece: 1, Factor: 0.25, Why: "bench check passed"}})),
		"said once")
	again := string(f.WithHistory([]track.OddsFactor{{Piece: 0, Factor: 2, Why: "new pins"}}))
	assert.Contains(t, again, "odds = 0.4\n  why  = \"bench check passed; new pins\"")
	assert.Equal(t, text, string(mustRead(t, "x.hcl", text).WithHistory(nil)))
}
