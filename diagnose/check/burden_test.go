package check_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/check"
	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
)

// burden hangs random things on a layout: a bus, toggles, feeders on them,
// blocks, accessories, insulated rails anywhere, trains.
func burden(l *track.Layout, rng *rand.Rand) {
	pick := func(n int) int { return rng.IntN(n) }
	l.Buses = append(l.Buses, track.Bus{Name: "B1", Terminals: 3, Wire: "14 AWG", LengthMM: 4000, OhmsPerWire: 0.03})
	for i := range 3 {
		t := track.Toggle{Name: fmt.Sprintf("S%d", i+1), Hot: pick(2) == 0, Reverses: pick(4) == 0}
		t.Common = !t.Hot || pick(3) == 0
		if t.Chooses = !t.Reverses && len(l.Supplies) > 1 && pick(2) == 0; t.Chooses {
			t.Other.Index = 1
		}
		if pick(2) == 0 {
			t.On = track.Outlet{Kind: track.OnBus, Terminal: 1 + pick(3)}
		}
		l.Toggles = append(l.Toggles, t)
	}
	outlet := func() track.Outlet {
		switch pick(3) {
		case 0:
			return track.Outlet{Kind: track.OnBus, Terminal: 1 + pick(3)}
		case 1:
			return track.Outlet{Kind: track.OnToggle, Index: pick(3)}
		}
		return track.Outlet{}
	}
	for i := range l.Feeders {
		if l.Feeders[i].Supply == 0 {
			l.Feeders[i].On = outlet()
		}
	}
	main := l.Runs[0].Pieces
	for i := range 1 + pick(2) {
		from := pick(len(main) - 3)
		l.Blocks = append(l.Blocks, track.Block{Name: fmt.Sprintf("block %d", i), Pieces: main[from : from+3],
			Toggle: pick(4) - 1})
	}
	l.Accessories = append(l.Accessories, track.Accessory{Name: "lamps", Kind: track.Lamp, Volts: 6 + 12*rng.Float64(),
		Amps: 12 * rng.Float64(), On: outlet(), Turnout: -1})
	insulate(l, rng)
	if pick(2) == 0 {
		l.Trains = append(l.Trains, track.Train{Name: "freight", AxleMM: 900 * rng.Float64(),
			PickupMM: 300 * rng.Float64(), Amps: 12 * rng.Float64()})
	}
}

// insulate declares an insulated rail on three pieces of the main run and cuts
// it at none, one or both ends.
func insulate(l *track.Layout, rng *rand.Rand) {
	main := l.Runs[0].Pieces
	if len(main) < 5 {
		return
	}
	from := 1 + rng.IntN(len(main)-4)
	pieces := main[from : from+3]
	rails := l.Pieces[pieces[0]].Construction.Rails
	r := track.InsulatedRail{Name: "road", Rail: rails[len(rails)-1], Pieces: pieces,
		Tap:       track.Place{Piece: pieces[1], End: -1},
		Accessory: len(l.Accessories), Wire: "18 AWG", LengthMM: 1000, Ohms: 0.02}
	r.TapRail = r.Rail
	r.From, r.To = between(l, main[from-1], pieces[0]), between(l, pieces[2], main[from+3])
	if r.From < 0 || r.To < 0 || !plain(l, pieces[1]) {
		return
	}
	for _, j := range []int{r.From, r.To} {
		if rng.IntN(4) > 0 {
			l.Joints[j].Insulated = []track.Rail{r.Rail}
		}
	}
	for _, p := range pieces {
		l.Pieces[p].Untied = rng.IntN(5) > 0
	}
	l.Accessories = append(l.Accessories, track.Accessory{Name: "gate", Kind: track.Motor, Volts: 14, Amps: 0.8,
		ColdOhms: 7, Turnout: -1})
	l.InsulatedRails = append(l.InsulatedRails, r)
}

func plain(l *track.Layout, p int) bool {
	return l.Pieces[p].Kind == track.Straight || l.Pieces[p].Kind == track.Curve
}

func between(l *track.Layout, a, b int) int {
	for j := range l.Joints {
		x, y := l.Joints[j].A.Piece, l.Joints[j].B.Piece
		if x == a && y == b || x == b && y == a {
			return j
		}
	}
	return -1
}

// Whatever hangs on a layout, the check answers, says the same twice and fills
// in every finding. An insulated rail is called not cut off exactly when a
// plain search finds a post from it, and a block not switched off exactly when
// pieces of it have both sides of a supply with its toggle open.
func TestBurdenedLayouts(t *testing.T) {
	rng := rand.New(rand.NewPCG(12, 3))
	counts := map[string]int{}
	for i := range 160 {
		l := read(t, invent.Random(rng))
		if i%3 == 0 {
			scramble(l, rng)
		}
		burden(l, rng)
		r := run(t, l, check.Options{})
		require.Equal(t, r, run(t, l, check.Options{}), "layout %d", i)
		requireWhole(t, l, r)
		n, err := conductor.Build(l)
		require.NoError(t, err)
		agreeOnInsulated(t, n, r)
		agreeOnBlocks(t, n, r)
		for i := range r.Findings {
			counts[r.Findings[i].Kind]++
		}
	}
	for _, kind := range []string{"insulated-rail-uncut", "insulated-rail-tied", "insulated-rail-bridged",
		"block-bridged", "block-no-toggle", "toggle-idle",
		"accessory-load", "accessory-volts", "reverser-shorts", "insulated-rail-short", "insulated-rail-no-return",
		"train-trips"} {
		require.NotZero(t, counts[kind], "%s: %v", kind, counts)
	}
}

func agreeOnInsulated(t *testing.T, n *conductor.Network, r *check.Report) {
	for i := range n.Layout.InsulatedRails {
		ir := &n.Layout.InsulatedRails[i]
		at := n.Middle(ir.Pieces[1], ir.TapRail)
		first := n.At(track.EndRef{Piece: ir.Pieces[0]}, ir.Rail)
		if !plain(n.Layout, ir.Pieces[0]) || at < 0 || first < 0 {
			continue
		}
		live := false
		seen := reach(n, first, "")
		for _, p := range n.Posts {
			live = live || seen[n.NodeOf(p[0])] || seen[n.NodeOf(p[1])]
		}
		said := countKinds(r, "insulated-rail-tied", "insulated-rail-bridged") > 0
		uncut := countKinds(r, "insulated-rail-uncut") > 0
		require.True(t, !live || said || uncut, "%s has current, and nothing is said", ir.Name)
		require.True(t, live || !said, "%s has no current, and is said to have", ir.Name)
	}
}

func agreeOnBlocks(t *testing.T, n *conductor.Network, r *check.Report) {
	var want []string
	for i := range n.Layout.Blocks {
		b := &n.Layout.Blocks[i]
		if b.Toggle < 0 || n.Layout.Toggles[b.Toggle].Reverses || n.Layout.Toggles[b.Toggle].Chooses {
			continue
		}
		open := *n
		open.Links = append([]conductor.Link(nil), n.Links...)
		for k := range open.Links {
			if l := &open.Links[k]; l.Kind == conductor.KindToggle && l.Toggle == b.Toggle {
				l.NormallyOpen = true
			}
		}
		var sides [][2][]bool
		for _, p := range n.Posts {
			sides = append(sides, [2][]bool{reach(&open, p[0], ""), reach(&open, p[1], "")})
		}
		live := false
		for _, p := range b.Pieces {
			if plain(n.Layout, p) {
				live = live || fedBy(n, sides, func(r track.Rail) int {
					return n.Middle(p, r)
				}, n.Layout.Pieces[p].Construction)
			} else {
				for e := range n.Layout.Pieces[p].Ends {
					at := func(r track.Rail) int { return n.At(track.EndRef{Piece: p, End: e}, r) }
					live = live || fedBy(n, sides, at, n.Layout.Pieces[p].Construction)
				}
			}
		}
		if live {
			want = append(want, b.Name)
		}
	}
	require.Equal(t, len(want), countKinds(r, "block-bridged"), "%v", want)
}
