package layoutfile

import (
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
)

// TestLaid: the demo as it is after its main line's first pieces, by hand.
func TestLaid(t *testing.T) {
	name, src := Demo()
	f, _ := Read(name, src)
	text, err := f.Laid(9, 6, track.EndRef{Piece: 5, End: 1})
	require.NoError(t, err)
	half := mustRead(t, "half", string(text))
	l := half.Layout
	require.Len(t, l.Pieces, 10)
	assert.Len(t, l.Joints, 9)
	assert.Len(t, l.Supplies, 1)
	require.Len(t, l.Feeders, 1)
	assert.Equal(t, "main 6/7", l.PlaceName(l.Feeders[0].At))
	for i := range l.Pieces {
		assert.Equal(t, f.Layout.Pieces[i].ID(), l.Pieces[i].ID())
		assert.Equal(t, f.Layout.Pieces[i].Kind, l.Pieces[i].Kind)
	}
	// All but the ring's last joint.
	text, err = f.Laid(39, 32, track.EndRef{Piece: 31, End: 1})
	require.NoError(t, err)
	assert.Len(t, mustRead(t, "ring", string(text)).Layout.Joints, 39)
	// The ring is closed once another run has begun.
	text, err = f.Laid(43, 40, track.EndRef{Piece: 3, End: 2})
	require.NoError(t, err)
	l = mustRead(t, "siding", string(text)).Layout
	assert.Len(t, l.Joints, 40+4)
	assert.NotEqual(t, -1, l.FindJoint("main 40/1"))
}

// TestLaidOfAny: each layout that comes with the tests, built as far as any of its
// pieces, is a layout with the same pieces in the same order.
func TestLaidOfAny(t *testing.T) {
	files, err := filepath.Glob("../testdata/layouts/*.hcl")
	require.NoError(t, err)
	require.NotEmpty(t, files)
	rng := rand.New(rand.NewPCG(1, 9))
	for _, name := range files {
		src, err := os.ReadFile(name)
		require.NoError(t, err)
		f := mustRead(t, name, string(src))
		for range 6 {
			last := rng.IntN(len(f.Layout.Pieces))
			text, err := f.Laid(last, rng.IntN(last+1), track.EndRef{Piece: 0})
			require.NoError(t, err, "%s, piece %d", name, last)
			l := mustRead(t, "laid", string(text)).Layout
			require.Len(t, l.Pieces, last+1, "%s\n%s", name, text)
			for i := range l.Pieces {
				require.Equal(t, f.Layout.Pieces[i].ID(), l.Pieces[i].ID())
			}
		}
	}
}
