package layoutfile

import (
	"fmt"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/diagnose/track"
)

var comment = regexp.MustCompile(`#[^\r\n]*`)

func comments(src []byte) []string { return comment.FindAllString(string(src), -1) }

// edited applies an edit and asks that it was taken and that every comment is
// still there, in the same order.
func edited(t *testing.T, f *File, edit func() Problems) {
	t.Helper()
	before := comments(f.Bytes())
	problems := edit()
	require.False(t, problems.Errors(), "%v", problems)
	require.Equal(t, before, comments(f.Bytes()), string(f.Bytes()))
	checkLayout(t, f.Layout)
}

func TestEditsKeepComments(t *testing.T) {
	for _, src := range []string{small, strings.ReplaceAll(small, "\n", "\r\n")} {
		f := mustRead(t, "x.hcl", src)
		edited(t, f, func() Problems { return f.SetName(`The "new" ${name}`) })
		require.Equal(t, `The "new" ${name}`, f.Layout.Name)
		edited(t, f, func() Problems { return f.SetAbout("a\nb") })
		require.Equal(t, "a\nb", f.Layout.About)
		edited(t, f, func() Problems {
			return f.AddRun(RunLines{Name: "spur", From: "W1 diverging", Pieces: []string{"2 x straight 10", "bumper"}})
		})
		require.Len(t, f.Layout.Runs, 2)
		edited(t, f, func() Problems { return f.AddSupply(SupplyLines{Name: "T2", Volts: 12, Breaker: 3}) })
		edited(t, f, func() Problems {
			return f.AddFeeder(FeederLines{Name: "F2", At: "spur 1", Supply: "T2", Wire: "18 AWG", Length: "2 m", Common: track.Right})
		})
		require.Equal(t, track.Right, f.Layout.Feeders[1].Common)
		edited(t, f, func() Problems { return f.RemoveFeeder("F2") })
		require.Len(t, f.Layout.Feeders, 1)
		edited(t, f, func() Problems { return f.RemoveSupply("T2") })
		edited(t, f, func() Problems { return f.AddInsulated("main 2/spur 1", track.Center) })
		edited(t, f, func() Problems { return f.AddLandmark("mill", "main 4") })
		edited(t, f, func() Problems { return f.AddLandmark("barn", "main 5/6") })
		edited(t, f, func() Problems { return f.AddHidden(HiddenLines{"tunnel", "main 6", "main 8", 5}) })
		require.Equal(t, 5.0, f.Layout.Pieces[f.Layout.FindPiece("main 7")].ExtraMinutes)
		edited(t, f, func() Problems { return f.AddNote("main 1", "creaks") })
		edited(t, f, func() Problems { return f.SetOdds("W1", 0.25, "bench") })
		edited(t, f, func() Problems { return f.SetOdds("main 2", 4, "repaired twice") })
		require.Equal(t, []track.OddsFactor{{Piece: 1, Factor: 4, Why: "repaired twice"}}, f.Layout.Odds)
		edited(t, f, func() Problems { return f.RemoveNote("main 1") })
		edited(t, f, func() Problems { return f.RemoveLandmark("mill") })
		edited(t, f, func() Problems { return f.RemoveHidden("tunnel") })
		edited(t, f, func() Problems { return f.RemoveInsulated("main 2/spur 1") })
		edited(t, f, func() Problems { return f.RemoveRun("spur") })
		require.Len(t, f.Layout.Runs, 1)
		require.Equal(t, strings.Contains(src, "\r\n"), strings.Contains(string(f.Bytes()), "\r\n"))
		if strings.Contains(src, "\r\n") {
			require.NotRegexp(t, `[^\r]\n`, string(f.Bytes()), "one kind of line end only")
		}
	}
}

// Only what an edit is about may change.
func TestEditChangesNothingElse(t *testing.T) {
	f := mustRead(t, "x.hcl", small)
	require.Empty(t, f.SetName("Other"))
	require.Equal(t, strings.Replace(small, `"Small"`, `"Other"`, 1), string(f.Bytes()))
	require.Empty(t, f.AddFeeder(FeederLines{Name: "F2", At: "main 9", Supply: "T1", Wire: "16 AWG", Length: "2 ft"}))
	require.Empty(t, f.RemoveFeeder("F2")) // may leave an empty line
	require.Equal(t, strings.Replace(small, `"Small"`, `"Other"`, 1), strings.ReplaceAll(string(f.Bytes()), "\n\n", "\n"))
}

func TestRefusedEditLeavesTheFileAlone(t *testing.T) {
	f := mustRead(t, "x.hcl", small)
	layout := f.Layout
	for name, edit := range map[string]func() Problems{
		"no such feeder": func() Problems { return f.RemoveFeeder("F9") },
		"feeder twice": func() Problems {
			return f.AddFeeder(FeederLines{Name: "F1", At: "main 3", Supply: "T1", Wire: "16 AWG", Length: "1 ft"})
		},
		"bad pieces":       func() Problems { return f.SetRunPieces("main", []string{"strait 10"}) },
		"place is gone":    func() Problems { return f.SetRunPieces("main", []string{"straight 10"}) },
		"no such run":      func() Problems { return f.SetRunPieces("side", nil) },
		"supply in use":    func() Problems { return f.RemoveSupply("T1") },
		"no such piece":    func() Problems { return f.SetOdds("main 99", 2, "") },
		"odds out of hand": func() Problems { return f.SetOdds("main 1", 0, "") },
		"not a joint":      func() Problems { return f.AddInsulated("main 3", track.Left) },
		"empty name":       func() Problems { return f.SetName("") },
	} {
		require.True(t, edit().Errors(), name)
		require.Equal(t, small, string(f.Bytes()), name)
		require.Same(t, layout, f.Layout, name)
	}
}

func TestSetRunPiecesKeepsComments(t *testing.T) {
	f := mustRead(t, "x.hcl", small)
	edited(t, f, func() Problems {
		return f.SetRunPieces("main", []string{"straight 10", "straight 5", "turnout left diameter 31 angle 45 through 10 as W1", "straight 5",
			"straight 10", "4 x curve left diameter 31 angle 45", "4 x straight 10", "4 x curve left diameter 31 angle 45"})
	})
	text := string(f.Bytes())
	require.Contains(t, text, "    \"straight 10\", # first\n    \"straight 5\",\n    # above the second\n    \"turnout left")
	require.Contains(t, text, "\"4 x curve left diameter 31 angle 45\", # the door side\n")
	require.Contains(t, text, "    # nothing more\n  ] # done\n")
	// the piece with a comment goes, the comment stays
	edited(t, f, func() Problems {
		return f.SetRunPieces("main", []string{"2 x straight 10", "turnout left diameter 31 angle 45 through 10 as W1"})
	})
	require.Contains(t, string(f.Bytes()), "    # first\n")

	g := mustRead(t, "x.hcl", string(mustDouble(t)))
	edited(t, g, func() Problems { return g.SetRunPieces("south", []string{"straight 1"}) })
	require.NotNil(t, g.Layout.FindPiece("south 1"))
}

func mustDouble(t *testing.T) []byte {
	f := mustRead(t, "x.hcl", small)
	require.Empty(t, f.AddRun(RunLines{Name: "outer", Pieces: []string{"straight 10", "turnout left diameter 31 angle 45 as W2"}}))
	text := strings.Replace(string(f.Bytes()), `"4 x straight 10"`, `"3 x straight 10", "turnout right diameter 31 angle 45 through 10 as W3"`, 1)
	return []byte(text + "run \"south\" {\n  # joins\n  from = \"W2 diverging\"\n  to = \"W3 diverging\"\n}\n")
}

// Any row of edits leaves a file that can be read, says what it should, and
// has lost no comment.
func TestRowsOfEdits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := mustRead(t, "x.hcl", small)
		before := comments(f.Bytes())
		notes := 0
		for i := rapid.IntRange(1, 8).Draw(t, "edits"); i > 0; i-- {
			at := fmt.Sprintf("main %d", rapid.IntRange(1, 16).Draw(t, "at"))
			var p Problems
			switch rapid.IntRange(0, 4).Draw(t, "edit") {
			case 0:
				p = f.SetName(rapid.StringMatching(`[a-z"$\\{%\n ]{0,8}x`).Draw(t, "name"))
			case 1:
				p = f.AddNote(at, rapid.StringMatching(`[a-z"$\\{%\n ]{0,8}x`).Draw(t, "note"))
				notes++
			case 2:
				p = f.SetOdds(at, 2, "seen to")
			case 3:
				p = f.AddLandmark(fmt.Sprintf("mark %d", i), at)
			case 4:
				p = f.SetRunPieces("main", append(f.Draft().Runs[0].Pieces, "straight 10"))
			}
			require.False(t, p.Errors(), "%v", p)
		}
		require.Equal(t, before, comments(f.Bytes()), string(f.Bytes()))
		require.Len(t, f.Layout.Notes, notes)
		g, problems := Read("y.hcl", f.Bytes())
		require.False(t, problems.Errors())
		require.Equal(t, f.Layout, g.Layout)
	})
}
