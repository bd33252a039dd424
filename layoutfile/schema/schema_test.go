package schema

import (
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
)

func TestNearest(t *testing.T) {
	for word, want := range map[string]string{"strait": "straight", "curv": "curve", "tunrout": "turnout",
		"crosing": "crossing", "x": "", "locomotive": ""} {
		require.Equal(t, want, Nearest(word, []string{"straight", "curve", "turnout", "crossing", "slip", "bumper"}),
			word)
	}
	require.Equal(t, 1, edits("mian", "main"))
	require.Equal(t, 3, edits("kitten", "sitting"), "the usual textbook pair")
}

// What names a thing names a kind that there is; what has bounds has them in
// order; the values shown are within them; a block's example has its name.
func TestTableHoldsTogether(t *testing.T) {
	var check func(b *Block)
	check = func(b *Block) {
		require.Contains(t, b.Example, " {", b.Name)
		for i := range b.Attrs {
			a := &b.Attrs[i]
			key := b.Name + " " + a.Name
			require.NotEmpty(t, a.Shown, key)
			require.Same(t, a, b.Attr(a.Name), "named twice: "+key)
			require.Equal(t, a.Kind == Name, len(a.Of) > 0, key)
			require.Equal(t, a.Kind == Word, len(a.Words) > 0, key)
			for _, kind := range a.Of {
				require.NotNil(t, Find(kind), key)
			}
			if a.Kind == Number || a.Kind == Whole {
				v, err := strconv.ParseFloat(a.Shown, 64)
				require.NoError(t, err, key)
				require.True(t, a.Lo < a.Hi && a.Lo <= v && v <= a.Hi, key)
			}
			if a.Kind == Word {
				require.Contains(t, a.Words, strings.Trim(a.Shown, `"`), key)
			}
			bare := a.Kind == Number || a.Kind == Whole || a.Kind == Flag || a.Kind == Rails || a.Kind == Pieces ||
				a.Kind == Texts
			require.Equal(t, !bare, strings.HasPrefix(a.Shown, `"`), key)
		}
		for _, x := range b.Blocks {
			check(x)
		}
	}
	for _, b := range File.Blocks {
		check(b)
	}
}

// Expected by hand.
func TestReferenceFillsIn(t *testing.T) {
	got := Reference("x\n    @supply \"T1\" current volts=12\n@note \"main 7\" text\n@construction \"a\" like {\n  " +
		"@clip ohms\n}\n")
	require.Equal(t, `x
    supply "T1" {                                # what feeds the track
      current = "ac"                             # or "dc"
      volts   = 12                               # at its posts; 0.5 to 60
    }
note "main 7" { text = "new pins" }              # what is known of a piece
construction "a" {                               # how a kind of track is made
  like = "metal-tie"                             # everything else as there; or say it all
  clip { ohms = 0.003 }                          # feeder to rail
}
`, got)
}
