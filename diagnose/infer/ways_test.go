package infer

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/layoutfile"
)

func TestWaysTo(t *testing.T) {
	for _, x := range []struct {
		layout, piece string
		want          []int
	}{
		{"loop", "main 20", []int{0, 1}},
		{"loop-siding", "W2", []int{0, 1, 2}},
		{"loop-siding", "main 1", nil}, // its own feeder
		{"dead-end", "main 12", nil},
	} {
		src, err := os.ReadFile("../../testdata/layouts/" + x.layout + ".hcl")
		require.NoError(t, err)
		f, problems := layoutfile.Read(x.layout, src)
		require.Empty(t, problems)
		n, err := conductor.Build(f.Layout)
		require.NoError(t, err)
		e := &turnings{Net: n}
		s := conductor.Usual(n.Layout)
		assert.Equal(t, x.want, e.WaysTo(n.Layout.FindPiece(x.piece), 0, &s), "%s %s", x.layout, x.piece)
	}
}
