package rival_test

import (
	"io/fs"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/drill"
	"fishplate/diagnose/drill/lesson"
	"fishplate/diagnose/drill/rival"
	"fishplate/layoutfile"
)

// TestLengths holds drills of one, five and twenty minutes to the acts that they are
// meant to take: by halving, as a beginner plays, and the shortest by the program too.
func TestLengths(t *testing.T) {
	for minutes, c := range map[int]struct {
		layout string
		faults int
		most   int // acts
	}{drill.AMinute: {"shelf", 1, 9}, drill.FiveMinutes: {"club", 1, 16}, drill.TwentyMinutes: {"club", 2, 60}} {
		text, err := fs.ReadFile(lesson.Own(), c.layout+".layout.hcl")
		require.NoError(t, err)
		f, problems := layoutfile.Read(c.layout, text)
		require.NotNil(t, f, "%v", problems)
		found := 0
		for seed := range uint64(6) {
			d, err := drill.New(f.Layout, drill.Options{Minutes: minutes, Kit: allMeters}.OfLength(),
				rand.New(rand.NewPCG(seed, 5)))
			require.NoError(t, err)
			require.Len(t, d.Reveal(), c.faults)
			if h := rival.Halving(d); h.Found {
				found++
				require.LessOrEqual(t, len(h.Log), c.most, "%d minutes, seed %d", minutes, seed)
			}
			if minutes == drill.AMinute && seed < hunts(2) {
				own := rival.Own(d)
				require.True(t, own.Found)
				require.LessOrEqual(t, len(own.Log), c.most)
			}
		}
		t.Log(minutes, "minutes: found by halving", found)
		require.GreaterOrEqual(t, found, map[bool]int{true: 6, false: 1}[minutes == drill.AMinute])
	}
}
