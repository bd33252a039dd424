package stage_test

import (
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/piece"
	"fishplate/diagnose/simulate"
	"fishplate/diagnose/stage"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func layouts(t testing.TB) map[string]*track.Layout {
	t.Helper()
	_, demo := layoutfile.Demo()
	texts := map[string]string{"demo": string(demo), "line": invent.Line("two-rail", 23),
		"reversing": invent.ReversingLoop("metal-tie")}
	for _, c := range append(slices.Clone(invent.Constructions), "two-rail-live-frog") {
		texts["oval "+c] = invent.Oval(c, c == "roadbed")
	}
	for seed := range uint64(6) {
		texts[fmt.Sprint("random ", seed)] = invent.Wired(rand.New(rand.NewPCG(seed, 3)))
	}
	out := map[string]*track.Layout{}
	for name, text := range texts {
		f, problems := layoutfile.Read(name, []byte(text))
		require.NotNil(t, f, "%s: %v", name, problems)
		out[name] = f.Layout
	}
	return out
}

// table is a layout being built, on a bench that shares nothing with the plan: what
// is not laid yet is a joint that is open.
type table struct {
	l     *track.Layout
	n     *conductor.Network
	bench *simulate.Bench
	plan  *stage.Plan
}

// ohms takes a reading of a stage as a hand would that was told its words.
func (b *table) ohms(t testing.TB, s *stage.Stage, r *stage.Reading) float64 {
	t.Helper()
	var set conductor.Setup
	last := b.l.FindPiece(s.Last)
	for j := range b.l.Joints {
		q := &b.l.Joints[j]
		left := false // open until its stage is read
		for i := s.N - 1; i < len(b.plan.Stages); i++ {
			left = left || slices.Contains(b.plan.Stages[i].Open, q.Name)
		}
		if max(q.A.Piece, q.B.Piece) > last || left {
			set.Lift(j)
		}
	}
	for f := range b.l.Feeders {
		set.Pull(f)
	}
	set.UnplugAll(b.l)
	for name, route := range r.Thrown {
		require.NoError(t, b.n.Throw(&set, name, route))
	}
	for _, c := range r.Clipped {
		if p, q := b.n.Find(r.Clipped[0]), b.n.Find(c); p != q && b.n.NodeOf(p) != b.n.NodeOf(q) {
			set.Loads = append(set.Loads, conductor.Load{From: p, To: q, Ohms: stage.ClipOhms})
		}
	}
	red, black := b.n.Find(r.Red), b.n.Find(r.Black)
	require.GreaterOrEqual(t, min(red, black), 0, "%s, %s", r.Red, r.Black)
	return b.bench.Ohms(set, red, black)
}

// fails gives the first stage with a reading that is not as it must be, 0 for none.
func (b *table) fails(t testing.TB) int {
	t.Helper()
	for i := range b.plan.Stages {
		s := &b.plan.Stages[i]
		for k := range s.Readings {
			r := &s.Readings[k]
			ohms := b.ohms(t, s, r)
			if r.Want == piece.Silent && !math.IsInf(ohms, 1) || r.Want == piece.Beeps && ohms > r.Most {
				return s.N
			}
		}
	}
	return 0
}

// owned are the faults that are laid with a piece, or with the joint that it is laid
// on, and the stage in which that is; not those of joints that close a ring.
func owned(n *conductor.Network, plan *stage.Plan) ([]fault.Suspect, map[string]int) {
	where, late := map[string]int{}, map[string]int{}
	closing := map[string]bool{}
	for _, s := range plan.Stages {
		for _, p := range s.Pieces {
			where[p] = s.N
		}
		for _, j := range s.Open {
			closing[j] = true
		}
	}
	var out []fault.Suspect
	for _, s := range fault.List(n) {
		switch k := &n.Links[s.Links[0]]; {
		case s.Feeder >= 0:
		case k.Piece >= 0:
			out, late[s.ID] = append(out, s), where[n.Layout.Pieces[k.Piece].ID()]
		case k.Joint >= 0 && !closing[k.Place]:
			q := &n.Layout.Joints[k.Joint]
			out, late[s.ID] = append(out, s), where[n.Layout.Pieces[max(q.A.Piece, q.B.Piece)].ID()]
		}
	}
	return out, late
}

// TestStagesOnABench builds layouts with a fault hidden, stage by stage, on a circuit
// that is not the plan's: sound ones pass, and a fault fails the stage in which its
// piece is laid, as often as the plan says, and none before or after.
func TestStagesOnABench(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 6))
	sound, alarms, found, said, tried := 0, 0, 0.0, 0.0, 0
	all := layouts(t)
	for _, name := range slices.Sorted(maps.Keys(all)) {
		l := all[name]
		n, err := conductor.Build(l)
		require.NoError(t, err)
		plan, err := stage.Make(l, stage.Options{Within: 8, Seed: 1})
		require.NoError(t, err, name)
		laid, chance, seen := 0, 0.0, 0.0
		for i, s := range plan.Stages {
			require.Equal(t, i+1, s.N)
			require.LessOrEqual(t, len(s.Pieces), 8)
			laid += len(s.Pieces)
			chance += s.Chance
			seen += s.Chance * s.Seen
		}
		require.Equal(t, len(l.Pieces), laid, name)
		b := &table{l: l, n: n, plan: plan}
		draw := func() []float64 {
			return simulate.DrawOhms(n, rng, simulate.DrawLevel(rng, n.RailLevel),
				simulate.DrawLevel(rng, n.JointLevel))
		}
		for range 4 {
			b.bench = simulate.NewBench(n, draw(), nil)
			sound++
			if b.fails(t) > 0 {
				alarms++
			}
		}
		list, stageOf := owned(n, plan)
		for range 14 {
			hidden := simulate.DrawFault(list, rng)
			b.bench = simulate.NewBench(n, draw(), []simulate.Fault{hidden})
			tried++
			said += seen / chance
			if got := b.fails(t); got != 0 {
				found++
				assert.Equal(t, stageOf[hidden.Suspect.ID], got, "%s: %s", name, hidden.Suspect.ID)
			}
		}
	}
	t.Logf("%d sound layouts, %d with a false alarm; of %d faults %.0f shown, %.1f as told", sound, alarms, tried,
		found, said)
	assert.LessOrEqual(t, alarms, 4) // a reading in a hundred, at the most
	// Three standard deviations of that many draws.
	assert.InDelta(t, said, found, 3*math.Sqrt(said*(1-said/float64(tried))))
}

// TestStops: a ring is closed last, an insulated joint is read on both sides, and an
// insulated rail before it is nailed down.
func TestStops(t *testing.T) {
	l := layouts(t)["oval metal-tie"]
	plan, err := stage.Make(l, stage.Options{Within: 8, Seed: 1})
	require.NoError(t, err)
	open := 0
	for _, s := range plan.Stages {
		open += len(s.Open)
		for _, r := range s.Readings {
			assert.NotEmpty(t, r.Why)
			assert.Equal(t, r.Want == piece.Beeps, r.Most > 0)
		}
	}
	// The main line's ring and the siding's: joints less pieces, and one for each part
	// (Euler's formula for a graph that is one part).
	assert.Equal(t, len(l.Joints)-len(l.Pieces)+1, open)
	assert.Len(t, plan.Wiring, len(l.Feeders)+1+len(l.Supplies)-1)
}
