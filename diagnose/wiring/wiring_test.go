package wiring

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/check"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
	"fishplate/diagnose/wire"
	"fishplate/layoutfile"
)

func read(t *testing.T, src string) *track.Layout {
	t.Helper()
	f, problems := layoutfile.Read("test.hcl", []byte(src))
	require.NotNil(t, f, "%v", problems)
	return f.Layout
}

func files(t *testing.T) map[string]string {
	t.Helper()
	out := map[string]string{}
	names, err := filepath.Glob("../../testdata/layouts/*.hcl")
	require.NoError(t, err)
	require.Greater(t, len(names), 20)
	for _, n := range names {
		b, err := os.ReadFile(n)
		require.NoError(t, err)
		out[n] = string(b)
	}
	return out
}

// A line of straight track with its feeder at one end and the train at the other,
// by hand: two rails in series, and the wires. The copper is the published 13.17
// ohm/km of 16 AWG (NBS Handbook 100, 1966), not our own figure of it.
func TestDropOfALineByHand(t *testing.T) {
	l := read(t, `name = "line"
units = "mm"
construction = "two-rail"
run "main" { pieces = ["12 x straight 300"] }
supply "T1" {
  current = "dc"
  volts = 12
  breaker = 5
}
feeder "F1" {
  at = "main 1"
  supply = "T1"
  wire = "16 AWG"
  length = "5 m"
}`)
	p, err := Make(l, Options{TrainAmps: 2})
	require.NoError(t, err)
	c := l.Pieces[0].Construction
	meters := 11 * 0.300 // from the middle of the first piece to that of the last
	ohms := 2 * (0.01317*5 + c.ClipOhms.Ohms + 11*c.JointOhms.Ohms + meters*c.RailPerMeter.Ohms)
	require.Equal(t, "main 12", p.Drops[0].Worst)
	require.InEpsilon(t, 2*ohms, p.Drops[0].Lost, 0.001)
}

// What is promised for more feeders is what the file with their lines then has;
// lengths are written to a tenth of a foot or of a meter.
func TestLinesKeepTheirPromise(t *testing.T) {
	kept := 0
	for name, src := range files(t) {
		l := read(t, src)
		for _, drop := range []float64{0.15, 0.3} {
			p, err := Make(l, Options{Drop: drop})
			require.NoError(t, err, name)
			for i := range p.Drops {
				d := &p.Drops[i]
				for k := range d.Ways {
					w := &d.Ways[k]
					if len(w.Anew) > 0 {
						continue
					}
					more := read(t, src+"\n"+strings.Join(w.Lines(l.Metric), "\n")+"\n")
					vs, err := check.Reach(more, check.Options{})
					require.NoError(t, err, name)
					for _, v := range vs {
						if v.Supply == d.Supply {
							require.InDelta(t, w.Lost, v.Posts-v.Volts, 0.005, "%s %+v", name, w)
							require.Less(t, w.Lost, d.Lost)
							kept++
						}
					}
				}
			}
		}
	}
	require.Greater(t, kept, 40)
}

// The number of feeders that are added one by one, each where it helps most,
// against the least that any places allow: drawn lines and loops of poor track, all
// places tried.
func TestOneByOneAgainstAllPlaces(t *testing.T) {
	rng := rand.New(rand.NewPCG(20, 5))
	same, all := 0, 0
	for range 30 {
		n := 6 + rng.IntN(6)
		closes, pieces := "", fmt.Sprintf("\"%d x straight 30\"", n)
		if rng.IntN(2) == 0 {
			closes, pieces = "closes = true\n", `"8 x curve left diameter 60 angle 45"`
			n = 8
		}
		src := fmt.Sprintf(`name = "drawn"
units = "in"
construction "poor" {
  like = "metal-tie"
  source = "invented"
  rail { ohms_per_meter = %.3f }
}
construction = "poor"
run "main" {
%spieces = [%s]
}
supply "T1" {
  current = "ac"
  volts = 18
  breaker = 5
}
feeder "F1" {
  at = "main 1"
  supply = "T1"
  wire = "16 AWG"
  length = "4 ft"
}`, 0.05+0.1*rng.Float64(), closes, pieces)
		l := read(t, src)
		o := Options{Drop: 0.5 + rng.Float64()}
		w, err := way(l, o, 0, 14, false, o.Drop)
		require.NoError(t, err)
		if !w.Holds || len(w.Feeders) > 2 {
			continue
		}
		all++
		least := fewest(t, l, o, n, len(w.Feeders))
		require.LessOrEqual(t, len(w.Feeders), least+1)
		if len(w.Feeders) == least {
			same++
		}
	}
	t.Logf("%d of %d need no more than the least", same, all)
	require.GreaterOrEqual(t, all, 10)
	require.GreaterOrEqual(t, float64(same), 0.9*float64(all))
}

// fewest tries no feeder, all single places, all pairs, up to a number.
func fewest(t *testing.T, l *track.Layout, o Options, pieces, upTo int) int {
	t.Helper()
	lost := func(places ...int) float64 {
		c := *l
		c.Feeders = append([]track.Feeder(nil), l.Feeders...)
		for _, p := range places {
			c.Feeders = append(c.Feeders,
				feeder(&c, 0, &check.OneMore{At: l.Pieces[p].ID(), Hot: track.Center, Common: track.Left}, 14))
		}
		v, err := reach(&c, o, 0)
		require.NoError(t, err)
		return v.Posts - v.Volts
	}
	if lost() <= o.Drop {
		return 0
	}
	for a := range pieces {
		if lost(a) <= o.Drop {
			return 1
		}
	}
	for a := range pieces {
		for b := a + 1; b < pieces && upTo >= 2; b++ {
			if lost(a, b) <= o.Drop {
				return 2
			}
		}
	}
	return 3
}

// Every conductor has two labels, and no two ends of the layout say the same: NEM
// 605 (2014), 1 and 2.2.
func TestEveryEndHasItsLabel(t *testing.T) {
	for name, src := range files(t) {
		l := read(t, src)
		p, err := Make(l, Options{})
		require.NoError(t, err, name)
		seen := map[string]bool{}
		for _, w := range p.Wires {
			require.NotEmpty(t, w.Labels, "%s %s", name, w.Name)
			for _, k := range w.Labels {
				for _, end := range []string{k.Near, k.Far} {
					require.False(t, seen[end], "%s: %s stands on two ends", name, end)
					seen[end] = true
				}
			}
		}
		for _, term := range p.Terminals {
			for _, w := range term.Wires {
				require.Contains(t, strings.Join(p.Page(l).Text(), "\n"), w, name)
			}
		}
	}
}

// Feeders hang where the file says, and the copper to buy is the sum of all pairs:
// by hand for a small one.
func TestListsByHand(t *testing.T) {
	l := read(t, `name = "strip"
units = "mm"
construction = "two-rail"
run "main" { pieces = ["6 x straight 200"] }
supply "T1" {
  current = "dc"
  volts = 12
  breaker = 2
}
strip "P1" {
  supply = "T1"
  terminals = 3
  wire = "1 mm2"
  length = "2 m"
}
insulated "main 3/4" { rails = ["left", "right"] }
feeder "F1" {
  at = "main 1"
  bus = "P1"
  terminal = 1
  wire = "0.5 mm2"
  length = "1 m"
}
feeder "F2" {
  at = "main 6"
  bus = "P1"
  terminal = 3
  wire = "0.5 mm2"
  length = "1.5 m"
  fuse = 1
}`)
	p, err := Make(l, Options{})
	require.NoError(t, err)
	require.Equal(t, []Terminal{{"T1", []string{"P1"}}, {"P1 1", []string{"F1"}}, {"P1 2", nil},
		{"P1 3", []string{"F2"}}}, p.Terminals)
	require.Equal(t, []Gap{{"main 3/4", []track.Rail{track.Left, track.Right}}}, p.Gaps)
	require.Len(t, p.Buy, 5)
	require.Equal(t, "wire 0.5 mm2", p.Buy[0].What)
	require.InDelta(t, 2*(1+1.5)*1.1, p.Buy[0].Meters, 1e-9)
	require.InDelta(t, 2*2*1.1, p.Buy[1].Meters, 1e-9)
	require.Equal(t, Item{What: "fuse of 1 A, with its holder", Count: 1}, p.Buy[2])
	require.Equal(t, Item{What: "insulating pins or joiners, one a rail", Count: 2}, p.Buy[3])
	require.Equal(t, Item{What: "labels, one for each end of each wire", Count: 12}, p.Buy[4])
	require.Equal(t, 1.0, p.Wires[2].Holds)
	require.Equal(t, Label{"F1 hot, to main 1 " + string(l.Feeders[0].Hot), "F1 hot, from P1 1 hot"},
		p.Wires[1].Labels[0])
}

// A pair that carries less than what opens before it is told, and nothing else.
func TestThin(t *testing.T) {
	w := Wire{Holds: 10, Carries: 8.9}
	require.True(t, w.Thin())
	w.Carries = 9.1
	require.False(t, w.Thin())
	w.Carries = 0
	require.False(t, w.Thin(), "a size that the file does not give is not judged")
}

// Random layouts give plans whose figures are figures, and pages.
func TestRandomLayouts(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 3))
	for range 25 {
		src := invent.Random(rng)
		l := read(t, src)
		p, err := Make(l, Options{Drop: 0.1 + rng.Float64()})
		require.NoError(t, err, src)
		for _, w := range p.Wires {
			if w.AreaMM2 > 0 {
				require.InEpsilon(t, w.Ohms, wire.OhmsPerMeter(w.AreaMM2)*w.LengthMM/1000, 1e-9)
			}
		}
		for _, d := range p.Drops {
			require.False(t, math.IsNaN(d.Lost) || math.IsInf(d.Lost, 0))
			for i, w := range d.Ways {
				require.Less(t, w.Lost, d.Lost)
				require.True(t, w.Holds == (w.Lost <= d.Wanted))
				if i > 0 {
					require.GreaterOrEqual(t, w.CopperGrams, d.Ways[i-1].CopperGrams)
				}
			}
		}
		html, err := p.Page(l).HTML()
		require.NoError(t, err)
		require.Contains(t, html, "Labels")
		require.NotEmpty(t, p.Page(l).Markdown())
	}
}
