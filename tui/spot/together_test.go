package spot_test

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
	"fishplate/tui/spot"
)

// The joined wires of one supply are at one place, those of two are not.
func TestTogether(t *testing.T) {
	l := &track.Layout{Supplies: []track.Supply{{Name: "T1"}, {Name: "T2"}}}
	require.True(t, spot.Together(l, "T1 hot", "T1 common"))
	require.False(t, spot.Together(l, "T1 hot", "T2 hot"))
}
