package odds

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/stat"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/fault"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

const oval = `name = "oval"
units = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["5 x straight 10", "turnout left diameter 31 angle 45 through 10 as W1",
    "4 x curve left diameter 31 angle 45", "6 x straight 10", "4 x curve left diameter 31 angle 45"]
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
}
`

func read(t testing.TB, src string) *track.Layout {
	t.Helper()
	f, problems := layoutfile.Read("test.hcl", []byte(src))
	require.NotNil(t, f, "%v", problems)
	return f.Layout
}

// The Beta distribution by hand: with a uniform one (mean a half, weight 2) after 3
// of 4, mean 4/6; its quantiles follow from its distribution function, which for
// whole numbers is a binomial tail: P(X <= x) = P(Bin(5, x) >= 4) for Beta(4, 2).
func TestBetaByHand(t *testing.T) {
	tail := func(x float64) float64 { return 5*math.Pow(x, 4)*(1-x) + math.Pow(x, 5) }
	c := Count{Cause: Cause{track.PartJoint, track.Open}, Hunts: 20, Found: 15, Expected: 10}
	x := (&Tally{Counts: []Count{c}}).Learn()[0]
	require.InDelta(t, 25.0/40, x.Share, 1e-12)
	require.InDelta(t, 1.25, x.Times, 1e-12)
	require.Less(t, x.Low, x.Share)
	require.Greater(t, x.High, x.Share)
	// Beta(25, 15) at its own quantiles, as a binomial tail over 39 draws.
	for _, q := range []struct{ x, p float64 }{{x.Low, 0.05}, {x.High, 0.95}} {
		sum := 0.0
		for k := 25; k <= 39; k++ {
			lg := func(n int) float64 { v, _ := math.Lgamma(float64(n) + 1); return v }
			sum += math.Exp(lg(39) - lg(k) - lg(39-k) + float64(k)*math.Log(q.x) + float64(39-k)*math.Log(1-q.x))
		}
		require.InDelta(t, q.p, sum, 1e-6)
	}
	require.InDelta(t, 0.1875, tail(0.5), 1e-12) // the identity itself: 6/32
}

// Counts add up: shares expected of one kind sum to its hunts, and so do finds.
func TestCountsAddUp(t *testing.T) {
	l := read(t, oval)
	a, err := Of([]Find{{l, track.Open, "main 3"}, {l, track.Open, "W1"}, {l, track.Bridged, "main 9"},
		{l, track.Bridged, "nowhere"}})
	require.NoError(t, err)
	require.Equal(t, 1, a.Unlisted)
	b, err := Of([]Find{{l, track.Open, "main 5"}, {l, track.Weak, "F1"}})
	require.NoError(t, err)
	a.Add(b)
	require.NoError(t, a.Check())
	sums := map[track.FaultMode][3]float64{}
	for _, c := range a.Counts {
		s := sums[c.Mode]
		s[0], s[1], s[2] = s[0]+c.Found, s[1]+c.Expected, c.Hunts
		sums[c.Mode] = s
	}
	for m, want := range map[track.FaultMode]float64{track.Open: 3, track.Bridged: 1, track.Weak: 1} {
		for i, got := range sums[m] {
			require.InDelta(t, want, got, 1e-9, "%s %d", m, i)
		}
	}
	for _, x := range a.Learn() {
		require.True(t, x.Times > 0 && x.Low <= x.Share && x.Share <= x.High, "%+v", x)
	}
}

// What was counted before is no part of what is assumed: counting again after the
// file was written gives the same.
func TestCountedTwiceIsCountedOnce(t *testing.T) {
	l := read(t, oval)
	finds := func(l *track.Layout) []Find {
		return []Find{{l, track.Open, "main 3"}, {l, track.Open, "main 4"}, {l, track.Open, "main 5"}}
	}
	first, err := Of(finds(l))
	require.NoError(t, err)
	f, problems := layoutfile.Read("test.hcl", []byte(oval))
	require.NotNil(t, f, "%v", problems)
	var list []track.Counted
	for _, x := range first.Learn() {
		list = append(list, x.Counted())
	}
	written := f.WithCounted(list)
	again := read(t, string(written))
	require.Len(t, again.Counted, len(list))
	second, err := Of(finds(again))
	require.NoError(t, err)
	require.Equal(t, first, second)
	f2, problems := layoutfile.Read("test.hcl", written)
	require.NotNil(t, f2, "%v", problems)
	require.Equal(t, string(written), string(f2.WithCounted(list)))
}

// Odds counted on half of a club's hunts score the other half (mean log score, in
// nats a hunt; Good 1952): clubs whose causes differ from the assumed odds by a
// factor of log-sd 1 gain, and clubs for whom the assumption is true lose next to
// nothing.
func TestHeldOutHalf(t *testing.T) {
	l := read(t, oval)
	n, err := conductor.Build(l)
	require.NoError(t, err)
	list := fault.List(n)
	for _, c := range []struct {
		sd   float64
		good func(gain, sd float64) bool
		say  string
	}{
		{1, func(gain, sd float64) bool { return gain > 3*sd }, "causes differ by a log-sd of 1"},
		{0, func(gain, _ float64) bool { return gain > -0.03 }, "as assumed"},
	} {
		rng := rand.New(rand.NewPCG(6, 6))
		var gains []float64
		const clubs, half = 200, 20
		for range clubs {
			times := map[Cause]float64{}
			draw := drawer(list, times, c.sd, rng)
			var finds []Find
			for range half {
				s := draw()
				finds = append(finds, Find{l, s.Mode, s.Piece})
			}
			tally, err := Of(finds)
			require.NoError(t, err)
			learned := map[Cause]float64{}
			for _, x := range tally.Learn() {
				learned[x.Cause] = x.Times
			}
			sum := 0.0
			for range half {
				s := draw()
				sum += math.Log(share(list, learned, s)) - math.Log(share(list, nil, s))
			}
			gains = append(gains, sum/half)
		}
		mean, sd := stat.MeanStdDev(gains, nil)
		sd /= math.Sqrt(clubs)
		t.Logf("%s: %.4f nats a hunt gained (standard error %.4f)", c.say, mean, sd)
		require.True(t, c.good(mean, sd), "%s: %.4f, standard error %.4f", c.say, mean, sd)
	}
}

// drawer draws faults of a dead place from odds that differ from the assumed ones.
func drawer(list []fault.Suspect, times map[Cause]float64, sd float64, rng *rand.Rand) func() *fault.Suspect {
	sum := 0.0
	for i := range list {
		c := Cause{list[i].Part, list[i].Mode}
		if _, ok := times[c]; !ok {
			times[c] = math.Exp(sd * rng.NormFloat64())
		}
		if c.Mode == track.Open {
			sum += list[i].Odds * times[c]
		}
	}
	return func() *fault.Suspect {
		x := rng.Float64() * sum
		for i := range list {
			if list[i].Mode != track.Open {
				continue
			}
			if x -= list[i].Odds * times[Cause{list[i].Part, list[i].Mode}]; x <= 0 {
				return &list[i]
			}
		}
		panic("odds do not sum up")
	}
}

// share is how likely a piece was, among all of its kind of fault.
func share(list []fault.Suspect, times map[Cause]float64, found *fault.Suspect) float64 {
	all, here := 0.0, 0.0
	for i := range list {
		s := &list[i]
		if s.Mode != found.Mode {
			continue
		}
		o := s.Odds
		if f, ok := times[Cause{s.Part, s.Mode}]; ok {
			o *= f
		}
		all += o
		if s.Piece == found.Piece {
			here += o
		}
	}
	return here / all
}

// Counts from outside that cannot be are refused.
func TestCheck(t *testing.T) {
	good := Count{Cause: Cause{track.PartJoint, track.Open}, Hunts: 4, Found: 2, Expected: 1}
	for _, bad := range []func(*Count){func(c *Count) {
		c.Found = 5
	}, func(c *Count) { c.Expected = math.NaN() }, func(c *Count) { c.Hunts = 1e9 }, func(c *Count) { c.Found = -1 }} {
		c := good
		bad(&c)
		require.Error(t, (&Tally{Counts: []Count{c}}).Check(), "%+v", c)
	}
	require.Error(t, (&Tally{Counts: []Count{good, good}}).Check())
	require.NoError(t, (&Tally{Counts: []Count{good}}).Check())
}

// A piece that was bad three times leads the list; without finds of its own it is
// only a piece of its kind.
func TestNextToFail(t *testing.T) {
	l := read(t, oval)
	finds := []Find{{l, track.Open, "main 9"}, {l, track.Bridged, "main 9"}, {l, track.Open, "main 9"}}
	tally, err := Of(finds)
	require.NoError(t, err)
	next, err := tally.Next(l, finds, 3)
	require.NoError(t, err)
	require.Equal(t, "main 9", next[0].Piece)
	require.Equal(t, 3, next[0].Found)
	before, err := (&Tally{}).Next(l, nil, 100)
	require.NoError(t, err)
	sum := 0.0
	for _, p := range before {
		sum += p.Share
	}
	require.InDelta(t, 1, sum, 1e-9)
	require.Equal(t, "main 6", before[0].Piece, "the turnout, by the odds that are assumed")

	// By hand: of three hunts, one and two by kind, the more often a piece was to be
	// expected and was not found, the more its share falls.
	list, err := assumed(l)
	require.NoError(t, err)
	all, of := map[track.FaultMode]float64{}, map[string]map[track.FaultMode]float64{"main 6": {}, "main 4": {}}
	for _, s := range list {
		all[s.Mode] += s.Odds
		if m := of[s.Piece]; m != nil {
			m[s.Mode] += s.Odds
		}
	}
	expected := func(piece string) float64 {
		return 2*of[piece][track.Open]/all[track.Open] + of[piece][track.Bridged]/all[track.Bridged]
	}
	after, err := (&Tally{}).Next(l, finds, 100)
	require.NoError(t, err)
	share := func(list []Place, piece string) float64 {
		for _, p := range list {
			if p.Piece == piece {
				return p.Share
			}
		}
		return math.NaN()
	}
	fall := func(piece string) float64 { return share(after, piece) / share(before, piece) }
	require.InDelta(t, (pieceWeight+expected("main 4"))/(pieceWeight+expected("main 6")), fall("main 6")/fall("main 4"),
		1e-9)
	require.Less(t, fall("main 6"), 0.97*fall("main 4"))
}
