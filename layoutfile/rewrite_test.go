package layoutfile

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"fishplate/layoutfile/sheet"
)

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

func shelf(t *testing.T) *sheet.Sheet {
	f, problems := Read("x", []byte(shelfText))
	require.NotNil(t, f, "%v", problems)
	return f.Sheet()
}

// TestWriteNothing: what is not changed keeps every byte.
func TestWriteNothing(t *testing.T) {
	s := shelf(t)
	assert.Equal(t, shelfText, string(sheet.Write(s, s.Copy())))
	assert.Equal(t, "Small", s.Text("name"))
	rows := s.Blocks[1].Pieces()
	assert.Equal(t, []any{2, "straight 5", 1, "straight 4"}, []any{rows[0].Count, rows[0].Text, rows[1].Count,
		rows[1].Text})
	assert.Equal(t, "main 3 end", s.Blocks[1].Text("from"))
}

// TestWriteChanges: a value, an attribute more in a block of one line, one
// less, other pieces, a block gone and a new one; written by hand.
func TestWriteChanges(t *testing.T) {
	base := shelf(t)
	s := base.Copy()
	s.Set("name", sheet.TextOf("Big"))
	s.Set("about", sheet.TextOf("more"))
	s.Blocks[0].Set("construction", sheet.TextOf("roadbed"))
	s.Blocks[1].Attrs = nil
	s.Blocks[1].Rows = []sheet.Row{{Count: 1, Text: "straight 5", From: 0}, {Count: 1, Text: "bumper", From: -1}}
	s.Blocks[3].Labels = []sheet.Label{{Text: "spur 1"}}
	mill := &sheet.Block{Kind: "landmark", Labels: []sheet.Label{{Text: "mill"}}, From: -1}
	mill.Set("at", sheet.TextOf("main 1"))
	s.Blocks = append(s.Blocks[:2], s.Blocks[3], mill)
	want := `# head
name  = "Big" # my name
units = "in"
construction = "metal-tie"
about        = "more"

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
	assert.Equal(t, want, string(sheet.Write(base, s)))
}

// TestWriteFromNothing: a text from nothing reads as what was said.
func TestWriteFromNothing(t *testing.T) {
	var s sheet.Sheet
	s.Set("name", sheet.TextOf(`a "b" ${c}`))
	s.Set("units", sheet.TextOf("mm"))
	s.Set("construction", sheet.TextOf("two-rail"))
	s.Blocks = []*sheet.Block{{Kind: "run", Labels: []sheet.Label{{Text: "main"}}, From: -1,
		Rows: []sheet.Row{{Count: 2, Text: "straight 100", From: -1}, {Count: 1, Text: "bumper", From: -1}}}}
	src := sheet.Write(nil, &s)
	f, problems := Read("x", src)
	require.NotNil(t, f, "%v\n%s", problems, src)
	assert.Equal(t, `a "b" ${c}`, f.Layout.Name)
	assert.Len(t, f.Layout.Pieces, 3)
}
