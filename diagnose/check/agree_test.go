package check_test

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/check"
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
)

// named lists the pieces of all findings of some kinds.
func named(r *check.Report, kinds ...string) []string {
	var out []string
	for i := range r.Findings {
		if slices.Contains(kinds, r.Findings[i].Kind) {
			out = append(out, r.Findings[i].Pieces...)
		}
	}
	return out
}

// trackParts numbers the parts that track alone joins, all routes closed, by
// repeated relabelling: slow, and nothing like the code under test.
func trackParts(n *conductor.Network) []int {
	part := make([]int, n.Nodes)
	for i := range part {
		part[i] = i
	}
	for changed := true; changed; {
		changed = false
		for i := range n.Links {
			k := &n.Links[i]
			if k.NormallyOpen || k.Piece < 0 && k.Joint < 0 {
				continue
			}
			a, b := n.NodeOf(k.A), n.NodeOf(k.B)
			if low := min(part[a], part[b]); part[a] != part[b] {
				part[a], part[b], changed = low, low, true
			}
		}
	}
	return part
}

// What is said about gaps, shorts, joined supplies, floating rails and loops
// that turn trains round agrees with plain searches, on random layouts, sound
// and scrambled.
func TestFindingsAgreeWithPlainSearches(t *testing.T) {
	rng := rand.New(rand.NewPCG(9, 2))
	for i := range 120 {
		l := read(t, invent.Random(rng))
		if i%2 == 1 {
			scramble(l, rng)
		}
		n, err := conductor.Build(l)
		require.NoError(t, err)
		r := run(t, l, check.Options{})
		part := trackParts(n)
		agreeOnGaps(t, n, r, part)
		agreeOnSupplies(t, n, r)
		agreeOnFloating(t, n, r)
		agreeOnTurning(t, n, r, part)
	}
}

// Both pieces of a gap that track goes round are named; of a gap that nothing
// goes round, the joint is in no such finding.
func agreeOnGaps(t *testing.T, n *conductor.Network, r *check.Report, part []int) {
	round := map[int]bool{}
	for i := range n.Links {
		if k := &n.Links[i]; k.Kind == conductor.KindGap {
			round[k.Joint] = round[k.Joint] || part[n.NodeOf(k.A)] == part[n.NodeOf(k.B)]
		}
	}
	pieces := named(r, "gap-tied", "gap-bypassed")
	var places string
	for i := range r.Findings {
		if strings.HasPrefix(r.Findings[i].Kind, "gap-tied") || r.Findings[i].Kind == "gap-bypassed" {
			places += r.Findings[i].Place + ", "
		}
	}
	for j := range n.Layout.Joints {
		bypassed, isGap := round[j]
		if !isGap {
			continue
		}
		joint := &n.Layout.Joints[j]
		if bypassed {
			require.Contains(t, pieces, n.Layout.Pieces[joint.A.Piece].ID())
			require.Contains(t, pieces, n.Layout.Pieces[joint.B.Piece].ID())
		} else {
			require.NotContains(t, strings.Split(strings.ReplaceAll(places, " and ", ", "), ", "), joint.Name)
		}
	}
}

// A supply has no volts exactly when its posts are shorted, or joined to those
// of another one otherwise than common to common. (Common joined to both posts
// of a supply that is shorted itself does no harm.)
func agreeOnSupplies(t *testing.T, n *conductor.Network, r *check.Report) {
	var want []string
	for s, p := range n.Posts {
		hot, common := reach(n, p[0], ""), reach(n, p[1], "")
		bad := hot[n.NodeOf(p[1])]
		for o, q := range n.Posts {
			if o != s && (hot[n.NodeOf(q[0])] || hot[n.NodeOf(q[1])] ||
				common[n.NodeOf(q[0])] && !reach(n, q[0], "")[n.NodeOf(q[1])]) {
				bad = true
			}
		}
		if bad {
			want = append(want, n.Layout.Supplies[s].Name)
		}
	}
	require.Equal(t, want, r.Unsolved)
	require.Equal(t, len(want) > 0, countKinds(r,
		"feeder-crossed", "feeder-on-tied-rails", "short-by-design", "reversing-short", "supplies-joined") > 0)
}

func countKinds(r *check.Report, kinds ...string) int {
	n := 0
	for i := range r.Findings {
		if slices.Contains(kinds, r.Findings[i].Kind) {
			n++
		}
	}
	return n
}

// An outer rail in the middle of a plain piece that no post reaches, while the
// piece has current, is named as floating or as cut off.
func agreeOnFloating(t *testing.T, n *conductor.Network, r *check.Report) {
	var sides [][2][]bool
	for _, p := range n.Posts {
		sides = append(sides, [2][]bool{reach(n, p[0], ""), reach(n, p[1], "")})
	}
	pieces := named(r, "floating-rail", "insulated-rail-unused")
	for p := range n.Layout.Pieces {
		piece := &n.Layout.Pieces[p]
		if piece.Kind != track.Straight && piece.Kind != track.Curve || !piece.Construction.HasRail(track.Center) {
			continue
		}
		at := func(r track.Rail) int { return n.Middle(p, r) }
		loose := false
		for _, rail := range []track.Rail{track.Left, track.Right} {
			node := n.NodeOf(at(rail))
			loose = loose || !slices.ContainsFunc(sides, func(s [2][]bool) bool { return s[0][node] || s[1][node] })
		}
		want := loose && fedBy(n, sides, at, piece.Construction)
		require.Equal(t, want, slices.Contains(pieces, piece.ID()), piece.ID())
	}
}

// Two-rail track whose left and right rail are joined by track alone has a
// loop or wye that is named, and no other has.
func agreeOnTurning(t *testing.T, n *conductor.Network, r *check.Report, part []int) {
	joined := false
	for p := range n.Layout.Pieces {
		piece := &n.Layout.Pieces[p]
		if piece.Kind != track.Straight && piece.Kind != track.Curve || piece.Construction.HasRail(track.Center) {
			continue
		}
		joined = joined || part[n.NodeOf(n.Middle(p, track.Left))] == part[n.NodeOf(n.Middle(p, track.Right))]
	}
	require.Equal(t, joined, countKinds(r, "reversing-short") > 0)
}

// Random layouts have no reversing loop; these have one each, and it is named
// with its turnout and without the stem.
func TestReversingLoopsAreNamed(t *testing.T) {
	for _, construction := range []string{"two-rail", "two-rail-routing"} {
		r := run(t, read(t, invent.ReversingLoop(construction)), check.Options{})
		f := find(t, r, "reversing-short")
		require.NotNil(t, f)
		require.Equal(t, []string{"main 3", "main 4", "main 5", "main 6", "main 7", "main 8", "main 9"}, f.Pieces)
		require.Contains(t, f.Do, "main 3/4")
		require.Contains(t, f.Do, "main 9/3")
		require.Equal(t, []string{"T1"}, r.Unsolved)
		require.False(t, r.Works())
	}
	for _, construction := range []string{"metal-tie", "roadbed", "solid-rail"} {
		r := run(t, read(t, invent.ReversingLoop(construction)), check.Options{})
		require.Nil(t, find(t, r, "reversing-short"))
		require.NotNil(t, find(t, r, "reversing-three-rail"))
		require.True(t, r.Works())
	}
}

// Two loops on one stem, as a dog bone: both are named.
func TestTwoReversingLoops(t *testing.T) {
	text := head("two-rail") + `run "main" {
  pieces = ["turnout left trailing diameter 31 angle 45 as W1", "4 x straight 10",
    "turnout left diameter 31 angle 45 as W2"]
}
run "west" {
  from   = "W1 through"
  to     = "W1 diverging"
  pieces = ["6 x curve left diameter 31 angle 45"]
}
run "east" {
  from   = "W2 through"
  to     = "W2 diverging"
  pieces = ["6 x curve left diameter 31 angle 45"]
}
` + dc + feeder("F1", "main 3", "P1")
	f, _ := layoutRead(text)
	r := run(t, f, check.Options{})
	require.Equal(t, 2, countKinds(r, "reversing-short"))
	require.Subset(t, named(r, "reversing-short"), []string{"main 1", "west 1", "west 6", "main 6", "east 1", "east 6"})
	require.NotContains(t, named(r, "reversing-short"), "main 3")
}
