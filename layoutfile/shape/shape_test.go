package shape

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/layoutfile"
)

// closed says how far the joints of a layout are apart at worst: every joint
// is measured, whatever the reader's tolerance is.
func worst(t require.TestingT, text []byte) (mm, deg float64) {
	f, problems := layoutfile.Read("shape", text)
	require.NotNil(t, f, "%v\n%s", problems, text)
	require.Empty(t, problems, "%s", text)
	for _, j := range f.Layout.Joints {
		a, b := f.Layout.Pieces[j.A.Piece].Ends[j.A.End].Pose, f.Layout.Pieces[j.B.Piece].Ends[j.B.End].Pose
		m := layoutfile.MissBetween(a, b)
		mm, deg = math.Max(mm, m.MM()), math.Max(deg, math.Abs(m.Turn))
	}
	return mm, deg
}

// TestShapesClose: every shape with its own sizes closes to a tenth of a
// millimeter, in inches and in millimeters.
func TestShapesClose(t *testing.T) {
	for _, s := range All() {
		for _, metric := range []bool{false, true} {
			c, err := s.Make("A start", "metal-tie", metric, nil)
			require.NoError(t, err, s.Name)
			mm, deg := worst(t, c.Text())
			assert.Less(t, mm, 0.1, "%s\n%s", s.Name, c.Text())
			assert.Less(t, deg, 1e-6, s.Name)
			assert.Empty(t, c.Troubles(), s.Name)
			assert.False(t, strings.Contains(string(c.Text()), "radius") && strings.Contains(string(c.Text()),
				"diameter"), "%s: one word for a width\n%s", s.Name, c.Text())
			for _, r := range c.State().Runs {
				if s.Name != "yard" {
					assert.True(t, r.Closes || r.To.At.Piece != 0, "%s: %s has a loose end", s.Name, r.Name)
				}
			}
		}
	}
}

// TestAnySizes: whatever the sizes are, a shape closes or says which size does
// not do.
func TestAnySizes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(All()).Draw(t, "shape")
		metric := rapid.Bool().Draw(t, "metric")
		values := map[string]string{}
		for _, f := range s.Fields(metric) {
			choices := map[string][]string{"curve": {"31 45", "30 30", "60 22.5", "200 10", "31 50"},
				"outer":    {"60 30", "50 22.5", "500 10"},
				"straight": {"10", "4", "7.3"}, "turnout": {"31 45", "31 45 10", "72 22.5", "60 15"},
				"crossing": {"90 10", "60 6", "45 10", "90 300"},
				"spacing":  {"6", "2", "11.5", "400"}}[f.Key]
			if choices == nil {
				choices = []string{"0", "1", "3", "8", "15", "-1", "x"}
			}
			values[f.Key] = rapid.SampledFrom(choices).Draw(t, f.Key)
		}
		c, err := s.Make("Any", "two-rail", metric, values)
		if err != nil {
			var w *Wrong
			if !assert.ErrorAs(t, err, &w, "%v", values) {
				t.FailNow()
			}
			return
		}
		mm, deg := worst(t, c.Text())
		require.Less(t, mm, 0.1, "%v\n%s", values, c.Text())
		require.Less(t, deg, 1e-6)
	})
}

// TestOvalBySize: the bounding box of an oval of 4 straights of 10 in a side
// and curves of 31 in is 31 in wide and 71 in long, by hand.
func TestOvalBySize(t *testing.T) {
	s, err := Find("oval")
	require.NoError(t, err)
	c, err := s.Make("Oval", "metal-tie", false, map[string]string{"long": "4"})
	require.NoError(t, err)
	l, good := c.Layout()
	require.True(t, good)
	x0, x1, y0, y1 := math.Inf(1), math.Inf(-1), math.Inf(1), math.Inf(-1)
	for i := range l.Pieces {
		for _, e := range l.Pieces[i].Ends {
			x0, x1, y0, y1 = math.Min(x0, e.Pose.X), math.Max(x1, e.Pose.X), math.Min(y0, e.Pose.Y),
				math.Max(y1, e.Pose.Y)
		}
	}
	assert.InDelta(t, 71*25.4, x1-x0, 1e-6)
	assert.InDelta(t, 31*25.4, y1-y0, 1e-6)
}

// TestYardSpacing: neighbouring tracks of the ladder lie as far apart as was
// asked for, side by side.
func TestYardSpacing(t *testing.T) {
	s, err := Find("yard")
	require.NoError(t, err)
	c, err := s.Make("Yard", "metal-tie", false, map[string]string{"spacing": "7", "tracks": "5"})
	require.NoError(t, err)
	l, _ := c.Layout()
	var across []float64
	for i := range l.Pieces {
		if p := &l.Pieces[i]; p.Kind == "bumper" {
			assert.InDelta(t, 180, math.Abs(p.Ends[0].Pose.Heading), 1e-6)
			across = append(across, p.Ends[0].Pose.Y/25.4)
		}
	}
	require.Len(t, across, 5)
	assert.InDelta(t, 28, across[0], 1e-3, "the lead's own track is the furthest")
	for k, y := range across[1:] {
		assert.InDelta(t, float64(7*k), y, 1e-3)
	}
}

func TestUnknownShape(t *testing.T) {
	_, err := Find("pretzel")
	assert.ErrorContains(t, err, "figure-eight")
}
