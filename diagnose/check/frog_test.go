package check_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/check"
)

// shed is two-rail track of our own whose frogs are fed through the points.
const shed = `name = "test"
about = "invented"
units = "in"
construction = "shed-track"
construction "shed-track" {
  like = "two-rail"
  turnout {
    conductors = [
      "points left to middle left by rail share 0.5",
      "middle left to diverging left by rail share 0.5",
      "points right to middle right by rail share 0.5",
      "middle right to through right by rail share 0.5",
      "middle left to frog left by jumper 0.005 when through",
      "middle right to frog left by jumper 0.005 when diverging",
      "frog left to through left by rail share 0.5",
      "frog left to diverging right by rail share 0.5",
    ]
  }
}
`

const ladder = `run "lead" {
  pieces = ["2 x straight 10", "turnout left diameter 31 angle 45 as W1", "straight 10",
    "turnout left diameter 31 angle 45 as W2", "2 x straight 10"]
}
run "yard1" {
  from   = "W1 diverging"
  pieces = ["3 x straight 10"]
}
run "yard2" {
  from   = "W2 diverging"
  pieces = ["3 x straight 10"]
}
`

// The second track of a ladder is reached with the first turnout through and
// the second one diverging: neither all through nor all diverging feeds it.
func TestLadderWithLiveFrogsIsFed(t *testing.T) {
	r := run(t, read(t, shed+ladder+dc+feeder("F1", "lead 1", "P1")), check.Options{})
	require.Empty(t, r.Findings)
	cut := run(t, read(t, shed+ladder+dc+feeder("F1", "lead 1", "P1")+gap("yard2 1/2", "left")), check.Options{})
	f := find(t, cut, "no-feed")
	require.NotNil(t, f)
	require.Equal(t, []string{"yard2 2", "yard2 3"}, f.Pieces)
}

// A feeder beyond a live frog shorts the supply when the points are thrown
// against it, unless a gap stands between.
func TestFeederBeyondALiveFrog(t *testing.T) {
	text := shed + ladder + dc + feeder("F1", "lead 1", "P1") + feeder("F2", "lead 6", "P1")
	f := find(t, run(t, read(t, text), check.Options{}), "short-by-design")
	require.NotNil(t, f)
	require.True(t, strings.Contains(f.What, "thrown to diverging"), f.What)
	gapped := run(t, read(t, text+gap("lead 5/6", "left")), check.Options{})
	require.Nil(t, find(t, gapped, "short-by-design"))
	require.True(t, gapped.Works())
}

// The shipped power-routing turnout keeps its two rails behind the frog apart,
// many real ones do not: a feeder straight onto the track behind is told, unless
// a gap stands between, or the points alone feed it.
func TestFeederBeyondAPowerRoutingFrog(t *testing.T) {
	text := head("two-rail-routing") + ladder + dc + feeder("F1", "lead 1", "P1")
	require.Nil(t, find(t, run(t, read(t, text), check.Options{}), "feeder-beyond-frog"))
	fed := text + feeder("F2", "yard1 2", "P1")
	r := run(t, read(t, fed), check.Options{})
	f := find(t, r, "feeder-beyond-frog")
	require.NotNil(t, f)
	require.Equal(t, check.Badly, f.Severity)
	require.Equal(t, "W1", f.Place)
	require.Contains(t, f.What, "F2 feeds a rail behind the frog")
	require.Nil(t, find(t, run(t, read(t, fed+gap("W1/yard1 1", "left", "right")), check.Options{}),
		"feeder-beyond-frog"))
	require.Nil(t, find(t, run(t, read(t, head("two-rail")+ladder+dc+feeder("F1", "lead 1", "P1")+
		feeder("F2", "yard1 2", "P1")), check.Options{}),
		"feeder-beyond-frog"), "a dead frog needs no gap")
}

// A loop through a power-routing turnout is fed from both sides by one feeder;
// that is no feeder beyond the frog.
func TestLoopThroughAPowerRoutingTurnout(t *testing.T) {
	text := head("two-rail-routing") + `run "main" {
  closes = true
  pieces = ["straight 10", "turnout left diameter 31 angle 45 through 10 as W1", "6 x straight 10",
    "4 x curve left diameter 31 angle 45",
    "8 x straight 10", "4 x curve left diameter 31 angle 45"]
}
` + dc + feeder("F1", "main 5", "P1")
	require.Nil(t, find(t, run(t, read(t, text), check.Options{}), "feeder-beyond-frog"))
}

// The kind that comes with the program has one metal frog: a second feeder
// beyond it shorts the supply.
func TestShippedLiveFrog(t *testing.T) {
	text := head("two-rail-live-frog") + ladder + dc + feeder("F1", "lead 1", "P1")
	require.Empty(t, run(t, read(t, text), check.Options{}).Findings)
	f := find(t, run(t, read(t, text+feeder("F2", "lead 6", "P1")), check.Options{}), "short-by-design")
	require.NotNil(t, f)
}
