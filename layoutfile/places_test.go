package layoutfile

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
)

// TestFindPlace: every name that the layout gives to a place is found again.
func TestFindPlace(t *testing.T) {
	name, src := Demo()
	f, _ := Read(name, src)
	l := f.Layout
	for i := range l.Pieces {
		p, ok := FindPlace(l, l.Pieces[i].ID())
		assert.True(t, ok && p == track.Place{Piece: i, End: -1})
		for e := range l.Pieces[i].Ends {
			for _, s := range []string{l.SideName(track.EndRef{Piece: i, End: e}),
				l.Pieces[i].ID() + " " + l.Pieces[i].Ends[e].Label} {
				p, ok := FindPlace(l, s)
				assert.True(t, ok && p == track.Place{Piece: i, End: e}, s)
			}
		}
	}
	for _, s := range []string{"", "/", "main", "main 99", "main 1/3", "nobody", "main 1 middle"} {
		_, ok := FindPlace(l, s)
		assert.False(t, ok, s)
	}
}

// TestProblemsKnowTheirBlock: a mistake names its block and, in a run, its row;
// counted by hand in shelfText.
func TestProblemsKnowTheirBlock(t *testing.T) {
	for _, c := range []struct {
		old, new   string
		block, row int
	}{
		{"straight 4", "strait 4", 1, 1},
		{"3 x straight 10", "3 x straight no", 0, 0},
		{`note "spur 2"`, `note "spur 9"`, 3, -1},
		{`units = "in"`, `units = "feet"`, -1, -1},
	} {
		_, problems := Read("x", []byte(strings.Replace(shelfText, c.old, c.new, 1)))
		require.NotEmpty(t, problems, c.new)
		assert.Equal(t, []int{c.block, c.row}, []int{problems[0].Block, problems[0].Row}, c.new)
	}
}
