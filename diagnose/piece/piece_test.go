package piece_test

import (
	"fmt"
	"math"
	"slices"
	"sort"
	"strings"
	"testing"

	"fishplate/diagnose/piece"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// read is a layout of one row of pieces.
func read(t testing.TB, construction string, pieces ...string) *track.Layout {
	t.Helper()
	text := fmt.Sprintf("name = \"bench\"\nunits = \"in\"\nconstruction = %q\n", construction)
	for i, p := range pieces {
		text += fmt.Sprintf("run \"r%d\" { pieces = [%q] }\n", i+1, p)
	}
	f, problems := layoutfile.Read("bench", []byte(text))
	require.NotNil(t, f, "%v", problems)
	return f.Layout
}

func check(t testing.TB, construction, text string) *piece.Check {
	t.Helper()
	c, err := piece.Of(read(t, construction, text), 0)
	require.NoError(t, err)
	return c
}

// groups joins what the readings of a position say beeps through, and holds that
// they are what is needed and no more: each beep joins two groups, and between any
// two groups stands one reading that is open.
func groups(t testing.TB, c *piece.Check, position string) []string {
	t.Helper()
	lead := map[string]string{}
	find := func(s string) string {
		if lead[s] == "" {
			lead[s] = s
		}
		for lead[s] != s {
			s = lead[s]
		}
		return s
	}
	apart := map[[2]string]bool{}
	for _, r := range c.Readings {
		if r.Position != position {
			continue
		}
		a, b := find(r.Black), find(r.Red)
		switch r.Want {
		case piece.Beeps:
			require.NotEqual(t, a, b, "%s to %s is read for nothing", r.Black, r.Red)
			lead[b] = a
		case piece.Silent:
			require.NotEqual(t, a, b)
			require.False(t, apart[[2]string{a, b}], "%s to %s is read twice", r.Black, r.Red)
			apart[[2]string{a, b}], apart[[2]string{b, a}] = true, true
		}
	}
	all := map[string][]string{}
	for s := range lead {
		all[find(s)] = append(all[find(s)], short(s))
	}
	var out []string
	for lead, g := range all {
		sort.Strings(g)
		out = append(out, strings.Join(g, " "))
		for other := range all {
			if lead != other && !c.Sensing {
				require.True(t, apart[[2]string{lead, other}], "%s to %s is not read", lead, other)
			}
		}
	}
	sort.Strings(out)
	return out
}

// short is "tL" for "through left".
func short(s string) string {
	end, rail, ok := strings.Cut(s, " ")
	if !ok {
		return s
	}
	if end == track.EndThird {
		end = "3"
	} else if !strings.ContainsAny(end, "12") {
		end = end[:1]
	}
	return end + strings.ToUpper(rail[:1])
}

// What each construction is, written down from how the trade describes it and not
// from the program's table of conductors: which rail ends are one piece of metal.
//   - ties of pressed track join the outer rails, insulation holds the center rail
//     off (a short is an insulator that slipped: D. Farquhar, "Testing electric train
//     track", a page of the trade, second-hand);
//   - moulded and solid-rail track keeps three rails apart; jumpers under a turnout
//     carry each of them to all three ends (common practice, no source);
//   - in two-rail turnouts with all rails live the frog is dead and each rail is
//     carried past it by a jumper; power-routing points feed only the leg they are
//     set for; a live frog has the side of the rail on which the points lie, and both
//     rails behind it (common practice; NEM 110 note 4 on opposite polarity there).
//
// The ends: p points, t through, d diverging, 3 the third leg; s start, e end.
func TestTruthTables(t *testing.T) {
	const (
		leftTurnout  = "turnout left diameter 31 angle 45"
		rightTurnout = "turnout right diameter 31 angle 45"
		threeWay     = "turnout three-way diameter 54 angle 22.5"
		cross        = "crossing 90 length 10"
		slip         = "slip 22.5 length 12"
		single       = "slip 22.5 single length 12"
	)
	for _, x := range []struct {
		construction, piece, position string
		want                          []string
	}{
		{"metal-tie", "straight 10", "", []string{"eC sC", "eL eR sL sR"}},
		{"metal-tie", "curve left diameter 31 angle 45", "", []string{"eC sC", "eL eR sL sR"}},
		{"metal-tie", "straight 10 untied", "", []string{"eC sC", "eL sL", "eR sR"}},
		{"metal-tie", leftTurnout, "through", []string{"dC pC tC", "dL dR pL pR tL tR"}},
		{"metal-tie", leftTurnout, "diverging", []string{"dC pC tC", "dL dR pL pR tL tR"}},
		{"metal-tie", threeWay, "third", []string{"3C dC pC tC", "3L 3R dL dR pL pR tL tR"}},
		{"metal-tie", cross, "", []string{"a1C a2C b1C b2C", "a1L a1R a2L a2R b1L b1R b2L b2R"}},
		{"roadbed", "straight 10", "", []string{"eC sC", "eL sL", "eR sR"}},
		{"roadbed", rightTurnout, "diverging", []string{"dC pC tC", "dL pL tL", "dR pR tR"}},
		{"roadbed", threeWay, "through", []string{"3C dC pC tC", "3L dL pL tL", "3R dR pR tR"}},
		// The outer rails of two ways that cross at one level meet.
		{"roadbed", cross, "", []string{"a1C a2C b1C b2C", "a1L a1R a2L a2R b1L b1R b2L b2R"}},
		{"solid-rail", leftTurnout, "through", []string{"dC pC tC", "dL pL tL", "dR pR tR"}},
		{"two-rail", "straight 9", "", []string{"eL sL", "eR sR"}},
		{"two-rail", leftTurnout, "through", []string{"dL pL tL", "dR pR tR", "frog"}},
		{"two-rail", leftTurnout, "diverging", []string{"dL pL tL", "dR pR tR", "frog"}},
		{"two-rail", cross, "", []string{"a1L a2L", "a1R a2R", "b1L b2L", "b1R b2R", "frog"}},
		{"two-rail", slip, "through", []string{"a1L a2L b1L b2L", "a1R a2R b1R b2R", "frog"}},
		// Power-routing: the stock rail of the other leg stays live, its other rail is dead.
		{"two-rail-routing", leftTurnout, "through", []string{"dL pL tL", "dR", "pR tR"}},
		{"two-rail-routing", leftTurnout, "diverging", []string{"dL pL", "dR pR tR", "tL"}},
		{"two-rail-routing", rightTurnout, "through", []string{"dL", "dR pR tR", "pL tL"}},
		{"two-rail-routing", rightTurnout, "diverging", []string{"dL pL tL", "dR pR", "tR"}},
		{"two-rail-routing", slip, "through", []string{"a1L a2L b1L b2L", "a1R a2R b1R b2R"}},
		{"two-rail-routing", slip, "diverging", []string{"a1L b2L", "a1R b2R", "a2L b1L", "a2R b1R"}},
		// No way from b1 to a2: those rails that lead only there are dead.
		{"two-rail-routing", single, "through", []string{"a1L a2L b1L b2L", "a1R a2R b1R b2R"}},
		{"two-rail-routing", single, "diverging", []string{"a1L b2L", "a1R b2R", "a2L", "a2R b1R", "b1L"}},
		// A live frog: the through leg's left and the diverging leg's right rail lie behind it.
		{"two-rail-live-frog", leftTurnout, "through", []string{"dL dR pL tL", "pR tR"}},
		{"two-rail-live-frog", leftTurnout, "diverging", []string{"dL pL", "dR pR tL tR"}},
		{"two-rail-live-frog", rightTurnout, "through", []string{"dL dR pR tR", "pL tL"}},
		{"two-rail-live-frog", rightTurnout, "diverging", []string{"dL pL tL tR", "dR pR"}},
	} {
		t.Run(x.construction+" "+x.piece+" "+x.position, func(t *testing.T) {
			c := check(t, x.construction, x.piece)
			assert.Equal(t, x.want, groups(t, c, x.position))
		})
	}
}

// A turnout that senses trains: its inner rails behind the frog are on nothing but
// the coils of its motor, from the center rail (a jumper from an outer rail to them throws
// the turnout: C. D. Coleman, "Model Trains FAQ", items 31 and 39, second-hand).
func TestSensing(t *testing.T) {
	c := check(t, "metal-tie", "turnout left diameter 31 angle 45 sensing")
	assert.Equal(t, []string{"dC pC tC", "dL pL pR tR", "dR", "tL"}, groups(t, c, "through"))
	coils := 0
	for _, r := range c.Readings {
		if r.Position == "through" && r.Want == piece.Coil {
			coils++
			assert.Equal(t, "points center", r.Black)
			assert.Contains(t, []string{"through left", "diverging right"}, r.Red)
			assert.InDelta(t, 0.4*16/1.2, r.Ohms, 1e-9) // as assumed for a coil on DC
		}
	}
	assert.Equal(t, 2, coils)
	// A run that meets it from a leg names its rails the other way; the bench does not.
	r := check(t, "metal-tie", "turnout left trailing diameter 31 angle 45 sensing")
	assert.Equal(t, groups(t, c, "diverging"), groups(t, r, "diverging"))
	assert.Equal(t, c.Name, r.Name)
}

// Each turnout that hands can throw is read in each of its positions, and a piece
// takes seconds.
func TestCountsAndTimes(t *testing.T) {
	assert.Len(t, check(t, "metal-tie", "straight 10").Readings, 5) // one and three beep, one is open
	assert.InDelta(t, 25, check(t, "metal-tie", "straight 10").Seconds(), 1e-9)
	turn := check(t, "metal-tie", "turnout left diameter 31 angle 45")
	assert.Equal(t, []string{"through", "diverging"}, turn.Positions)
	assert.Len(t, turn.Readings, 2*(2+5+1))
}

// What a reading that is wrong means: the flaws that the construction's own words
// give for it.
func TestMends(t *testing.T) {
	c := check(t, "metal-tie", "straight 10")
	open := readingOf(t, c, piece.Silent)
	mends, err := c.Mends([]int{open.N}, false)
	require.NoError(t, err)
	require.Len(t, mends, 1)
	assert.Equal(t, track.Bridged, mends[0].Mode)
	assert.Contains(t, mends[0].What, "insulating strip")
	assert.InDelta(t, 1, mends[0].Odds, 1e-12)

	// The center rail broken: its one reading is wrong.
	mends, err = c.Mends([]int{readingOf(t, c, piece.Beeps).N}, false)
	require.NoError(t, err)
	require.Len(t, mends, 1)
	assert.Equal(t, track.Open, mends[0].Mode)

	// All at once is no single fault.
	mends, err = c.Mends([]int{1, open.N}, false)
	require.NoError(t, err)
	assert.Empty(t, mends)

	// The jumper of a turnout off: the center of the diverging leg, in both positions.
	turn := check(t, "metal-tie", "turnout left diameter 31 angle 45")
	var wrong []int
	for _, r := range turn.Readings {
		if r.Red == "diverging center" {
			wrong = append(wrong, r.N)
		}
	}
	require.Len(t, wrong, 2)
	mends, err = turn.Mends(wrong, false)
	require.NoError(t, err)
	require.NotEmpty(t, mends)
	assert.Contains(t, mends[0].What, "jumper")
}

func readingOf(t testing.TB, c *piece.Check, want piece.Kind) piece.Reading {
	t.Helper()
	i := slices.IndexFunc(c.Readings, func(r piece.Reading) bool { return r.Want == want })
	require.GreaterOrEqual(t, i, 0)
	return c.Readings[i]
}

// What passing is worth. A straight of pressed track fails inside by a bridge
// (odds 3) or a broken rail (0.1 for each of three), and either shows: what is left
// is what comes later. Of a turnout there, weak jumpers (2, between 0.05 and 5
// ohm, even on a log scale) show only above 0.6 ohm, the bound with sound ohms
// rounded up, and not at all to a beeper: by hand (2 * ln(0.6 less the sound path
// / 0.05) / ln(100)) / (10 + 2 + 2).
func TestFactor(t *testing.T) {
	f, err := check(t, "metal-tie", "straight 10").Factor(false)
	require.NoError(t, err)
	assert.InDelta(t, piece.Later, f, 1e-12)
	turn := check(t, "metal-tie", "turnout left diameter 31 angle 45")
	u, err := turn.Unseen(false)
	require.NoError(t, err)
	assert.InDelta(t, 2*math.Log(0.59/0.05)/math.Log(100)/14, u, 2.0/14/41+1e-3)
	u, err = turn.Unseen(true)
	require.NoError(t, err)
	assert.InDelta(t, 2.0/14, u, 1e-12)
}
