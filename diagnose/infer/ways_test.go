package infer

import (
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/meter"
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

// A gap in one rail, as a live frog needs, leaves that rail one way to a place and the
// other one two: there, too, the place is dead where both of those are open.
func TestOneRailMayHaveMoreWays(t *testing.T) {
	f, problems := layoutfile.Read("invented", []byte(`
name = "line"
units = "mm"
construction = "two-rail"
run "main" {
  pieces = ["12 x straight 200"]
}
supply "P1" {
  current = "dc"
  volts   = 12
  breaker = 2
}
feeder "F1" {
  at     = "main 2"
  supply = "P1"
  wire   = "16 AWG"
  length = "2 m"
}
feeder "F2" {
  at     = "main 11"
  supply = "P1"
  wire   = "16 AWG"
  length = "2 m"
}
insulated "main 8/9" { rails = ["left"] }
`))
	require.False(t, problems.Errors(), "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	e := NewEngine(n, DefaultModel(n, meter.Cheap(false), false))
	e.SetSymptom(Symptom{Kind: Dead, Piece: n.Layout.FindPiece("main 6"), Accessory: -1, Supply: -1})
	assert.Equal(t, 0, e.WayOf(e.classOf(t, "main 4")))
	assert.Equal(t, 1, e.WayOf(e.classOf(t, "main 10")))
	for _, h := range e.Hypos[e.singles:] {
		assert.Contains(t, []string{"right", "hot"}, n.Links[h.Effect.Link].Rail,
			"left comes by its start alone, and is dead by one open")
	}
}

func (e *Engine) classOf(t *testing.T, name string) int {
	for c, x := range e.Classes {
		if x == name {
			return c
		}
	}
	require.Fail(t, "no such class", name)
	return -1
}
