package layoutfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"fishplate/diagnose/track"
)

// partsOf gives the blocks of an outline as they are.
func partsOf(o *Outline) []Part {
	var out []Part
	for i, b := range o.Blocks {
		out = append(out, Part{From: i, Kind: b.Kind, Label: b.Label, Attrs: nil, Rows: b.Rows})
	}
	return out
}

const shelfText = `# head
name  = "Small" # my name
units = "in"
construction = "metal-tie"

run "main" { pieces = ["3 x straight 10"] } # the shelf

run "spur" {
  # why it is here
  from = "main 3 end" # the far end
  pieces = [
    "2 x straight 5", # new
    # cut by hand
    "straight 4",
  ]
}
# the lamp
landmark "lamp" { at = "spur 1" } # green
note "spur 2" { text = "loose" }
`

func rewritten(src []byte, top []Attr, parts []Part) []byte {
	return NewEditor(src).Rewrite(top, parts)
}

func outline(t *testing.T, src string) *Outline {
	f, problems := Read("x", []byte(src))
	require.NotNil(t, f, "%v", problems)
	return f.Outline()
}

// TestRewriteNothing: what is not changed keeps every byte.
func TestRewriteNothing(t *testing.T) {
	o := outline(t, shelfText)
	assert.Equal(t, shelfText, string(rewritten([]byte(shelfText), []Attr{{"name", `"Small"`}, {"units", `"in"`}}, partsOf(o))))
	assert.Equal(t, "Small", o.Name)
	assert.Equal(t, []PieceRow{{2, "straight 5", 0}, {1, "straight 4", 1}}, o.Blocks[1].Rows)
	assert.Equal(t, "main 3 end", o.Blocks[1].From)
}

// TestRewriteChanges: a value, an attribute more in a block of one line, one
// less, other pieces, a block gone and a new one; written by hand.
func TestRewriteChanges(t *testing.T) {
	p := partsOf(outline(t, shelfText))
	p[0].Attrs = []Attr{{"construction", `"roadbed"`}}
	p[1].Attrs = []Attr{{"from", ""}}
	p[1].Rows = []PieceRow{{1, "straight 5", 0}, {1, "bumper", -1}}
	p[3].Label = "spur 1"
	p = append(p[:2], p[3], Part{From: -1, Kind: "landmark", Label: "mill", Attrs: []Attr{{"at", `"main 1"`}}})
	want := `# head
name  = "Big" # my name
units = "in"
construction = "metal-tie"
about = "more"

run "main" {
  construction = "roadbed"
  pieces       = ["3 x straight 10"]
} # the shelf

run "spur" {
  # why it is here
  # the far end
  pieces = [
    "straight 5", # new
    "bumper",
    # cut by hand
  ]
}
# the lamp
 # green
landmark "mill" { at = "main 1" }
note "spur 1" { text = "loose" }
`
	got := rewritten([]byte(shelfText), []Attr{{"name", `"Big"`}, {"about", `"more"`}}, p)
	assert.Equal(t, want, string(got))
}

// TestRewriteFromNothing: a text from nothing reads as what was said.
func TestRewriteFromNothing(t *testing.T) {
	src := rewritten(nil, []Attr{{"name", Quote(`a "b" ${c}`)}, {"units", `"mm"`}, {"construction", `"two-rail"`}},
		[]Part{{From: -1, Kind: "run", Label: "main", Rows: []PieceRow{{2, "straight 100", -1}, {1, "bumper", -1}}}})
	f, problems := Read("x", src)
	require.NotNil(t, f, "%v\n%s", problems, src)
	assert.Equal(t, `a "b" ${c}`, f.Layout.Name)
	assert.Len(t, f.Layout.Pieces, 3)
}

func TestReadPiece(t *testing.T) {
	w, err := ReadPiece("8 x curve left diameter 31 angle 45", false, nil)
	require.NoError(t, err)
	assert.Equal(t, PieceWords{Count: 8, Kind: track.Curve, Hand: 1, RadiusMM: 15.5 * 25.4, Angle: 45}, w)
	w, err = ReadPiece("C31 right as Z1", false, map[string]string{"C31": "curve diameter 31 angle 45"})
	require.NoError(t, err)
	assert.Equal(t, PieceWords{Count: 1, Kind: track.Curve, Hand: -1, RadiusMM: 15.5 * 25.4, Angle: 45, Name: "Z1"}, w)
	_, err = ReadPiece("curve left diameter 31", false, nil)
	assert.ErrorContains(t, err, "lacks angle")
	_, err = ReadPiece("C32 right", false, map[string]string{"C31": "curve diameter 31 angle 45"})
	assert.ErrorContains(t, err, "not a kind of piece")
	mm, err := ReadLength("4 3/8", false)
	require.NoError(t, err)
	assert.InDelta(t, 4.375*25.4, mm, 1e-9)
	mm, err = ReadLength("40 ft", true)
	require.NoError(t, err)
	assert.InDelta(t, 12192, mm, 1e-9)
	for _, bad := range []string{"", "x", "10 as W1", "-3", "1 parsec", "1\n2", `"`} {
		_, err := ReadLength(bad, false)
		assert.Error(t, err, bad)
	}
}

func TestCheckName(t *testing.T) {
	assert.NoError(t, CheckName("W12", []string{"W1", "main"}))
	assert.ErrorContains(t, CheckName("Wl", []string{"W1"}), "too easily taken")
	assert.ErrorContains(t, CheckName("main", []string{"main"}), "is taken")
	assert.ErrorContains(t, CheckName("left", nil), "meaning of its own")
	assert.Error(t, CheckName("7up", nil))
}

// TestFindPlace: every name that the layout gives to a place is found again.
func TestFindPlace(t *testing.T) {
	name, src := Demo()
	f, _ := Read(name, src)
	l := f.Layout
	for i := range l.Pieces {
		p, ok := FindPlace(l, l.Pieces[i].ID())
		assert.True(t, ok && p == track.Place{Piece: i, End: -1})
		for e := range l.Pieces[i].Ends {
			for _, s := range []string{l.SideName(track.EndRef{Piece: i, End: e}), l.Pieces[i].ID() + " " + l.Pieces[i].Ends[e].Label} {
				p, ok := FindPlace(l, s)
				assert.True(t, ok && p == track.Place{Piece: i, End: e}, s)
			}
		}
	}
	for _, s := range []string{"", "/", "main", "main 99", "main 1/3", "nobody", "main 1 middle"} {
		_, ok := FindPlace(l, s)
		assert.False(t, ok, s)
	}
}

// TestWhere points at the row of a run and at other blocks, by line and column
// counted by hand in shelfText.
func TestWhere(t *testing.T) {
	body := newReader([]byte(shelfText)).parse("x")
	assert.Equal(t, Spot{Kind: "run", Label: "spur", Row: 1}, spotIn(body, 14, 6))
	assert.Equal(t, Spot{Kind: "run", Label: "main", Row: 0}, spotIn(body, 6, 26))
	assert.Equal(t, Spot{Kind: "note", Label: "spur 2", Row: -1}, spotIn(body, 19, 1))
	assert.Equal(t, Spot{Row: -1}, spotIn(body, 2, 1))
}

// TestAnyWords: no text makes the readers of single words panic.
func TestAnyWords(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		word := rapid.SampledFrom([]string{"8", "x", "straight", "curve", "left", "turnout", "via", "as", "W1", "again", "diameter", "3/8", "10mm", "C31", "é", "\\", "$", "%{", "\"", ",", "-", "untied", "wye", "slip"})
		text := ""
		for _, w := range rapid.SliceOfN(word, 0, 9).Draw(t, "words") {
			text += w + rapid.SampledFrom([]string{" ", "", "\t"}).Draw(t, "gap")
		}
		_, _ = ReadPiece(text, false, map[string]string{"C31": "curve diameter 31 angle 45", "W1": "W1 W1"})
		_, _ = ReadLength(text, true)
		_, _ = SplitCount(text)
		_ = CheckName(text, []string{"a"})
	})
}
