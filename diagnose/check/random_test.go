package check_test

import (
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/check"
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
)

// reach is a plain search from a point along every link that is no gap, no
// insulation and no load, with turnouts thrown to a route, or with all routes
// closed (""): the oracle of the tests.
func reach(n *conductor.Network, from int, route string) []bool {
	next := make([][]int, n.Nodes)
	for i := range n.Links {
		k := &n.Links[i]
		if k.NormallyOpen || k.Kind == conductor.KindLoad || k.When == conductor.WhenOff ||
			k.Kind == conductor.KindSwitch && route != "" && k.When != route {
			continue
		}
		a, b := n.NodeOf(k.A), n.NodeOf(k.B)
		next[a], next[b] = append(next[a], b), append(next[b], a)
	}
	seen := make([]bool, n.Nodes)
	todo := []int{n.NodeOf(from)}
	for len(todo) > 0 {
		at := todo[len(todo)-1]
		todo = todo[:len(todo)-1]
		if !seen[at] {
			seen[at] = true
			todo = append(todo, next[at]...)
		}
	}
	return seen
}

// fedBy says whether some supply has one side on the center (left) rail and the
// other on another rail, at the places given.
func fedBy(n *conductor.Network, sides [][2][]bool, at func(track.Rail) int, c *track.Construction) bool {
	a, others := track.Left, []track.Rail{track.Right}
	if c.HasRail(track.Center) {
		a, others = track.Center, []track.Rail{track.Left, track.Right}
	}
	for _, s := range sides {
		for k := range 2 {
			for _, r := range others {
				if s[k][n.NodeOf(at(a))] && s[1-k][n.NodeOf(at(r))] {
					return true
				}
			}
		}
	}
	return false
}

// scramble changes a sound random layout: gaps anywhere, feeders on any rails.
func scramble(l *track.Layout, rng *rand.Rand) {
	for j := range l.Joints {
		rails := l.Pieces[l.Joints[j].A.Piece].Construction.Rails
		if rng.IntN(12) == 0 {
			l.Joints[j].Insulated = []track.Rail{rails[rng.IntN(len(rails))]}
		}
		if rng.IntN(25) == 0 {
			l.Joints[j].Insulated = slices.Clone(rails)
		}
	}
	for i := range l.Feeders {
		rails := l.Pieces[l.Feeders[i].At.Piece].Construction.Rails
		if rng.IntN(4) == 0 {
			l.Feeders[i].Hot, l.Feeders[i].Common = rails[rng.IntN(len(rails))], rails[rng.IntN(len(rails))]
		}
	}
}

// On random layouts the check never fails, says the same twice, fills in every
// finding, and finds exactly the pieces dead that a plain search finds dead.
func TestRandomLayouts(t *testing.T) {
	counts := map[string]int{}
	rng := rand.New(rand.NewPCG(4, 1))
	for i := range 300 {
		l := read(t, invent.Random(rng))
		if i%2 == 1 {
			scramble(l, rng)
		}
		r := run(t, l, check.Options{})
		require.Equal(t, r, run(t, l, check.Options{}), "layout %d", i)
		requireWhole(t, l, r)
		n, err := conductor.Build(l)
		require.NoError(t, err)
		require.Equal(t, deadByOracle(n), deadByCheck(l, r), "layout %d", i)
		for i := range r.Findings {
			counts[r.Findings[i].Kind]++
		}
	}
	for _, kind := range []string{"no-feed", "feeder-crossed", "supplies-joined", "gap-tied", "gap-bypassed",
		"floating-rail", "phase-unknown"} {
		require.NotZero(t, counts[kind], "no random layout had %s: %v", kind, counts)
	}
}

func requireWhole(t require.TestingT, l *track.Layout, r *check.Report) {
	for i, f := range r.Findings {
		for _, s := range []string{f.Kind, f.Place, f.What, f.Why, f.Do, f.Basis} {
			require.NotEmpty(t, s, "%+v", f)
		}
		for _, p := range f.Pieces {
			require.GreaterOrEqual(t, l.FindPiece(p), 0, p)
		}
		if i > 0 {
			order := func(f check.Finding) int { return slices.Index(check.Severities, f.Severity) }
			require.GreaterOrEqual(t, order(f), order(r.Findings[i-1]))
		}
	}
	require.Equal(t, r.Works(), r.Count(check.WontWork) == 0)
}

// deadByOracle lists the pieces with an end (of a way that leads anywhere) at
// which no supply has both sides. Clusters of bumpers alone do not count.
func deadByOracle(n *conductor.Network) []string {
	var sides [][2][]bool
	for _, p := range n.Posts {
		sides = append(sides, [2][]bool{reach(n, p[0], ""), reach(n, p[1], "")})
	}
	l := n.Layout
	var out []string
	for p := range l.Pieces {
		piece := &l.Pieces[p]
		dead := false
		for e := range piece.Ends {
			ahead := slices.ContainsFunc(piece.Legs, func(leg track.Leg) bool {
				return (leg.From == e || leg.To == e) && (piece.Ends[leg.From].Joint >= 0 ||
					piece.Ends[leg.To].Joint >= 0)
			})
			if piece.Kind == track.Crossing && !ahead && piece.Ends[e].Joint < 0 {
				continue
			}
			at := func(r track.Rail) int { return n.At(track.EndRef{Piece: p, End: e}, r) }
			dead = dead || !fedBy(n, sides, at, piece.Construction)
		}
		if dead && piece.Kind != track.Bumper {
			out = append(out, piece.ID())
		}
	}
	return out
}

func deadByCheck(l *track.Layout, r *check.Report) []string {
	var out []string
	for i := range r.Findings {
		if k := r.Findings[i].Kind; k == "no-feed" || k == "dead-spot" {
			out = append(out, r.Findings[i].Pieces...)
		}
	}
	out = slices.DeleteFunc(out, func(p string) bool { return l.Pieces[l.FindPiece(p)].Kind == track.Bumper })
	slices.SortFunc(out, func(a, b string) int { return l.FindPiece(a) - l.FindPiece(b) })
	return out
}
