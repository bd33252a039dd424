package layoutfile

import (
	"slices"
	"strings"

	"fishplate/diagnose/track"
	"fishplate/layoutfile/sheet"
)

// WithHistory gives the text of the file with more known of some pieces, and keeps
// every byte and comment of the rest. Where a piece has a history, its odds are
// multiplied and the new reason is put behind the old one; a reason that stands
// there already changes nothing.
func (f *File) WithHistory(more []track.OddsFactor) []byte {
	want := f.sheet.Copy()
	for _, o := range more {
		b := f.historyOf(want, o.Piece)
		if b == nil {
			b = &sheet.Block{Kind: "history", Labels: []sheet.Label{{Text: f.nameOf(o.Piece)}}, From: -1}
			b.Set("odds", sheet.NumberOf(o.Factor))
			b.Set("why", sheet.TextOf(o.Why))
			want.Blocks = append(want.Blocks, b)
			continue
		}
		why := b.Text("why")
		if strings.Contains(why, o.Why) {
			continue
		}
		if why != "" {
			why += "; "
		}
		old := 1.0
		if a := b.Attr("odds"); a != nil {
			old = a.Value.Number
		}
		b.Set("odds", sheet.NumberOf(max(0.001, old*o.Factor)))
		b.Set("why", sheet.TextOf(why+o.Why))
	}
	return sheet.Write(f.sheet, want)
}

// nameOf is how a piece is best named in the file: its own name stays true when
// pieces are put in before it.
func (f *File) nameOf(piece int) string {
	if p := &f.Layout.Pieces[piece]; p.Name != "" {
		return p.Name
	}
	return f.Layout.Pieces[piece].ID()
}

func (f *File) historyOf(s *sheet.Sheet, piece int) *sheet.Block {
	for _, b := range s.Blocks {
		if b.Kind == "history" && f.Layout.FindPiece(strings.TrimSpace(b.Label())) == piece {
			return b
		}
	}
	return nil
}

// WithCounted gives the text of the file with what hunts found against what was
// assumed, in the place of what was counted before; every byte and comment of the
// rest is kept.
func (f *File) WithCounted(list []track.Counted) []byte {
	want := f.sheet.Copy()
	var blocks, old []*sheet.Block
	for _, b := range want.Blocks {
		if b.Kind == "counted" {
			old = append(old, b)
		} else {
			blocks = append(blocks, b)
		}
	}
	for _, c := range list {
		labels := []sheet.Label{{Text: string(c.Part)}, {Text: string(c.Mode)}}
		i := slices.IndexFunc(old, func(b *sheet.Block) bool {
			return len(b.Labels) == 2 && b.Labels[0].Text == labels[0].Text && b.Labels[1].Text == labels[1].Text
		})
		b := &sheet.Block{Kind: "counted", Labels: labels, From: -1}
		if i >= 0 {
			b = old[i]
		}
		b.Set("times", sheet.NumberOf(c.Times))
		b.Set("why", sheet.TextOf(c.Why))
		blocks = append(blocks, b)
	}
	want.Blocks = blocks
	return sheet.Write(f.sheet, want)
}
