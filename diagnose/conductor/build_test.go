package conductor_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"fishplate/diagnose/conductor"
	"fishplate/diagnose/internal/invent"
	"fishplate/diagnose/track"
	"fishplate/layoutfile"

	"github.com/stretchr/testify/require"
)

func network(t testing.TB, text string) *conductor.Network {
	t.Helper()
	f, problems := layoutfile.Read("invented", []byte(text))
	require.False(t, problems.Errors(), "%v", problems)
	n, err := conductor.Build(f.Layout)
	require.NoError(t, err)
	return n
}

func find(t *testing.T, n *conductor.Network, name string) int {
	t.Helper()
	i := n.Find(name)
	require.GreaterOrEqual(t, i, 0, "no point %q", name)
	return i
}

// between lists the links between two points, either way.
func between(n *conductor.Network, a, b int) []conductor.Link {
	var out []conductor.Link
	for _, k := range n.Links {
		if k.A == a && k.B == b || k.A == b && k.B == a {
			out = append(out, k)
		}
	}
	return out
}

// parts gives every node the number of its part, by the links that keep says
// carry current.
func parts(n *conductor.Network, keep func(*conductor.Link) bool) []int {
	part := make([]int, n.Nodes)
	for i := range part {
		part[i] = i
	}
	for changed := true; changed; {
		changed = false
		for i := range n.Links {
			if k := &n.Links[i]; keep(k) {
				a, b := n.NodeOf(k.A), n.NodeOf(k.B)
				if low := min(part[a], part[b]); part[a] != part[b] {
					part[a], part[b], changed = low, low, true
				}
			}
		}
	}
	return part
}

func trackAlone(k *conductor.Link) bool { // the track alone, all routes thrown
	return !k.NormallyOpen && k.Kind != conductor.KindFeeder
}

func TestNamesOfPoints(t *testing.T) {
	n := network(t, invent.Oval("metal-tie", false))
	for _, name := range []string{
		// piece, both sides of a joint
		"main 7 center", "main 7 left", "main 7/8 center", "main 8/7 center", "main 7/8 right",
		"main 16/1 left", "main 1/16 left", // the joint that closes the run
		"main 3/siding 1 center", "siding 1/main 3 center", // a branch
		"siding 3/main 5 left", "main 5/siding 3 left",
		"mine 3 center", "mine 3/2 center", // a bumper has one end
		"F1 hot", "F1 common", "T1 hot", "T1 common",
	} {
		find(t, n, name)
	}
	require.Equal(t, -1, n.Find("main 17 center"))
	require.Equal(t, -1, n.Find("mine 3/end center"))
	two := network(t, invent.Line("two-rail", 4))
	require.Equal(t, -1, two.Find("main 2 center"))
	find(t, two, "main 1/start left")
	find(t, two, "main 4/end right")
}

// A name finds its own point, and every point has a name of its own.
func TestNamesAreUnique(t *testing.T) {
	for _, c := range invent.Constructions {
		for _, text := range []string{invent.Oval(c, true), invent.Figure(c), invent.ReversingLoop(c)} {
			n := network(t, text)
			for i := range n.Points {
				require.Equal(t, i, n.Find(n.Points[i].Name), n.Points[i].Name)
			}
			seen := map[string]bool{}
			for _, k := range n.Links {
				require.False(t, seen[k.ID], k.ID)
				seen[k.ID] = true
			}
		}
	}
}

func TestLookups(t *testing.T) {
	n := network(t, invent.Oval("metal-tie", false))
	l := n.Layout
	p := l.FindPiece("main 7")
	require.Equal(t, find(t, n, "main 7 center"), n.Middle(p, track.Center))
	require.Equal(t, find(t, n, "main 7/8 left"), n.At(track.EndRef{Piece: p, End: l.Pieces[p].EndIndex(track.EndEnd)},
		track.Left))
	require.Equal(t, -1, n.Middle(p, "third"))
	require.Equal(t, -1, n.At(track.EndRef{Piece: p, End: 9}, track.Left))
}

// Tied rails share a node in the middle of every piece; separate ones do not.
func TestTies(t *testing.T) {
	tied := network(t, invent.Oval("metal-tie", false))
	for _, p := range []string{"main 2", "main 3", "main 5", "siding 2", "mine 3"} {
		left, right, center := find(t, tied, p+" left"), find(t, tied, p+" right"), find(t, tied, p+" center")
		require.Equal(t, tied.NodeOf(left), tied.NodeOf(right), p)
		require.NotEqual(t, tied.NodeOf(left), tied.NodeOf(center), p)
	}
	require.NotEqual(t, tied.NodeOf(find(t, tied, "main 2/3 left")), tied.NodeOf(find(t, tied, "main 2/3 right")),
		"ties are not at the joints")
	free := network(t, invent.Oval("roadbed", false))
	require.NotEqual(t, free.NodeOf(find(t, free, "main 2 left")), free.NodeOf(find(t, free, "main 2 right")))
	// A bumper has no length: its end and its middle are one, on three rails.
	require.Equal(t, free.NodeOf(find(t, free, "mine 3 left")), free.NodeOf(find(t, free, "mine 3/2 left")))
	require.Equal(t, len(free.Points)-2*3, free.Nodes)
}

// A piece of 10 in has 0.254 m times the construction's ohms per meter in each
// rail, in two halves; a joint has the joint's; a wire has its copper.
func TestResistances(t *testing.T) {
	n := network(t, invent.Line("two-rail", 4))
	c := n.Layout.Pieces[0].Construction
	sum := 0.0
	for _, end := range []string{"main 2/1 left", "main 2/3 left"} {
		k := between(n, find(t, n, end), find(t, n, "main 2 left"))
		require.Len(t, k, 1)
		require.Equal(t, conductor.KindRail, k[0].Kind)
		require.Equal(t, "main 2", k[0].Place)
		sum += k[0].Ohms
	}
	require.InDelta(t, .254*c.RailPerMeter.Ohms, sum, 1e-12)
	k := between(n, find(t, n, "main 2/3 left"), find(t, n, "main 3/2 left"))
	require.Len(t, k, 1)
	require.Equal(t, conductor.KindJoint, k[0].Kind)
	require.Equal(t, "main 2/3", k[0].Place)
	require.Equal(t, c.JointOhms.Ohms, k[0].Ohms)
	wire := between(n, find(t, n, "T1 hot"), find(t, n, "F1 hot"))
	require.Len(t, wire, 1)
	require.Equal(t, conductor.KindFeeder, wire[0].Kind)
	// 16 AWG: 4.016 ohm per 1000 ft (ASTM B258 wire tables, from memory).
	require.InDelta(t, 6*4.016e-3, wire[0].Ohms, 6*4.016e-3*.005)
	clip := between(n, find(t, n, "F1 hot"), find(t, n, "main 1/2 right"))
	require.Len(t, clip, 1)
	require.Equal(t, conductor.KindClip, clip[0].Kind)
}

func TestInsulatedJointsAreNormallyOpen(t *testing.T) {
	text := invent.Loop("roadbed", 8) + "insulated \"main 3/4\" { rails = [\"left\"] }\ninsulated \"main 6/5\" { " +
		"rails = [\"left\", \"center\"] }\n"
	n := network(t, text)
	var gaps []string
	for _, k := range n.Links {
		if k.Kind == conductor.KindGap {
			require.True(t, k.NormallyOpen)
			gaps = append(gaps, k.Place+" "+k.Rail)
		}
	}
	require.Equal(t, []string{"main 3/4 left", "main 5/6 left", "main 5/6 center"}, gaps)
	part := parts(n, trackAlone)
	node := func(name string) int { return part[n.NodeOf(find(t, n, name))] }
	require.Equal(t, node("main 4 left"), node("main 5 left"), "the insulated rail is one conductor")
	require.NotEqual(t, node("main 4 left"), node("main 3 left"))
	require.NotEqual(t, node("main 5 left"), node("main 6 left"))
	require.Equal(t, node("main 4 right"), node("main 6 right"))
	require.Equal(t, node("main 5 center"), node("main 6 center"), "the other way round the loop")
}

// along says, for every run of an Oval, whether it goes the same way round as
// the main line: the mill's spur leaves a trailing turnout and goes against it.
var along = map[string]bool{"main": true, "siding": true, "mine": true, "mill": false}

// Walk the rails: in a sound oval with facing and trailing turnouts of both
// hands, a siding and two spurs, what is joined to the main line's left rail
// is the left rail of every piece (the right one of a run that goes the other
// way), and so for the other rails. Tied outer rails are one.
func TestRailsKeepTheirSide(t *testing.T) {
	for _, c := range invent.Constructions {
		for _, swap := range []bool{false, true} {
			n := network(t, invent.Oval(c, swap))
			part := parts(n, trackAlone)
			rails := n.Layout.Pieces[0].Construction.Rails
			for _, r := range rails {
				home := part[n.NodeOf(find(t, n, "main 1 "+string(r)))]
				for _, p := range n.Points {
					if p.Piece < 0 {
						continue
					}
					rail := p.Rail
					if !along[n.Layout.Pieces[p.Piece].Run] {
						rail = rail.Mirror()
					}
					same := rail == r || c == "metal-tie" && rail != track.Center && r != track.Center
					require.Equal(t, same, part[p.Node] == home, "%s, swapped %v: main 1 %s and %s", c, swap, r, p.Name)
				}
			}
		}
	}
}

// A reversing loop joins left and right of two-rail track, and nothing but
// that: the center rail of three-rail track stays apart.
func TestReversingLoop(t *testing.T) {
	n := network(t, invent.ReversingLoop("two-rail"))
	part := parts(n, trackAlone)
	require.Equal(t, part[n.NodeOf(find(t, n, "main 1 left"))], part[n.NodeOf(find(t, n, "main 1 right"))])
	n = network(t, invent.ReversingLoop("roadbed"))
	part = parts(n, trackAlone)
	require.Equal(t, part[n.NodeOf(find(t, n, "main 1 left"))], part[n.NodeOf(find(t, n, "main 1 right"))])
	require.NotEqual(t, part[n.NodeOf(find(t, n, "main 1 left"))], part[n.NodeOf(find(t, n, "main 1 center"))])
	for _, p := range n.Points {
		if p.Piece >= 0 && p.Rail == track.Center {
			require.Equal(t, part[n.NodeOf(find(t, n, "main 1 center"))], part[p.Node], p.Name)
		}
	}
}

// Nothing dangles: every point is on a link that carries current in some
// set-up, and every normally open link lies between points that are joined to
// the rest, or bridging it would do nothing.
func TestNothingDangles(t *testing.T) {
	for _, c := range invent.Constructions {
		for _, text := range []string{invent.Oval(c, false), invent.Oval(c, true), invent.Figure(c)} {
			n := network(t, text)
			live := make([]bool, n.Nodes)
			for i := range n.Links {
				if k := &n.Links[i]; !k.NormallyOpen {
					live[n.NodeOf(k.A)], live[n.NodeOf(k.B)] = true, true
				}
			}
			for _, p := range n.Points {
				require.True(t, live[p.Node], "%s: nothing is joined to %s", c, p.Name)
			}
		}
	}
}

// A crossing keeps its two ways apart where the construction says so.
func TestCrossing(t *testing.T) {
	n := network(t, "name = \"x\"\nunits = \"in\"\nconstruction = \"two-rail\"\n"+
		"run \"a\" { pieces = [\"2 x straight 10\", \"crossing 90 length 10 as X1\", \"2 x straight 10\"] }\n"+
		"run \"b\" { pieces = [\"2 x straight 10\", \"X1 again\", \"2 x straight 10\"] }\n")
	part := parts(n, trackAlone)
	node := func(name string) int { return part[n.NodeOf(find(t, n, name))] }
	seen := map[int]bool{}
	for _, run := range []string{"a", "b"} {
		for _, rail := range []string{"left", "right"} {
			far := run + " 5 " + rail // one crossing piece in run a, none in run b
			if run == "b" {
				far = run + " 4 " + rail
			}
			require.Equal(t, node(run+" 1 "+rail), node(far), "%s %s goes straight through", run, rail)
			require.False(t, seen[node(run+" 1 "+rail)], "%s %s is on its own", run, rail)
			seen[node(run+" 1 "+rail)] = true
		}
	}
}

// Power-routing turnouts: the leg that the points are not set for is dead on
// one rail.
func TestRoutes(t *testing.T) {
	n := network(t, invent.Oval("two-rail-routing", false))
	mine := n.Layout.FindPiece("W3")
	var s conductor.Setup
	joined := func(a, b string) bool {
		part := parts(n, func(k *conductor.Link) bool { return s.Conducts(k) })
		return part[n.NodeOf(find(t, n, a))] == part[n.NodeOf(find(t, n, b))]
	}
	dead := func(run string) bool {
		return !joined("main 1 left", run+" 1 left") || !joined("main 1 right", run+" 1 right")
	}
	require.True(t, dead("mine"), "thrown through when nothing is said")
	s.Thrown = map[int]string{mine: track.EndDiverging}
	require.False(t, dead("mine"))
}

func TestLiftingAndPulling(t *testing.T) {
	n := network(t, invent.Line("metal-tie", 6))
	var s conductor.Setup
	joined := func(a, b string) bool {
		part := parts(n, func(k *conductor.Link) bool { return s.Conducts(k) })
		return part[n.NodeOf(find(t, n, a))] == part[n.NodeOf(find(t, n, b))]
	}
	require.True(t, joined("T1 hot", "main 6 center"))
	require.True(t, joined("T1 common", "main 6 right"))
	require.False(t, joined("T1 hot", "T1 common"))
	s.Lift(n.Layout.FindJoint("main 4/3"))
	for _, rail := range []string{"left", "center", "right"} {
		require.False(t, joined("main 3 "+rail, "main 4 "+rail))
		require.True(t, joined("main 4 "+rail, "main 6 "+rail))
	}
	s.Pull(0)
	require.False(t, joined("T1 hot", "main 1 center"))
	require.False(t, joined("T1 common", "main 1 left"))
	require.True(t, joined("F1 hot", "main 1 center"), "the wire's end stays on the track")
}

func TestSetupKeys(t *testing.T) {
	var a, b conductor.Setup
	a.Lift(5, 2, 5)
	b.Lift(2)
	b.Lift(5)
	require.Equal(t, []int{2, 5}, a.Lifted)
	require.Equal(t, a.Key(), b.Key())
	c := a.Clone()
	c.Lift(9)
	c.Pull(1)
	require.Equal(t, []int{2, 5}, a.Lifted, "a clone is its own")
	require.NotEqual(t, a.SwitchKey(), c.SwitchKey())
	b.Thrown = map[int]string{3: "through", 1: "diverging"}
	d := b.Clone()
	require.Equal(t, b.Key(), d.Key())
	d.Thrown[3] = "diverging"
	require.NotEqual(t, b.Key(), d.Key())
	d = b.Clone()
	d.Source = conductor.Source{Kind: conductor.SourceLamp, Volts: 18, Amps: 1}
	require.Equal(t, b.SwitchKey(), d.SwitchKey())
	require.NotEqual(t, b.Key(), d.Key())
	require.InDelta(t, 18, d.Source.Ohms(), 1e-12)
	require.True(t, conductor.Has(a.Lifted, 5))
	require.False(t, conductor.Has(a.Lifted, 3))
}

// Random layouts: every link has a resistance that can be, lies between two
// different points, and knows where it belongs.
func TestRandomLayouts(t *testing.T) {
	for seed := range uint64(40) {
		text := invent.Random(rand.New(rand.NewPCG(seed, 1)))
		if seed%2 == 1 {
			text = invent.Wired(rand.New(rand.NewPCG(seed, 1)))
		}
		n := network(t, text)
		require.Len(t, n.Posts, len(n.Layout.Supplies))
		require.Len(t, n.FeederPoints, len(n.Layout.Feeders))
		for _, k := range n.Links {
			require.NotEqual(t, n.NodeOf(k.A), n.NodeOf(k.B), "%s is across a tie\n%s", k.ID, text)
			if !k.NormallyOpen {
				require.Greater(t, k.Ohms, 0., "%s %s %s", k.ID, k.Kind, k.Place)
				require.False(t, math.IsInf(k.Ohms, 0))
			}
			owners := 0
			for _, i := range []int{k.Piece, k.Joint, k.Feeder, k.Bus, k.Toggle, k.Accessory, k.Supply} {
				if i >= 0 {
					owners++
				}
			}
			require.Equal(t, 1, owners, k.ID)
			require.NotEmpty(t, strings.TrimSpace(k.Place+k.Rail))
		}
	}
}

// A wiring or a feeder that names a rail which is not there is an error that
// says which.
func TestBuildRefusesUnknownRails(t *testing.T) {
	n := network(t, invent.Oval("two-rail", false))
	l := *n.Layout
	f := l.Feeders[0]
	f.Hot = track.Center
	l.Feeders = []track.Feeder{f}
	_, err := conductor.Build(&l)
	require.ErrorContains(t, err, `"F1"`)
	require.ErrorContains(t, err, `"center"`)

	l = *n.Layout
	c := *l.Pieces[0].Construction
	c.Turnout.Conductors = append([]track.Conductor{{From: track.Contact{End: "points", Rail: track.Center},
		To: track.Contact{End: "through", Rail: track.Left}}}, c.Turnout.Conductors...)
	l.Pieces = append([]track.Piece(nil), l.Pieces...)
	for i := range l.Pieces {
		l.Pieces[i].Construction = &c
	}
	_, err = conductor.Build(&l)
	require.ErrorContains(t, err, `"two-rail"`)
	require.ErrorContains(t, err, `"center"`)
}

// The run of a figure eight comes over its crossing a second time from b2 to b1.
// Left is left along the run there too: a feeder that stands at the crossing's
// second way, and a probe, take the rail that has this name on all other pieces.
func TestNamesOnTheSecondWayFollowTheRun(t *testing.T) {
	for _, made := range []string{"two-rail", "roadbed"} {
		n := network(t, `
name = "eight"
units = "mm"
construction = "`+made+`"
run "main" {
  closes = true
  pieces = ["crossing 90 length 200 as X1", "2 x straight 200", "6 x curve left radius 300 angle 45",
    "2 x straight 200",
    "X1 again", "2 x straight 200", "6 x curve right radius 300 angle 45", "2 x straight 200"]
}
supply "P1" {
  current = "dc"
  volts   = 12
  breaker = 2
}
feeder "F1" {
  at     = "main 1/11"
  supply = "P1"
  wire   = "16 AWG"
  length = "2 m"
}
`)
		across := func(k *conductor.Link) bool { return trackAlone(k) && n.Points[k.A].Rail == n.Points[k.B].Rail }
		part := parts(n, across)
		for _, r := range []track.Rail{track.Left, track.Right} {
			want := part[n.NodeOf(find(t, n, "main 2 "+string(r)))]
			for i := range n.Points {
				if p := &n.Points[i]; p.Kind == conductor.PointEnd && p.Rail == r {
					require.Equal(t, want, part[n.NodeOf(i)], "%s %s", made, p.Name)
				}
			}
			hot := n.Layout.Pieces[0].Construction.Hot
			if r == hot {
				part := parts(n, func(k *conductor.Link) bool { return across(k) || k.Kind == conductor.KindClip })
				require.Equal(t, part[n.NodeOf(find(t, n, "main 2 "+string(r)))], part[n.NodeOf(find(t, n, "F1 hot"))],
					made)
			}
		}
	}
}
