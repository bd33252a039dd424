package tui

import (
	"errors"
	"strings"
	"testing"
	"time"

	tea "github.com/charmbracelet/bubbletea"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/piece"
	"fishplate/layoutfile"

	bench "fishplate/tui/piece"
)

const shelf = `
name = "Corner shelf"
construction = "two-rail-live-frog"
units = "in"
run "main" { pieces = ["2 x straight 9", "turnout left diameter 36 angle 22.5 as W1", "straight 9"] }
supply "T1" {
  current = "dc"
  volts   = 12
  breaker = 2
}
accessory "station lamp" {
  kind  = "lamp"
  volts = 12
  amps  = 0.1
  at    = "main 2"
}
`

// boxed is an invented box of four pieces of which main 1 has passed before; the first pass
// cannot be kept, and a piece takes 14 seconds.
func boxed(t testing.TB, kept, aside *[]string) Options {
	f, problems := layoutfile.Read("shelf.hcl", []byte(shelf))
	require.NotNil(t, f, "%v", problems)
	lots, err := piece.Box(f.Layout)
	require.NoError(t, err)
	name := func(p int) string { return f.Layout.Pieces[p].ID() }
	at := time.Unix(0, 0)
	return Options{Layout: f.Layout, LayoutPath: "shelf.hcl", Piece: &bench.Options{Layout: f.Layout.Name, Lots: lots,
		Only: []int{0, 1, 2, 3}, Name: name, Loose: func(p int) string {
			return piece.Loose(f.Layout, p)
		},
		Passed: func(p int) bool { return p == 0 },
		Keep: func(lot *piece.Lot, p int) (string, time.Time, error) {
			*kept = append(*kept, name(p))
			if len(*kept) == 1 {
				return "", at, errors.New("the disk is full")
			}
			at = at.Add(14 * time.Second)
			return name(p) + " passed: odds 0.2 in shelf.hcl", at, nil
		},
		Before: map[int]string{1: "main 2 was put aside at the bench on 3 May (wrong at 2): is it mended, or is " +
			"another in its place?"},
		Aside: func(p int, wrong []int) error {
			*aside = append(*aside, name(p)+" "+piece.Numbers(wrong))
			if len(*aside) == 1 {
				return errors.New("the disk is full")
			}
			return nil
		}}}
}

// TestPieceFrames: every page of the bench check, from small to large.
func TestPieceFrames(t *testing.T) {
	for _, way := range []struct {
		name string
		keys []string
	}{
		{"ready", nil},
		{"kinds", []string{"enter"}},
		{"motor", []string{"enter", "2"}},
		{"straight", []string{"enter", "1", "enter"}},
		{"points", []string{"enter", "2", "enter", "1", "1", "0", "1", "0"}},
		{"wrong", []string{"enter", "1", "enter", "1", "1", "1"}},
		{"full-disk", []string{"enter", "1", "enter", "1", "1", "0"}},
	} {
		for _, size := range sizes {
			var kept, aside []string
			keys := way.keys
			if size[0] == 40 && len(keys) > 0 {
				keys = append([]string{"enter"}, keys...) // what is made ready has two pages there
			}
			holdsFrame(t, "piece-"+way.name, boxed(t, &kept, &aside), size, keys...)
		}
	}
}

// TestPieceScreen: one key an answer, a pass is kept before the next piece is taken, the
// last answer is taken back, a piece can wait, and one that fails says what to mend.
func TestPieceScreen(t *testing.T) {
	var kept, aside []string
	o := boxed(t, &kept, &aside)
	o.defaults()
	a := newApp(o)
	settle(a, a.Init())
	send(a, tea.WindowSizeMsg{Width: 80, Height: 24})
	seen := func() string { return strings.Join(strings.Fields(trimmed(a.View())), " ") }
	do := func(keys ...string) { typeInto(a, 80, 24, keys) }
	do("enter")
	assert.Contains(t, seen(), "straight or curve: 2 of 3 to go, 3 readings")
	do("1")
	assert.Contains(t, seen(), "First off the rails: station lamp.")
	do("enter")
	assert.Contains(t, seen(), "take a straight, to lie at main 2, from the box !! main 2 was put aside at the bench "+
		"on 3 May (wrong at 2): is it mended, or is another in its place? BLACK start left RED end left")
	do("1", "1", "0")
	assert.Contains(t, seen(), "the disk is full")
	assert.Contains(t, seen(), "passed 0")
	do("0")
	assert.Contains(t, seen(), "main 2 passed: odds 0.2 in shelf.hcl take a straight, to lie at main 4, from the box")
	assert.Equal(t, []string{"main 2", "main 2"}, kept)
	do("enter", "x")
	assert.Contains(t, seen(), "wrong: 2")
	do("u")
	assert.NotContains(t, seen(), "wrong: ")
	do("1", "1")
	assert.Contains(t, seen(), "MAIN 4 IS NOT AS IT MUST BE: wrong at 3 x 3: black on start left, red on start "+
		"right, must be silent (ohms: OL) - 100 %: metal lies across the two rails. Do: look for a tool")
	do("u", "0")
	assert.Contains(t, seen(), "main 4 passed: odds 0.2 in shelf.hcl (14 s a piece)")
	assert.Contains(t, seen(), "0 of 3 to go")
	do("2")
	assert.Contains(t, seen(), "Never hold power on a coil")
	do("enter")
	assert.Contains(t, seen(), "POINTS thrown to through")
	do("x", "enter", "enter", "enter", "enter", "enter", "enter", "enter", "enter", "enter")
	assert.Contains(t, seen(), "MAIN 3 IS NOT AS IT MUST BE: wrong at 1")
	do("r")
	assert.Contains(t, seen(), "main 3 1 of 10")
	do("s")
	assert.Contains(t, seen(), "main 3 is left for later")
	do("1")
	assert.Contains(t, seen(), "all of this kind are through")
	assert.Empty(t, aside)
}

// TestPieceAside: a piece that is not as it must be is kept as put aside before the next is
// taken, with the readings that were wrong.
func TestPieceAside(t *testing.T) {
	var kept, aside []string
	a := newApp(boxed(t, &kept, &aside))
	seen := func() string { return strings.Join(strings.Fields(trimmed(a.View())), " ") }
	typeInto(a, 80, 24, []string{"enter", "1", "enter", "x", "enter", "x", "enter"})
	assert.Contains(t, seen(), "the disk is full")
	typeInto(a, 80, 24, []string{"enter"})
	assert.Contains(t, seen(), "main 2 is put aside")
	assert.Contains(t, seen(), "main 4 1 of 3")
	assert.Equal(t, []string{"main 2 1, 3", "main 2 1, 3"}, aside)
}
