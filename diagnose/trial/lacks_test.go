package trial_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/hunt"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/track"
	"fishplate/diagnose/trial"
	"fishplate/layoutfile"
)

// fed is an invented loop of 60 with feeders at these joints of it.
func fed(t *testing.T, at ...string) *track.Layout {
	t.Helper()
	text, err := trial.Shape("loop", 60, trial.Build{})
	require.NoError(t, err)
	head, tail, _ := strings.Cut(text, "feeder ")
	_, tail, _ = strings.Cut(tail, "supply \"T1\" {")
	for i, joint := range at {
		head += "feeder \"F" + string(rune('1'+i)) + "\" {\n  at = \"" + joint +
			"\"\n  supply = \"T1\"\n  wire = \"16 AWG\"\n  length = \"6 ft\"\n}\n"
	}
	f, problems := layoutfile.Read("invented", []byte(head+"supply \"T1\" {"+tail))
	require.False(t, problems.Errors(), "%v", problems)
	return f.Layout
}

// A feeder that the file lacks is looked for with all others off, named near where it
// is, and the short is found past it.
func TestFeederThatTheFileLacks(t *testing.T) {
	file, is := fed(t, "main 8/9"), fed(t, "main 8/9", "main 38/39")
	e, err := trial.Lay(trial.Table{File: file, True: is, Kit: acKit, Symptom: hunt.Symptom{Kind: hunt.SymptomShort},
		Hidden: []simulate.Fault{hidden(t, is, track.Bridged, "main 51", "center-left", 0.05)},
		Meter:  simulate.GoodMeter()}, rand.New(rand.NewPCG(2, 6)))
	require.NoError(t, err)
	e.Prove = true
	play(t, e)
	require.True(t, e.Proven, "%s", e.Verdict)
	require.Contains(t, e.Verdict, "the file lacks a feeder, near main ")
	require.Len(t, e.Doubts, 1)
	named := is.FindJoint(e.Doubts[0].SeemsAt)
	require.InDelta(t, is.Feeders[1].At.Piece, is.Joints[named].A.Piece, 4, "%v", e.Log)
	require.LessOrEqual(t, e.Doubted, 8)
	require.LessOrEqual(t, e.Looks, 3)
}

// A feeder of the file that feeds nothing, its wires off at both ends, does not hide a
// short elsewhere; it is named where the readings tell, and none is where all feed.
func TestFeederThatFeedsNothing(t *testing.T) {
	if testing.Short() {
		t.Skip("three whole hunts with doubted feeders: 10 s")
	}
	l := fed(t, "main 8/9", "main 38/39")
	var off []simulate.Fault
	for _, rail := range []string{"hot", "common"} {
		off = append(off, hidden(t, l, track.Open, "F2", rail, 0))
	}
	named := 0
	for _, c := range []struct {
		place string
		seed  uint64
		off   []simulate.Fault
	}{{"main 20", 2, off}, {"main 5", 4, off}, {"main 29", 3, nil}} {
		e, err := trial.Lay(trial.Table{File: l, Kit: acKit, Symptom: hunt.Symptom{Kind: hunt.SymptomShort},
			Hidden: append(slices.Clone(c.off), hidden(t, l, track.Bridged, c.place, "center-left", 0.05)),
			Meter:  simulate.GoodMeter()}, rand.New(rand.NewPCG(c.seed, 12)))
		require.NoError(t, err)
		e.Prove = true
		play(t, e)
		require.True(t, e.Proven, "%s: %s", c.place, e.Verdict)
		require.LessOrEqual(t, e.Looks, 3, c.place)
		if c.off == nil {
			require.Empty(t, e.Doubts)
			continue
		}
		require.NotContains(t, e.Verdict, "seems to sit", c.place)
		if strings.Contains(e.Verdict, "F2 seems to feed nothing: see where its wires end") {
			named++
		}
	}
	require.Positive(t, named)
}
