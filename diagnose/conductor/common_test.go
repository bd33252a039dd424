package conductor_test

import (
	"os"
	"slices"
	"testing"

	"fishplate/diagnose/track"

	"github.com/stretchr/testify/require"
)

// A train's current goes back by the rail of the construction, and beside an insulated
// rail by the other one. (Common practice, no source.)
func TestCommonRail(t *testing.T) {
	for name, waits := range map[string][]string{
		"rail-tied":     {"main 15", "main 16", "main 17", "main 18"},
		"rail-separate": {},
		"rail-far":      {},
	} {
		src, err := os.ReadFile("../../testdata/layouts/" + name + ".hcl")
		require.NoError(t, err)
		n := network(t, string(src))
		for i := range n.Layout.Pieces {
			p := &n.Layout.Pieces[i]
			want := p.Construction.Common
			if slices.Contains(waits, p.ID()) {
				require.Equal(t, track.Left, want)
				want = track.Right
			}
			require.Equal(t, want, n.CommonRail(i), "%s %s", name, p.ID())
		}
	}
}
