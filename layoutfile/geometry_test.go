package layoutfile

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
)

func withPieces(closes bool, pieces string) string {
	return fmt.Sprintf("name = \"T\"\nunits = \"mm\"\nconstruction = \"metal-tie\"\nrun \"main\" {\n  closes = %v\n  "+
		"pieces = [%s]\n}\n", closes, pieces)
}

// Worked by hand: 100 mm ahead, a quarter circle of 200 mm radius to the left
// (ends 200 ahead and 200 to the left, heading 90), 50 mm ahead, then one to
// the right of 100 mm radius.
func TestPosesByHand(t *testing.T) {
	l := mustRead(t, "x.hcl", withPieces(false,
		`"straight 100", "curve left radius 200 angle 90", "straight 50", "curve right diameter 200 angle 90"`)).Layout
	for i, want := range []track.Pose{{X: 100}, {X: 300, Y: 200, Heading: 90}, {X: 300, Y: 250, Heading: 90},
		{X: 400, Y: 350}} {
		requirePose(t, want, l.Pieces[i].Ends[1].Pose, fmt.Sprint(i))
	}
	require.InDelta(t, math.Pi*100, l.Pieces[1].Legs[0].Length, 1e-9)
}

// A turnout of 100 mm radius and 90 degrees: without a length of its own the
// through leg ends abreast, 100 mm ahead; met from the diverging end it turns
// the run to the right hand when it is a left-hand one.
func TestTurnoutPoses(t *testing.T) {
	l := mustRead(t, "x.hcl", withPieces(false, `"turnout left radius 100 angle 90", "straight 10"`)).Layout
	requirePose(t, track.Pose{X: 100}, l.Pieces[0].Ends[1].Pose, "through")
	requirePose(t, track.Pose{X: 100, Y: 100, Heading: 90}, l.Pieces[0].Ends[2].Pose, "diverging")
	requirePose(t, track.Pose{Heading: 180}, l.Pieces[0].Ends[0].Pose, "points")
	l = mustRead(t, "x.hcl", withPieces(false,
		`"turnout left radius 100 angle 90 through 70 trailing via diverging", "straight 10"`)).Layout
	requirePose(t, track.Pose{Heading: 180}, l.Pieces[0].Ends[2].Pose, "diverging")
	requirePose(t, track.Pose{X: 100, Y: -100, Heading: -90}, l.Pieces[0].Ends[0].Pose, "points")
	requirePose(t, track.Pose{X: 100, Y: -30, Heading: 90}, l.Pieces[0].Ends[1].Pose, "through")
}

// A square of four 90-degree curves with one side longer by a known amount
// misses by that amount, along the run; a curve too weak by five degrees
// misses by the chord that follows (by the law of sines, worked out below).
func TestMissesByKnownAmounts(t *testing.T) {
	c := `"curve left radius 200 angle 90"`
	square := func(a, b float64, last string) string {
		return withPieces(true, fmt.Sprintf(
			`"straight 300", %s,
			"straight 300", %s, "straight %g", %s, "straight %g", %s`, c, c, a, c, b, last))
	}
	f := mustRead(t, "x.hcl", square(300, 300, c))
	require.Zero(t, f.Layout.Runs[0].MissMM)
	require.Zero(t, f.Layout.Runs[0].MissDeg)

	f, problems := Read("x.hcl", []byte(square(345, 300, c)))
	require.NotNil(t, f)
	require.Len(t, problems, 1)
	require.True(t, problems[0].Warning)
	// the third side leads back by 45 mm more, so the run ends that far before its start
	require.Contains(t, problems[0].Summary, "run main misses at main 8/1: the ends are 45 mm apart (45 mm short)")
	require.InDelta(t, 45, f.Layout.Runs[0].MissMM, 1e-9)
	require.Zero(t, math.Round(f.Layout.Runs[0].MissDeg*1e9))

	f, problems = Read("x.hcl", []byte(square(300, 300, `"curve left radius 200 angle 85"`)))
	require.Len(t, problems, 1)
	require.Contains(t, problems[0].Summary, "5 degrees off")
	require.InDelta(t, 5, f.Layout.Runs[0].MissDeg, 1e-9)
	require.InDelta(t, 2*200*math.Sin(2.5*math.Pi/180), f.Layout.Runs[0].MissMM, 1e-9)

	// joints flex: 19 mm is passed over in silence, but noted
	f = mustRead(t, "x.hcl", square(319, 300, c))
	require.InDelta(t, 19, f.Layout.Runs[0].MissMM, 1e-9)
}

func TestMissSaysTheSide(t *testing.T) {
	c := `"curve left radius 200 angle 90"`
	src := withPieces(true, fmt.Sprintf(
		`"straight 300", %s,
		"straight 300", %s, "straight 300", %s, "straight 270", %s`, c, c, c, c))
	_, problems := Read("x.hcl", []byte(src))
	require.Len(t, problems, 1)
	// the last side goes down the page and is too short, so the run ends 30
	// mm above its start, heading right: too far to the left
	require.Contains(t, problems[0].Summary, "(30 mm too far to the left)")
}

// Runs that nothing joins lie apart.
func TestSeparateRunsDoNotOverlap(t *testing.T) {
	src := withPieces(false, `"4 x straight 100", "4 x curve left radius 300 angle 45"`) +
		"run \"b\" {\n  pieces = [\"8 x curve right radius 300 angle 45\"]\n}\nrun \"c\" {\n  pieces = [\"straight " +
		"2000\"]\n}\n"
	l := mustRead(t, "x.hcl", src).Layout
	var boxes []box
	for _, r := range l.Runs {
		b := emptyBox()
		for _, p := range r.Pieces {
			b.addPiece(&l.Pieces[p])
		}
		boxes = append(boxes, b)
	}
	require.Len(t, boxes, 3)
	for i := range boxes {
		for k := 0; k < i; k++ {
			require.True(t, boxes[i].y1 < boxes[k].y0-200 || boxes[k].y1 < boxes[i].y0-200, "%v %v", boxes[i], boxes[k])
		}
	}
}

// A run written before the run it starts from is laid onto it all the same.
func TestOrderOfRunsDoesNotMatterForPlaces(t *testing.T) {
	a := "run \"a\" {\n  from = \"W1 diverging\"\n  pieces = [\"straight 100\"]\n}\n"
	head := "name = \"T\"\nunits = \"mm\"\nconstruction = \"metal-tie\"\n"
	b := "run \"b\" {\n  pieces = [\"straight 50\", \"turnout left radius 100 angle 45 as W1\"]\n}\n"
	for _, src := range []string{head + a + b, head + b + a} {
		l := mustRead(t, "x.hcl", src).Layout
		p, q := l.Pieces[l.FindPiece("a 1")], l.Pieces[l.FindPiece("W1")]
		requirePose(t, turned(q.Ends[2].Pose), p.Ends[0].Pose, src)
		checkLayout(t, l)
	}
}
