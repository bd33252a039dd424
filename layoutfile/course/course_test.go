package course

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

func open(t require.TestingT, src string) *Course {
	f, problems := layoutfile.Read("test", []byte(src))
	require.NotNil(t, f, "%v", problems)
	c, err := Open(f)
	require.NoError(t, err)
	return c
}

func files(t require.TestingT) map[string]string {
	_, demo := layoutfile.Demo()
	out := map[string]string{"demo": string(demo)}
	paths, err := filepath.Glob("../../testdata/layouts/*.hcl")
	require.NoError(t, err)
	require.NotEmpty(t, paths)
	for _, p := range paths {
		src, err := os.ReadFile(p)
		require.NoError(t, err)
		out[filepath.Base(p)] = string(src)
	}
	return out
}

// TestOpenedUnchanged: a file that is opened and saved is the same, byte for
// byte, and so is one that was kept on the way.
func TestOpenedUnchanged(t *testing.T) {
	for name, src := range files(t) {
		for _, text := range []string{src, strings.ReplaceAll(src, "\n", "\r\n"), "\xef\xbb\xbf" + src} {
			c := open(t, text)
			assert.Equal(t, text, string(c.Text()), name)
			data, err := c.Kept().Bytes()
			require.NoError(t, err)
			again, err := Resume(data)
			require.NoError(t, err)
			assert.Equal(t, text, string(again.Text()), name)
		}
	}
}

// TestThingsGoWithTheirPieces: three pieces put in at the start of the demo's
// main run leave every feeder, landmark, note and siding at the same spot of
// the table's track, under new numbers, and every comment in the file.
func TestThingsGoWithTheirPieces(t *testing.T) {
	_, demo := layoutfile.Demo()
	c := open(t, string(demo))
	require.NoError(t, c.Cursor().Jump("main 2"))
	require.NoError(t, c.Laying().Lay("straight 10", 2))
	require.NoError(t, c.Laying().Lay("straight 5", 1))
	text := string(c.Text())
	for _, want := range []string{`at     = "main 2/3"`, `at     = "main 33/34"`, `from    = "main 20"`,
		`to      = "main 25"`,
		`landmark "tunnel, south mouth" { at = "main 19/20" }`, `note "main 16"`, `history "main 12"`,
		`from   = "W1 diverging"`} {
		assert.Contains(t, text, want)
	}
	comments(t, string(demo), text)
	assert.Contains(t, text, `"usual", # 1-3: the platform`)
	f, problems := layoutfile.Read("demo", c.Text())
	require.NotNil(t, f, "%v", problems)
	assert.Len(t, f.Layout.Pieces, 65)
	for c.Undo() != "" {
	}
	assert.Equal(t, string(demo), string(c.Text()))
}

// TestEverythingMovesOn: with one more piece at the start of the first run
// everything that lies on the track of any layout lies on the same piece as
// before, which counts one more.
func TestEverythingMovesOn(t *testing.T) {
	for name, src := range files(t) {
		f, _ := layoutfile.Read(name, []byte(src))
		require.NotNil(t, f, name)
		c := open(t, src)
		c.Cursor().To(false)
		require.NoError(t, c.Laying().Lay("straight 3", 1))
		g, problems := layoutfile.Read(name, c.Text())
		if f.Layout.Pieces[0].Kind == track.Bumper {
			assert.Nil(t, g, "nothing goes before a bumper")
			continue
		}
		require.NotNil(t, g, "%s: %v", name, problems)
		was, now := places(f.Layout), places(g.Layout)
		require.Len(t, now, len(was), name)
		for i := range was {
			was[i].Piece++
			assert.Equal(t, was[i], now[i], "%s: place %d", name, i)
		}
		comments(t, src, string(c.Text()))
	}
}

// TestModulesShrink: a module gives up the pieces that are deleted, and with its last one its
// next stretch stands for it.
func TestModulesShrink(t *testing.T) {
	src := `# Invented.
name         = "Row"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["10 x straight 10"] }
module "front" {
  from = "main 3"
  to   = "main 4"
}
module "back" {
  from  = "main 7"
  to    = "main 9"
  board = "front"
}
`
	c := open(t, src)
	modules := func() []track.Stretch {
		f, problems := layoutfile.Read("row.hcl", c.Text())
		require.NotNil(t, f, "%v", problems)
		return f.Layout.Modules
	}
	require.Len(t, modules(), 1)
	assert.Equal(t, []int{2, 3, 6, 7, 8}, modules()[0].Pieces)
	require.NoError(t, c.Cursor().Jump("main 2"))
	_, err := c.Laying().DeleteAhead(1)
	require.NoError(t, err)
	require.Len(t, modules(), 1)
	assert.Equal(t, []int{2, 5, 6, 7}, modules()[0].Pieces)
	said, err := c.Laying().DeleteAhead(1)
	require.NoError(t, err)
	assert.Contains(t, said, "module front is gone with its pieces")
	require.Len(t, modules(), 1)
	assert.Equal(t, "back", modules()[0].Name)
	assert.Equal(t, []int{4, 5, 6}, modules()[0].Pieces)
	for c.Undo() != "" {
	}
	assert.Equal(t, src, string(c.Text()))
}

// TestBoardsEndWhereYouStand: a board takes what lies behind, back to the one before, and a
// name that is there goes on.
func TestBoardsEndWhereYouStand(t *testing.T) {
	c := open(t, `# Invented.
name         = "Row"
units        = "in"
construction = "metal-tie"
run "main" { pieces = ["10 x straight 10"] }
`)
	end := func(at, name string) error {
		require.NoError(t, c.Cursor().Jump(at))
		return c.Things().EndBoard(name)
	}
	require.NoError(t, end("main 3", "front"))
	require.NoError(t, end("main 7", "back"))
	require.NoError(t, end("main 10", "front"))
	f, problems := layoutfile.Read("row.hcl", c.Text())
	require.NotNil(t, f, "%v", problems)
	require.Len(t, f.Layout.Modules, 2)
	require.Equal(t, "front", f.Layout.Modules[0].Name)
	assert.Equal(t, []int{0, 1, 2, 7, 8, 9}, f.Layout.Modules[0].Pieces)
	assert.Equal(t, []int{3, 4, 5, 6}, f.Layout.Modules[1].Pieces)
	require.ErrorContains(t, c.Things().EndBoard("another"), "on no board yet")
	require.ErrorContains(t, end("main 1", ""), "on no board yet")
	for c.Undo() != "" {
	}
	require.NotContains(t, string(c.Text()), "module")
}

// places lists every place that something of the layout lies at.
func places(l *track.Layout) (out []track.Place) {
	add := func(p track.Place) { out = append(out, p) }
	for _, f := range l.Feeders {
		add(f.At)
	}
	for _, a := range l.Terminals {
		add(a.At)
	}
	for _, m := range l.Landmarks {
		add(m.At)
	}
	for _, n := range l.Notes {
		add(track.Place{Piece: n.Piece})
	}
	for _, o := range l.Odds {
		add(track.Place{Piece: o.Piece})
	}
	for _, h := range l.Hidden {
		for _, p := range h.Pieces {
			add(track.Place{Piece: p})
		}
	}
	for _, b := range l.Modules {
		for _, p := range b.Pieces {
			add(track.Place{Piece: p})
		}
	}
	for _, b := range l.Blocks {
		for _, p := range b.Pieces {
			add(track.Place{Piece: p})
		}
	}
	for _, a := range l.Accessories {
		if a.OnTrack {
			add(a.At)
		}
	}
	for _, r := range l.InsulatedRails {
		for _, p := range r.Pieces {
			add(track.Place{Piece: p})
		}
	}
	for _, j := range l.Joints { // the side that the walk leaves by: a piece put into the joint is behind it
		if len(j.Insulated) > 0 {
			add(track.Place{Piece: j.A.Piece, End: j.A.End})
		}
	}
	return out
}

// comments requires that every comment of one text stands in the other.
func comments(t require.TestingT, from, in string) {
	for _, line := range strings.Split(from, "\n") {
		if i := strings.Index(line, "#"); i >= 0 && strings.Count(line[:i], `"`)%2 == 0 {
			require.Contains(t, in, strings.TrimSpace(line[i:]))
		}
	}
}

// TestTidyFromNothing: what is walked in from nothing is the file that one
// would write by hand.
func TestTidyFromNothing(t *testing.T) {
	c := New("Shelf oval", "metal-tie", false)
	assert.Empty(t, c.Troubles())
	lay := func(text string, n int) { require.NoError(t, c.Laying().Lay(text, n)) }
	lay("straight 10", 2)
	require.NoError(t, c.Wiring().AddSupply("T1", true, 18, 10))
	require.NoError(t, c.Wiring().AddFeeder(c.Wiring().NextFeeder(), "T1", "16 AWG", "6 ft"))
	lay("turnout left diameter 31 angle 45 through 10", 1)
	lay("straight 10", 1)
	lay("curve left diameter 31 angle 45", 4)
	require.NoError(t, c.Things().BeginHidden("tunnel", 6))
	lay("straight 10", 4)
	require.NoError(t, c.Things().EndHidden())
	lay("curve left diameter 31 angle 45", 4)
	targets := c.Ends().Targets()
	require.NotEmpty(t, targets)
	assert.True(t, targets[0].Own)
	assert.Equal(t, "meets", c.Say(targets[0].Miss))
	require.NoError(t, c.Ends().Join(targets[0]))
	require.NoError(t, c.Cursor().Jump("W1"))
	branches := c.Ends().Branches()
	require.Len(t, branches, 1)
	require.NoError(t, c.Ends().Begin("spur", branches[0]))
	assert.Len(t, c.Troubles(), 1, "a run without pieces is spoken of")
	lay("curve right diameter 31 angle 45", 1)
	lay("straight 10", 1)
	lay("bumper", 1)
	assert.Empty(t, c.Troubles())
	want := `name         = "Shelf oval"
units        = "in"
construction = "metal-tie"

run "main" {
  closes = true
  pieces = [
    "2 x straight 10",
    "turnout left diameter 31 angle 45 through 10 as W1",
    "straight 10",
    "4 x curve left diameter 31 angle 45",
    "4 x straight 10",
    "4 x curve left diameter 31 angle 45",
  ]
}

run "spur" {
  from   = "W1 diverging"
  pieces = ["curve right diameter 31 angle 45", "straight 10", "bumper"]
}

supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}

feeder "F1" {
  at     = "main 2/3"
  supply = "T1"
  wire   = "16 AWG"
  length = "6 ft"
}

hidden "tunnel" {
  from    = "main 9"
  to      = "main 12"
  minutes = 6
}
`
	assert.Equal(t, want, string(c.Text()))
}

// TestFit: the demo's siding lacks its cut piece; the place and the length are
// found (6.16 in, by the geometry that the demo's own comment states).
func TestFit(t *testing.T) {
	_, demo := layoutfile.Demo()
	c := open(t, strings.Replace(strings.Replace(string(demo), `"straight 6.16", `, "", 1), `note "siding 7"`,
		`note "siding 6"`, 1))
	require.NoError(t, c.Cursor().Jump("siding"))
	require.NoError(t, c.Ends().Unjoin())
	targets := c.Ends().Targets()
	require.NotEmpty(t, targets)
	assert.Equal(t, "W2 diverging", targets[0].Name)
	fit, ok := c.Ends().FitFor(&targets[0])
	require.True(t, ok)
	assert.Equal(t, Fit{At: 6, Text: "straight 6.16", Size: "6.16 in"}, fit)
	require.NoError(t, c.Ends().LayFit(fit, targets[0]))
	assert.Empty(t, c.Troubles())
	l, good := c.Layout()
	require.True(t, good)
	assert.Less(t, l.Runs[1].MissMM, 0.2)
}

// TestMissIsSaid: half an oval ends where the geometry says.
func TestMissIsSaid(t *testing.T) {
	c := New("Half", "metal-tie", false)
	require.NoError(t, c.Laying().Lay("straight 10", 2))
	require.NoError(t, c.Laying().Lay("curve left diameter 31 angle 45", 4))
	targets := c.Ends().Targets()
	require.Len(t, targets, 1)
	m := targets[0].Miss
	assert.InDelta(t, 20*25.4, m.AheadMM, 1e-6)
	assert.InDelta(t, 31*25.4, m.LeftMM, 1e-6)
	assert.InDelta(t, 180, m.Turn, 1e-6)
	assert.Equal(t, "20 in ahead, 31 in left, 180 deg left", c.Say(m))
}

func TestDeleteTellsWhatMoves(t *testing.T) {
	_, demo := layoutfile.Demo()
	c := open(t, string(demo))
	require.NoError(t, c.Cursor().Jump("W1"))
	said, err := c.Laying().DeleteBehind(1)
	require.NoError(t, err)
	assert.Contains(t, said, "siding has lost")
	require.NoError(t, c.Cursor().Jump("main 2"))
	said, err = c.Laying().DeleteBehind(1)
	require.NoError(t, err)
	assert.Contains(t, said, "feeder F1 moved")
	assert.Contains(t, said, "landmark station moved")
	assert.Contains(t, string(c.Text()), `at     = "main 1/2"`)
	comments(t, string(demo), string(c.Text()))
}

// TestInsulatedOnce: two insulated joints that become one by taking out the
// piece between them leave one that can be saved.
func TestInsulatedOnce(t *testing.T) {
	c := New("x", "metal-tie", false)
	require.NoError(t, c.Laying().Lay("straight 10", 4))
	for _, at := range []string{"main 1/2", "main 2/3"} {
		require.NoError(t, c.Cursor().Jump(at))
		require.NoError(t, c.Things().AddInsulated([]track.Rail{track.Center}))
	}
	require.NoError(t, c.Cursor().Jump("main 2"))
	said, err := c.Laying().DeleteBehind(1)
	require.NoError(t, err)
	assert.Contains(t, said, "insulated once")
	assert.Empty(t, c.Troubles())
	assert.Equal(t, 1, strings.Count(string(c.Text()), `insulated "main 1/2"`))
	c.Undo()
	assert.Equal(t, 2, strings.Count(string(c.Text()), "insulated"))
}

func TestSizes(t *testing.T) {
	c := New("x", "metal-tie", false)
	for _, k := range []struct {
		kind       track.Kind
		typed, got string
	}{{track.Curve, "31 45", "diameter 31 angle 45"}, {track.Curve, "r15.5 22,5", "radius 15.5 angle 22.5"},
		{track.Turnout, "31 45 10", "diameter 31 angle 45 through 10"},
		{track.Straight, "4 3/8", "4 3/8"}, {track.Crossing, "45 10", "45 length 10"},
		{track.Curve, "diameter 31 angle 45", "diameter 31 angle 45"}} {
		got, err := c.Sizing().ParseSize(k.kind, k.typed)
		require.NoError(t, err, k.typed)
		assert.Equal(t, k.got, got)
	}
	for _, bad := range []string{"", "x", "31", "31 45 as W1", "0 45", "left"} {
		_, err := c.Sizing().ParseSize(track.Curve, bad)
		assert.Error(t, err, bad)
	}
	m := New("x", "two-rail", true)
	got, err := m.Sizing().ParseSize(track.Curve, "400 30")
	require.NoError(t, err)
	assert.Equal(t, "radius 400 angle 30", got)
	_, demo := layoutfile.Demo()
	d := open(t, string(demo))
	assert.Equal(t, "bend", d.Sizes.Now(track.Curve))
	assert.Equal(t, "bend right", d.Sizing().Compose(track.Curve, -1, "bend"))
}

// TestThreeWay: a turnout of three legs has two to walk off along, whichever
// the run follows, and a siding on its third leg comes back from the file.
func TestThreeWay(t *testing.T) {
	c := New("x", "metal-tie", false)
	require.NoError(t, c.Laying().Lay("straight 10", 1))
	require.NoError(t, c.Laying().Lay("turnout three-way diameter 54 angle 22.5", 1))
	legs := c.Ends().Branches()
	require.Len(t, legs, 2)
	assert.Equal(t, "W1 third", c.Ends().EndName(legs[1]))
	require.NoError(t, c.Ends().Begin("spur", legs[1]))
	require.NoError(t, c.Laying().Lay("straight 10", 2))
	assert.Empty(t, c.Troubles())
	text := string(c.Text())
	assert.Contains(t, text, `from   = "W1 third"`)
	assert.Equal(t, text, string(open(t, text).Text()))
	assert.Equal(t, "diameter 31 angle 45 through 10", c.Sizes.Now(track.Turnout),
		"a special form is no size of the key")
	c.Cursor().NextRunOver(1)
	require.Len(t, c.Ends().Branches(), 1)
}

func TestDamagedKeep(t *testing.T) {
	for _, s := range []string{"", "{}", `{"version":1}`, `{"version":9}`,
		`{"version":1,"state":{"runs":[{"name":"main"}],"at":3}}`,
		`{"version":1,"state":{"runs":[{"name":"main","pieces":[{"id":1,"text":"nonsense"}]}],"at":0}}`} {
		_, err := Resume([]byte(s))
		assert.Error(t, err, s)
	}
}
