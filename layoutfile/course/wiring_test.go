package course

import (
	"fmt"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// anyWiring does anything under the table.
func anyWiring(t *rapid.T, c *Course, act, n int) error {
	outlet := func(kind string) Outlet {
		o := c.Wiring().Outlets(0, kind)
		if len(o) == 0 {
			return Outlet{Kind: "supply", Name: "none"}
		}
		p := o[rapid.IntRange(0, len(o)-1).Draw(t, "outlet")]
		_, p.Terminal = c.Wiring().Terminals(p.Name)
		return p
	}
	e := Entry{Values: map[string]string{}, Places: map[string]Anchor{}}
	under := c.Wiring().Under()
	id := 0
	if len(under) > 0 {
		id = under[rapid.IntRange(0, len(under)-1).Draw(t, "thing")].ID
	}
	switch act {
	case 0:
		e.Kind, e.Name = "bus", c.Wiring().NextName("bus", "")
		e.Values = map[string]string{"wire": "14", "length": "20", "terminals": "4"}
		outlet("bus").Into(e.Values)
		return c.Wiring().Put(0, e)
	case 1:
		e.Kind, e.Name = "toggle", c.Wiring().NextName("toggle", "")
		outlet("toggle").Into(e.Values)
		return c.Wiring().Put(0, e)
	case 2:
		e.Kind, e.Name = "accessory", c.Wiring().NextName("accessory", "lamp")
		e.Values = map[string]string{"kind": "lamp", "volts": "14", "amps": "0.2"}
		outlet("accessory").Into(e.Values)
		return c.Wiring().Put(0, e)
	case 3:
		plan := BlockPlan{Name: c.Wiring().NextName("block", ""), Pieces: n, Hang: true, Cut: true}
		if s := c.Things().Named("toggle"); len(s) > 0 {
			plan.Toggle = s[0]
		}
		return c.Stretches().AddBlock(plan)
	case 4:
		if w := c.Wiring().Worked(); len(w) > 0 {
			return c.Stretches().AddRail(RailPlan{Name: c.Wiring().NextName("insulated_rail", w[0]+" rail"),
				Works: w[0], Rail: track.Left, Pieces: n, Tap: 1, Untie: true})
		}
	case 5:
		if id != 0 && rapid.Bool().Draw(t, "with") {
			return c.Wiring().RemoveWith(id)
		} else if id != 0 {
			return c.Wiring().Rehang(id, outlet("feeder"))
		}
	case 6:
		if e, ok := c.Wiring().Entry(id); ok {
			e.Name = fmt.Sprintf("N%d", rapid.IntRange(0, 9).Draw(t, "name"))
			return c.Wiring().Put(id, e)
		}
	}
	return nil
}

// TestPutBackUnchanged: everything under the table of every layout, put back
// as it is, leaves the file as it is.
func TestPutBackUnchanged(t *testing.T) {
	for name, src := range files(t) {
		c := open(t, src)
		for _, th := range c.Wiring().Under() {
			e, ok := c.Wiring().Entry(th.ID)
			require.True(t, ok)
			require.NoError(t, c.Wiring().Put(th.ID, e), "%s: %s", name, c.Wiring().Tell(th))
			assert.Equal(t, src, string(c.Text()), "%s: %s", name, c.Wiring().Tell(th))
			assert.NotContains(t, c.Wiring().Tell(th), "%!")
		}
	}
}

// TestRenamesFollow: whatever is named anew under the table, every layout stays
// good and its circuit the same.
func TestRenamesFollow(t *testing.T) {
	for name, src := range files(t) {
		c := open(t, src)
		before, good := c.Layout()
		if !good {
			continue
		}
		for i, th := range c.Wiring().Under() {
			e, _ := c.Wiring().Entry(th.ID)
			e.Name = fmt.Sprintf("thing %d", i)
			require.NoError(t, c.Wiring().Put(th.ID, e), name)
		}
		after, good := c.Layout()
		require.True(t, good, "%s\n%s\n%v", name, c.Text(), c.Troubles())
		require.Len(t, after.Feeders, len(before.Feeders))
		for i := range before.Feeders {
			assert.Equal(t, before.Feeders[i].On, after.Feeders[i].On, name)
		}
		for i := range before.Blocks {
			assert.Equal(t, before.Blocks[i].Toggle, after.Blocks[i].Toggle, name)
		}
		for i := range before.InsulatedRails {
			assert.Equal(t, before.InsulatedRails[i].Accessory, after.InsulatedRails[i].Accessory, name)
		}
		comments(t, src, string(c.Text()))
	}
}

// TestTakenAwayStaysGood: whatever is taken away under the table together with
// what needs it, the layout stays good. Only the last feeder of a block leaves
// a block that its toggle cannot switch: that is told, and the toggle not lost.
func TestTakenAwayStaysGood(t *testing.T) {
	for name, src := range files(t) {
		c := open(t, src)
		for _, th := range c.Wiring().Under() {
			what := c.Wiring().Tell(th)
			e, _ := c.Wiring().Entry(th.ID)
			require.NoError(t, c.Wiring().RemoveWith(th.ID), name)
			_, good := c.Layout()
			if e.Kind == "feeder" && e.Values["toggle"] != "" && !good {
				require.Len(t, c.Troubles(), 1)
				assert.Contains(t, c.Troubles()[0].Says, "no feeder in the block hangs on")
				good = true
			}
			assert.True(t, good, "%s without %s: %v", name, what, c.Troubles())
			c.Undo()
			assert.Equal(t, src, string(c.Text()), name)
		}
	}
}

// TestTidy: what people type for wires, lengths and figures.
func TestTidy(t *testing.T) {
	in, mm := New("x", "metal-tie", false), New("x", "two-rail", true)
	for _, k := range []struct {
		c                       *Course
		kind, attr, typed, want string
	}{{in, "bus", "wire", "14", "14 AWG"}, {in, "bus", "wire", "0,75", "0.75 mm2"},
		{in, "bus", "length", "20", "20 ft"}, {in, "bus", "length", "18 in", "18 in"},
		{mm, "bus", "wire", "1", "1 mm2"}, {mm, "bus", "length", "2,5", "2.5 m"},
		{mm, "bus", "wire", "16 AWG", "16 AWG"},
		{in, "supply", "volts", "18 V", "18"}, {in, "accessory", "amps", "0,2A", "0.2"},
		{in, "bus", "terminals", "4", "4"}} {
		got, err := k.c.Wiring().Tidy(k.kind, k.attr, k.typed)
		require.NoError(t, err, k.typed)
		assert.Equal(t, k.want, got)
	}
	for _, k := range [][3]string{{"bus", "wire", "41"}, {"bus", "length", "0"}, {"bus", "terminals", "2.5"},
		{"supply", "volts", "230"}, {"supply", "volts", "NaN"},
		{"supply", "breaker", "x"}, {"bus", "volts", "3"}} {
		_, err := in.Wiring().Tidy(k[0], k[1], k[2])
		assert.Error(t, err, "%v", k)
	}
}

// TestWrongField: an error about a value says which, by name and not in words.
func TestWrongField(t *testing.T) {
	c := New("x", "metal-tie", false)
	require.NoError(t, c.Wiring().AddSupply("T1", true, 18, 10))
	for _, k := range []struct {
		err   error
		field string
	}{{c.Wiring().AddSupply("T2", true, 999, 10), "volts"}, {c.Wiring().AddSupply("T2", true, 18, 1e4), "breaker"},
		{c.Wiring().AddSupply("T1", true, 18, 10), Name}, {c.Wiring().AddSupply(" ", true, 18, 10), Name},
		{c.Things().BeginHidden("tunnel", -1), "minutes"}} {
		var w *Wrong
		require.ErrorAs(t, k.err, &w)
		assert.Equal(t, k.field, w.Field)
	}
}

const railed = `name = "x"
units = "in"
construction = "metal-tie"
run "main" {
  closes = true
  pieces = ["4 x straight 10", "4 x curve left diameter 31 angle 45",
    "4 x straight 10", "4 x curve left diameter 31 angle 45"]
}
supply "T1" {
  current = "ac"
  volts   = 18
  breaker = 10
}
accessory "gate" {
  kind   = "motor"
  volts  = 14
  amps   = 0.8
  supply = "T1"
}
`

// TestInsulatedRail: one over the start of a run that closes; its joints are
// cut, its pieces untied; pieces that go take its tap along, the last one the
// rail itself.
func TestInsulatedRail(t *testing.T) {
	c := open(t, railed)
	require.NoError(t, c.Cursor().Jump("main 14"))
	require.NoError(t, c.Stretches().AddRail(RailPlan{Name: "road", Works: "gate", Rail: track.Left, Pieces: 4, Tap: 2,
		Wire: "18", Length: "4", Untie: true}))
	l, good := c.Layout()
	require.True(t, good, "%v", c.Troubles())
	require.Len(t, l.InsulatedRails, 1)
	assert.Equal(t, []int{14, 15, 0, 1}, l.InsulatedRails[0].Pieces)
	assert.Equal(t, 15, l.InsulatedRails[0].Tap.Piece)
	for _, p := range l.InsulatedRails[0].Pieces {
		assert.True(t, l.Pieces[p].Untied)
	}
	cut := 0
	for i := range l.Joints {
		if len(l.Joints[i].Insulated) > 0 {
			cut++
		}
	}
	assert.Equal(t, 2, cut)

	require.NoError(t, c.Cursor().Jump("main 16")) // the tap's piece
	_, err := c.Laying().DeleteBehind(1)
	require.NoError(t, err)
	l, good = c.Layout()
	require.True(t, good, "%v\n%s", c.Troubles(), c.Text())
	assert.Contains(t, l.InsulatedRails[0].Pieces, l.InsulatedRails[0].Tap.Piece)
	c.Undo()

	require.NoError(t, c.Stretches().RemoveRail(c.Wiring().Under()[2].ID, true))
	text := string(c.Text())
	assert.NotContains(t, text, "insulated")
	for c.Undo() != "" {
	}
	assert.Equal(t, railed, string(c.Text()))
}

// TestRailGoesWithItsPieces: with all its pieces an insulated rail goes, and
// its accessory stays.
func TestRailGoesWithItsPieces(t *testing.T) {
	c := open(t, railed)
	require.NoError(t, c.Cursor().Jump("main 9"))
	require.NoError(t, c.Stretches().AddRail(RailPlan{Name: "road", Works: "gate", Rail: track.Right, Pieces: 2, Tap: 1,
		Untie: true}))
	require.NoError(t, c.Cursor().Jump("main 11"))
	said, err := c.Laying().DeleteBehind(2)
	require.NoError(t, err)
	assert.Contains(t, said, "insulated rail road is gone with its pieces")
	_, good := c.Layout()
	assert.True(t, good, "%v", c.Troubles())
	assert.Equal(t, []string{"gate"}, c.Wiring().Worked())
}

// TestSpans: how far a stretch from the cursor on can go.
func TestSpans(t *testing.T) {
	c := open(t, railed)
	c.Cursor().To(false)
	s, err := c.Stretches().Span(16)
	require.NoError(t, err)
	assert.Equal(t, s.From, s.To)
	assert.ErrorContains(t, c.Stretches().CanInsulate(s), "all the way round")
	_, err = c.Stretches().Span(17)
	assert.ErrorContains(t, err, "16 pieces lie ahead")
	require.NoError(t, c.Cursor().Jump("main 10"))
	for text, want := range map[string]int{"3": 3, "main 12": 2, "main 2": 8} {
		n, err := c.Stretches().SpanTo(text)
		require.NoError(t, err, text)
		assert.Equal(t, want, n)
	}
	for _, bad := range []string{"", "x", "0", "-1", "3 pieces", "main 99"} {
		_, err := c.Stretches().SpanTo(bad)
		assert.Error(t, err, bad)
	}
	require.NoError(t, c.Cursor().Jump("main 12"))
	require.NoError(t, c.Things().AddInsulated([]track.Rail{track.Center}))
	require.NoError(t, c.Cursor().Jump("main 10"))
	assert.Equal(t, 2, c.Stretches().NextGap())
}

// TestBlockHangsItsFeeders: a block made over a feeder hangs it on its toggle
// and cuts the rail that the toggle switches, once.
func TestBlockHangsItsFeeders(t *testing.T) {
	c := open(t, railed)
	require.NoError(t, c.Wiring().Put(0, Entry{Kind: "toggle", Name: "S1", Values: map[string]string{"supply": "T1"}}))
	require.NoError(t, c.Cursor().Jump("main 6"))
	require.NoError(t, c.Wiring().AddFeeder("F1", "T1", "16 AWG", "6 ft"))
	require.NoError(t, c.Cursor().Jump("main 4"))
	require.NoError(t, c.Things().AddInsulated([]track.Rail{track.Center}))
	require.NoError(t, c.Stretches().AddBlock(BlockPlan{Name: "curve", Pieces: 4, Toggle: "S1", Hang: true, Cut: true}))
	l, good := c.Layout()
	require.True(t, good, "%v", c.Troubles())
	assert.Equal(t, track.OnToggle, l.Feeders[0].On.Kind)
	assert.Equal(t, 2, strings.Count(string(c.Text()), "insulated "))
	f, problems := layoutfile.Read("x", c.Text())
	require.NotNil(t, f)
	assert.Empty(t, problems)
}
