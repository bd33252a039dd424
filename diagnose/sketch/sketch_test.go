package sketch_test

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/sketch"
	"fishplate/diagnose/track"
	"fishplate/diagnose/track/plane"
	"fishplate/layoutfile"
)

func layouts(t *testing.T) map[string]*track.Layout {
	t.Helper()
	names, err := filepath.Glob("../../testdata/layouts/*.hcl")
	require.NoError(t, err)
	require.NotEmpty(t, names)
	out := map[string]*track.Layout{}
	for _, n := range names {
		src, err := os.ReadFile(n)
		require.NoError(t, err)
		f, problems := layoutfile.Read(n, src)
		require.NotNil(t, f, "%v", problems)
		out[n] = f.Layout
	}
	return out
}

// Every layout with its wires is well-formed XML, with every feeder and every
// outlet of one named in it, however their names are spelt.
func TestWires(t *testing.T) {
	for name, l := range layouts(t) {
		l.Feeders[0].Name = "F<1>&"
		s := sketch.New(l)
		require.NotNil(t, s, name)
		for i := range l.Pieces {
			s.Piece(l, i, i%4)
		}
		s.Numbers(l, -1)
		s.Wires(l)
		texts := map[string]bool{}
		d := xml.NewDecoder(strings.NewReader(s.Close(l.Name)))
		for {
			tok, err := d.Token()
			if errors.Is(err, io.EOF) {
				break
			}
			require.NoError(t, err, name)
			if c, ok := tok.(xml.CharData); ok {
				texts[string(c)] = true
			}
		}
		for i := range l.Feeders {
			require.True(t, texts[l.Feeders[i].Name], "%s %s", name, l.Feeders[i].Name)
			require.True(t, texts[l.OutletName(l.Feeders[i].On)], name)
		}
	}
}

// A leg's end as the map draws it is where the layout says the piece ends.
func TestArcsEndWhereThePiecesEnd(t *testing.T) {
	for _, l := range layouts(t) {
		for i := range l.Pieces {
			for _, leg := range l.Pieces[i].Legs {
				end := plane.Along(leg, 1)
				want := l.Pieces[i].Ends[leg.To].Pose
				assert.InDelta(t, want.X, end.X, 1e-6)
				assert.InDelta(t, want.Y, end.Y, 1e-6)
				half := plane.Along(leg, 0.5)
				assert.InDelta(t, leg.Length/2, math.Hypot(half.X-leg.Start.X, half.Y-leg.Start.Y), leg.Length/20)
			}
		}

	}
}
