package invent_test

import (
	"math/rand/v2"
	"testing"

	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/require"
)

// Every text is a layout file without errors, and the random ones cover what
// they claim to.
func TestTextsAreLayouts(t *testing.T) {
	read := func(text string) *layoutfile.File {
		f, problems := layoutfile.Read("invented", []byte(text))
		require.False(t, problems.Errors(), "%v\n%s", problems, text)
		return f
	}
	for _, c := range invent.Constructions {
		require.Len(t, read(invent.Oval(c, false)).Layout.Pieces, 16+3+3+3)
		require.Len(t, read(invent.Oval(c, true)).Layout.Pieces, 16+3+3+3)
		require.Len(t, read(invent.ReversingLoop(c)).Layout.Pieces, 9)
		require.Len(t, read(invent.Line(c, 12)).Layout.Pieces, 12)
		require.Len(t, read(invent.Loop(c, 12)).Layout.Pieces, 12)
		require.Len(t, read(invent.Figure(c)).Layout.Pieces, 14)
	}
	club := read(invent.Club()).Layout
	require.Len(t, club.Pieces, 386)
	require.Len(t, club.Feeders, 9)
	require.Len(t, club.Toggles, 4)
	var closed, open, twoFeeders, twoSupplies, branches int
	for seed := range uint64(60) {
		l := read(invent.Random(rand.New(rand.NewPCG(seed, 0)))).Layout
		if l.Runs[0].Closed {
			closed++
		} else {
			open++
		}
		if len(l.Feeders) > 1 {
			twoFeeders++
		}
		if len(l.Supplies) > 1 {
			twoSupplies++
		}
		if len(l.Runs) > 1 {
			branches++
		}
	}
	for _, n := range []int{closed, open, twoFeeders, twoSupplies, branches} {
		require.Greater(t, n, 8)
	}
}

func TestSameSeedSameText(t *testing.T) {
	require.Equal(t, invent.Random(rand.New(rand.NewPCG(4, 2))), invent.Random(rand.New(rand.NewPCG(4, 2))))
}

// Wired layouts are good files too, and have all that they claim to.
func TestWired(t *testing.T) {
	var rails, sensing, forms, threeWay, single, rings, middles int
	kinds := map[string]bool{}
	for seed := range uint64(40) {
		text := invent.Wired(rand.New(rand.NewPCG(seed, 6)))
		require.Equal(t, text, invent.Wired(rand.New(rand.NewPCG(seed, 6))))
		f, problems := layoutfile.Read("invented", []byte(text))
		require.False(t, problems.Errors(), "%v\n%s", problems, text)
		l := f.Layout
		require.Len(t, l.Buses, 2)
		kinds[l.Pieces[0].Construction.Name] = true
		sides := 0
		for i := range l.Toggles {
			if l.Toggles[i].Side {
				sides++
			}
		}
		middles += sides
		require.Len(t, l.Toggles, 2+sides)
		if l.Buses[0].RingMM > 0 {
			rings++
		}
		require.Len(t, l.Commons, 1)
		if len(l.InsulatedRails) > 0 && !l.InsulatedRails[0].Own {
			rails++
		}
		for i := range l.Pieces {
			if l.Pieces[i].Sensing {
				sensing++
			}
			switch l.Pieces[i].Form {
			case track.FormThreeWay:
				threeWay++
			case track.FormSingleSlip:
				single++
			case track.FormUsual:
			default:
				forms++
			}
		}
	}
	require.Len(t, kinds, len(invent.Constructions))
	for _, n := range []int{rails, sensing, forms, single, rings, middles} {
		require.Greater(t, n, 8)
	}
	require.Greater(t, threeWay, 3)
}
