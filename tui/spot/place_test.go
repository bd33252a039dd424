package spot

import (
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
)

// The joined wires of one supply are at one place, those of two are not; behind the lamp
// is another place than where the other side's wires join.
func TestSamePlace(t *testing.T) {
	l := &track.Layout{Supplies: []track.Supply{{Name: "T1"}, {Name: "T2"}}}
	at := func(name string) Words { return Describe(l, Parse(l, name)) }
	require.True(t, at("T1 hot").SamePlace(at("T1 common")))
	require.False(t, at("T1 hot").SamePlace(at("T2 hot")))
	require.False(t, at("T1 hot").Lamped(Parse(l, "T1 hot")).SamePlace(at("T1 common")))
}
