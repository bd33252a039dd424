package layoutfile

import (
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/schema"
	"fishplate/layoutfile/sheet"
)

// Everything that the reference shows can be read, and everything that can be
// written is shown.
func TestReferenceIsTrue(t *testing.T) {
	text := Reference()
	var shown func(b *schema.Block)
	shown = func(b *schema.Block) {
		for _, a := range b.Attrs {
			require.Contains(t, text, a.Name)
		}
		for _, x := range b.Blocks {
			require.Contains(t, text, x.Name)
			shown(x)
		}
	}
	shown(schema.File)
	for _, b := range schema.File.Blocks {
		require.Contains(t, text, "    "+b.Name+" \"")
	}
	for _, c := range Constructions() {
		require.Contains(t, text, c.Name)
	}
	var src strings.Builder
	for _, line := range strings.Split(text, "\n") {
		if rest, ok := strings.CutPrefix(line, "    "); ok {
			src.WriteString(rest + "\n")
		}
	}
	// the examples are put onto a track that is long enough for their places
	file := regexp.MustCompile(`(?s)run "main" \{.*?\n\}\nrun "siding" \{.*?\n\}\n`).ReplaceAllLiteralString(
		src.String(),
		"run \"main\" {\n  pieces = [\"30 x straight 10\"]\n}\n")
	require.NotEqual(t, src.String(), file)
	mustRead(t, "reference.hcl", file)
}

func TestReferencePiecesCanBeRead(t *testing.T) {
	rows := regexp.MustCompile("(?m)^\\| [^|]+ \\| (.*) \\|$").FindAllStringSubmatch(Reference(), -1)
	n := 0
	for _, row := range rows {
		for _, m := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(row[1], -1) {
			_, _, slip := sheet.ReadPiece(m[1], 25.4, nil)
			require.Nil(t, slip, m[1])
			n++
		}
	}
	require.Greater(t, n, 10)
}

// TestSolderIsSaid: whatever bids someone solder is marked, so that the caution
// comes before it, and nothing else is.
func TestSolderIsSaid(t *testing.T) {
	flaws := track.WiringFlaws()
	for _, c := range Constructions() {
		flaws = append(flaws, c.Flaws...)
	}
	marked := 0
	for _, f := range flaws {
		require.Equal(t, strings.Contains(f.What+f.Look, "solder"), f.Solder, "%s %s: %s", f.Part, f.Mode, f.Look)
		if f.Solder {
			marked++
		}
	}
	require.Positive(t, marked)
}

func TestBuiltInConstructions(t *testing.T) {
	list := Constructions()
	require.Len(t, list, 6)
	for _, c := range list {
		require.NotEmpty(t, c.About+c.Source+c.Lift, c.Name)
		require.Greater(t, c.LiftMinutes, 0.0)
		require.Greater(t, c.PartMinutes, 0.0)
		require.True(t, c.HasRail(c.Hot) && c.HasRail(c.Common), c.Name)
		require.NotEmpty(t, c.Turnout.Conductors)
		require.NotEmpty(t, c.Crossing.Conductors)
		seen := map[string]bool{}
		for _, f := range c.Flaws {
			key := string(f.Part) + " " + string(f.Mode)
			for _, r := range f.Rails {
				require.True(t, c.HasRail(r))
				key += " " + string(r)
			}
			require.False(t, seen[key], "%s: %s twice", c.Name, key)
			seen[key] = true
			require.NotEmpty(t, f.What, key)
			require.NotEmpty(t, f.Look, key)
			require.Greater(t, f.Odds, 0.0)
		}
	}
	metal := list[0]
	require.Equal(t, "metal-tie", metal.Name)
	require.Equal(t, [][]track.Rail{{track.Left, track.Right}}, metal.Tied)
	// one owner's track (see constructions.hcl): 3.5 mohm a rail piece of about 284 mm
	require.InDelta(t, 0.0035, metal.RailPerMeter.Ohms*0.284, 0.00005)
	require.Equal(t, 0.0015, metal.JointOhms.Ohms)
	require.Empty(t, list[1].Tied, "roadbed has separate rails")
	require.True(t, list[4].Turnout.Conductors[4].When == "through")
}

// A construction in the file changes one that is known, or adds one.
func TestConstructionsInTheFile(t *testing.T) {
	src := small + `construction "metal-tie" {
  joint { ohms = 0.02 }
  flaw "joint" "open" { odds = 9 }
  flaw "piece" "open" { odds = 0 }
}
construction "mine" {
  like = "metal-tie"
  tied = []
}
`
	f := mustRead(t, "x.hcl", src)
	c := f.Layout.Pieces[0].Construction
	require.Equal(t, 0.02, c.JointOhms.Ohms)
	require.Equal(t, 0.6, c.JointOhms.Spread)
	require.Len(t, f.Layout.Constructions, 7)
	for _, flaw := range c.Flaws {
		require.False(t, flaw.Part == track.PartPiece && flaw.Mode == track.Open)
		if flaw.Part == track.PartJoint && flaw.Mode == track.Open {
			require.Equal(t, 9.0, flaw.Odds)
			require.NotEmpty(t, flaw.Look, "what is not said is inherited")
		}
	}
	mine := f.Layout.Constructions[6]
	require.Equal(t, "mine", mine.Name)
	require.Empty(t, mine.Tied)
	require.Equal(t, 0.02, mine.JointOhms.Ohms)
	require.Equal(t, 0.0015, Constructions()[0].JointOhms.Ohms, "the built-in one stays as it is")
}
