package course

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// TestAnyWalk does anything at all on any layout: nothing panics; comments of
// the file that was opened stay; what is good reads as the same layout from a
// fresh text; and undo all the way back gives the start, redo the end.
func TestAnyWalk(t *testing.T) {
	all := files(t)
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(sorted(all)).Draw(t, "file")
		c := open(t, all[name])
		start := string(c.Text())
		texts := []string{start}
		f, _ := layoutfile.Read(name, []byte(start))
		blocks := len(f.Sheet().Blocks)
		for i := rapid.IntRange(1, 25).Draw(t, "n"); i > 0; i-- {
			did := anything(t, c)
			if c.Undos() >= len(texts) {
				texts = append(texts[:c.Undos()], string(c.Text()))
			}
			if intact(c, blocks) {
				comments(t, all[name], string(c.Text()))
			}
			agrees(t, c)
			s := c.State()
			require.True(t, s.Run >= 0 && s.Run < len(s.Runs) && s.At >= 0 && s.At <= len(s.Runs[s.Run].Pieces), did)
			for _, x := range c.Troubles() {
				require.NotEmpty(t, x.Says)
			}
			_ = c.Ends().Targets()
		}
		end := string(c.Text())
		f, _ = layoutfile.Read("x", c.Text())
		if _, good := c.Layout(); good {
			require.NotNil(t, f)
		}
		data, err := c.Kept().Bytes()
		require.NoError(t, err)
		r, err := Resume(data)
		require.NoError(t, err)
		require.Equal(t, end, string(r.Text()))
		for k := c.Undos() - 1; r.Undos() > 0; k-- { // what was kept can be undone as well
			require.NotEmpty(t, r.Undo())
			require.Equal(t, texts[k], string(r.Text()), "kept step %d", k)
		}
		for k := c.Undos() - 1; k >= 0; k-- {
			require.NotEmpty(t, c.Undo())
			require.Equal(t, texts[k], string(c.Text()), "step %d", k)
		}
		require.Equal(t, start, string(c.Text()))
		for c.Redo() != "" {
		}
		require.Equal(t, end, string(c.Text()))
	})
}

// intact says that none of the n blocks of the file that was opened is gone: a comment
// inside one that is goes with it.
func intact(c *Course, n int) bool {
	blocks := map[int]bool{}
	for i := range c.now.Runs {
		if r := &c.now.Runs[i]; len(r.Pieces) > 0 || r.From.At.Piece != 0 && r.To.At.Piece != 0 {
			blocks[r.Block] = true
		}
	}
	for i := range c.now.Things {
		blocks[c.now.Things[i].Block] = true
	}
	for i := 0; i < n; i++ {
		if !blocks[i] {
			return false
		}
	}
	return true
}

func sorted(m map[string]string) []string {
	var out []string
	for _, k := range []string{"demo", "dead-end.hcl", "double.hcl", "figure-eight.hcl", "loop-siding.hcl", "loop.hcl",
		"reversing.hcl", "yard.hcl", "shelf-two-rail.hcl"} {
		if _, ok := m[k]; ok {
			out = append(out, k)
		}
	}
	return out
}

func anything(t *rapid.T, c *Course) string {
	pieces := []string{"straight 10", "straight 5", "curve left diameter 31 angle 45",
		"turnout right trailing diameter 31 angle 45", "crossing 90 length 10",
		"bumper", "turnout left diameter 31 angle 45 via diverging", "X1 again", "nonsense"}
	act := rapid.IntRange(0, 28).Draw(t, "act")
	n := rapid.IntRange(1, 4).Draw(t, "count")
	p := rapid.SampledFrom(pieces).Draw(t, "piece")
	var err error
	switch act {
	case 0, 1, 2:
		err = c.Laying().Lay(p, n)
	case 3:
		_, err = c.Laying().DeleteBehind(n)
	case 4:
		_, err = c.Laying().DeleteAhead(n)
	case 5:
		err = c.Laying().Replace(p)
	case 6, 7:
		c.Cursor().Move(rapid.IntRange(-9, 9).Draw(t, "move"))
	case 8:
		c.Cursor().NextRunOver(n)
	case 9:
		err = c.Wiring().AddSupply(c.Wiring().NextSupply(), true, 18, 10)
	case 10:
		if s := c.Wiring().Supplies(); len(s) > 0 {
			err = c.Wiring().AddFeeder(c.Wiring().NextFeeder(), s[0], "16 AWG", "6 ft")
		}
	case 11:
		err = c.Things().AddInsulated([]track.Rail{track.Left})
	case 12:
		err = c.Things().AddLandmark(fmt.Sprintf("mark %d", rapid.IntRange(0, 9).Draw(t, "mark")))
	case 13:
		err = c.Things().AddNote("a \"note\" with \\ and ${x}")
	case 14:
		if c.State().Hidden == nil {
			err = c.Things().BeginHidden(fmt.Sprintf("dark %d", n), 3)
		} else {
			err = c.Things().EndHidden()
		}
	case 15:
		if ts := c.Ends().Targets(); len(ts) > 0 {
			err = c.Ends().Join(ts[n%len(ts)])
		}
	case 16:
		err = c.Ends().Unjoin()
	case 17:
		if b := c.Ends().Branches(); len(b) > 0 {
			err = c.Ends().Begin(c.Ends().NextRun(), b[0])
		}
	case 18:
		err = c.Laying().NameIt(fmt.Sprintf("N%d", n))
	case 19:
		err = c.Rename(fmt.Sprintf("way%d", n))
	case 20:
		_, err = c.Ends().RemoveRun()
	case 21:
		err = c.Ends().Via()
	default:
		err = anyWiring(t, c, act-22, n)
	}
	return fmt.Sprintf("act %d: %v", act, err)
}
