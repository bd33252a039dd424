package course

import (
	"reflect"
	"sort"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
	"fishplate/layoutfile"
)

// agrees requires that the layout on the screen, which is read without the
// file's text, is what the file's text reads as: the same layout but for its
// lines, or the same mistakes.
func agrees(t require.TestingT, c *Course) {
	f, problems := layoutfile.Read("layout", c.Text())
	assert.Equal(t, said(problems), said(c.view.problems), "%s", c.Text())
	seen, good := c.Layout()
	require.Equal(t, f != nil, good, "%s", c.Text())
	text, err := c.Checked()
	require.Equal(t, good, err == nil, "%v", err)
	if f == nil {
		return
	}
	require.Equal(t, string(c.Text()), string(text))
	require.True(t, assert.ObjectsAreEqual(unlined(f.Layout), unlined(seen)), "not the same layout:\n%s", c.Text())
}

// said are problems without their places, sorted: the text that they stand in
// has another order.
func said(problems layoutfile.Problems) []string {
	var out []string
	for i := range problems {
		out = append(out, problems[i].Summary+"|"+problems[i].Fix)
	}
	sort.Strings(out)
	return out
}

// unlined is a layout without the lines of its file.
func unlined(l *track.Layout) track.Layout {
	out := *l
	v := reflect.ValueOf(&out).Elem()
	for i := 0; i < v.NumField(); i++ {
		f := v.Field(i)
		if f.Kind() != reflect.Slice || f.Type().Elem().Kind() != reflect.Struct {
			continue
		}
		own := reflect.MakeSlice(f.Type(), f.Len(), f.Len())
		reflect.Copy(own, f)
		for k := 0; k < own.Len(); k++ {
			if line := own.Index(k).FieldByName("Line"); line.IsValid() {
				line.SetInt(0)
			}
		}
		f.Set(own)
	}
	return out
}

// TestSeenIsWritten: every layout as it is opened, with other line ends, a byte
// order mark, and with a block of each kind that a course only keeps.
func TestSeenIsWritten(t *testing.T) {
	for _, src := range files(t) {
		for _, text := range []string{src, strings.ReplaceAll(src, "\n", "\r\n"), "\xef\xbb\xbf" + src} {
			agrees(t, open(t, text))
		}
	}
	c := open(t, kept)
	agrees(t, c)
	assert.Equal(t, kept, string(c.Text()))
	require.NoError(t, c.Cursor().Jump("main 1"))
	require.NoError(t, c.Laying().Lay("long", 1))
	agrees(t, c)
	comments(t, kept, string(c.Text()))
}

// kept is an invented layout with what the walk has no key for, names that need
// escapes, and a list of pieces with comments.
const kept = `name = "a \"quoted\" name"
units = "mm"
about = <<EOT
two
lines
EOT
construction = "own"
construction "own" {
  like = "two-rail"
  rail {
    ohms_per_meter = 0.02
    spread = 0.1
    level = 0.5
  }
  flaw "joint" "weak" {
    odds = 5
    min = 0.05
    max = 5
    what = "dirt"
    look = "clean it"
  }
}
stock "long" { piece = "straight 250" }
run "main" {
  closes = true # round
  pieces = [
    "2 x long", # the station
    "6 x curve left radius 400 angle 30",
    "long", "long",
    # the far side
    "6 x curve left radius 400 angle 30",
  ]
}
supply "é\"x\"" {
  current = "dc"
  volts = 12
  breaker = 3
}
feeder "F1" {
  at = "main 1/2"
  supply = "é\"x\""
  wire = "0.75 mm2"
  length = 900
}
train "fast" { amps = 1 }
flaw "toggle" "open" { odds = 4 }
history "main 3" {
  odds = 0.2
  why = "100 % \\\\ "
}
`
